package telegram_test

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
)

var diary = say.Document{Name: "wägungen \"Pip\".csv", Alt: "weigh-ins", Type: "text/csv", Data: []byte("date,kg\r\n2026-03-02,6.4\r\n")}

// TestDocument sends a file with a short text, a long one and none, and with
// a picture.
func TestDocument(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	short, long := text("Short"), text(strings.Repeat("long ", 300))
	both := text("Both")
	both.Picture = &say.Picture{Name: "a.png", Alt: "Bars", PNG: []byte("\x89PNG fake")}
	both.InPlace = "1" // a file takes the place of nothing
	for _, r := range []*say.Reply{&short, &long, {}, &both} {
		r.Document = &diary
		r.Buttons = [][]say.Button{{{Label: "More", Data: "d"}}}
		if err := send(*r); err != nil {
			t.Fatal(err)
		}
	}
	for i, want := range []struct{ text, file string }{
		{"Short", "document"}, {strings.TrimSpace(strings.Repeat("long ", 300)), ""}, {"weigh-ins", "document"}, {"", "document"},
		{"Both", "photo"}, {"weigh-ins", "document"},
	} {
		got := p.api.FromBot(ines.ID)[i]
		if strings.TrimSpace(got.Text) != want.text || got.Name != want.file {
			t.Errorf("message %d: %q with a %q, want %q with a %q", i, got.Text, got.Name, want.text, want.file)
		}
		if want.file == "document" && (got.Title != diary.Name || !bytes.Equal(got.File, diary.Data)) {
			t.Errorf("message %d: %q: %q", i, got.Title, got.File)
		}
		if last := i != 1 && i != 4; (len(got.Buttons) > 0) != last {
			t.Errorf("message %d: buttons %v", i, got.Buttons)
		}
	}
}

// TestDocumentAgain has the sending of a file fail: the next attempt uploads
// all of it, and repeats nothing before it.
func TestDocumentAgain(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.api.Say(ines, 0, "hello")
	r := text(strings.Repeat("long ", 300))
	r.Document = &diary
	m := store.Outgoing{Number: 1, Chat: "telegram/4711"}
	for _, f := range []standin.Fault{
		{Method: "sendDocument", Code: 429, RetryAfter: 1, Description: "Too Many Requests: retry after 1"},
		{Method: "sendDocument", Cut: true}, {Method: "sendDocument", Page: true},
	} {
		p.api.Fail(f)
		if err := p.send(m, r); err == nil {
			t.Fatalf("%+v: it did not fail", f)
		}
	}
	if err := p.send(m, r); err != nil {
		t.Fatal(err)
	}
	if got := p.api.FromBot(ines.ID); len(got) != 2 || !bytes.Equal(got[1].File, diary.Data) {
		t.Errorf("%+v", got)
	}
}

// TestDocumentTooLarge: what the platform does not take is not tried for ever.
func TestDocumentTooLarge(t *testing.T) {
	t.Parallel()
	if standin.LargestDocument != say.LargestDocument {
		t.Errorf("the platform takes %d bytes, the bot sends %d", standin.LargestDocument, say.LargestDocument)
	}
	largest := 1 << 20 // as many as the platform takes need five seconds
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		largest = standin.LargestDocument
	}
	p, send := lineTo(t, startStandin(t, standin.Options{LargestDocument: largest}))
	large := diary
	large.Data = make([]byte, largest)
	if err := send(say.Reply{Document: &large}); err != nil {
		t.Errorf("of %d bytes: %v", len(large.Data), err)
	}
	large.Data = append(large.Data, 0)
	empty := diary
	empty.Data = nil
	for _, d := range []say.Document{large, empty} {
		var f *delivery.Failure
		if err := send(say.Reply{Document: &d}); !errors.As(err, &f) || f.Kind != delivery.Never {
			t.Errorf("of %d bytes: %v", len(d.Data), err)
		}
	}
	if got := p.api.FromBot(ines.ID); len(got) != 1 {
		t.Errorf("%d messages", len(got))
	}
}
