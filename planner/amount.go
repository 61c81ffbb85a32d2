package planner

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// Ground is what a daily amount rests on, as stored.
type Ground string

// The grounds. No amount changes by itself: it stays until a carer or a vet
// says otherwise, or the schedule that they agreed to takes its next step.
const (
	OnEquation   Ground = "equation"   // the equation, when its first bowl was shown
	OnFact       Ground = "fact"       // a changed fact of the dog, agreed to
	OnSuggestion Ground = "suggestion" // its weigh-ins
	OnCarer      Ground = "carer"      // a figure of a carer's
	OnVet        Ground = "vet"        // a figure of a vet's
	OnPlan       Ground = "plan"       // the start of a plan to lose weight
	OnSchedule   Ground = "schedule"   // a step of growth, pregnancy or nursing
	OnKept       Ground = "kept"       // a suggestion was not wanted: it stays what it was
	OnReckoning  Ground = "reckoned"   // what was worked out before amounts were records
)

// byEquation reports that a figure came from an equation when it was put in
// force.
func (g Ground) byEquation() bool { return g == OnEquation || g == OnFact || g == OnSchedule }

// InForce says on what ground, since when and by whom a dog's daily amount,
// Dog.Kcal, is in force. It is all zero where none is.
type InForce struct {
	Ground Ground    `json:"ground,omitempty"`
	Since  time.Time `json:"since,omitzero"`
	By     string    `json:"by,omitempty"` // person; empty: nobody in particular
	// K is what the equation gave that day, in kcal per kg^0.75 of the dog's
	// weight that day: the estimate of its own need starts from it.
	K float64 `json:"k,omitempty"`
	// Declined is a figure that was proposed since and declined: it is not
	// proposed again.
	Declined nutrition.Kcal `json:"declined,omitempty"`
	// Offered is what the weigh-ins suggested last, and Asked what a stage of
	// life asked for. Each is asked again until it is answered, but more
	// briefly or less often.
	Offered nutrition.Kcal `json:"offered,omitempty"`
	Asked   nutrition.Kcal `json:"asked,omitempty"`
}

// GoalFrom is what a goal weight rests on; its zero value says that it was set.
type GoalFrom string

// What a goal weight rests on.
const (
	GoalSet       GoalFrom = ""
	GoalScored    GoalFrom = "condition" // the weight when condition was scored
	GoalFirstSeen GoalFrom = "weight"    // never scored: the first weight
)

// PutInForce makes a figure the dog's daily amount.
func (d *Dog) PutInForce(k nutrition.Kcal, g Ground, by string, at time.Time) {
	d.Kcal = k
	d.InForce = InForce{Ground: g, Since: at, By: by, K: equationK(*d, at)}
	d.ByScale, d.ByVet = g == OnSuggestion, g == OnVet
	if g == OnVet {
		d.Fasting = time.Time{} // the vet's word
	}
}

// Withdraw leaves a dog without an amount in force.
func (d *Dog) Withdraw() { d.Kcal, d.InForce, d.ByScale, d.ByVet = 0, InForce{}, false, false }

// equationK is what the equation gives a dog, per kg^0.75 of its weight.
func equationK(d Dog, at time.Time) float64 {
	m := nutrition.MetabolicWeight(d.Weight)
	if m == 0 {
		return 0
	}
	return float64(NeedOf(d, at).Kcal) / m
}

// SetGoal records what a dog's goal weight is and what it rests on.
func (d *Dog) SetGoal(w nutrition.Kilograms, from GoalFrom) {
	d.Ideal, d.IdealFrom, d.IdealScore = w, from, 0
	if from == GoalScored {
		d.IdealScore = d.Condition
	}
}

// GoalByScore is the goal weight of a dog whose condition is scored at its
// present weight: the score's formula from 4 up. A thinner dog keeps its weight
// for a goal: there is no formula for it, and a vet looks first.
func GoalByScore(d Dog) nutrition.Kilograms {
	if d.Thin() {
		return d.Weight
	}
	w, _, _ := nutrition.IdealWeight(d.Weight, d.Condition)
	if w == d.Weight {
		return w
	}
	return nutrition.Kilograms(math.Round(float64(w)*10) / 10) // a score is no finer
}

