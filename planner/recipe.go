package planner

import "slices"

// Uses reports that a recipe has a food, as a line or as a supplement.
func (r *Recipe) Uses(food string) bool {
	return slices.ContainsFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food }) ||
		slices.ContainsFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

// Drop takes a food out of a recipe.
func (r *Recipe) Drop(food string) {
	r.Ingredients = slices.DeleteFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food })
	r.Doses = slices.DeleteFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

// Note is what a recipe's author says of a food in it, or of the whole where no
// food is named.
type Note struct {
	Food string `json:"food,omitempty"` // key
	Text string `json:"text"`
}

// SetNote replaces the note on a food; an empty text takes it out.
func (r *Recipe) SetNote(food, text string) {
	notes := slices.DeleteFunc(slices.Clone(r.Notes), func(n Note) bool { return n.Food == food })
	if text != "" {
		notes = append(notes, Note{food, text})
	}
	r.Notes = notes
}
