package weighing

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// A weight that is far from what is expected of a dog is entered as doubted: it
// waits, and nothing rests on it until a carer says that it is right or a second
// weighing agrees. Another weighing, or a no, takes it away.

// waiting is the doubted weight of a dog that waits to be confirmed.
func waiting(t *talk.Turn, d *planner.Dog) (planner.Entry, bool) {
	for _, e := range slices.Backward(talk.Trend(t, d)) {
		if e.Kind == planner.Doubted {
			return e, true
		}
	}
	return planner.Entry{}, false
}

// unlikely judges a weight by what the dog weighed about that time.
func unlikely(t *talk.Turn, d *planner.Dog, w weighed) judge.Doubt {
	return judge.Unlikely(*d, historyAbout(t, d, w.at), w.weight)
}

// doubtWeight lets a weight wait, in the place of one that waited, and asks
// whether it is right. A second weighing that agrees with the one that waits
// confirms both.
func doubtWeight(t *talk.Turn, d *planner.Dog, w weighed, doubt judge.Doubt) {
	before, waits := waiting(t, d)
	if h := historyAbout(t, d, w.at); waits && doubt.Stands() && (judge.Agrees(w.weight, before.Weight, h.Step) || goesOn(t, w, before, h)) {
		w.doubt = doubt
		recordWeight(t, d, w)
		return
	}
	t.Mutate("did.weighed", d.Name)
	instead := ""
	if waits {
		t.Unnote(before)
		instead = insteadText(t, before)
	}
	e := t.Note(planner.Entry{Kind: planner.Doubted, Dog: d.ID, Weight: w.weight, At: w.at, Text: w.way})
	askDoubtAgain(t, d)
	sayDoubt(t, d, e, doubt, instead)
	// A typed yes is about one question: where there are several, the buttons tell
	// which. A dialogue that can be gone on with waits for it.
	switch {
	case len(t.Replies) == 1 && (t.Talk.Kind == "" || talk.Resumes(t, t.Talk.Kind)):
		t.Ask("sure", "yes", talk.SureDraft{Verb: "weigh", Args: []string{"right", d.ID, e.ID}, No: []string{"wrong", d.ID, e.ID}})
	case t.Talk.Kind == "sure":
		t.EndDialogue()
	}
}

// mostOn is by how much a doubted weight may be off one that was doubted before it and
// yet go on the same way, as a fraction (our own choice).
const mostOn = 0.15

// goesOn reports that a doubted weight lies on the same side of the last that counts as
// one that was doubted on another day, and not far from that: no slip of a finger does
// so twice, but a dog that falls fast does.
func goesOn(t *talk.Turn, w weighed, before planner.Entry, h judge.History) bool {
	if len(h.Weighings) == 0 || t.DateAt(cmp.Or(w.at, t.Event.At)) == before.Date {
		return false
	}
	last := h.Weighings[len(h.Weighings)-1].Weight
	return (before.Weight < last) == (w.weight < last) && math.Abs(float64(w.weight/before.Weight)-1) <= mostOn
}

// askDoubtAgain has a doubted weight asked about on the next day.
func askDoubtAgain(t *talk.Turn, d *planner.Dog) {
	dropDoubtReminder(t, d.ID)
	talk.AddReminder(t, planner.Reminder{Kind: planner.DoubtReminder, Dog: d.ID,
		Schedule: planner.Schedule{Once: true, Anchor: t.Date().AddDays(1), Times: []planner.Clock{planner.ClockOf(t.Event.At)}}})
}

func dropDoubtReminder(t *talk.Turn, dog string) {
	talk.DropReminders(t, planner.DoubtReminder, dog)
}

// sayDoubt says what waits, in the place of what, what it would mean, and what
// else it may be.
func sayDoubt(t *talk.Turn, d *planner.Dog, e planner.Entry, doubt judge.Doubt, instead string) {
	u := t.Home.Units
	before := msg("weigh.expected", "weight", say.BodyWeight(doubt.Expected, u))
	h := historyAbout(t, d, e.At)
	if len(h.Weighings) > 0 {
		last := h.Weighings[len(h.Weighings)-1]
		before = msg("weigh.last", "weight", say.BodyWeight(last.Weight, u), "when", talk.DayOf(t, planner.DateOf(last.At)))
	}
	figure := say.Choose(doubt.AsKilograms && !u.Pounds, bothWeights(e.Weight, u), say.BodyWeight(e.Weight, u))
	r := t.Say(say.Para(msg("weigh.doubt", "weight", figure, "dog", d.Name, "before", before)), say.Whole(doubtMeans(t, d, e, doubt)), say.Para(instead))
	offerSlips(t, r, d, e, doubt)
}

