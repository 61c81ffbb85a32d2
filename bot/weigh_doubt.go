package bot

import (
	"math"
	"slices"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// A weight that is far from what is expected of a dog is entered as doubted: it
// waits, and nothing rests on it until a carer says that it is right or a second
// weighing agrees. Another weighing, or a no, takes it away.

// waiting is the doubted weight of a dog that waits to be confirmed.
func (t *turn) waiting(d *planner.Dog) (planner.Entry, bool) {
	for _, e := range slices.Backward(t.trend(d)) {
		if e.Kind == planner.Doubted {
			return e, true
		}
	}
	return planner.Entry{}, false
}

// unlikely judges a weight by what the dog weighed about that time.
func (t *turn) unlikely(d *planner.Dog, w weighing) planner.Doubt {
	return planner.Unlikely(*d, t.historyAbout(d, w.at), w.weight)
}

// doubtWeight lets a weight wait, in the place of one that waited, and asks
// whether it is right. A second weighing that agrees with the one that waits
// confirms both.
func (t *turn) doubtWeight(d *planner.Dog, w weighing, doubt planner.Doubt) {
	before, waits := t.waiting(d)
	if waits && planner.Agrees(w.weight, before.Weight, t.historyAbout(d, w.at).Step) {
		w.doubt = doubt
		t.recordWeight(d, w)
		return
	}
	t.mutate("did.weighed", d.Name)
	if waits {
		t.unnote(before)
	}
	e := t.note(planner.Entry{Kind: planner.Doubted, Dog: d.ID, Weight: w.weight, At: w.at, Text: w.way})
	t.askDoubtAgain(d)
	t.sayDoubt(d, e, doubt)
	// A typed yes is about one question: where there are several, or another is
	// open, the buttons tell which.
	switch {
	case len(t.replies) == 1 && t.talk.Kind == "":
		t.ask("sure", "yes", sureDraft{Verb: "weigh", Args: []string{"right", d.ID, e.ID}, No: []string{"wrong", d.ID, e.ID}})
	case t.talk.Kind == "sure":
		t.endDialogue()
	}
}

// askDoubtAgain has a doubted weight asked about on the next day.
func (t *turn) askDoubtAgain(d *planner.Dog) {
	t.dropDoubtReminder(d.ID)
	t.home.Reminders = append(t.home.Reminders, planner.Reminder{ID: t.newID("n"), Kind: planner.DoubtReminder, Dog: d.ID, Since: t.event.At.UTC(),
		Schedule: planner.Schedule{Once: true, Anchor: t.date().AddDays(1), Times: []planner.Clock{planner.ClockOf(t.event.At)}}})
}

func (t *turn) dropDoubtReminder(dog string) {
	t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool {
		return r.Kind == planner.DoubtReminder && r.Dog == dog
	})
}

// sayDoubt says what waits, what it would mean, and what else it may be.
func (t *turn) sayDoubt(d *planner.Dog, e planner.Entry, doubt planner.Doubt) *Reply {
	u := t.home.Units
	before := msg("weigh.expected", "weight", bodyWeight(doubt.Expected, u))
	h := t.historyAbout(d, e.At)
	if len(h.Weighings) > 0 {
		last := h.Weighings[len(h.Weighings)-1]
		before = msg("weigh.last", "weight", bodyWeight(last.Weight, u), "when", t.dayOf(planner.DateOf(last.At)))
	}
	figure := bodyWeight(e.Weight, u)
	if doubt.AsKilograms && !u.Pounds {
		figure = bothWeights(e.Weight, u)
	}
	r := t.say(para(msg("weigh.doubt", "weight", figure, "dog", d.Name, "before", before)), para(t.doubtMeans(d, e, doubt)))
	t.offerSlips(r, d, e, doubt)
	r.offer(t.doubtButtons(d, e)...)
	return r
}

// doubtButtons say that a weight is right, or that it is not.
func (t *turn) doubtButtons(d *planner.Dog, e planner.Entry) []Button {
	return []Button{t.button(msg("button.yes-weight"), "weigh", "right", d.ID, e.ID), t.button(msg("button.no-weight"), "weigh", "wrong", d.ID, e.ID)}
}

