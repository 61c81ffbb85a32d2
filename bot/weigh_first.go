package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// fourStep is one of the four questions before a dog is fed more: its answers,
// and what each says.
type fourStep struct {
	name    string
	answers []fourAnswer
}

type fourAnswer struct {
	word string
	take func(*planner.Answers)
}

func nothing(*planner.Answers) {}

func because(c planner.NeedCause) func(*planner.Answers) {
	return func(e *planner.Answers) { e.Reason = c }
}

var fourSteps = []fourStep{
	{"bowl", []fourAnswer{{"yes", nothing}, {"no", func(e *planner.Answers) { e.Leaves = true }}}},
	{"signs", []fourAnswer{{"no", nothing}, {"yes", func(e *planner.Answers) { e.Signs = true }}}},
	{"hungry", []fourAnswer{{"no", nothing}, {"yes", func(e *planner.Answers) { e.Starving = true }}}},
	{"reason", []fourAnswer{{"work", because(planner.MoreWork)}, {"season", because(planner.Season)}, {"scale", because(planner.NewScale)}, {"none", nothing}}},
}

// fourDraft is the answers so far, one word each.
type fourDraft struct {
	Dog   string   `json:"dog"`
	Words []string `json:"words,omitempty"`
}

func (t *turn) askFour(w fourDraft) {
	d := t.dog(w.Dog)
	if d == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	step := fourSteps[min(len(w.Words), len(fourSteps)-1)]
	t.ask("four", step.name, w)
	r := t.sayMsg("four."+step.name, "dog", d.Name)
	for _, a := range step.answers {
		r.offer(t.answer(msg("four."+step.name+"-"+a.word), step.name, a.word))
	}
}

// fourDialogue takes the answer to one of the four questions.
func (t *turn) fourDialogue(in answer) {
	var w fourDraft
	t.draft(&w)
	d := t.dog(w.Dog)
	if d == nil || len(w.Words) >= len(fourSteps) {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	step := fourSteps[len(w.Words)]
	word := ""
	for _, a := range step.answers {
		if in.press == a.word || in.press == "" && strings.EqualFold(strings.TrimSpace(in.text), msg("four."+step.name+"-"+a.word)) {
			word = a.word
		}
	}
	if word == "" {
		if in.press == "" && t.aside(in.text) {
			return
		}
		t.sayMsg("four.choose")
		t.askFour(w)
		return
	}
	if w.Words = append(w.Words, word); len(w.Words) < len(fourSteps) {
		t.askFour(w)
		return
	}
	t.endDialogue()
	t.noteFour(d, w)
}

// noteFour enters the four answers, and says what they make of the suggestion.
func (t *turn) noteFour(d *planner.Dog, w fourDraft) {
	var e planner.Answers
	for i, word := range w.Words {
		for _, a := range fourSteps[i].answers {
			if a.word == word {
				a.take(&e)
			}
		}
	}
	t.mutate("did.answered", d.Name)
	t.note(planner.Entry{Kind: planner.Answered, Dog: d.ID, Text: e.Code()})
	h, decision, posts := t.judge(d)
	head := ""
	switch {
	case decision.Outcome == planner.Suggest && decision.First == "":
		head = msg("four.done")
	case decision.Outcome != planner.Suggest && decision.Outcome != planner.VetLine && decision.Reason != planner.ScaleWait:
		head = msg("four.gone", "dog", d.Name)
	}
	r := t.say(para(head), para(t.decisionText(d, h, decision, posts)))
	t.offerDecision(r, d, h, decision)
	r.offer(t.undoButton())
}

// vetDraft is a vet's visit that is told.
type vetDraft struct {
	Dog string       `json:"dog"`
	Day planner.Date `json:"day,omitzero"`
}

// askVet asks when a vet saw a dog.
func (t *turn) askVet(d *planner.Dog) {
	t.ask("vet", "when", vetDraft{Dog: d.ID})
	t.sayMsg("vet.ask-when", "dog", d.Name).
		offer(t.answer(msg("vet.today"), "when", "today"), t.answer(msg("vet.yesterday"), "when", "yesterday"), t.button(msg("button.stop"), "stop"))
}

// vetDialogue takes when a vet saw a dog, and what was found.
func (t *turn) vetDialogue(in answer) {
	var w vetDraft
	t.draft(&w)
	d := t.dog(w.Dog)
	if d == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	if t.talk.Step == "when" {
		day, until, ok := read.PastSpan(in.value(), t.event.At)
		if !ok || day != until {
			if in.press == "" && t.aside(in.text) {
				return
			}
			t.sayMsg("vet.when-unread", "text", short(in.text)).offer(t.button(msg("button.stop"), "stop"))
			return
		}
		w.Day = day
		t.ask("vet", "found", w)
		t.sayMsg("vet.ask-found").offer(t.answer(msg("vet.nothing"), "found", "nothing"), t.button(msg("button.stop"), "stop"))
		return
	}
	t.endDialogue()
	t.noteVet(d, w.Day, short(in.value()))
}

// noteVet notes that a vet knows of a dog's change of weight, since a day: what
// was weighed before warns no more. Then it says what there is to say now.
func (t *turn) noteVet(d *planner.Dog, day planner.Date, found string) {
	at := t.event.At
	if day != t.date() {
		at = planner.Instant(day, noon, at.Location())
	}
	t.mutate("did.vet-saw", d.Name)
	t.note(planner.Entry{Kind: planner.VetSaw, Dog: d.ID, At: at, Date: day, Text: found})
	h, decision, posts := t.judge(d)
	suggestion := ""
	if decision.Outcome == planner.Suggest {
		suggestion = t.decisionText(d, h, decision, posts)
	}
	out := t.say(para(msg("decide.vet-saw", "dog", d.Name)), para(suggestion))
	if suggestion != "" {
		t.offerDecision(out, d, h, decision)
	}
	out.offer(t.undoButton())
}
