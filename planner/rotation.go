package planner

import (
	"maps"
	"slices"
)

// Rotation is the order of recipes that one dog or several eat, each for so
// many days, over and over. Its methods change nothing: they return what the
// rotation becomes.
type Rotation struct {
	ID    string   `json:"id"`
	Name  string   `json:"name,omitempty"`
	Dogs  []string `json:"dogs"` // ids; a dog is in at most one rotation
	Turns []Turn   `json:"turns"`
	Start Date     `json:"start"` // the first day of the first turn
	// Instead has the days on which another recipe is eaten than the order
	// says; they do not move the order.
	Instead map[Date]string `json:"instead,omitempty"`
	// Moves has the days from which the order is so many days further on, or
	// behind where negative.
	Moves map[Date]int `json:"moves,omitempty"`
}

// Turn is a recipe and the days that it runs, 1-60.
type Turn struct {
	Recipe string `json:"recipe"` // id
	Days   int    `json:"days"`
}

// Has reports that a recipe is in the order.
func (r Rotation) Has(recipe string) bool {
	return slices.ContainsFunc(r.Turns, func(t Turn) bool { return t.Recipe == recipe })
}

// Cycle returns how many days it takes until the order begins anew.
func (r Rotation) Cycle() (days int) {
	for _, t := range r.Turns {
		days += max(t.Days, 0)
	}
	return days
}

// On returns which turn a day belongs to, counted from 0, and the recipe that
// is eaten on it, which differs from the turn's where the day is in Instead.
// Before Start, and where there are no turns, that is -1 and none.
func (r Rotation) On(day Date) (turn int, recipe string) {
	turn, _ = r.position(day)
	if turn < 0 {
		return -1, ""
	}
	if id, ok := r.Instead[day]; ok {
		return turn, id
	}
	return turn, r.Turns[turn].Recipe
}

// position returns the turn of a day and which of its days it is, from 0.
func (r Rotation) position(day Date) (turn, at int) {
	cycle := r.Cycle()
	if cycle <= 0 || r.Start.IsZero() || day.Before(r.Start) {
		return -1, 0
	}
	at = r.Start.DaysTo(day)
	for from, n := range r.Moves {
		if !day.Before(from) {
			at += n
		}
	}
	at = (at%cycle + cycle) % cycle
	for i, t := range r.Turns {
		if at < max(t.Days, 0) {
			return i, at
		}
		at -= max(t.Days, 0)
	}
	return -1, 0 // not reached: at is within the cycle
}

// LeftOn returns how many days of its turn are still to come, with the day
// itself: 1 on the last day; 0 before Start.
func (r Rotation) LeftOn(day Date) int {
	turn, at := r.position(day)
	if turn < 0 {
		return 0
	}
	return r.Turns[turn].Days - at
}

// Reordered is the rotation with other turns. The recipe of a day goes on being
// eaten where they have it; a rotation that has not begun begins as it would.
func (r Rotation) Reordered(turns []Turn, day Date) Rotation {
	out := r.clone()
	out.Turns, out.Moves = slices.Clone(turns), nil
	turn, at := r.position(day)
	if turn < 0 {
		return out
	}
	out.Start = day
	for i, before := 0, 0; i < len(turns); i++ {
		if turns[i].Recipe == r.Turns[turn].Recipe {
			out.Start = day.AddDays(-before - min(at, turns[i].Days-1))
			break
		}
		before += turns[i].Days
	}
	return out
}

// RecipeOn returns the recipe that a dog eats on a day: the one it is being
// switched to, else its rotation's, else its own. Where the rotation's recipe
// is gone from the household, taken off the dog or a topper, it is the next one in the order that is
// not. A topper is nobody's food of a day. ok is false where there is none, before a transition begins, while the dog has
// its old food, and for a dog that the household does not have.
func RecipeOn(h *Household, dog string, day Date) (recipeID string, ok bool) {
	d := h.Dog(dog)
	if d == nil {
		return "", false
	}
	may := func(id string) bool { return h.Recipe(id) != nil && d.MayEat(id) && !h.isTopper(id) }
	if t := TransitionOf(h, dog); t != nil && !t.Over(day) {
		if day.Before(t.Start) {
			return "", false
		}
		if id := t.NewRecipe(h); may(id) {
			return id, true
		}
	}
	if r := RotationOf(h, dog); r != nil {
		turn, id := r.On(day)
		for n := 0; turn >= 0 && n <= len(r.Turns); n++ {
			if may(id) {
				return id, true
			}
			id = r.Turns[(turn+n)%len(r.Turns)].Recipe
		}
	}
	if id := d.Recipe; may(id) {
		return id, true
	}
	return "", false
}

// RotationOf returns the rotation that a dog is in, nil where there is none.
func RotationOf(h *Household, dog string) *Rotation {
	return FirstOf(h.Rotations, func(r *Rotation) bool { return slices.Contains(r.Dogs, dog) })
}

// clone returns a copy that shares nothing that is changed.
func (r Rotation) clone() Rotation {
	r.Dogs, r.Turns = slices.Clone(r.Dogs), slices.Clone(r.Turns)
	r.Instead, r.Moves = maps.Clone(r.Instead), maps.Clone(r.Moves)
	return r
}

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
