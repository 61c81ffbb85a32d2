package bot

import (
	"cmp"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// dogRecall is for how long the dog last spoken of is the one that is meant
// where something is to be written and none is named: later on the carer may
// have another in mind (our own choice).
const dogRecall = time.Hour

// theDog returns the dog that is meant where none is named: the only one, or
// the one that was spoken of of late.
func (t *turn) theDog() *planner.Dog {
	switch {
	case len(t.home.Dogs) == 1:
		return &t.home.Dogs[0]
	case t.talk.Dog == "" && t.event.At.Sub(t.talk.LastAt) > dogRecall:
		return nil
	}
	return t.dog(cmp.Or(t.talk.Dog, t.talk.Last))
}

// talkedOf is the dog last spoken of, however long ago, else the only one: of
// what is only asked, where the answer says which dog it is about.
func (t *turn) talkedOf() *planner.Dog {
	if d := t.dog(cmp.Or(t.talk.Dog, t.talk.Last)); d != nil {
		return d
	}
	return t.theDog()
}

// onlyAsks are the sentences about a dog that change nothing.
var onlyAsks = map[read.Intent]bool{read.Analyse: true, read.Balance: true, read.Swap: true, read.ShowDog: true, read.TreatsLeft: true,
	read.ShowWeight: true, read.ShowTrend: true, read.ShowGrowth: true, read.ListWeighIns: true, read.ShowGoal: true, read.EditDog: true}

// dogMeant is the dog a sentence names, else the one meant without a name;
// nil where that is not clear.
func (t *turn) dogMeant(s read.Sentence) *planner.Dog {
	if d := t.dog(s.Dog); d != nil {
		return d
	}
	if onlyAsks[s.Intent] {
		return t.talkedOf()
	}
	return t.theDog()
}

// whichDraft is what is to be done for the dog that is asked for.
type whichDraft struct {
	Text string `json:"text"`
}

// whichDog asks which dog a text is about that named none, and answers the
// text when that is told.
func (t *turn) whichDog() {
	if len(t.home.Dogs) == 0 {
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	t.askWhich(whichDraft{Text: t.event.Text})
}

func (t *turn) askWhich(draft whichDraft) {
	t.ask("which", "dog", draft)
	out := t.sayMsg("who.which")
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		out.offer(t.answer(d.Name, "dog", d.ID))
	}
}

// whichDialogue takes the dog. What is asked in between is answered, and the
// question stays; with anything else it is dropped.
func (t *turn) whichDialogue(in answer) {
	var draft whichDraft
	t.draft(&draft)
	d := t.dog(in.press)
	if d == nil {
		d = t.dogNamed(strings.TrimRight(in.text, ".! "))
	}
	if d == nil && in.press == "" && t.aside(in.text) {
		t.again(func() { t.askWhich(draft) })
		return
	}
	t.endDialogue()
	t.left = t.talk.Parked != nil // what was open before can be gone on with
	text := in.text
	if d != nil {
		t.talk.Dog, text = d.ID, draft.Text
	}
	t.event.Text = text
	t.routeWords(text)
}
