package telegram_test

import (
	"fmt"
	"testing"

	"bowlwright/bot/telegram/standin"
)

// TestLiveMessage changes the message that a chat has under a name wherever it
// stands, and says nothing in a chat that has none.
func TestLiveMessage(t *testing.T) {
	t.Parallel()
	p, _ := line(t)
	send := func(chat int64, words string, inPlace int64, live, quiet bool) {
		t.Helper()
		r := text(words)
		if r.Quiet = quiet; live {
			r.Live = "list"
		}
		if inPlace > 0 {
			r.InPlace = fmt.Sprint(inPlace)
		}
		if err := sendTo(p, chat, "", r); err != nil {
			t.Fatal(err)
		}
	}
	reads := func(step string, chat int64, want ...string) {
		t.Helper()
		var got []string
		for _, m := range p.api.FromBot(chat) {
			got = append(got, m.Text)
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: the chat reads %q, want %q", step, got, want)
		}
	}
	send(ines.ID, "1", 0, true, false)
	send(ines.ID, "beside", 0, false, false)
	send(ines.ID, "2", 0, true, true)
	reads("a quiet change", ines.ID, "2", "beside")
	send(ines.ID, "3", 0, true, false)
	send(ines.ID, "4", 0, true, true)
	reads("asked for again", ines.ID, "2", "beside", "4")
	first := p.api.FromBot(ines.ID)[0].ID
	send(ines.ID, "5", first, true, false)
	send(ines.ID, "6", 0, true, true)
	reads("tapped in the older one", ines.ID, "6", "beside", "4")
	send(tomas.ID, "7", 0, true, true)
	reads("who never had it", tomas.ID)
	gone := standin.Fault{Method: "editMessageText", Code: 400, Description: "Bad Request: message to edit not found"}
	p.api.Fail(gone)
	send(ines.ID, "8", 0, true, true)
	reads("deleted by its reader", ines.ID, "6", "beside", "4")
	p.api.Fail(gone)
	send(ines.ID, "9", first, true, false)
	send(ines.ID, "10", 0, true, true)
	reads("sent anew", ines.ID, "6", "beside", "4", "10")
}
