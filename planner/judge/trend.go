package judge

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Weighing is a dog on the scale. At is in the household's zone.
type Weighing struct {
	At     time.Time
	Weight nutrition.Kilograms
	Sure   bool // it was doubted and is confirmed
}

// Intake is what a dog ate from From until before To, as logged or, where
// nothing was, as planned.
type Intake struct {
	From, To planner.Date
	Kcal     float64 // a day
	// SD is the standard error of Kcal for one week, in kcal a day. Errors of
	// different weeks are taken to be independent; one that is the same every
	// week does no harm, since the coefficient is in logged kcal.
	SD   float64
	Away bool // fed differently
}

// Scoring is a body condition score, 1 to 9, in the household's zone.
type Scoring struct {
	At    time.Time
	Score int
}

// KcalChange is a change of the amount in force.
type KcalChange struct {
	At     time.Time
	Kcal   nutrition.Kcal // from then on
	Ground planner.Ground // empty on older records: a carer's or a suggestion
	K      float64        // InForce.K of that day; 0: not kept
}

// History is what the journal tells about a dog's weight and food. All of it
// rises in time.
type History struct {
	Weighings []Weighing // one a day; none that is doubted
	// Step is the step in which the scale shows weights, 0 where it is not known.
	Step    nutrition.Kilograms
	Intakes []Intake // without gaps, from the first weigh-in to today
	Scores  []Scoring
	Changes []KcalChange

	Planned nutrition.Kcal // a day, now
	Treats  nutrition.Kcal // a day on top of the plan, mean of the last 28 days
	// Confirmed is the share of the last 28 days (fewer where the history is
	// shorter) on which every bowl was logged, 0 to 1.
	Confirmed float64
	Changed   time.Time // when the daily kcal last changed; zero: never

	// Ideal is the weight to aim at: as set or, from the newest score, for
	// the weight that the dog had when it was scored. It does not follow the
	// weight down, as Need.Ideal does.
	Ideal, IdealLow, IdealHigh nutrition.Kilograms
	// Again is the goal weight as the first three weigh-ins have it, where it
	// rests on the first of them alone; else it is Ideal.
	Again nutrition.Kilograms

	// GrownFrom is set where a grown dog was still growing at some weigh-ins:
	// it is when it was first weighed as grown, or Now. What was weighed,
	// scored and fed before tells nothing of a grown dog's need or ideal
	// weight. For a bitch it is when her litter was weaned, or was born: what
	// she weighed and ate with pups says as little about herself.
	GrownFrom time.Time

	// VetSeen is when a carer last said that a vet knows of a change of weight:
	// earlier weigh-ins give no more warnings.
	VetSeen time.Time
	// VetLeast is the kcal a day that a vet set last, 0 where none did. Where it
	// is below the resting energy at the ideal weight, a plan may go down to it.
	VetLeast nutrition.Kcal
	// Answers are those to the four questions before more food, the newest last.
	Answers []Answers
	Now     time.Time // in the household's zone
}

// recentDays is how far back recent food is looked at.
const recentDays = 28

// HistoryOf turns the journal of a dog into weigh-ins and daily intake.
//
// Where bowls were not logged, the dog counts as fed as planned, with a wider
// error; on days on which it was fed differently the error is wider still.
// Treats are added. The plan of a day is the amount that was in force at its
// end, the first on record for the days before it. No fact of the dog changes
// it afterwards. Entries of other dogs and entries after now are left out; the
// order of entries does not matter. A nil loc is UTC.
func HistoryOf(d planner.Dog, entries []planner.Entry, loc *time.Location, now time.Time) History {
	h, own := takeAll(d, entries, loc, now)
	loc = h.Now.Location()
	h.growUp(d)
	if from := d.LitterOver(loc); from.After(h.GrownFrom) && !from.After(h.Now) {
		h.GrownFrom = from
	}
	h.pinIdeal(d)
	h.Planned = nutrition.Kcal(amount(planner.AmountOf(d, h.Now).Kcal))
	h.feed(d, own, loc)
	return h
}

// WeighingsOf is HistoryOf without what is worked out from the weigh-ins: all
// that Unlikely and FitsDog ask for.
func WeighingsOf(d planner.Dog, entries []planner.Entry, loc *time.Location, now time.Time) History {
	h, _ := takeAll(d, entries, loc, now)
	return h
}

// takeAll takes the entries of a dog into its history, and also returns them in
// order.
func takeAll(d planner.Dog, entries []planner.Entry, loc *time.Location, now time.Time) (h History, own []*planner.Entry) {
	if loc == nil {
		loc = time.UTC
	}
	h.Now = now.In(loc)
	oldest := h.Now.AddDate(-planner.OldestDog, 0, 0)
	own = make([]*planner.Entry, 0, len(entries))
	for i := range entries {
		if e := &entries[i]; e.Dog == d.ID && !e.At.After(now) {
			own = append(own, e)
		}
	}
	slices.SortStableFunc(own, func(a, b *planner.Entry) int {
		return cmp.Or(a.At.Compare(b.At), a.Entered.Compare(b.Entered), cmp.Compare(a.ID, b.ID)) // ids sort as things are told
	})
	for _, e := range own {
		h.take(e, loc, oldest)
	}
	h.Step = scaleStep(h.Weighings)
	h.Weighings = oneADay(h.Weighings, h.Step)
	return h, own
}

