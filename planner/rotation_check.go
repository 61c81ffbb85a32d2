package planner

import (
	"slices"
)

// MostTurnDays and MostTurns limit a rotation (common practice, no source):
// more days of one recipe are no rotation, and nobody can oversee more turns.
const (
	MostTurnDays = 60
	MostTurns    = 20
)

// RotationError says what is wrong with a rotation.
type RotationError struct {
	Code RotationCode
	Of   string // id of the recipe or dog that it is about; empty where none is
}

// RotationCode classifies what is wrong with a rotation.
type RotationCode string

// The codes.
const (
	NoTurns     RotationCode = "no-turns"
	ManyTurns   RotationCode = "many-turns"   // more than MostTurns
	GoneRecipe  RotationCode = "gone-recipe"  // the household has it no more
	TurnDays    RotationCode = "turn-days"    // not 1-MostTurnDays
	GoneDog     RotationCode = "gone-dog"     // the household has it no more
	DogTwice    RotationCode = "dog-twice"    // the dog is in another rotation, or named twice
	NoStartDate RotationCode = "no-start-day" // the first day is not set
	TopperTurn  RotationCode = "topper"       // the recipe is one: no day's food
)

// Error is the code and what it is about.
func (e *RotationError) Error() string {
	if e.Of == "" {
		return "planner: rotation: " + string(e.Code)
	}
	return "planner: rotation: " + string(e.Code) + " " + e.Of
}

// Validate returns the first thing that is wrong with a rotation of a
// household as a *RotationError, nil where nothing is.
func (r Rotation) Validate(h *Household) error {
	switch {
	case len(r.Turns) == 0:
		return &RotationError{Code: NoTurns}
	case len(r.Turns) > MostTurns:
		return &RotationError{Code: ManyTurns}
	case r.Start.IsZero():
		return &RotationError{Code: NoStartDate}
	}
	for _, t := range r.Turns {
		switch {
		case h.Recipe(t.Recipe) == nil:
			return &RotationError{GoneRecipe, t.Recipe}
		case h.isTopper(t.Recipe):
			return &RotationError{TopperTurn, t.Recipe}
		case t.Days < 1 || t.Days > MostTurnDays:
			return &RotationError{TurnDays, t.Recipe}
		}
	}
	for i, dog := range r.Dogs {
		if h.Dog(dog) == nil {
			return &RotationError{GoneDog, dog}
		}
		if slices.Contains(r.Dogs[:i], dog) || slices.ContainsFunc(h.Rotations, func(o Rotation) bool {
			return o.ID != r.ID && slices.Contains(o.Dogs, dog)
		}) {
			return &RotationError{DogTwice, dog}
		}
	}
	return nil
}

// ForgetRecipe takes a recipe out of the rotations of a household, as of a
// day, and ends the transitions to it; a rotation of nothing else is ended.
// It changes the household in place and returns the ids of the rotations that
// lost a turn.
func ForgetRecipe(h *Household, recipe string, day Date) (touched []string) {
	kept := h.Rotations[:0]
	for _, r := range h.Rotations {
		out, ok := r.Without(recipe, day)
		if len(out.Turns) != len(r.Turns) {
			touched = append(touched, r.ID)
		}
		if ok {
			kept = append(kept, out)
		}
	}
	h.Rotations = kept
	h.Others = slices.DeleteFunc(h.Others, func(o Other) bool { return o.Recipe == recipe })
	h.endTransitions(func(t Transition) bool { return t.Recipe == recipe })
	return touched
}

// ForgetDog takes a dog out of the rotations of a household and drops its
// transitions; a rotation that nobody else eats is ended. It changes the
// household in place.
func ForgetDog(h *Household, dog string) {
	h.Rotations = slices.DeleteFunc(h.Rotations, func(r Rotation) bool { return len(r.Dogs) == 1 && r.Dogs[0] == dog })
	for i := range h.Rotations {
		h.Rotations[i].Dogs = slices.DeleteFunc(h.Rotations[i].Dogs, func(id string) bool { return id == dog })
	}
	h.Others = slices.DeleteFunc(h.Others, func(o Other) bool { return o.Dog == dog })
	h.endTransitions(func(t Transition) bool { return t.Dog == dog })
}

// endTransitions drops transitions, and those to a rotation that is gone.
func (h *Household) endTransitions(which func(Transition) bool) {
	h.Transitions = slices.DeleteFunc(h.Transitions, func(t Transition) bool {
		return which(t) || t.Rotation != "" && !slices.ContainsFunc(h.Rotations, func(r Rotation) bool { return r.ID == t.Rotation })
	})
}
