package bot

import (
	"errors"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// weighing is a weight on its way into the journal.
type weighing struct {
	weight nutrition.Kilograms
	at     time.Time     // zero: now
	way    string        // how it was weighed, where that is out of the ordinary
	sure   bool          // asked for already
	entry  planner.Entry // that was doubted and is confirmed
	doubt  planner.Doubt // of one that is confirmed
}

// weighWords takes weigh-ins that are more than a weight: back-dated, made
// with a person on the scale, of several dogs, or wrong. It reports whether a
// text was one.
func (t *turn) weighWords(s string) bool {
	if len(t.home.Dogs) == 0 {
		return false
	}
	if t.correctWords(s) {
		return true
	}
	names := t.names()
	if all, ok, err := read.Weighings(s, names, t.home.Units, t.event.At); ok {
		if err != nil {
			t.sayWeighWrong(err, s)
			return true
		}
		t.weighAll(all)
		return true
	}
	said, ok, err := read.Weighing(s, names, t.home.Units, t.event.At)
	if !ok {
		named := said.Weight > 0 && said.Dog != ""
		if said.Weight == 0 { // Weighing did not look for a weight alone
			said.Weight, said.Dog, named = read.NamedWeight(s, names, t.home.Units)
		}
		if named {
			t.weigh(t.dog(said.Dog), weighing{weight: said.Weight})
		}
		return named
	}
	if err != nil {
		if !t.askYear(said, err) {
			t.sayWeighWrong(err, s)
		}
		return true
	}
	w := t.weighingOf(said)
	if d := t.dog(said.Dog); d != nil {
		t.weigh(d, w)
		return true
	}
	t.weighSome(w)
	return true
}

// weighingOf is what was said on its way into the journal.
func (t *turn) weighingOf(said read.WeighingSaid) weighing {
	w := weighing{weight: said.Weight, way: said.Way}
	if !said.Day.IsZero() && said.Day != t.date() {
		w.at = planner.Instant(said.Day, noon, t.event.At.Location())
	}
	return w
}

// askYear asks whether a weight is of last year, where the day that was typed
// without one is still to come this year and the dog is known.
func (t *turn) askYear(said read.WeighingSaid, err error) bool {
	var p read.Problem
	d := t.dog(said.Dog)
	if d == nil && len(t.home.Dogs) == 1 {
		d = &t.home.Dogs[0]
	}
	if !errors.As(err, &p) || p.Code != read.WeighedYear || d == nil {
		return false
	}
	ahead := said.Day
	ahead.Year++
	t.sayMsg("weigh.which-year", "day", t.dateText(ahead), "weight", bodyWeight(said.Weight, t.home.Units), "dog", d.Name, "before", t.dateText(said.Day)).
		offer(t.weightButton(msg("button.yes-weight"), d, t.weighingOf(said), false), t.button(msg("button.no-weight"), "weigh", "none", d.ID))
	return true
}

// sayWeighWrong says what is wrong with a weigh-in.
func (t *turn) sayWeighWrong(err error, typed string) {
	var p read.Problem
	if errors.As(err, &p) && hasMessage("weigh-wrong."+string(p.Code)) {
		t.sayMsg("weigh-wrong." + string(p.Code))
		return
	}
	t.say(para(problemOf(err, typed)))
}

// weighAll takes the weigh-ins of several dogs. Those that are doubted are
// asked about one by one; the others are one change.
func (t *turn) weighAll(all []read.WeighingSaid) {
	var names []string
	for _, said := range all {
		d := t.dog(said.Dog)
		if w := t.weighingOf(said); t.possible(d, w) && !t.unlikely(d, w).Unlikely {
			names = append(names, d.Name)
		}
	}
	if len(names) > 0 {
		t.mutate("did.weighed", list(names))
	}
	for _, said := range all {
		t.weigh(t.dog(said.Dog), t.weighingOf(said))
	}
}

// noon is the time of a weigh-in of which only the day is told.
const noon = planner.Clock(12 * 60)

// weighSome takes a weight for the dog that is meant: the only one, or the
// one that was asked about last. Else it asks which.
func (t *turn) weighSome(w weighing) {
	if w.weight < planner.LightestDog || w.weight > planner.HeaviestDog {
		t.say(para(fieldText(&planner.FieldError{Field: "weight"}, t.home.Units)))
		return
	}
	if len(t.home.Dogs) == 1 {
		t.weigh(&t.home.Dogs[0], w)
		return
	}
	if asked := t.askedToWeigh(); len(asked) == 1 && planner.FitsDog(*asked[0], t.historyAbout(asked[0], w.at), w.weight) {
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
			if planner.FitsDog(*d, t.historyAbout(d, w.at), w.weight) == fits {
				r.offer(t.weightButton(d.Name, d, w, false))
			}
		}
	}
}

