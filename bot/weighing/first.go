package weighing

import (
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
	"bowlwright/planner/judge"
)

// fourQuestions come before a dog is fed more.
func fourQuestions() *choices {
	c := &choices{kind: "four", done: noteFour}
	c.choose("bowl", "yes", "no")
	c.choose("signs", "no", "yes")
	c.choose("hungry", "no", "yes")
	c.choose("reason", "work", "season", "scale", "none")
	return c
}

// fourReasons are why a dog may need more, by the word of the answer.
var fourReasons = map[string]planner.NeedCause{"work": planner.MoreWork, "season": planner.Season, "scale": planner.NewScale}

// noteFour enters the four answers, and says what they make of the suggestion.
func noteFour(t *talk.Turn, d *planner.Dog, words []string) {
	e := judge.Answers{Leaves: words[0] == "no", Signs: words[1] == "yes", Starving: words[2] == "yes", Reason: fourReasons[words[3]]}
	t.Mutate("did.answered", d.Name)
	_, before, _ := Judge(t, d)
	t.Note(planner.Entry{Kind: planner.Answered, Dog: d.ID, Text: e.Code()})
	h, decision, posts := Judge(t, d)
	head := ""
	switch {
	case decision.Outcome == judge.Suggest && decision.First == "":
		head = msg("four.done")
	case decision.Outcome == judge.Suggest, decision.Outcome == judge.VetLine, decision.Reason == judge.ScaleWait:
	case before.Outcome == judge.Suggest:
		head = msg("four.gone", "dog", d.Name)
	default: // they were asked before there was one
		head = msg("four.noted")
	}
	r := t.Say(say.Para(head), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)))
	offerDecision(t, r, d, h, decision)
	r.Offer(t.UndoButton())
}

// vetDraft is a vet's visit that is told.
type vetDraft struct {
	Dog string       `json:"dog"`
	Day planner.Date `json:"day,omitzero"`
}

// vetSaw takes that a vet has seen a dog: with what was told of it, else it asks.
func vetSaw(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	if s.Words == "" {
		askVet(t, d)
		return
	}
	day, _, named := read.DayAsked(read.Without("well-since", s.Words), t.Event.At)
	if !named || t.Date().Before(day) {
		day = t.Date()
	}
	noteVet(t, d, day, s.Words)
}

// askVet asks when a vet saw a dog.
func askVet(t *talk.Turn, d *planner.Dog) {
	t.Ask("vet", "when", vetDraft{Dog: d.ID})
	t.SayMsg("vet.ask-when", "dog", d.Name).
		Offer(t.Answer(msg("vet.today"), "when", "today"), t.Answer(msg("vet.yesterday"), "when", "yesterday"), t.Button(msg("button.stop"), "stop"))
}

// vetDialogue takes when a vet saw a dog, and what was found.
func vetDialogue(t *talk.Turn, w vetDraft, in talk.Answer) {
	d := t.Dog(w.Dog)
	if d == nil {
		t.Gone()
		return
	}
	if t.Talk.Step == "when" {
		day, until, ok := read.PastSpan(in.Value(), t.Event.At)
		if !ok || day != until {
			if in.Press == "" && t.Aside(in.Text) {
				return
			}
			t.SayMsg("vet.when-unread", "text", say.Short(in.Text)).Offer(t.Button(msg("button.stop"), "stop"))
			return
		}
		w.Day = day
		askFound(t, w)
		return
	}
	if saysElse(t, in) {
		t.Again(func() { askFound(t, w) })
		return
	}
	t.EndDialogue()
	noteVet(t, d, w.Day, say.Short(in.Value()))
}

// askVetAgain asks what is open of a vet's visit.
func askVetAgain(t *talk.Turn, w vetDraft) {
	if d := t.Dog(w.Dog); d != nil && t.Talk.Step == "when" {
		askVet(t, d)
		return
	}
	askFound(t, w)
}

func askFound(t *talk.Turn, w vetDraft) {
	t.Ask("vet", "found", w)
	t.SayMsg("vet.ask-found").Offer(t.Answer(msg("vet.nothing"), "found", "nothing"), t.Button(msg("button.stop"), "stop"))
}

// saysElse answers what is clearly not what a vet found: "the pot weighed 2 kg". An
// illness or a sign is.
func saysElse(t *talk.Turn, in talk.Answer) bool {
	if in.Press != "" || len(illness.In(in.Text)) > 0 || t.Alarm(in.Text).Signs {
		return false
	}
	fed := talk.Likeliest(t, in.Text).Intent == "fed.log" // "fed both"
	return fed && t.Aside(in.Text) || talk.Interrupted(t, in)
}

// noteVet notes the day since which a vet knows of a dog's change of weight:
// earlier weigh-ins give no more warnings. Then it says what there is to say
// now.
func noteVet(t *talk.Turn, d *planner.Dog, day planner.Date, found string) {
	at := say.Choose(day == t.Date(), t.Event.At, planner.Instant(day, say.Noon, t.Event.At.Location()))
	t.Mutate("did.vet-saw", d.Name)
	t.Note(planner.Entry{Kind: planner.VetSaw, Dog: d.ID, At: at, Date: day, Text: found})
	h, decision, posts := Judge(t, d)
	suggestion := ""
	if decision.Outcome == judge.Suggest {
		suggestion = say.JoinParas(warningFirst(t, d, h, decision, posts), otherThanWarning(t, d, h, decision, posts))
	}
	out := t.Say(say.Whole(msg("decide.vet-saw", "dog", d.Name)), say.Whole(dogs.SignHolds(t, d)), say.Para(suggestion))
	if suggestion != "" {
		offerDecision(t, out, d, h, decision)
	}
	out.Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
}
