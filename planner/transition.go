package planner

import (
	"slices"
)

// Transition is the days in which a recipe or a rotation replaces an old food
// step by step. On each of its days a dog is fed one step's share of the new
// food, and the next day one step more, unless its stool was not firm. Its
// methods change nothing: they return what the transition becomes.
//
// The rules are common practice, no source: 7 to 14 days, even steps, a step
// held where the stool is not firm, a step back where it gets no better.
type Transition struct {
	Dog       string       `json:"dog"`                // id
	Old       string       `json:"old"`                // what the old food is called
	OldPer100 float64      `json:"old_kcal_per_100g"`  // kcal in 100 g of it, from its label
	Recipe    string       `json:"recipe,omitempty"`   // id of the recipe that comes; empty where a rotation does
	Rotation  string       `json:"rotation,omitempty"` // id
	Days      int          `json:"days"`               // how many steps, 7-14
	Start     Date         `json:"start"`              // the first day
	Checks    []StoolCheck `json:"checks,omitempty"`   // in order of days, one a day
	Holds     []Hold       `json:"holds,omitempty"`    // by hand, in order of days
	Done      bool         `json:"done,omitempty"`
}

// StoolCheck is what a carer saw on a day of a transition.
type StoolCheck struct {
	Date  Date  `json:"date"`
	Stool Stool `json:"stool"`
}

// Hold is days after which a transition takes no step forward, because a
// carer wants it so.
type Hold struct {
	From  Date `json:"from"`
	Until Date `json:"until,omitzero"`  // the day that is not held any more; zero while it is
	Asked bool `json:"asked,omitempty"` // only where nobody says that the stool is firm
}

// Stool is how it was.
type Stool string

// The stools as stored, by the three buttons.
const (
	FirmStool  Stool = "firm"
	SoftStool  Stool = "soft"
	LooseStool Stool = "loose"
)

// Move is what a day of a transition does to the next one's step.
type Move int

// The moves, in steps.
const (
	StepBack    Move = -1 // loose, after a day that was not firm either
	StepHeld    Move = 0  // soft, loose, or held by hand
	StepForward Move = 1  // firm, or nobody said
)

// MoveAfter returns what a day does to the next one's step.
func (t Transition) MoveAfter(day Date) Move {
	stool := t.StoolOn(day)
	before := t.StoolOn(day.AddDays(-1))
	switch {
	case stool == LooseStool && (before == LooseStool || before == SoftStool):
		return StepBack
	case stool == LooseStool || stool == SoftStool || t.heldOn(day, stool == FirmStool):
		return StepHeld
	}
	return StepForward
}

// StoolOn returns what was seen on a day, empty where nobody said.
func (t Transition) StoolOn(day Date) Stool {
	if c := FirstOf(t.Checks, func(c *StoolCheck) bool { return c.Date == day }); c != nil {
		return c.Stool
	}
	return ""
}

// heldOn reports that a day is held by hand, or that nobody said that its stool was firm
// where it waits for that.
func (t Transition) heldOn(day Date, firm bool) bool {
	return slices.ContainsFunc(t.Holds, func(h Hold) bool {
		return !day.Before(h.From) && (h.Until.IsZero() || day.Before(h.Until)) && !(h.Asked && firm)
	})
}

// Ask returns the transition as it is once it is asked how a day's stool was: one that was
// held takes no step of which nobody says that the stool is firm.
func (t Transition) Ask(day Date) (out Transition, waits bool) {
	if t.Held() || len(t.Holds) == 0 {
		return t, false
	}
	t.Holds = append(slices.Clone(t.Holds), Hold{From: day, Until: day.AddDays(1), Asked: true})
	return t, true
}

// StepOn returns the step of a day: 0 before Start and where it went back to
// the old food alone, 1 to Days in the transition, Days + 1 from the day on
// which it is over. Days to come without a check count as firm.
func (t Transition) StepOn(day Date) int {
	if t.Start.IsZero() || day.Before(t.Start) {
		return 0
	}
	step, last := 0, t.lastCheck()
	for d := t.Start.AddDays(-1); d.Before(day) && step <= t.Days; d = d.AddDays(1) {
		if last.Before(d) && t.Held() && t.heldOn(d, true) {
			break // for good
		}
		step = max(0, step+int(t.MoveAfter(d)))
	}
	return step
}

// lastCheck is the day of the last check, no day where there is none.
func (t Transition) lastCheck() Date {
	if len(t.Checks) == 0 {
		return Date{}
	}
	return t.Checks[len(t.Checks)-1].Date
}

// Held reports that a carer holds it until further notice.
func (t Transition) Held() bool {
	return len(t.Holds) > 0 && t.Holds[len(t.Holds)-1].Until.IsZero()
}

// ShareOn returns the share of a day's kcal that the new food brings, 0-1: 1
// on the last step and after it.
func (t Transition) ShareOn(day Date) float64 {
	if t.Days <= 0 {
		return 0
	}
	return min(1, float64(t.StepOn(day))/float64(t.Days))
}

// Over reports that a day is after the last step.
func (t Transition) Over(day Date) bool { return t.Days > 0 && t.StepOn(day) > t.Days }

