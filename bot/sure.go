package bot

import (
	"strings"
)

func init() { brief["sure"] = true }

// sureDraft is what a typed yes does: the press of a button.
type sureDraft struct {
	Verb string   `json:"verb"`
	Args []string `json:"args"`
}

// askedSure lets a typed yes do what the button under a question does, and a
// no leave all as it is.
func (t *turn) askedSure(verb string, args ...string) { t.ask("sure", "yes", sureDraft{verb, args}) }

// sureDialogue takes the yes or no. What is neither is no answer, and the
// question is dropped: nothing is removed by a slip.
func (t *turn) sureDialogue(in answer) {
	var d sureDraft
	t.draft(&d)
	t.endDialogue()
	t.left = t.talk.Parked != nil // what was open before can be gone on with
	switch strings.ToLower(strings.Trim(in.text, " .!")) {
	case "yes", "yes please", "yes, remove", "yes remove", "yes remove it", "y", "yep", "yeah", "sure", "ok", "okay", "do it", "remove it", "stop it", "yes stop":
		presses[d.Verb](t, d.Args)
	case "no", "n", "nope", "keep", "keep it", "no keep it", "no thanks", "don't", "dont":
		t.sayMsg("dialogue.stopped")
	default:
		t.event.Text = in.text
		t.routeWords(in.text)
	}
}
