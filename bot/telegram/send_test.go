package telegram_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
)

// line returns a phone that is not running and a function that sends a reply
// to Ines at once.
func line(t *testing.T) (*phone, func(r say.Reply) error) { return lineTo(t, nil) }

// lineTo is line to a stand-in, nil for a new one.
func lineTo(t *testing.T, api *standin.Server) (*phone, func(r say.Reply) error) {
	p := connect(t, wiring{api: api})
	p.api.Say(ines, 0, "hello") // makes the chat known
	number := uint64(0)
	return p, func(r say.Reply) error {
		number++
		return p.send(store.Outgoing{Number: number, Chat: "telegram/4711"}, r)
	}
}

func text(s string) say.Reply { return say.Reply{Body: []say.Block{{Text: s}}} }

// TestShownAsTyped sends what looks like markup.
func TestShownAsTyped(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	for _, s := range []string{`<b>x</b>&"`, "a < b & c > d", "&lt;pre&gt;", "it's", "</pre>", "\u202edog\u0007"} {
		err := send(say.Reply{Body: []say.Block{{Text: s}, {Text: s, Table: true}}, Buttons: [][]say.Button{{{Label: s, Data: "d"}}}})
		if err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		shown := strings.NewReplacer("\u202e", "", "\u0007", "").Replace(s)
		got := p.api.FromBot(ines.ID)
		if m := got[len(got)-1]; m.Text != shown+"\n"+shown || m.Buttons[0][0].Text != shown {
			t.Errorf("%q is shown as %q, %q", s, m.Text, m.Buttons)
		}
	}
}

// TestSplitting sends long replies: every message is within the limits, none
// of the text is lost, and the buttons are under the last.
func TestSplitting(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	long := strings.Repeat("Turkey & heart <500 g>, kale\n", 400)
	wide := strings.Repeat("🐕", 3000) // two units each
	for name, r := range map[string]say.Reply{
		"lines":  text(long),
		"table":  {Body: []say.Block{{Text: "Before"}, {Text: strings.TrimSpace(long), Table: true}, {Text: "After"}}},
		"a word": text(wide),
		"spaces": text(strings.Repeat("wombat ", 2000)),
	} {
		before := len(p.api.FromBot(ines.ID))
		r.Buttons = [][]say.Button{{{Label: "Help", Data: "help"}}}
		if err := send(r); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		got := p.api.FromBot(ines.ID)[before:]
		if len(got) < 2 {
			t.Fatalf("%s: %d messages", name, len(got))
		}
		var all, want strings.Builder
		for i, m := range got {
			all.WriteString(m.Text)
			if (len(m.Buttons) > 0) != (i == len(got)-1) {
				t.Errorf("%s: buttons of message %d of %d: %v", name, i+1, len(got), m.Buttons)
			}
		}
		for _, b := range r.Body {
			want.WriteString(b.Text)
		}
		if squeeze(all.String()) != squeeze(want.String()) {
			t.Errorf("%s: the text changed", name)
		}
	}
}

// squeeze takes out blanks: they may be lost where a message ends.
func squeeze(s string) string { return strings.Join(strings.Fields(s), "") }

func TestPicture(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	png := []byte("\x89PNG fake")
	picture := &say.Picture{Name: "nutrients.png", Alt: "Bars", PNG: png}
	short, long := text("Short"), text(strings.Repeat("long ", 300))
	short.Picture, long.Picture = picture, picture
	for _, r := range []say.Reply{short, long, {Picture: picture}} {
		if err := send(r); err != nil {
			t.Fatal(err)
		}
	}
	got := p.api.FromBot(ines.ID)
	if len(got) != 4 || got[0].Text != "Short" || got[1].File != nil || got[2].Text != "Bars" || got[3].Text != "" {
		t.Errorf("%+v", got)
	}
	for _, i := range []int{0, 2, 3} {
		if !bytes.Equal(got[i].File, png) {
			t.Errorf("message %d: %q", i, got[i].File)
		}
	}
}

