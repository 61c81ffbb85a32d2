package weighing

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
)

// weighed is a weight on its way into the journal.
type weighed struct {
	weight nutrition.Kilograms
	at     time.Time     // zero: now
	way    string        // how it was weighed, where that is out of the ordinary
	entry  planner.Entry // that was doubted and is confirmed
	doubt  judge.Doubt   // of one that is confirmed
}

// WeighWords takes weigh-ins that are more than a weight: back-dated, made
// with a person on the scale, of several dogs, or wrong. It reports whether a
// text was one.
func WeighWords(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) == 0 || read.Says("pot-weighs", t.Event.Text) {
		return false
	}
	if kg, err := span.BodyWeight(read.Find("ideal-beside", s), t.Home.Units); err == nil {
		rest := read.Without("ideal-beside", s)
		if t.As(rest, func() bool { return WeighWords(t, rest) }) {
			t.GoTo(read.Sentence{Intent: read.SetIdeal, Dog: t.Talk.Dog, Weight: kg})
			return true
		}
	}
	if all, ok, err := read.Weighings(s, t.Names(), t.Home.Units, t.Event.At); ok && err == nil && read.Says("muddled", s) {
		weighAll(t, all)
		return true
	}
	if correctWords(t, s) {
		return true
	}
	if _, _, of := talk.DogsIn(t, s); read.Without("age-half", s) != s && !read.Says("weight", s) {
		d := talk.TalkedOf(t)
		if len(of) == 1 {
			d = of[0]
		}
		if d != nil && d.Born.IsZero() {
			return false // "she's 2 and a half" is what is not known of her yet
		}
	}
	names := t.Names()
	s = read.LastWeight(s, names, t.Home.Units, t.Event.At)
	if all, ok, err := read.Weighings(s, names, t.Home.Units, t.Event.At); ok {
		if err != nil {
			sayWeighWrong(t, err, s)
			return true
		}
		if mayBeYears(t, s, all) {
			sayOrYears(t, t.Dog(all[0].Dog), all[0].Weight)
			return true
		}
		weighAll(t, all)
		return true
	}
	said, ok, err := read.Weighing(s, names, t.Home.Units, t.Event.At)
	if !ok {
		named := said.Weight > 0 && said.Dog != ""
		if said.Weight == 0 { // Weighing did not look for a weight alone
			said.Weight, said.Dog, named = read.NamedWeight(s, names, t.Home.Units)
		}
		if named && said.Weight == nutrition.Kilograms(int(said.Weight)) && s != t.Event.Text && !read.Says("weight", s) {
			return false // "Otto had a tub and Tilly one": of what is not said
		}
		if named && said.Weight < 1 && !read.Says("weight", s) && !strings.ContainsAny(s, "0123456789") {
			return false // "Tilly only half": of her dinner
		}
		d, w := t.Dog(said.Dog), weighed{weight: said.Weight}
		if of := read.Find("she-weighs", s); of != "" && !named {
			d = talk.TheDog(t)
			w.weight, _ = span.BodyWeight(of, t.Home.Units)
		}
		return d != nil && w.weight > 0 && weighOrYears(t, d, w, s)
	}
	if err != nil {
		if !askYear(t, said, err) {
			sayWeighWrong(t, err, s)
		}
		return true
	}
	d := t.Dog(said.Dog)
	if d == nil && read.Says("she-weighs", s) {
		d = talk.TheDog(t)
	}
	if d != nil && (said.Day.IsZero() || said.Day == t.Date()) && said.Way == "" {
		return weighOrYears(t, d, weighingOf(t, said), s)
	} else if d != nil {
		weigh(t, d, weighingOf(t, said))
	} else {
		weighSome(t, weighingOf(t, said))
	}
	return true
}

// saidWeight takes a weight that a sentence tells; where tubs of food are counted in
// the same message, one without its unit is most likely none.
func saidWeight(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	if read.Says("counts-tubs", t.Event.Text) && !read.Says("weight", t.Event.Text) {
		t.SayMsg("weigh.needs-unit", "dog", d.Name, "n", say.Trim(float64(s.Weight), 1))
		return
	}
	weigh(t, d, weighed{weight: s.Weight})
}