// offerSlips offers what a doubted weight may be instead: in the other unit, with
// the point elsewhere, of another dog.
func (t *turn) offerSlips(r *Reply, d *planner.Dog, e planner.Entry, doubt planner.Doubt) {
	u := t.home.Units
	try := func(kg nutrition.Kilograms, fits bool, label string) {
		if fits {
			r.offer(t.button(label, "weigh", "meant", d.ID, e.ID, trim(float64(kg)*1000, 4)))
		}
	}
	try(e.Weight*nutrition.KilosPerPound, doubt.AsPounds, bothWeights(e.Weight*nutrition.KilosPerPound, u))
	asKilos := bodyWeight(e.Weight/nutrition.KilosPerPound, u)
	if u.Pounds {
		asKilos = bothWeights(e.Weight/nutrition.KilosPerPound, u)
	}
	try(e.Weight/nutrition.KilosPerPound, doubt.AsKilograms, asKilos)
	try(e.Weight/10, doubt.AsTenth, bodyWeight(e.Weight/10, u))
	try(e.Weight*10, doubt.AsTenfold, bodyWeight(e.Weight*10, u))
	for _, o := range t.fitting(d, e) {
		r.offer(t.button(msg("button.for", "dog", o.Name), "weigh", "of-other", o.ID, e.ID))
	}
}

// fitting are the other dogs that a doubted weight may be of.
func (t *turn) fitting(d *planner.Dog, e planner.Entry) (out []*planner.Dog) {
	for i := range t.home.Dogs {
		if o := &t.home.Dogs[i]; o.ID != d.ID && planner.FitsDog(*o, t.historyAbout(o, e.At), e.Weight) {
			out = append(out, o)
		}
	}
	return out
}

// doubtMeans says what a doubted weight would mean if it were right. Where it is
// more likely a slip, the buttons say so.
func (t *turn) doubtMeans(d *planner.Dog, e planner.Entry, doubt planner.Doubt) string {
	if doubt.AsPounds || doubt.AsKilograms || doubt.AsTenth || doubt.AsTenfold || len(t.fitting(d, e)) > 0 {
		return ""
	}
	if change := t.doubtChange(d, e, doubt); change != "" {
		return msg("weigh.doubt-vet", "change", change)
	}
	return msg("weigh.doubt-again")
}

// doubtChange is the change that a doubted weight would be, where that is one for
// a vet: "12 % less in a week". A growing or pregnant dog may gain.
func (t *turn) doubtChange(d *planner.Dog, e planner.Entry, doubt planner.Doubt) string {
	gain := doubt.Off > 0
	if gain && (t.growing(d) || d.Stage != "") {
		return ""
	}
	days := 0
	if h := t.historyBut(d, e.At, e.ID); len(h.Weighings) > 0 {
		days = planner.DateOf(h.Weighings[len(h.Weighings)-1].At).DaysTo(planner.DateOf(e.At.In(t.event.At.Location())))
	}
	by := percent(math.Abs(doubt.Off) / 100)
	if gain {
		return msg("weigh.doubt-more", "percent", by, "time", timeText(days))
	}
	return msg("weigh.doubt-less", "percent", by, "time", timeText(days))
}