// offerSlips offers what a doubted weight may be instead, in the other unit, with the
// point elsewhere or of another dog, and to say that it is right, or that it is not.
func offerSlips(t *talk.Turn, r *say.Reply, d *planner.Dog, e planner.Entry, doubt judge.Doubt) {
	u := t.Home.Units
	try := func(kg nutrition.Kilograms, fits bool, label string) {
		if fits {
			r.Offer(t.Button(label, "weigh", "meant", d.ID, e.ID, say.Trim(float64(kg)*1000, 4)))
		}
	}
	try(e.Weight*nutrition.KilosPerPound, doubt.AsPounds, bothWeights(e.Weight*nutrition.KilosPerPound, u))
	asKilos := e.Weight / nutrition.KilosPerPound
	try(asKilos, doubt.AsKilograms, say.Choose(u.Pounds, bothWeights(asKilos, u), say.BodyWeight(asKilos, u)))
	try(e.Weight/10, doubt.AsTenth, say.BodyWeight(e.Weight/10, u))
	try(e.Weight*10, doubt.AsTenfold, say.BodyWeight(e.Weight*10, u))
	for _, o := range fitting(t, d, e) {
		r.Offer(t.Button(msg("button.for", "dog", o.Name), "weigh", "of-other", o.ID, e.ID))
	}
	r.Offer(t.Button(msg("button.yes-weight"), "weigh", "right", d.ID, e.ID), t.Button(msg("button.no-weight"), "weigh", "wrong", d.ID, e.ID))
}

// fitting are the other dogs that a doubted weight may be of.
func fitting(t *talk.Turn, d *planner.Dog, e planner.Entry) []*planner.Dog {
	return slices.DeleteFunc(t.Dogs(), func(o *planner.Dog) bool { return o.ID == d.ID || !fits(t, o, e.Weight, e.At) })
}

// wrongDog is the change, in %, from which a weight that fits another dog is
// taken for that one's (our own choice).
const wrongDog = 25

// doubtMeans says what a doubted weight would mean if it were right. Where it is
// more likely a slip, the buttons say so.
func doubtMeans(t *talk.Turn, d *planner.Dog, e planner.Entry, doubt judge.Doubt) string {
	if doubt.AsPounds || doubt.AsKilograms || doubt.AsTenth || doubt.AsTenfold || math.Abs(doubt.Off) > wrongDog && len(fitting(t, d, e)) > 0 {
		return ""
	}
	change := doubtChange(t, d, e, doubt.Off)
	return msg(say.Choose(change != "", "weigh.doubt-vet", "weigh.doubt-again"), "change", change)
}

// doubtSpan is how many days of weigh-ins a doubted weight is held against, and
// doubtMost what part of its change one of them must show (our own choice).
const doubtSpan, doubtMost = 31, 0.75

// doubtChange is the change that a doubted weight would be, where that is one for
// a vet: "12 % less in a week". A growing or pregnant dog may gain, and one that was
// growing when it was weighed last. It is told from the newest weigh-in of late
// that shows most of it.
func doubtChange(t *talk.Turn, d *planner.Dog, e planner.Entry, off float64) string {
	gain, days, grew := off > 0, 0, dogs.Growing(t, d)
	h := historyAbout(t, d, e.At, e.ID)
	for i, w := range slices.Backward(h.Weighings) {
		since := planner.DateOf(w.At).DaysTo(t.DateAt(e.At))
		if i < len(h.Weighings)-1 && since > doubtSpan {
			break
		}
		grew, days = grew || planner.Growing(*d, w.At), since
		if change := 100 * (float64(e.Weight/w.Weight) - 1); change/off >= doubtMost {
			off = change
			break
		}
	}
	expected := gain && (grew || d.Stage != "")
	return say.Where(!expected, msg(say.Choose(gain, "weigh.doubt-more", "weigh.doubt-less"), "percent", say.Percent(math.Abs(off)/100), "time", timeText(days)))
}

// rightText is the vet line of a weight that was doubted and is right.
func rightText(t *talk.Turn, d *planner.Dog, w weighed) string {
	change := doubtChange(t, d, planner.Entry{At: cmp.Or(w.at, t.Event.At), ID: w.entry.ID, Weight: w.weight}, w.doubt.Off)
	return say.Where(w.doubt.Unlikely && change != "", msg("weigh.right-vet", "change", change))
}

