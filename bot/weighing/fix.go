package weighing

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// weighDialogue takes the answer to an open question about weights.
func weighDialogue(t *talk.Turn, w weighDraft, in talk.Answer) {
	d := t.Dog(w.Dog)
	if d == nil {
		t.Gone()
		return
	}
	switch t.Talk.Step {
	case "fix":
		fixWeighing(t, d, w, in)
	case "away":
		takeAway(t, d, w.With, in)
	case "adult":
		takeAdult(t, d, w, in)
	default:
		t.EndDialogue()
		t.SayMsg("press.stale")
	}
}

// fixWeighing takes another weight, another day, or both, for a weigh-in.
func fixWeighing(t *talk.Turn, d *planner.Dog, w weighDraft, in talk.Answer) {
	e, ok := t.Entry(w.Entry)
	if !ok {
		t.Gone()
		return
	}
	if e.Kind == planner.Doubted && (talk.IsYes(in.Text) || talk.IsNo(in.Text)) {
		pressDoubt(t, d, say.Choose(talk.IsYes(in.Text), "right", "wrong"), e.ID)
		return
	}
	said, special, wrong := read.Weighing(in.Value(), t.Names(), t.Home.Units, t.Event.At)
	if from, until, is := read.PastSpan(in.Value(), t.Event.At); said.Weight == 0 && !special && is && from == until {
		said.Day = from
	}
	switch {
	case special && wrong != nil:
		sayWeighWrong(t, wrong, in.Value())
		return
	case said.Weight == 0 && said.Day.IsZero():
		if e.Kind != planner.Doubted { // what is about something else leaves it
			t.EndDialogue()
		}
		if t.Aside(in.Text) || t.Elsewhere(in.Text, func() {}) {
			return
		}
		t.Ask("weigh", "fix", w)
		_, err := span.BodyWeight(in.Value(), t.Home.Units)
		t.Say(say.Para(talk.ProblemOf(err, in.Value()))).Offer(t.Button(msg("button.stop"), "stop"))
		return
	}
	e.Weight = cmp.Or(said.Weight, e.Weight)
	if !said.Day.IsZero() {
		moveTo(t, &e, said.Day)
	}
	correct(t, d, e, e.Weight)
}

// correctWords takes a weight that corrects the one just entered, and reports
// whether a text was one. If the carer has just weighed several dogs, it is for
// the only one that it fits; else it asks.
func correctWords(t *talk.Turn, s string) bool {
	from, to, named := talk.DogsIn(t, s)
	of := t.Dogs()
	if len(named) == 1 { // "sorry, Juniper 19.8, not 19.2"
		s, of = span.JoinFields(s[:from]+" "+s[to:]), named
	}
	kg, ok := read.CorrectedWeight(s, t.Home.Units)
	if !ok {
		return false
	}
	last := t.LastChange()
	var fit, sure []*planner.Dog
	recent := false
	for _, d := range of {
		e, ok := lastEntered(t, d)
		if !ok || e.Person != t.Event.Person || t.Event.At.Sub(e.Entered) > talk.Correctable {
			continue
		}
		may := fits(t, d, kg, e.At)
		if recent = true; may {
			fit = append(fit, d)
		}
		kept := slices.ContainsFunc(last.Added, func(a planner.Entry) bool { return a.ID == e.ID })
		was, _, _ := strings.Cut(say.BodyWeight(e.Weight, t.Home.Units), " ")
		// It was kept last, or it is said that it is about it: "no 18.9 not 18.6".
		if e.Kind == planner.Doubted || may && (read.SaysShe(s) || read.HasName(s, was)) || kept && (may || read.Says("body-unit", s) || strings.HasPrefix(last.Kind, "did.weigh")) {
			sure = append(sure, d)
		}
	}
	if len(fit) == 1 && len(sure) > 0 {
		sure = fit
	}
	switch {
	case !recent:
		return false
	case len(sure) == 1:
		e, _ := lastEntered(t, sure[0])
		correct(t, sure[0], e, kg)
		return true
	case talk.SayAgain(t, s):
		return true
	}
	r := t.SayMsg("weigh.fix-what", "text", say.Short(t.AsTyped()))
	for _, d := range fit {
		e, _ := lastEntered(t, d)
		r.Offer(t.Button(d.Name+" "+say.BodyWeight(kg, t.Home.Units), "weigh", "fix-to", d.ID, e.ID, say.Trim(float64(kg)*1000, 4)))
	}
	if t.Talk.Offer != nil && t.Talk.Offer.By == last.ID {
		r.Offer(t.Button(msg("button.undo-last"), "undo", last.ID))
	}
	return true
}

