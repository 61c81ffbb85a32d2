package bot

import (
	"errors"
	"math"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// weighing is a weight on its way into the journal.
type weighing struct {
	weight nutrition.Kilograms
	at     time.Time // zero: now
	way    string    // how it was weighed, where that is out of the ordinary
	sure   bool      // asked for already
}

// weighCommand records a weight, or shows what there is of weights.
func (t *turn) weighCommand(rest string) {
	if rest != "" {
		if t.weighWords(rest) || t.bareWeight(rest) || t.sentence(rest) {
			return
		}
		if d := t.dogNamed(rest); d != nil {
			t.showWeights(d)
			return
		}
		t.sayMsg("weigh.unread", "text", short(rest))
		return
	}
	switch len(t.home.Dogs) {
	case 0:
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
	case 1:
		t.showWeights(&t.home.Dogs[0])
	default:
		r := t.sayMsg("who.which")
		for i := range t.home.Dogs {
			r.offer(t.button(t.home.Dogs[i].Name, "weigh", "show", t.home.Dogs[i].ID))
		}
	}
}

// weighWords takes a weigh-in that is back-dated, or made with a person on
// the scale, and reports whether a text was one.
func (t *turn) weighWords(s string) bool {
	if len(t.home.Dogs) == 0 {
		return false
	}
	if word, rest := cutWord(s); strings.EqualFold(word, "weigh") || strings.EqualFold(word, "trend") {
		if d := t.dogNamed(strings.TrimSpace(strings.TrimPrefix(rest, "of "))); d != nil {
			t.showWeights(d)
			return true
		}
	}
	said, ok, err := read.Weighing(s, t.names(), t.home.Units, t.event.At)
	if !ok {
		return false
	}
	if err != nil {
		var p read.Problem
		if errors.As(err, &p) && hasMessage("weigh-wrong."+string(p.Code)) {
			t.sayMsg("weigh-wrong." + string(p.Code))
			return true
		}
		t.say(para(problemOf(err, s)))
		return true
	}
	w := weighing{weight: said.Weight, way: said.Way}
	if !said.Day.IsZero() {
		w.at = planner.Instant(said.Day, noon, t.event.At.Location())
		if w.at.After(t.event.At) { // today, before noon
			w.at = t.event.At
		}
	}
	if d := t.dog(said.Dog); d != nil {
		t.weigh(d, w)
		return true
	}
	t.weighSome(w)
	return true
}

// noon is the time of a weigh-in of which only the day is told.
const noon = planner.Clock(12 * 60)

// weighSome takes a weight for the dog that is meant: the only one, or the
// one that was asked about last. Else it asks which.
func (t *turn) weighSome(w weighing) {
	if len(t.home.Dogs) == 1 {
		t.weigh(&t.home.Dogs[0], w)
		return
	}
	if asked := t.askedToWeigh(); len(asked) == 1 && planner.FitsDog(*asked[0], t.shortHistory(asked[0]), w.weight) {
		t.weigh(asked[0], w)
		return
	}
	r := t.sayMsg("dog.whose-weight", "weight", bodyWeight(w.weight, t.home.Units))
	t.offerDogs(r, w)
}

// offerDogs are buttons of the dogs for a weight, those that it fits first.
func (t *turn) offerDogs(r *Reply, w weighing) {
	for _, fits := range []bool{true, false} {
		for i := range t.home.Dogs {
			d := &t.home.Dogs[i]
			if planner.FitsDog(*d, t.shortHistory(d), w.weight) == fits {
				r.offer(t.weightButton(d.Name, d, w))
			}
		}
	}
}

// weightButton records a weight for a dog without asking again.
func (t *turn) weightButton(label string, d *planner.Dog, w weighing) Button {
	args := []string{d.ID, trim(math.Round(float64(w.weight)*1000), 0)}
	if !w.at.IsZero() {
		args = append(args, w.at.UTC().Format(stampForm))
	}
	return t.button(label, "weight", args...)
}

// pressWeight records the weight for the dog that was chosen.
func (t *turn) pressWeight(args []string) {
	d := t.dog(arg(args, 0))
	g, err := read.Number(arg(args, 1))
	if d == nil || err != nil {
		t.sayMsg("press.gone")
		return
	}
	w := weighing{weight: nutrition.Kilograms(g / 1000), sure: true}
	if at, err := time.Parse(stampForm, arg(args, 2)); err == nil && !at.After(t.event.At) {
		w.at = at
	}
	t.weigh(d, w)
	if len(t.replies) > 0 {
		t.replies[0].InPlace = t.event.Message
	}
}

// askedAgo is how long a question for a weight waits for its answer.
const askedAgo = 36 * time.Hour

// askedToWeigh are the dogs whose weekly question has not been answered.
func (t *turn) askedToWeigh() (dogs []*planner.Dog) {
	from := t.event.At.Add(-askedAgo)
	asked := map[string]time.Time{}
	for _, o := range planner.Agenda(t.home, from, t.event.At) {
		if r := t.reminder(o.Reminder); r != nil && r.Kind == planner.WeighReminder {
			asked[r.Dog] = o.Send
		}
	}
	if len(asked) == 0 {
		return nil
	}
	weighed := map[string]time.Time{}
	for _, e := range t.entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}, From: from}) {
		weighed[e.Dog] = e.At
	}
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		at, ok := asked[d.ID]
		if every, all := asked[""]; all && (!ok || at.Before(every)) {
			at, ok = every, true
		}
		if ok && !weighed[d.ID].After(at) {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

// weigh records a weight, or asks first where it is far from what is
// expected of the dog.
func (t *turn) weigh(d *planner.Dog, w weighing) {
	t.talk.Dog = d.ID
	changed := *d
	changed.Weight = w.weight
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	if !w.sure && t.doubtWeight(d, w) {
		return
	}
	t.recordWeight(d, w)
}

// doubtWeight asks whether a weight is right, and reports that it did.
func (t *turn) doubtWeight(d *planner.Dog, w weighing) bool {
	h := t.shortHistory(d)
	doubt := planner.Unlikely(*d, h, w.weight)
	if !doubt.Unlikely || doubt.Impossible {
		return false
	}
	u := t.home.Units
	before := msg("weigh.expected", "weight", bodyWeight(doubt.Expected, u))
	if n := len(h.Weighings); n > 0 {
		before = msg("weigh.last", "weight", bodyWeight(h.Weighings[n-1].Weight, u), "when", dayText(planner.DateOf(h.Weighings[n-1].At)))
	}
	r := t.sayMsg("weigh.doubt", "weight", bodyWeight(w.weight, u), "dog", d.Name, "before", before)
	try := func(kg nutrition.Kilograms, fits bool) {
		if fits {
			other := w
			other.weight = kg
			r.offer(t.weightButton(msg("button.weight-is", "weight", bothWeights(kg, u)), d, other))
		}
	}
	try(w.weight*nutrition.KilosPerPound, doubt.AsPounds)
	try(w.weight/nutrition.KilosPerPound, doubt.AsKilograms)
	try(w.weight/10, doubt.AsTenth)
	try(w.weight*10, doubt.AsTenfold)
	for i := range t.home.Dogs {
		if o := &t.home.Dogs[i]; o.ID != d.ID && planner.FitsDog(*o, t.shortHistory(o), w.weight) {
			r.offer(t.weightButton(msg("button.for", "dog", o.Name), o, w))
		}
	}
	r.offer(t.weightButton(msg("button.yes-weight"), d, w), t.button(msg("button.keep"), "weigh", "show", d.ID))
	return true
}

// bothWeights is a weight in both units, for a doubt about the unit.
func bothWeights(w nutrition.Kilograms, u planner.Units) string {
	other := planner.Units{Pounds: !u.Pounds}
	return bodyWeight(w, other) + " = " + bodyWeight(w, u)
}

// recordWeight enters a weight and says what it tells.
func (t *turn) recordWeight(d *planner.Dog, w weighing) {
	before, known := t.lastWeighed(d)
	t.mutate("did.weighed", d.Name)
	e := t.note(planner.Entry{Kind: planner.Weighed, Dog: d.ID, Weight: w.weight, At: w.at, Text: w.way})
	was := *d
	if !known || !e.At.Before(before.At) { // of two at one instant the one entered last
		d.Weight, d.Weighed = e.Weight, e.At
	}
	u := t.home.Units
	head := msg("weigh.done", "dog", d.Name, "weight", bodyWeight(w.weight, u))
	if !w.at.IsZero() {
		head = msg("weigh.done-on", "dog", d.Name, "weight", bodyWeight(w.weight, u), "day", dayText(e.Date))
	}
	if known && e.At.After(before.At) {
		head += " " + t.changeText(before, w.weight)
	}
	h, decision, posts := t.judge(d)
	r := t.say(para(head), para(t.jumpText(was, *d)), para(t.kcalAfter(was, *d)), para(t.decisionText(d, h, decision, posts)))
	t.offerDecision(r, d, decision)
	r.offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// kcalAfter says what the new weight makes of the daily kcal, where they are
// worked out from it.
func (t *turn) kcalAfter(was, is planner.Dog) string {
	before, after := planner.NeedOf(was, t.event.At), planner.NeedOf(is, t.event.At)
	if after.ByHand || kcal(before.Kcal) == kcal(after.Kcal) {
		return ""
	}
	return msg("weigh.kcal", "dog", is.Name, "kcal", kcal(after.Kcal), "before", kcal(before.Kcal))
}

// changeText is how far a weight is from the one before.
func (t *turn) changeText(before planner.Entry, w nutrition.Kilograms) string {
	u := t.home.Units
	day := dayText(before.Date)
	switch diff := w - before.Weight; {
	case bodyWeight(w, u) == bodyWeight(before.Weight, u):
		return msg("weigh.same", "day", day)
	case diff > 0:
		return msg("weigh.up", "by", bodyWeight(diff, u), "day", day)
	default:
		return msg("weigh.down", "by", bodyWeight(-diff, u), "day", day)
	}
}

// lastWeighed is the newest weigh-in of a dog.
func (t *turn) lastWeighed(d *planner.Dog) (planner.Entry, bool) {
	all := t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Weighed}, Newest: true, Limit: 1})
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