// againText is what a weigh-in that must be made again would mean if it is right.
func againText(t *talk.Turn, d *planner.Dog, r judge.Decision) string {
	e, ok := lastWeighed(t, d)
	if r.Change == 0 || !ok {
		return ""
	}
	change := doubtChange(t, d, e, r.Change)
	return msg(say.Choose(change != "", "weigh.again-vet", "weigh.doubt-again"), "weight", say.BodyWeight(e.Weight, t.Home.Units), "change", change)
}

// offerAgreed offers to say that such a weigh-in is right, or to take it out.
func offerAgreed(t *talk.Turn, r *say.Reply, d *planner.Dog, decision judge.Decision) {
	if _, waits := waiting(t, d); waits || dogs.Growing(t, d) {
		return // that one is settled first, and growth is judged by its band
	}
	if e, ok := lastWeighed(t, d); ok && decision.Change != 0 {
		r.Offer(rightButton(t, d, e), t.Button(msg("button.leave-out"), "weigh", "delete", d.ID, e.ID))
	}
}

// agree takes a weigh-in that was to be made again for right.
func agree(t *talk.Turn, d *planner.Dog, e planner.Entry) {
	_, decision, _ := Judge(t, d)
	t.Mutate("did.weighed", d.Name)
	e.Sure = true
	e = t.Note(e)
	change := rightText(t, d, weighed{weight: e.Weight, at: e.At, entry: e, doubt: judge.Doubt{Unlikely: decision.Change != 0, Off: decision.Change}})
	r := t.Say(say.Para(msg("weigh.agreed", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units))), say.Whole(change))
	if change != "" {
		r.Offer(t.Button(msg("button.vet-saw"), "weigh", "vet", d.ID))
	}
	t.InPlace(r.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID)))
}

// timeText is a number of days as people say it: "a week", "three weeks".
func timeText(days int) string {
	switch {
	case days <= 1:
		return msg("weigh.doubt-day")
	case days == 7:
		return msg("weigh.doubt-week")
	case days < 14:
		return msg("weigh.doubt-days", "n", days)
	}
	return msg("weigh.doubt-weeks", "n", int(math.Round(float64(days)/7)))
}

// pressDoubt does what a button under a doubted weight asks, whoever presses it.
func pressDoubt(t *talk.Turn, d *planner.Dog, action string, more ...string) {
	e, ok := t.Entry(talk.Arg(more, 0))
	switch {
	case ok && e.Kind == planner.Weighed && !e.Sure && action == "right":
		agree(t, d, e)
		return
	case ok && e.Kind == planner.Weighed:
		t.InPlace(t.SayMsg("weigh.doubt-settled", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units)))
		return
	case !ok || e.Kind != planner.Doubted:
		t.SayMsg("press.gone")
		return
	}
	if t.Talk.Kind == "sure" || t.Talk.Kind == "weigh" {
		t.EndDialogue()
	}
	w := weighed{entry: e, weight: e.Weight, at: e.At, way: e.Text}
	switch action {
	case "wrong":
		t.Mutate("did.weighing-deleted", d.Name)
		t.Unnote(e)
		dropDoubtReminder(t, e.Dog)
		t.SayMsg("weigh.doubt-dropped", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units)).Offer(t.UndoButton())
	case "meant":
		g, err := span.Number(talk.Arg(more, 1))
		w.weight = nutrition.Kilograms(g / 1000)
		if talk.Stale(t, err != nil || !possible(t, d, w.weight)) {
			return
		}
		recordWeight(t, d, w)
	default: // right, of-other
		t.Mutate("did.weighed", d.Name)
		dropDoubtReminder(t, e.Dog)
		w.doubt = unlikely(t, d, w)
		recordWeight(t, d, w)
	}
	if len(t.Replies) > 0 {
		t.InPlace(&t.Replies[0])
	}
}

// weighedAgain takes a weight that answers "weigh again".
func weighedAgain(t *talk.Turn, dog, typed string) bool {
	d := t.Dog(dog)
	kg, err := span.BodyWeight(typed, t.Home.Units)
	if d == nil || err != nil {
		return false
	}
	weigh(t, d, weighed{weight: kg})
	return true
}