// VeryThin reports that a dog was scored so thin that a vet sees it before it is fed up.
func (d Dog) VeryThin() bool { return d.Condition > 0 && d.Condition <= starved }

// Thin reports that a dog was scored thin.
func (d Dog) Thin() bool { return d.Condition > 0 && d.Condition <= ThinCondition }

// PlanRests reports that a dog is too thin for the goal it was given: to lose,
// or a weight under its present one.
func (d Dog) PlanRests() bool {
	return d.Thin() && (d.Goal == LoseGoal || d.Ideal > 0 && d.Weight > d.Ideal*(1+CloseEnough))
}

// FirstGoal records the goal weight of a dog that has none: by its condition
// or, where that was never scored, its weight. A growing dog has none.
func (d *Dog) FirstGoal(now time.Time) {
	switch {
	case d.Ideal > 0 || Growing(*d, now) || d.Breeding(): // what it weighs with pups is no goal
	case d.Condition > 0:
		d.SetGoal(GoalByScore(*d), GoalScored)
	default:
		d.SetGoal(d.Weight, GoalFirstSeen)
	}
}

// GoalRange is where a goal weight is likely to lie, when the excess that a
// score stands for is 10 to 15 % a point (Laflamme 1997; WSAVA; AAHA).
func GoalRange(d Dog) (low, high nutrition.Kilograms) {
	if d.IdealFrom != GoalScored || d.IdealScore <= 5 {
		return d.Ideal, d.Ideal
	}
	mid, least, most := nutrition.IdealWeight(d.Ideal, d.IdealScore)
	return d.Ideal * least / mid, d.Ideal * most / mid
}

// ProposeNow returns the equation's figure where that is not what is in force,
// though what is in force was an equation's.
func ProposeNow(d Dog, now time.Time) (Proposal, bool) {
	n := NeedOf(d, now)
	if !(d.Kcal > 0) || !d.InForce.Ground.byEquation() || n.Waits() || Scheduled(d, now) {
		return Proposal{}, false
	}
	return d.proposal(n, float64(n.Kcal/d.Kcal))
}

// worthAsking is the share by which a proposal differs from the amount in force,
// at least (our own choice: less is lost in what a bowl weighs).
const worthAsking = 0.02

// Proposal is the figure that changed facts ask for.
type Proposal struct {
	Kcal nutrition.Kcal
	From nutrition.Kcal // in force
	Why  nutrition.Equation
}

// ProposeFor compares a dog before and after facts of it changed, and returns
// the amount that its equation gives now where that differs. Both are taken at
// the dog's present weight, which is no such fact. ok is false where no amount
// is in force, where it is a vet's, where the dog is ill, and where the figure
// was declined before.
//
// By the dog's own scale the amount in force may have moved far from the
// equation's: it changes in the same proportion as that does.
func ProposeFor(before, after Dog, now time.Time) (p Proposal, ok bool) {
	weaned := before.Stage != "" && after.Stage == ""
	if !(after.Kcal > 0) || after.Kcal != before.Kcal || after.InForce.Ground == OnVet && !weaned {
		return Proposal{}, false
	}
	before.Weight, before.Weighed = after.Weight, after.Weighed
	was, is := NeedOf(before, now), NeedOf(after, now)
	if more := is.Kcal > was.Kcal; !weaned && (more && after.overGoal() || !more && after.underGoal()) {
		return Proposal{}, false
	}
	if is.Waits() || !(was.Kcal > 0) || !(is.Kcal > 0) || is.Gate == UnderweightGate && is.Kcal > was.Kcal {
		return Proposal{}, false // a thin dog is fed up once a vet knows why
	}
	if weaned && !after.Litter.Ended.IsZero() {
		return AfterLitter(after, now)
	}
	if weaned { // what it got with pups says nothing of what it needs without
		return Proposal{Kcal: is.Kcal, From: after.Kcal, Why: is.Equation}, true
	}
	return after.proposal(is, float64(is.Kcal/was.Kcal))
}

// overGoal reports that a dog is over the goal weight on record: no fact that
// was told gets it more food.
func (d *Dog) overGoal() bool { return d.Ideal > 0 && d.Weight > d.Ideal*(1+CloseEnough) }