// weighingOf is what was said on its way into the journal.
func weighingOf(t *talk.Turn, said read.WeighingSaid) weighed {
	w := weighed{weight: said.Weight, way: said.Way}
	if !said.Day.IsZero() && said.Day != t.Date() {
		w.at = planner.Instant(said.Day, say.Noon, t.Event.At.Location())
	}
	return w
}

// askYear asks whether a weight is of last year, where the day that was typed
// without one is still to come this year and the dog is known.
func askYear(t *talk.Turn, said read.WeighingSaid, err error) bool {
	var p span.Problem
	d := t.Dog(said.Dog)
	if d == nil && len(t.Home.Dogs) == 1 {
		d = &t.Home.Dogs[0]
	}
	if !errors.As(err, &p) || p.Code != read.WeighedYear || d == nil {
		return false
	}
	ahead := said.Day
	ahead.Year++
	t.SayMsg("weigh.which-year", "day", t.DateText(ahead), "weight", say.BodyWeight(said.Weight, t.Home.Units), "dog", d.Name, "before", t.DateText(said.Day)).
		Offer(weightButton(t, msg("button.yes-weight"), d, weighingOf(t, said)), t.Button(msg("button.no-weight"), "weigh", "none", d.ID))
	return true
}

// sayWeighWrong says what is wrong with a weigh-in.
func sayWeighWrong(t *talk.Turn, err error, typed string) {
	var p span.Problem
	if errors.As(err, &p) && words.Has("weigh-wrong."+string(p.Code)) {
		t.SayMsg("weigh-wrong." + string(p.Code))
		return
	}
	t.Say(say.Para(talk.ProblemOf(err, typed)))
}

// weighAll takes the weigh-ins of several dogs. Those that are doubted are
// asked about one by one; the others are one change.
func weighAll(t *talk.Turn, all []read.WeighingSaid) {
	var names []string
	for _, said := range all {
		d := t.Dog(said.Dog)
		if w := weighingOf(t, said); possible(t, d, w.weight) && !unlikely(t, d, w).Unlikely {
			names = append(names, d.Name)
		}
	}
	if len(names) > 0 {
		t.Mutate("did.weighed", say.List(names))
	}
	for _, said := range all {
		weigh(t, t.Dog(said.Dog), weighingOf(t, said))
	}
}

// weighSome takes a weight for the dog that is meant: the only one, or the
// one that was asked about last. Else it asks which.
func weighSome(t *talk.Turn, w weighed) {
	if w.weight < planner.LightestDog || w.weight > planner.HeaviestDog {
		t.Say(say.Para(say.FieldText(&planner.FieldError{Field: "weight"}, t.Home.Units)))
		return
	}
	if len(t.Home.Dogs) == 1 {
		weigh(t, &t.Home.Dogs[0], w)
		return
	}
	if sex := read.SexSaid(t.AsTyped()); sex != "" {
		of := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return d.Sex != sex && d.Sex != "" })
		if len(of) == 1 && fits(t, of[0], w.weight, w.at) { // "hes 30.4 on sunday"
			weigh(t, of[0], w)
			return
		}
	}
	if asked := askedToWeigh(t); len(asked) == 1 && fits(t, asked[0], w.weight, w.at) {
		weigh(t, asked[0], w)
		return
	}
	r := t.SayMsg("dog.whose-weight", "weight", say.BodyWeight(w.weight, t.Home.Units))
	for _, first := range []bool{true, false} { // those that it fits
		for _, d := range t.Dogs() {
			if fits(t, d, w.weight, w.at) == first {
				r.Offer(weightButton(t, d.Name, d, w))
			}
		}
	}
}

// fits reports that a dog may have weighed so much at an instant.
func fits(t *talk.Turn, d *planner.Dog, w nutrition.Kilograms, at time.Time) bool {
	return judge.FitsDog(*d, historyAbout(t, d, at), w)
}