func (h *History) take(e *planner.Entry, loc *time.Location, oldest time.Time) {
	switch at := e.At.In(loc); e.Kind {
	case planner.Weighed:
		if planner.LikelyDog(e.Weight) && !e.At.Before(oldest) {
			h.Weighings = append(h.Weighings, Weighing{at, e.Weight, e.Sure})
		}
	case planner.Scored:
		if e.Score >= 1 && e.Score <= 9 {
			h.Scores = append(h.Scores, Scoring{at, e.Score})
		}
	case planner.VetSaw:
		h.VetSeen = at
	case planner.Answered:
		h.Answers = append(h.Answers, AnswersOf(at, e.Text))
	case planner.KcalSet:
		if !(e.Kcal > 0 && e.Kcal < mostEaten) {
			return
		}
		h.Changes = append(h.Changes, KcalChange{at, e.Kcal, planner.Ground(e.Text), e.Amount})
		if g := planner.Ground(e.Text); g == planner.OnReckoning || g == planner.OnEquation && h.Changed.IsZero() {
			return // no change of what it was fed
		}
		h.Changed = at
		if e.Text == planner.SetByVet {
			h.VetLeast = e.Kcal
		}
	}
}

// growUp sets GrownFrom. Of a dog of unknown age the weight tells.
func (h *History) growUp(d planner.Dog) {
	if planner.Growing(d, h.Now) {
		return
	}
	// A dog that was grown at the first of them has been so ever since, if its
	// age is known; one of which nothing is known never counts as growing.
	if n := len(h.Weighings); n == 0 || d.Born.IsZero() && d.AdultWeight == 0 || !d.Born.IsZero() && !planner.Growing(d, h.Weighings[0].At) {
		return
	}
	wasGrowing := func(w Weighing) bool {
		if d.Born.IsZero() {
			d.Weight = w.Weight
		}
		return planner.Growing(d, w.At)
	}
	for i := len(h.Weighings) - 1; i >= 0; i-- {
		if !wasGrowing(h.Weighings[i]) {
			continue
		}
		h.GrownFrom = h.Now
		if i+1 < len(h.Weighings) {
			h.GrownFrom = h.Weighings[i+1].At
		}
		return
	}
}

// grown returns the weigh-ins from GrownFrom on.
func (h *History) grown() []Weighing {
	i := 0
	for i < len(h.Weighings) && h.Weighings[i].At.Before(h.GrownFrom) {
		i++
	}
	return h.Weighings[i:]
}

// pinIdeal sets the ideal weight: the goal weight on record or, without one,
// what the newest score makes of the weigh-in closest to it. A score that is
// only on the profile counts for the very first weigh-in.
func (h *History) pinIdeal(d planner.Dog) {
	w, score := d.Weight, d.Condition
	scores, weighed := h.Scores, h.grown()
	for len(scores) > 0 && scores[0].At.Before(h.GrownFrom) {
		scores = scores[1:]
	}
	i := 0
	if len(scores) > 0 {
		s := scores[len(scores)-1]
		score, i = s.Score, closest(weighed, s.At)
	}
	if len(weighed) > 0 {
		w = weighed[i].Weight
	}
	h.Ideal, h.IdealLow, h.IdealHigh = nutrition.IdealWeight(w, score)
	if d.Ideal > 0 {
		h.Ideal = d.Ideal
		h.IdealLow, h.IdealHigh = planner.GoalRange(d)
	}
	h.Again = h.Ideal
	if i == 0 && len(weighed) > 0 && (d.Ideal == 0 || d.IdealFrom != planner.GoalSet) {
		h.Again *= nutrition.Kilograms(medianWeight(weighed[:min(3, len(weighed))])) / w
	}
}

// closest returns the index of the weigh-in closest to an instant, 0 where there
// is none.
func closest(weighed []Weighing, at time.Time) (i int) {
	for j := range weighed {
		if weighed[j].At.Sub(at).Abs() < weighed[i].At.Sub(at).Abs() {
			i = j
		}
	}
	return i
}

// Until returns the history as it was known at an instant, as far as weigh-ins
// go. What was eaten after the last of them does not matter to an estimate.
func (h History) Until(t time.Time) History {
	n := len(h.Weighings)
	for n > 0 && h.Weighings[n-1].At.After(t) {
		n--
	}
	h.Weighings = h.Weighings[:n]
	return h
}

// momentOf is an instant in days of its own zone, whatever the clocks did.
func momentOf(t time.Time) float64 {
	return float64(planner.DateOf(t).Number()) + float64(planner.ClockOf(t))/(24*60)
}