// newestWeight sets a dog's weight to that of its newest weigh-in.
func (t *turn) newestWeight(d *planner.Dog) {
	if e, ok := t.lastWeighed(d); ok {
		d.Weight, d.Weighed = e.Weight, e.At
	}
}

// noteDog enters into the journal what a carer changed of a dog by hand: its
// weight, its condition, its daily kcal. before may be a dog that is new.
func (t *turn) noteDog(before, after planner.Dog) {
	if after.Weight != before.Weight && after.Weight > 0 {
		t.note(planner.Entry{Kind: planner.Weighed, Dog: after.ID, Weight: after.Weight})
	}
	if after.Condition != before.Condition && after.Condition > 0 {
		t.note(planner.Entry{Kind: planner.Scored, Dog: after.ID, Score: after.Condition})
	}
	if after.Kcal != before.Kcal {
		t.note(planner.Entry{Kind: planner.KcalSet, Dog: after.ID, Kcal: after.Kcal})
	}
}

// trendKinds are the entries that tell of weight and food.
var trendKinds = []planner.EntryKind{planner.Weighed, planner.Scored, planner.KcalSet, planner.Away}
var foodKinds = []planner.EntryKind{planner.Fed, planner.NotFed, planner.Treat}

// foodDays is how far back meals are counted one by one; before that a dog
// counts as fed as planned.
const foodDays = 200