// rightText is the vet line of a weight that was doubted and is right.
func (t *turn) rightText(d *planner.Dog, w weighing) string {
	at := w.at
	if at.IsZero() {
		at = t.event.At
	}
	if change := t.doubtChange(d, planner.Entry{At: at, ID: w.entry.ID}, w.doubt); w.doubt.Unlikely && change != "" {
		return msg("weigh.right-vet", "change", change)
	}
	return ""
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
func (t *turn) pressDoubt(d *planner.Dog, action string, args []string) {
	e, ok := t.entry(arg(args, 2))
	if ok && e.Kind == planner.Weighed {
		t.inPlace(t.sayMsg("weigh.doubt-settled", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units)))
		return
	}
	if !ok || e.Kind != planner.Doubted {
		t.sayMsg("press.gone")
		return
	}
	if t.talk.Kind == "sure" || t.talk.Kind == "weigh" {
		t.endDialogue()
	}
	w := weighing{entry: e, weight: e.Weight, at: e.At, way: e.Text}
	switch action {
	case "wrong":
		t.dropDoubted(d, e)
	case "meant":
		g, err := read.Number(arg(args, 3))
		w.weight = nutrition.Kilograms(g / 1000)
		if err != nil || !t.possible(d, w) {
			t.sayMsg("press.stale")
			return
		}
		t.recordWeight(d, w)
	default: // right, of-other
		t.mutate("did.weighed", d.Name)
		t.dropDoubtReminder(e.Dog)
		w.doubt = t.unlikely(d, w)
		t.recordWeight(d, w)
	}
	if len(t.replies) > 0 {
		t.inPlace(&t.replies[0])
	}
}

// dropDoubted takes a weight away that was wrong.
func (t *turn) dropDoubted(d *planner.Dog, e planner.Entry) {
	t.mutate("did.weighing-deleted", d.Name)
	t.unnote(e)
	t.dropDoubtReminder(e.Dog)
	t.sayMsg("weigh.doubt-dropped", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units)).offer(t.undoButton())
}

// weighedAgain takes a weight that answers "weigh again".
func (t *turn) weighedAgain(dog, typed string) bool {
	d := t.dog(dog)
	kg, err := read.BodyWeight(typed, t.home.Units)
	if d == nil || err != nil {
		return false
	}
	t.weigh(d, weighing{weight: kg})
	return true
}

// settleWaiting makes of the weight that waits what a new weighing shows: one
// that agrees confirms it, another takes its place. It says which.
func (t *turn) settleWaiting(d *planner.Dog, e planner.Entry, step nutrition.Kilograms) string {
	old, waits := t.waiting(d)
	if !waits {
		t.dropDoubtReminder(d.ID)
		return ""
	}
	if e.Date.Before(old.Date) {
		return ""
	}
	t.dropDoubtReminder(d.ID)
	weight := bodyWeight(old.Weight, t.home.Units)
	sameDay := old.Date == e.Date && planner.SameDay(old.Weight, e.Weight, step)
	if old.Date == e.Date && !sameDay || !planner.Agrees(e.Weight, old.Weight, step) {
		t.unnote(old)
		return msg("weigh.doubt-instead", "weight", weight, "day", t.dayOf(old.Date))
	}
	old.Kind, old.Sure = planner.Weighed, true
	t.note(old)
	if sameDay {
		return "" // what counts that day is said
	}
	return msg("weigh.doubt-agrees", "weight", weight, "day", t.dayOf(old.Date))
}

// waitingText says that a weight waits, and nothing where none does.
func (t *turn) waitingText(d *planner.Dog) string {
	e, ok := t.waiting(d)
	if !ok {
		return ""
	}
	return msg("weigh.waits", "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date), "name", t.nameOf(e.Person))
}

// offerWaiting offers to settle what waits.
func (t *turn) offerWaiting(r *Reply, d *planner.Dog) {
	if e, ok := t.waiting(d); ok {
		r.offer(t.button(msg("button.is-right", "weight", bodyWeight(e.Weight, t.home.Units)), "weigh", "right", d.ID, e.ID),
			t.button(msg("button.leave-out"), "weigh", "wrong", d.ID, e.ID))
	}
}

// sayDoubtDue asks again about doubted weights.
func (t *turn) sayDoubtDue(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		d := t.dog(r.Dog)
		if d == nil {
			continue
		}
		e, ok := t.waiting(d)
		if !ok {
			continue
		}
		doubt := t.unlikely(d, weighing{weight: e.Weight, at: e.At})
		out := t.say(para(msg("weigh.doubt-due", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date))),
			para(t.doubtMeans(d, e, doubt)))
		t.offerSlips(out, d, e, doubt)
		out.offer(t.doubtButtons(d, e)...)
	}
}