// weightButton records a weight for a dog: so many grams, as precisely as it was typed, and
// when if not now.
func weightButton(t *talk.Turn, label string, d *planner.Dog, w weighed) say.Button {
	return t.Button(label, "weight", d.ID, say.Trim(float64(w.weight)*1000, 4), say.Where(!w.at.IsZero(), w.at.UTC().Format(say.StampForm)))
}

// pressWeight records the weight for the dog that was chosen.
func pressWeight(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 0))
	g, err := span.Number(talk.Arg(args, 1))
	if talk.Gone(t, d == nil || err != nil) {
		return
	}
	w := weighed{weight: nutrition.Kilograms(g / 1000)}
	if at, err := time.Parse(say.StampForm, talk.Arg(args, 2)); err == nil && !at.After(t.Event.At) {
		w.at = at
	}
	weigh(t, d, w)
	if len(t.Replies) > 0 {
		t.Replies[0].InPlace = t.Event.Message
	}
}

// weigh records a weight, or asks first where it is far from what is
// expected of the dog.
func weigh(t *talk.Turn, d *planner.Dog, w weighed) {
	t.Talk.Dog = d.ID
	if talk.Unfit(t, having(d, w.weight)) {
		return
	}
	talk.Trend(t, d) // read whole at once
	if doubt := unlikely(t, d, w); doubt.Unlikely {
		doubtWeight(t, d, w, doubt)
	} else {
		recordWeight(t, d, w)
	}
}

// sameWeighing is for how long a carer who says another weight of the same dog puts right
// the one before, and has not weighed it once more (our own choice).
const sameWeighing = time.Hour

// having is a dog as it is with a weight.
func having(d *planner.Dog, w nutrition.Kilograms) planner.Dog {
	changed := *d
	changed.Weight = w
	return changed
}

// possible reports that a dog can weigh so much.
func possible(t *talk.Turn, d *planner.Dog, w nutrition.Kilograms) bool {
	changed := having(d, w)
	return changed.Validate(t.Event.At) == nil
}

// bothWeights is a weight in both units, for a doubt about the unit.
func bothWeights(w nutrition.Kilograms, u planner.Units) string {
	other := planner.Units{Pounds: !u.Pounds}
	return say.BodyWeight(w, other) + " = " + say.BodyWeight(w, u)
}

// recordWeight enters a weight and says what it tells.
func recordWeight(t *talk.Turn, d *planner.Dog, w weighed) {
	before, known := lastWeighed(t, d)
	if known && before.Date != t.Date() {
		Shown(t, d) // what it was fed since is by the weight of then
	}
	that := weighedOn(t, d, w.at)
	t.Mutate("did.weighed", d.Name)
	right := rightText(t, d, w)
	if e, ok := lastEntered(t, d); ok && w.at.IsZero() && e.Kind == planner.Weighed && e.Person == t.Event.Person && e.Date == t.Date() && t.Event.At.Sub(e.Entered) <= sameWeighing && !read.Says("weighed-again", t.AsTyped()) {
		t.Unnote(e)
		before, known = lastWeighed(t, d) // what was wrong is no fall
	}
	e := w.entry
	e.Kind, e.Dog, e.Weight, e.At, e.Text = planner.Weighed, d.ID, w.weight, w.at, w.way
	e.Sure = w.doubt.Unlikely
	e = t.Note(e)
	was := *d
	settled := againstWaiting(t, d, e, historyAbout(t, d, w.at).Step)
	newestWeight(t, d)
	u := t.Home.Units
	head := msg(say.Choose(e.Date == t.Date(), "weigh.done", "weigh.done-on"), "dog", d.Name, "weight", say.BodyWeight(w.weight, u), "day", talk.DayOf(t, e.Date))
	switch now := weighedOn(t, d, e.At); {
	case that > 0 || !(now == w.weight):
		head += " " + twiceText(t, that, w.weight, now)
	case known && e.At.After(before.At):
		head += " " + changeText(t, before, w.weight)
	}
	h, decision, posts := Judge(t, d)
	step, stand := stepOn(t, d)
	shown := decision
	if right != "" { // one vet line, the more pressing
		shown.Warnings = nil
	}
	warning, jump := say.JoinParas(right, warningFirst(t, d, h, shown, posts)), ""
	switch {
	case !w.doubt.Unlikely:
		jump = dogs.JumpText(t, was, *d)
	case right != "" && decision.Reason != judge.GatedDog:
		warning = right
	}
	if n := planner.AmountOf(*d, t.Event.At); known && e.At.After(before.At) && d.Thin() && w.weight < before.Weight*(1-thinFall) && len(decision.Warnings) == 0 && (warning == "" || n.ByVet) {
		warning = say.JoinParas(msg(say.Choose(d.VeryThin(), "weigh.very-thin-down", "weigh.thin-down"), "dog", d.Name), warning)
	}
	r := t.Say(say.Para(head), say.Para(settled), say.Whole(warning), say.Whole(jump), say.Para(kcalAfter(t, was, *d)), say.Para(step), say.Para(offerAgain(t, d, h, decision, posts)))
	offerDecision(t, r, d, h, decision)
	r.Offer(stand...)
	r.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	stillWithPups(t, d)
}