// againstWaiting makes of the weight that waits what a new weighing shows: one
// that agrees confirms it, another takes its place. It says which.
func againstWaiting(t *talk.Turn, d *planner.Dog, e planner.Entry, step nutrition.Kilograms) string {
	old, waits := waiting(t, d)
	if !waits {
		dropDoubtReminder(t, d.ID)
		return ""
	}
	if e.Date.Before(old.Date) {
		return ""
	}
	dropDoubtReminder(t, d.ID)
	sameDay := old.Date == e.Date && judge.SameDay(old.Weight, e.Weight, step)
	agrees := judge.Agrees(e.Weight, old.Weight, step)
	if old.Date == e.Date && !sameDay || !agrees && !(e.Sure && old.Date != e.Date) {
		t.Unnote(old)
		return insteadText(t, old)
	}
	old.Kind, old.Sure = planner.Weighed, true
	t.Note(old)
	if sameDay {
		return "" // what counts that day is said
	}
	return msg(say.Choose(agrees, "weigh.doubt-agrees", "weigh.doubt-goes-on"), "weight", say.BodyWeight(old.Weight, t.Home.Units), "day", talk.DayOf(t, old.Date))
}

// insteadText says that a weight that waited is left out.
func insteadText(t *talk.Turn, old planner.Entry) string {
	return msg("weigh.doubt-instead", "weight", say.BodyWeight(old.Weight, t.Home.Units), "day", talk.DayOf(t, old.Date))
}

func rightButton(t *talk.Turn, d *planner.Dog, e planner.Entry) say.Button {
	return t.Button(msg("button.is-right", "weight", say.BodyWeight(e.Weight, t.Home.Units)), "weigh", "right", d.ID, e.ID)
}

// sayDoubtDue asks again about a doubted weight.
func sayDoubtDue(t *talk.Turn, r *planner.Reminder, _ planner.Occurrence) {
	d := t.Dog(r.Dog)
	if d == nil {
		return
	}
	e, ok := waiting(t, d)
	if !ok {
		return
	}
	doubt := unlikely(t, d, weighed{weight: e.Weight, at: e.At})
	out := t.Say(say.Para(msg("weigh.doubt-due", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date))),
		say.Para(doubtMeans(t, d, e, doubt)))
	offerSlips(t, out, d, e, doubt)
}

// weighOrYears records a weight, unless the number, without a unit, is no likely weight of the
// dog but its age; where it may be both it asks.
func weighOrYears(t *talk.Turn, d *planner.Dog, w weighed, s string) bool {
	n := inUnits(t, w.weight)
	years, known := d.AgeAt(t.Event.At)
	mayBe := !read.Says("weight", s) && !strings.ContainsAny(s, ".,") && n <= planner.OldestDog && (!known || math.Abs(n-years) < nearAge)
	likely := fits(t, d, w.weight, w.at)
	switch {
	case mayBe && !likely:
		return dogs.DogFacts(t, d.Name+" is "+say.Trim(n, 0)+" years")
	case mayBe && read.Says("is-number", s):
		sayOrYears(t, d, w.weight)
	default:
		weigh(t, d, w)
	}
	return true
}

// nearAge is how many years an age that is told may be off the one that is kept (our own
// choice).
const nearAge = 2

// inUnits is a weight in the household's units.
func inUnits(t *talk.Turn, w nutrition.Kilograms) float64 {
	return say.Choose(t.Home.Units.Pounds, float64(w/nutrition.KilosPerPound), float64(w))
}

func sayOrYears(t *talk.Turn, d *planner.Dog, w nutrition.Kilograms) {
	t.SayMsg("weigh.or-years", "dog", d.Name, "n", say.Trim(inUnits(t, w), 1), "weight", say.BodyWeight(w, t.Home.Units))
}

// mayBeYears reports that what reads as the weights of several dogs may be their
// ages: whole numbers without a unit, of which one is no likely weight ("fern is 6 and
// dot is 9").
func mayBeYears(t *talk.Turn, s string, all []read.WeighingSaid) bool {
	if read.Says("weight", s) || slices.ContainsFunc(all, func(w read.WeighingSaid) bool {
		return w.Weight > planner.OldestDog || w.Weight != nutrition.Kilograms(int(w.Weight))
	}) {
		return false
	}
	return slices.ContainsFunc(all, func(w read.WeighingSaid) bool {
		d := t.Dog(w.Dog)
		return unlikely(t, d, weighingOf(t, w)).Unlikely
	})
}
