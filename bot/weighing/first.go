package weighing

import (
	"cmp"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
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

// noteVet notes since when a vet knows of a dog's change of weight, today where no other
// day is told: earlier weigh-ins give no more warnings. Then it says what there is to
// say now.
func noteVet(t *talk.Turn, d *planner.Dog, found string) {
	day, _, named := read.DayAsked(read.Without("well-since", found), t.Event.At)
	if !named || t.Date().Before(day) {
		day = t.Date()
	}
	at := say.Choose(day == t.Date(), t.Event.At, planner.Instant(day, say.Noon, t.Event.At.Location()))
	t.Mutate("did.vet-saw", d.Name)
	t.Note(planner.Entry{Kind: planner.VetSaw, Dog: d.ID, At: at, Date: day, Text: found})
	h, decision, posts := Judge(t, d)
	suggestion := ""
	if decision.Outcome == judge.Suggest {
		suggestion = say.JoinParas(warningFirst(t, d, h, decision, posts), otherThanWarning(t, d, h, decision, posts))
	}
	out := t.Say(say.Whole(msg("decide.vet-saw", "dog", d.Name)), say.Whole(dogs.SignHolds(t, d)), say.Para(say.Where(found == "", msg("vet.found"))), say.Para(suggestion))
	if suggestion != "" {
		offerDecision(t, out, d, h, decision)
	}
	out.Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	if diet := vetDiet(t, d, found); diet != "" {
		t.As(d.Name+" gets only "+diet, func() bool {
			t.GoTo(read.Sentence{Intent: read.EatsOther, Dog: d.ID})
			return true
		})
	}
}

// vetDiet is the plain food for some days that a vet has ordered for a dog, by what is told
// now or was told of it in the last days: "then bland chicken and rice 2 days".
func vetDiet(t *talk.Turn, d *planner.Dog, told string) string {
	diet := read.Find("vet-diet", told)
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -3)}) {
		if read.Says("names-vet", e.Text) {
			diet = cmp.Or(diet, read.Find("vet-diet", e.Text))
		}
	}
	return diet
}