// thinFall is from what share of its weight on a thin dog is said to have lost some: scales
// are no more exact (our own choice).
const thinFall = 0.004

// weighedOn is the weight that counts for the day of an instant, now where that
// is zero; 0 where the dog was not weighed on it.
func weighedOn(t *talk.Turn, d *planner.Dog, at time.Time) nutrition.Kilograms {
	day := t.DateAt(cmp.Or(at, t.Event.At))
	h := historyAbout(t, d, planner.Instant(day.AddDays(1), 0, t.Event.At.Location()).Add(-time.Minute))
	if n := len(h.Weighings); n > 0 && planner.DateOf(h.Weighings[n-1].At) == day {
		return h.Weighings[n-1].Weight
	}
	return 0
}

// twiceText says what counts on a day on which a dog was weighed before, and
// weighed so much now.
func twiceText(t *talk.Turn, before, now, counts nutrition.Kilograms) string {
	u := t.Home.Units
	switch {
	case counts == now && before > 0 && before != now:
		return msg("weigh.twice-instead", "weight", say.BodyWeight(before, u))
	case counts == now:
		return msg("weigh.twice-same")
	case before == 0: // with one that waited
		return msg("weigh.twice-confirmed", "counts", say.BodyWeight(counts, u))
	}
	return msg("weigh.twice", "weight", say.BodyWeight(before, u), "counts", say.BodyWeight(counts, u))
}

// kcalAfter says what the new weight makes of the daily kcal, as long as no
// amount is in force.
func kcalAfter(t *talk.Turn, was, is planner.Dog) string {
	before, after := planner.AmountOf(was, t.Event.At), planner.AmountOf(is, t.Event.At)
	less := dogs.Growing(t, &is) && after.Kcal < before.Kcal
	other := !(is.Kcal > 0) && !after.Waits() && say.Kcal(before.Kcal) != say.Kcal(after.Kcal)
	return say.Where(other, msg(say.Choose(less, "growth.kcal-less", "weigh.kcal"), "dog", is.Name, "kcal", say.Kcal(after.Kcal), "before", say.Kcal(before.Kcal)))
}

// changeText is how far a weight is from the one before.
func changeText(t *talk.Turn, before planner.Entry, w nutrition.Kilograms) string {
	u := t.Home.Units
	day := talk.DayOf(t, before.Date)
	if say.BodyWeight(w, u) == say.BodyWeight(before.Weight, u) {
		return msg("weigh.same", "day", day)
	}
	diff := w - before.Weight
	by := say.BodyWeight(max(diff, -diff), u)
	if by == say.BodyWeight(0, u) { // in grams where it would read as none
		by = smallWeight(max(diff, -diff), planner.Units{})
	}
	return msg(say.Choose(diff > 0, "weigh.up", "weigh.down"), "by", by, "day", day)
}