// unsure is what the data of a button for a weight ends with that is still to
// be doubted.
const unsure = "ask"

// weightButton records a weight for a dog; sure says that it was asked for
// already, and is not doubted again.
func (t *turn) weightButton(label string, d *planner.Dog, w weighing, sure bool) Button {
	args := weightArgs(d, w)
	if !sure {
		if w.at.IsZero() {
			args = append(args, "")
		}
		args = append(args, unsure)
	}
	return t.button(label, "weight", args...)
}

// weightArgs say in a button's data which dog weighs how many grams, as precisely
// as it was typed, and when if not now.
func weightArgs(d *planner.Dog, w weighing) []string {
	args := []string{d.ID, trim(float64(w.weight)*1000, 4)}
	if !w.at.IsZero() {
		args = append(args, w.at.UTC().Format(stampForm))
	}
	return args
}

// pressWeight records the weight for the dog that was chosen.
func (t *turn) pressWeight(args []string) {
	d := t.dog(arg(args, 0))
	g, err := read.Number(arg(args, 1))
	if d == nil || err != nil {
		t.sayMsg("press.gone")
		return
	}
	w := weighing{weight: nutrition.Kilograms(g / 1000), sure: arg(args, 3) != unsure}
	if at, err := time.Parse(stampForm, arg(args, 2)); err == nil && !at.After(t.event.At) {
		w.at = at
	}
	t.weigh(d, w)
	if len(t.replies) > 0 {
		t.replies[0].InPlace = t.event.Message
	}
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
	t.trend(d) // read whole at once
	if !w.sure {
		if doubt := t.unlikely(d, w); doubt.Unlikely {
			t.doubtWeight(d, w, doubt)
			return
		}
	}
	t.recordWeight(d, w)
}

// possible reports that a dog can weigh so much.
func (t *turn) possible(d *planner.Dog, w weighing) bool {
	changed := *d
	changed.Weight = w.weight
	return changed.Validate(t.event.At) == nil
}

// bothWeights is a weight in both units, for a doubt about the unit.
func bothWeights(w nutrition.Kilograms, u planner.Units) string {
	other := planner.Units{Pounds: !u.Pounds}
	return bodyWeight(w, other) + " = " + bodyWeight(w, u)
}