// TestFailures has the platform refuse in its several ways.
func TestFailures(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	for _, c := range []struct {
		fault standin.Fault
		want  delivery.Failure
	}{
		{standin.Fault{Code: 429, RetryAfter: 7, Description: "Too Many Requests: retry after 7"}, delivery.Failure{Kind: delivery.Wait, After: 7 * time.Second}},
		{standin.Fault{Code: 403, Description: "Forbidden: bot was blocked by the user"}, delivery.Failure{Kind: delivery.Blocked}},
		{standin.Fault{Code: 400, Description: "Bad Request: chat not found"}, delivery.Failure{Kind: delivery.Blocked}},
		{standin.Fault{Code: 400, Description: "Bad Request: not enough rights to send text messages to the chat"}, delivery.Failure{Kind: delivery.Blocked}},
		{standin.Fault{Code: 400, Description: `Bad Request: "wombat" is too odd`}, delivery.Failure{Kind: delivery.Never}},
		{standin.Fault{Code: 413, Description: "Request Entity Too Large"}, delivery.Failure{Kind: delivery.Never}},
		{standin.Fault{Code: 500}, delivery.Failure{Kind: delivery.Retry}},
		{standin.Fault{Code: 401, Description: "Unauthorized"}, delivery.Failure{Kind: delivery.Retry}},
		{standin.Fault{Page: true}, delivery.Failure{Kind: delivery.Retry}},
		{standin.Fault{Cut: true}, delivery.Failure{Kind: delivery.Retry}},
	} {
		p.api.Fail(c.fault)
		err := send(text("a wombat is here"))
		var f *delivery.Failure
		if !errors.As(err, &f) || f.Kind != c.want.Kind || f.After != c.want.After {
			t.Errorf("%+v: %v, want %s", c.fault, err, c.want.Kind)
			continue
		}
		if s := f.Error(); strings.Contains(s, "wombat") || strings.Contains(s, "standin") || strings.Contains(s, "html") {
			t.Errorf("%+v: the error says too much: %s", c.fault, s)
		}
	}
	if err := send(text("again")); err != nil {
		t.Errorf("after all that: %v", err)
	}
	p.api.Close()
	var f *delivery.Failure
	if err := send(text("nobody there")); !errors.As(err, &f) || f.Kind != delivery.Retry || strings.Contains(err.Error(), "standin") {
		t.Errorf("without a platform: %v", err)
	}
}

// TestMarkupRefused sends once more as plain text what is refused for its
// markup: a message, a caption, a change of a message.
func TestMarkupRefused(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	refuse := func(times int) {
		p.api.Fail(standin.Fault{Code: 400, Description: `Bad Request: can't parse entities: Unsupported start tag "wombat" at byte offset 5`, Times: times})
	}
	r := say.Reply{Body: []say.Block{{Text: "Tom & Ines <3"}, {Text: "turkey 500 g", Table: true}}}
	const want = "Tom & Ines <3\nturkey 500 g"
	refuse(1)
	if err := send(r); err != nil {
		t.Fatal(err)
	}
	refuse(1)
	r.Document = &diary
	if err := send(r); err != nil {
		t.Fatal(err)
	}
	got := p.api.FromBot(ines.ID)
	if len(got) != 2 || got[0].Text != want || got[0].HTML != want || got[1].Text != want || got[1].File == nil {
		t.Fatalf("%+v", got)
	}
	r.Document, r.Body[0].Text, r.InPlace, r.Settles = nil, "Ines & Tom", fmt.Sprint(got[0].ID), true
	refuse(1)
	if err := send(r); err != nil {
		t.Fatal(err)
	}
	if got := p.api.FromBot(ines.ID); len(got) != 2 || got[0].HTML != "Ines & Tom\nturkey 500 g" || got[0].Edited != 1 {
		t.Errorf("%+v", got)
	}
	r.InPlace, r.Settles = "", false
	refuse(2)
	if err := send(r); err == nil || !strings.HasPrefix(err.Error(), "never") {
		t.Errorf("refused as plain text too: %v", err)
	}
}

