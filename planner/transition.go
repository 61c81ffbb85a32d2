package planner

import "slices"

// Transition is the days in which a recipe or a rotation replaces an old food
// step by step.
type Transition struct {
	Dog       string       `json:"dog"`                // id
	Old       string       `json:"old"`                // what the old food is called
	OldPer100 float64      `json:"old_kcal_per_100g"`  // kcal in 100 g of it, from its label
	Recipe    string       `json:"recipe,omitempty"`   // id of the recipe that comes; empty where a rotation does
	Rotation  string       `json:"rotation,omitempty"` // id
	Days      int          `json:"days"`               // how many steps, 7-14
	Start     Date         `json:"start"`              // the first day
	Checks    []StoolCheck `json:"checks,omitempty"`   // in order of days
	Done      bool         `json:"done,omitempty"`
}

// StoolCheck is what a carer saw on a day of a transition.
type StoolCheck struct {
	Date  Date  `json:"date"`
	Stool Stool `json:"stool"`
}

// Stool is how it was.
type Stool string

// The stools as stored, by the three buttons.
const (
	FirmStool  Stool = "firm"
	SoftStool  Stool = "soft"
	LooseStool Stool = "loose"
)

// TransitionOf returns the transition of a dog that is not done, nil where
// there is none.
func TransitionOf(h *Household, dog string) *Transition {
	for i := range h.Transitions {
		if t := &h.Transitions[i]; t.Dog == dog && !t.Done {
			return t
		}
	}
	return nil
}

// NewRecipe returns the id of the recipe that comes: of a rotation its first,
// so that a dog meets one new food at a time. It is empty where the rotation
// is gone.
func (t Transition) NewRecipe(h *Household) string {
	if t.Rotation == "" {
		return t.Recipe
	}
	i := slices.IndexFunc(h.Rotations, func(r Rotation) bool { return r.ID == t.Rotation })
	if i < 0 || len(h.Rotations[i].Turns) == 0 {
		return ""
	}
	return h.Rotations[i].Turns[0].Recipe
}
