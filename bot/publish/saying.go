package publish

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/urgent"
)

// saying is the draft of a text that goes to others: why something changed or is
// withdrawn, a question to an author, or the answer to one.
type saying struct {
	Token    string `json:"token"`
	Question string `json:"question,omitempty"` // id of the one that is answered
	// Text is what was typed and not sent, since an emergency was heard in it
	// and answered. It may be sent all the same.
	Text string `json:"text,omitempty"`
}

// form is a form of one text, taken as it is typed. take returns what is wrong
// with it, empty where it was taken.
func form(kind string, ask func(*talk.Turn, *saying), take func(t *talk.Turn, d *saying, text string) string) talk.Form {
	hold := func(t *talk.Turn, text string) {
		var d saying
		t.Draft(&d)
		holdBack(t, kind, d, text)
	}
	try := func(t *talk.Turn, d *saying, text string) {
		if wrong := take(t, d, text); wrong != "" {
			t.Ask(kind, "text", d)
			t.Say(say.Para(wrong)).Offer(t.StopButton())
		}
	}
	return talk.Form{
		Free: []string{"text"}, Verbatim: hold,
		Again: talk.WithDraft(func(t *talk.Turn, d saying) { ask(t, &d) }),
		Take: talk.TakeDraft(func(t *talk.Turn, d saying, in talk.Answer) {
			switch {
			case in.Press == "send":
				try(t, &d, d.Text)
			case in.Press == "write":
				d.Text = ""
				ask(t, &d)
			default:
				try(t, &d, in.Text)
			}
		}),
	}
}

// holdBack says that a text was not sent, and offers to send it all the same.
func holdBack(t *talk.Turn, kind string, d saying, text string) {
	d.Text = text
	t.Ask(kind, "text", d)
	t.LastReply().Add(msg("saying.held")).
		Offer(t.Answer(msg("button.send"), "text", "send"), t.Answer(msg("button.write-again"), "text", "write"), t.StopButton())
}

// answeredHere answers a question that names a sign or a danger.
func answeredHere(t *talk.Turn, text string) bool {
	clean := strings.TrimSpace(read.Clean(text))
	return urgent.Urgent(t, clean) || urgent.DangerAsked(t, clean) || urgent.WatchSign(t, clean)
}