func TestWhatCannotBeSent(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	for name, m := range map[string]store.Outgoing{
		"no reply":   {Chat: "telegram/4711", Body: []byte("{")},
		"no chat":    {Chat: "terminal/Ines", Body: []byte("{}")},
		"no content": {Chat: "telegram/4711", Body: []byte("{}")},
	} {
		var f *delivery.Failure
		if err := p.adapter.Sender().Send(t.Context(), m); !errors.As(err, &f) || f.Kind != delivery.Never {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := send(text("fine")); err != nil {
		t.Error(err)
	}
}

// TestPartsGoOnce has the second part of a long reply fail: trying the
// message again does not repeat the first.
func TestPartsGoOnce(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.api.Say(ines, 0, "hello")
	m, long := store.Outgoing{Number: 1, Chat: "telegram/4711"}, text(strings.Repeat("a\n", 3000))
	p.api.Fail(standin.Fault{Slow: time.Millisecond}) // the first goes
	p.api.Fail(standin.Fault{Code: 500})
	if err := p.send(m, long); err == nil {
		t.Fatal("it did not fail")
	}
	if err := p.send(m, long); err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, m := range p.api.FromBot(ines.ID) {
		n += strings.Count(m.Text, "a")
	}
	if n != 3000 {
		t.Errorf("%d lines arrived, want 3000", n)
	}
}

// TestDialogueInPlace answers a dialogue by buttons: its question is edited
// while it is the last message, and asked anew where something came between.
func TestDialogueInPlace(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{})
	press := func(i int) {
		got := p.api.FromBot(ines.ID)
		m := got[len(got)-1]
		p.api.Press(ines, 0, m.ID, slices.Concat(m.Buttons...)[i].Data)
	}
	p.api.Say(ines, 0, "/dog add")
	p.tally.wait(t, 1)
	p.api.Say(ines, 0, "Juniper")
	p.tally.wait(t, 2)
	asked := p.replies(ines.ID)
	press(0) // g and kg
	p.tally.wait(t, 3)
	got := p.api.FromBot(ines.ID)
	if len(got) != len(asked) || got[len(got)-1].Edited != 1 || got[len(got)-1].Text == asked[len(asked)-1] {
		t.Errorf("the question was not edited: %+v", got)
	}
	p.api.Say(ines, 0, "19.6 kg")
	p.tally.wait(t, 4)
	p.api.Say(ines, 0, "4 years")
	p.tally.wait(t, 5)
	old := p.api.FromBot(ines.ID)
	p.api.SayMore(ines, 0, "", map[string]any{"new_chat_title": "x"}) // a newer message
	p.tally.wait(t, 6)
	press(0)
	p.tally.wait(t, 7)
	if now := p.api.FromBot(ines.ID); len(now) != len(old)+1 {
		t.Errorf("%d messages, want %d: a question out of sight was edited", len(now), len(old)+1)
	}
	p.waitFor("both presses confirmed", func() bool { return len(p.api.Calls("answerCallbackQuery")) == 2 })
}

// TestEditFallsBack sends anew where the message is gone, and is content where
// it is as it should be already.
func TestEditFallsBack(t *testing.T) {
	t.Parallel()
	p, send := line(t)
	if err := send(text("one")); err != nil {
		t.Fatal(err)
	}
	id := p.api.FromBot(ines.ID)[0].ID
	r := text("two")
	r.InPlace = fmt.Sprint(id)
	for range 2 { // the second is not modified
		if err := send(r); err != nil {
			t.Fatal(err)
		}
	}
	if got := p.replies(ines.ID); !slices.Equal(got, []string{"two"}) {
		t.Errorf("%q", got)
	}
	r.InPlace = fmt.Sprint(id + 50)
	if err := send(r); err != nil {
		t.Fatal(err)
	}
	if got := p.replies(ines.ID); !slices.Equal(got, []string{"two", "two"}) {
		t.Errorf("%q", got)
	}
}

// TestPressIsConfirmedAtOnce holds the work up until the press was confirmed.
func TestPressIsConfirmedAtOnce(t *testing.T) {
	t.Parallel()
	var api *standin.Server
	w := before(func(ctx context.Context, e talk.Event) error {
		if e.Press != "" {
			if err := api.Wait(ctx, func() bool { return len(api.Calls("answerCallbackQuery")) == 1 }); err != nil {
				t.Error("the press was not confirmed while the work was going on")
			}
		}
		return nil
	})
	p := connect(t, w)
	api = p.api
	p.run(p.adapter.Run)
	p.api.Press(ines, 0, 1, "x:help")
	p.tally.wait(t, 1)
}

// TestStartLink shows an invitation as a link to this bot.
func TestStartLink(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{handler: func(telegram.Handler) telegram.Handler {
		return handlerFunc(func(context.Context, talk.Event) error { return nil })
	}})
	p.api.Say(ines, 0, "x")
	p.tally.wait(t, 1)
	if err := p.send(store.Outgoing{Chat: "telegram/4711"}, say.Reply{Body: []say.Block{{Text: "Pass this on:"}}, Start: "abc-123"}); err != nil {
		t.Fatal(err)
	}
	if got := p.replies(ines.ID); !slices.Equal(got, []string{"Pass this on:\nhttps://t.me/" + standin.Username + "?start=abc-123"}) {
		t.Errorf("%q", got)
	}
}