// underGoal reports that a dog is thin, or under the goal weight on record: it
// is not fed less.
func (d *Dog) underGoal() bool {
	return d.Thin() || d.Ideal > 0 && d.Weight < d.Ideal*(1-CloseEnough)
}

// proposal is the amount in force times a factor, or the equation's own figure
// where an equation's is in force.
func (d *Dog) proposal(is Need, factor float64) (Proposal, bool) {
	k := nutrition.Kcal(math.Round(float64(d.Kcal) * factor))
	if d.InForce.Ground.byEquation() || is.Gate != "" {
		k = is.Kcal
	}
	off := math.Abs(float64(k/d.Kcal) - 1)
	if math.Abs(factor-1) < worthAsking || off < worthAsking || math.Abs(float64(k-d.InForce.Declined)) < 1 {
		return Proposal{}, false
	}
	return Proposal{Kcal: k, From: d.Kcal, Why: is.Equation}, true
}

// ProposeAt compares what the equation gives a dog at two times: on a birthday
// that takes it to another stage of life.
func ProposeAt(d Dog, before, now time.Time) (p Proposal, ok bool) {
	if !(d.Kcal > 0) || d.InForce.Ground == OnVet || d.InForce.Ground == OnSchedule {
		return Proposal{}, false
	}
	was, is := NeedOf(d, before), NeedOf(d, now)
	if is.Waits() || !(was.Kcal > 0) {
		return Proposal{}, false
	}
	return d.proposal(is, float64(is.Kcal/was.Kcal))
}

// Scheduled reports that a dog's amount follows a schedule, because it grows. A
// dog that carries or nurses pups gets its vet's figure, which stands.
func Scheduled(d Dog, now time.Time) bool {
	return d.Stage == "" && Growing(d, now)
}

// ScheduleOf returns what the schedule of a growing dog says for a day. ok is
// false for any other dog, for an ill one, and for one that was out of its
// growth band when it was last weighed: its amount stands still.
//
// Between two weigh-ins a growing dog is taken to gain as the middle of its
// growth band does, so that a missed weigh-in starves no puppy. Steps go up;
// only what is above the NRC's curve, the ceiling, comes down to it.
func ScheduleOf(d Dog, outOfBand bool, now time.Time) (k nutrition.Kcal, ok bool) {
	if !Scheduled(d, now) || outOfBand || d.ill() {
		return 0, false
	}
	d.Weight = grownSince(d, now)
	k = NeedOf(d, now).Kcal
	if ceiling := nutrition.GrowthEnergy(d.Weight, d.AdultWeight); ceiling > 0 {
		return min(max(k, d.Kcal), ceiling), true
	}
	return max(k, d.Kcal), k > 0
}

// grownSince is what a growing dog is likely to weigh at a time.
func grownSince(d Dog, now time.Time) nutrition.Kilograms {
	at := d.Weighed
	if at.IsZero() || !at.Before(now) || d.AdultWeight == 0 {
		return d.Weight
	}
	low, high, _, _, gap := BandOf(d, at)
	low2, high2, _, _, gap2 := BandOf(d, now)
	if gap != "" || gap2 != "" {
		return d.Weight
	}
	return min(max(d.Weight, d.Weight*(low2+high2)/(low+high)), d.AdultWeight)
}

// NextStage returns the next day after a time on which a dog comes to another
// stage of life, by its age: when it is grown, and the day after its seventh
// birthday.
func NextStage(d Dog, after time.Time) (Date, bool) {
	if d.Born.IsZero() {
		return Date{}, false
	}
	born := DateOf(d.Born.UTC())
	today := DateOf(after)
	grown := DateOf(d.Born.UTC().AddDate(0, d.grownMonths(), 0))
	for _, step := range [...]Date{grown, Date{born.Year + seniorOver, born.Month, born.Day}.AddDays(1)} {
		if today.Before(step) {
			return step, true
		}
	}
	return Date{}, false
}

// CloseEnough is the share of its weight within which a dog is at its goal (our own
// choice, by the simulated dogs of package judge).
const CloseEnough = 0.02