// recordWeight enters a weight and says what it tells.
func (t *turn) recordWeight(d *planner.Dog, w weighing) {
	before, known := t.lastWeighed(d)
	if known && before.Date != t.date() {
		t.shown(d) // what it was fed since is by the weight of then
	}
	that := t.weighedOn(d, w.at)
	t.mutate("did.weighed", d.Name)
	right := t.rightText(d, w)
	e := w.entry
	e.Kind, e.Dog, e.Weight, e.At, e.Text = planner.Weighed, d.ID, w.weight, w.at, w.way
	e.Sure = w.doubt.Unlikely
	e = t.note(e)
	was := *d
	settled := t.settleWaiting(d, e, t.historyAbout(d, w.at).Step)
	t.newestWeight(d)
	u := t.home.Units
	head := msg("weigh.done", "dog", d.Name, "weight", bodyWeight(w.weight, u))
	if e.Date != t.date() {
		head = msg("weigh.done-on", "dog", d.Name, "weight", bodyWeight(w.weight, u), "day", t.dayOf(e.Date))
	}
	switch now := t.weighedOn(d, e.At); {
	case that > 0 || !(now == w.weight):
		head += " " + t.twiceText(that, w.weight, now)
	case known && e.At.After(before.At):
		head += " " + t.changeText(before, w.weight)
	}
	h, decision, posts := t.judge(d)
	step, stand := t.stepOn(d)
	warning, jump := t.warningFirst(d, h, decision, posts), ""
	switch {
	case !w.doubt.Unlikely:
		jump = t.jumpText(was, *d)
	case right != "" && decision.Reason != planner.GatedDog: // one vet line, the more pressing
		warning = right
	default:
		warning = joinParas(right, warning)
	}
	r := t.say(para(head), para(settled), para(warning), para(jump), para(t.kcalAfter(was, *d)), para(step), para(t.offerAgain(d, h, decision, posts)))
	t.offerDecision(r, d, h, decision)
	t.offerGrowth(r, d, h)
	r.offer(stand...)
	r.offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// weighedOn is the weight that counts for the day of an instant, now where that
// is zero; 0 where the dog was not weighed on it.
func (t *turn) weighedOn(d *planner.Dog, at time.Time) nutrition.Kilograms {
	if at.IsZero() {
		at = t.event.At
	}
	day := planner.DateOf(at.In(t.event.At.Location()))
	h := t.historyAbout(d, planner.Instant(day.AddDays(1), 0, t.event.At.Location()).Add(-time.Minute))
	if n := len(h.Weighings); n > 0 && planner.DateOf(h.Weighings[n-1].At) == day {
		return h.Weighings[n-1].Weight
	}
	return 0
}

// twiceText says what counts on a day on which a dog was weighed before, and
// weighed so much now.
func (t *turn) twiceText(before, now, counts nutrition.Kilograms) string {
	u := t.home.Units
	switch {
	case counts == now && before > 0 && before != now:
		return msg("weigh.twice-instead", "weight", bodyWeight(before, u))
	case counts == now:
		return msg("weigh.twice-same")
	case before == 0: // with one that waited
		return msg("weigh.twice-confirmed", "counts", bodyWeight(counts, u))
	}
	return msg("weigh.twice", "weight", bodyWeight(before, u), "counts", bodyWeight(counts, u))
}

// kcalAfter says what the new weight makes of the daily kcal, as long as no
// amount is in force.
func (t *turn) kcalAfter(was, is planner.Dog) string {
	before, after := planner.AmountOf(was, t.event.At), planner.AmountOf(is, t.event.At)
	if is.Kcal > 0 || after.Waits() || kcal(before.Kcal) == kcal(after.Kcal) {
		return ""
	}
	if t.growing(&is) && after.Kcal < before.Kcal {
		return msg("growth.kcal-less", "kcal", kcal(after.Kcal), "before", kcal(before.Kcal))
	}
	return msg("weigh.kcal", "dog", is.Name, "kcal", kcal(after.Kcal), "before", kcal(before.Kcal))
}

// changeText is how far a weight is from the one before.
func (t *turn) changeText(before planner.Entry, w nutrition.Kilograms) string {
	u := t.home.Units
	day := t.dayOf(before.Date)
	switch diff := w - before.Weight; {
	case bodyWeight(w, u) == bodyWeight(before.Weight, u):
		return msg("weigh.same", "day", day)
	case diff > 0:
		return msg("weigh.up", "by", bodyWeight(diff, u), "day", day)
	default:
		return msg("weigh.down", "by", bodyWeight(-diff, u), "day", day)
	}
}
