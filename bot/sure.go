package bot

import (
	"slices"
	"strings"
)

// sureDraft is what a typed yes does, and a no: the press of a button.
type sureDraft struct {
	Verb string   `json:"verb"`
	Args []string `json:"args"`
	No   []string `json:"no,omitempty"` // what a typed no does, where that is something
}

// yes are the answers that mean yes to what is asked here alone.
func (d sureDraft) yes() []string {
	if d.Verb == "weigh" {
		return []string{"right", "correct", "that is right", "that's right", "it is", "it's right"}
	}
	return []string{"yes, remove", "yes remove", "yes remove it", "do it", "remove it", "stop it", "yes stop"}
}

// isYes reports that a typed answer is a yes, whatever was asked.
func isYes(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "yes", "yes please", "y", "yep", "yeah", "sure", "ok", "okay":
		return true
	}
	return false
}

// isNo reports that a typed answer is a no, whatever was asked.
func isNo(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "no", "n", "nope", "keep", "keep it", "no keep it", "no thanks", "don't", "dont", "wrong":
		return true
	}
	return false
}

// askedSure lets a typed yes do what the button under a question does, and a
// no leave all as it is.
func (t *turn) askedSure(verb string, args ...string) {
	t.ask("sure", "yes", sureDraft{Verb: verb, Args: args})
}

// sureDialogue takes the yes or no. What is neither is no answer, and the
// question is dropped: nothing is removed by a slip.
func (t *turn) sureDialogue(in answer) {
	var d sureDraft
	t.draft(&d)
	t.endDialogue()
	t.left = t.talk.Parked != nil // what was open before can be gone on with
	said := strings.ToLower(strings.Trim(in.value(), " .!"))
	if isYes(said) || slices.Contains(d.yes(), said) {
		t.reg.presses[d.Verb](t, d.Args)
		return
	}
	switch {
	case isNo(said):
		if len(d.No) > 0 {
			t.reg.presses[d.Verb](t, d.No)
			return
		}
		t.sayMsg("dialogue.stopped")
	default:
		other := neitherYesNorNo{verb: d.Verb, args: d.Args, text: in.text}
		if t.happened(&other); other.taken {
			return
		}
		t.event.Text = in.text
		t.routeWords(in.text)
	}
}