// pressFix corrects the weight of a weigh-in for the dog that was chosen.
func pressFix(t *talk.Turn, d *planner.Dog, more []string) {
	onWeighIn(func(t *talk.Turn, d *planner.Dog, e planner.Entry) {
		if g, err := span.Number(talk.Arg(more, 1)); !talk.Stale(t, err != nil) {
			correct(t, d, e, nutrition.Kilograms(g/1000))
		}
	})(t, d, more)
}

// correct gives a weigh-in another weight; see keepFix.
func correct(t *talk.Turn, d *planner.Dog, e planner.Entry, kg nutrition.Kilograms) {
	e.Weight = kg
	if !talk.Unfit(t, having(d, kg)) {
		keepFix(t, d, e)
	}
}

// weighOnProfile takes a weight that was typed into the profile: a weigh-in, or
// the right figure for one just entered.
func weighOnProfile(t *talk.Turn, d *planner.Dog, kg nutrition.Kilograms) {
	if e, ok := lastEntered(t, d); ok && e.Person == t.Event.Person && t.Event.At.Sub(e.Entered) <= talk.Correctable {
		correct(t, d, e, kg)
		return
	}
	weigh(t, d, weighed{weight: kg})
}

// moveTo sets the day of a weigh-in.
func moveTo(t *talk.Turn, e *planner.Entry, day planner.Date) {
	e.Date = day
	e.At = planner.Instant(day, say.Noon, t.Event.At.Location())
	if e.At.After(t.Event.At) {
		e.At = t.Event.At
	}
}

// keepFix replaces a weigh-in by the corrected one. A weight far from what the
// dog weighed before waits, as a new one would; the question stays open for a
// yes, a no or another correction.
func keepFix(t *talk.Turn, d *planner.Dog, e planner.Entry) {
	t.EndDialogue()
	was := *d
	before, _ := t.Entry(e.ID)
	counted := weighedOn(t, d, before.At)
	t.Mutate("did.weighing-changed", d.Name)
	h := historyAbout(t, d, e.At, e.ID)
	doubt := judge.Unlikely(*d, h, e.Weight)
	doubted := len(h.Weighings) > 0 && doubt.Unlikely
	e.Kind = planner.Weighed
	if doubted {
		e.Kind = planner.Doubted
	}
	e = t.Note(e)
	if counted == before.Weight && weighedOn(t, d, e.At) != e.Weight && !doubted { // it stands in place of those before it still
		for _, o := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Weighed}, From: before.At.AddDate(0, 0, -1)}) {
			if o.Date == e.Date && o.ID != e.ID && !o.At.After(before.At) {
				t.Unnote(o)
			}
		}
	}
	newestWeight(t, d)
	if doubted {
		askDoubtAgain(t, d)
		t.Ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: e.ID})
		sayDoubt(t, d, e, doubt, "")
		return
	}
	dropDoubtReminder(t, d.ID)
	h, decision, posts := Judge(t, d)
	head := msg("weigh.fixed", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date))
	if counts := weighedOn(t, d, e.At); counts != e.Weight {
		head += " " + msg("weigh.fixed-counts", "counts", say.BodyWeight(counts, t.Home.Units))
	}
	r := t.Say(say.Para(head),
		say.Para(kcalAfter(t, was, *d)), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)))
	offerDecision(t, r, d, h, decision)
	r.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}