// OverOn returns the first day after the last step, if every stool to come is
// firm; no day while it is held by hand.
func (t Transition) OverOn() Date {
	if t.Held() || t.Start.IsZero() || t.Days <= 0 {
		return Date{}
	}
	day := t.Start.AddDays(-1)
	for step := 0; step <= t.Days; day = day.AddDays(1) {
		step = max(0, step+int(t.MoveAfter(day)))
	}
	return day
}

// Check returns the transition with what was seen on a day, in place of what
// was said of that day before, and what it does to the next day's step. ok is
// false for days before Start and after the end, and for no such stool.
func (t Transition) Check(day Date, s Stool) (out Transition, m Move, ok bool) {
	if t.Start.IsZero() || day.Before(t.Start) || t.Over(day) || s != FirmStool && s != SoftStool && s != LooseStool {
		return t, StepHeld, false
	}
	t.Checks = slices.Clone(t.Checks)
	i, found := slices.BinarySearchFunc(t.Checks, day, func(c StoolCheck, d Date) int { return d.DaysTo(c.Date) })
	if !found {
		t.Checks = slices.Insert(t.Checks, i, StoolCheck{})
	}
	t.Checks[i] = StoolCheck{day, s}
	return t, t.MoveAfter(day), true
}

// Hold returns the transition held from a day on: the step of that day is
// that of the days after it, until Resume. One that is held stays as it is.
func (t Transition) Hold(day Date) Transition {
	if !t.Held() {
		t.Holds = append(slices.Clone(t.Holds), Hold{From: day})
	}
	return t
}

// Back returns the transition held before its first step, as if it began that day: the
// old food alone until Resume.
func (t Transition) Back(day Date) Transition {
	t.Start, t.Checks, t.Holds = day, nil, []Hold{{From: day.AddDays(-1)}}
	return t
}

// BackTo returns the transition held at an earlier step from a day on, as if it had
// come to that step, 1 to Days, on that day.
func (t Transition) BackTo(day Date, step int) Transition {
	t.Start, t.Checks, t.Holds = day.AddDays(1-step), nil, []Hold{{From: day}}
	return t
}

// Resting reports that it is held with the old food alone.
func (t Transition) Resting(day Date) bool { return t.Held() && t.StepOn(day) == 0 }

// Resume returns the transition held no more: the day after takes a step
// forward, if the stool allows. One that is not held stays as it is.
func (t Transition) Resume(day Date) Transition {
	if t.Held() {
		t.Holds = slices.Clone(t.Holds)
		t.Holds[len(t.Holds)-1].Until = day
	}
	return t
}

// TransitionOf returns the transition of a dog that is not done, nil where
// there is none.
func TransitionOf(h *Household, dog string) *Transition {
	return FirstOf(h.Transitions, func(t *Transition) bool { return t.Dog == dog && !t.Done })
}

// NewRecipe returns the id of the recipe that comes: of a rotation its first,
// so that a dog meets one new food at a time. It is empty where the rotation
// is gone.
func (t Transition) NewRecipe(h *Household) string {
	if t.Rotation == "" {
		return t.Recipe
	}
	r := FirstOf(h.Rotations, func(r *Rotation) bool { return r.ID == t.Rotation })
	if r == nil || len(r.Turns) == 0 {
		return ""
	}
	return r.Turns[0].Recipe
}

// The limits of a transition. The days are common practice, no source. The
// energy is what a food can have: watery vegetables have some 15 to 30 kcal
// in 100 g and pure fat 900 (Atwater's 9 kcal per g).
const (
	LeastSteps  = 7
	MostSteps   = 14
	LeastPer100 = 30
	MostPer100  = 900
)

// TransitionCode says what is wrong with a transition.
type TransitionCode string

// The codes.
const (
	NoOldEnergy  TransitionCode = "no-kcal"      // the old food's kcal are not said
	OddOldEnergy TransitionCode = "odd-kcal"     // no food has so few or so many
	StepCount    TransitionCode = "days"         // not LeastSteps-MostSteps
	NoTarget     TransitionCode = "no-target"    // neither a recipe nor a rotation, or both
	GoneTarget   TransitionCode = "gone-target"  // the household has it no more
	NoSuchDog    TransitionCode = "gone-dog"     // the household has it no more
	TwoAtOnce    TransitionCode = "two-at-once"  // the dog is being switched already
	NoFirstDay   TransitionCode = "no-start-day" // the first day is not set
	TopperTarget TransitionCode = "topper"       // the recipe is one: no day's food
)

// Validate returns the first thing that is wrong with a transition that is to
// be added to a household; empty where nothing is.
func (t Transition) Validate(h *Household) TransitionCode {
	switch {
	case h.Dog(t.Dog) == nil:
		return NoSuchDog
	case TransitionOf(h, t.Dog) != nil:
		return TwoAtOnce
	case (t.Recipe == "") == (t.Rotation == ""):
		return NoTarget
	case h.Recipe(t.NewRecipe(h)) == nil:
		return GoneTarget
	case h.isTopper(t.NewRecipe(h)):
		return TopperTarget
	case t.OldPer100 == 0:
		return NoOldEnergy
	case !(t.OldPer100 >= LeastPer100 && t.OldPer100 <= MostPer100):
		return OddOldEnergy
	case t.Days < LeastSteps || t.Days > MostSteps:
		return StepCount
	case t.Start.IsZero():
		return NoFirstDay
	}
	return ""
}