// history is what the journal tells of a dog.
func (t *turn) history(d *planner.Dog) planner.History {
	all := t.entries(store.EntryQuery{Dog: d.ID, Kinds: trendKinds})
	all = append(all, t.entries(store.EntryQuery{Dog: d.ID, Kinds: foodKinds, From: t.event.At.AddDate(0, 0, -foodDays)})...)
	return planner.HistoryOf(*d, all, t.event.At.Location(), t.event.At)
}

// shortHistory is the last weigh-ins alone, to judge a new one by.
func (t *turn) shortHistory(d *planner.Dog) planner.History {
	last := t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Weighed}, Newest: true, Limit: 6})
	return planner.HistoryOf(*d, last, t.event.At.Location(), t.event.At)
}

// judge works out what there is to say about the amount that a dog is fed.
func (t *turn) judge(d *planner.Dog) (planner.History, planner.Decision, []planner.Posterior) {
	h := t.history(d)
	posts := planner.CheckIns(h, planner.PriorOf(*d, h, t.event.At), 2)
	return h, planner.Decide(*d, h, posts, t.event.At), posts
}

// sayWeighDue asks for the weights that are due.
func (t *turn) sayWeighDue(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		var names []string
		for i := range t.home.Dogs {
			if d := &t.home.Dogs[i]; r.Dog == "" || r.Dog == d.ID {
				names = append(names, d.Name)
			}
		}
		if len(names) == 0 {
			continue
		}
		text := msg("weigh.due", "dogs", list(names), "example", t.exampleWeight(r))
		if len(names) > 1 {
			text = msg("weigh.due-all", "dogs", list(names), "example", names[0]+" "+t.exampleWeight(r))
		}
		t.say(para(text), para(t.lateText(o))).offer(t.dueButton(msg("button.later"), "later", o))
	}
}

// exampleWeight is what a carer may type.
func (t *turn) exampleWeight(r *planner.Reminder) string {
	d := t.dog(r.Dog)
	if d == nil {
		d = &t.home.Dogs[0]
	}
	s, _, _ := strings.Cut(bodyWeight(d.Weight, t.home.Units), " ")
	return s
}
