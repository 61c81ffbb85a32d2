package talk

import (
	"strings"

	"bowlwright/bot/read"
)

// SureDraft is what a typed yes does, and a no: the press of a button.
type SureDraft struct {
	Verb string   `json:"verb"`
	Args []string `json:"args"`
	No   []string `json:"no,omitempty"` // what a typed no does, where that is something
}

// says reports that a text means yes to what is asked here alone.
func (d SureDraft) says(text string) bool {
	if d.Verb == "weigh" {
		return read.Said("says-right", text)
	}
	return read.Said("says-do", strings.ReplaceAll(text, ",", "")) // "yes, remove"
}

// IsYes reports that a typed answer is a yes, whatever was asked.
func IsYes(s string) bool { return read.Said("yes", s) }

// IsNo reports that a typed answer is a no, whatever was asked.
func IsNo(s string) bool { return read.Said("no", s) }

// IsNotSure reports that a typed answer leaves a question open.
func IsNotSure(s string) bool { return read.Said("not-sure", strings.TrimRight(s, " .?!")) }

// isStop reports that a person wants to leave a dialogue.
func isStop(s string) bool { return read.Said("stop", s) }

// AskedSure lets a typed yes do what the button under a question does; a no
// leaves everything as it is.
func (t *Turn) AskedSure(verb string, args ...string) {
	t.Ask("sure", "yes", SureDraft{Verb: verb, Args: args})
}

// sureDialogue takes the yes or no. Anything else is no answer and drops the
// question: no slip removes anything.
func (t *Turn) sureDialogue(in Answer) {
	var d SureDraft
	t.Draft(&d)
	t.EndDialogue()
	t.left = t.Talk.Parked != nil // what was open before can be gone on with
	said := strings.ToLower(strings.Trim(in.Value(), " .!"))
	if IsYes(said) || d.says(said) {
		t.reg.presses[d.Verb](t, d.Args)
		return
	}
	switch {
	case IsNo(said):
		if len(d.No) > 0 {
			t.reg.presses[d.Verb](t, d.No)
			return
		}
		t.SayMsg("dialogue.stopped")
	default:
		other := NeitherYesNorNo{Verb: d.Verb, Args: d.Args, Text: in.Text}
		if t.Happened(&other); other.Taken {
			return
		}
		t.Event.Text = in.Text
		t.RouteWords(in.Text)
	}
}
