package planner

import (
	"slices"

	"bowlwright/nutrition"
)

// Lab is what a laboratory measured, in the place of what tables, the bone model
// and labels say.
type Lab struct {
	Food  string `json:"food,omitempty"`  // key of what was measured; empty of a recipe
	Facts []Fact `json:"facts,omitempty"` // as fed
	Day   string `json:"day,omitempty"`   // of the report, as typed

	// Of a recipe: the lines that were measured, with what is stirred in. Of others
	// the figures do not count.
	Ingredients []Ingredient `json:"ingredients,omitempty"`
	Doses       []Dose       `json:"doses,omitempty"`
	Stale       bool         `json:"stale,omitempty"` // it was said that the lines are others now
}

// Set takes a figure, in the nutrient's unit per gram as fed.
func (l *Lab) Set(n nutrition.Nutrient, perGram float64) {
	l.Drop(n)
	l.Facts = append(l.Facts, Fact{n, perGram})
	slices.SortFunc(l.Facts, func(a, b Fact) int { return int(a.Nutrient) - int(b.Nutrient) })
}

// Drop takes a figure out.
func (l *Lab) Drop(n nutrition.Nutrient) {
	l.Facts = slices.DeleteFunc(slices.Clone(l.Facts), func(f Fact) bool { return f.Nutrient == n })
}

// Measure keeps that a recipe as it is now was measured.
func (r *Recipe) Measure() {
	r.Lab.Ingredients, r.Lab.Doses, r.Lab.Stale = slices.Clone(r.Ingredients), stirred(r.Doses), false
}

// stirred are the doses that are in the food, and so in a sample of it.
func stirred(doses []Dose) (all []Dose) {
	for _, d := range doses {
		if d.Batch {
			all = append(all, d)
		}
	}
	return all
}

// LabCounts reports that a recipe has a laboratory's figures and is what was
// measured.
func (r *Recipe) LabCounts() bool {
	return len(r.Lab.Facts) > 0 && SameParts(&Recipe{Ingredients: r.Lab.Ingredients, Doses: r.Lab.Doses},
		&Recipe{Ingredients: r.Ingredients, Doses: stirred(r.Doses)})
}

// Measured are the nutrients of which a laboratory's figures for the recipe count.
func (r *Recipe) Measured() (set nutrition.Nutrients) {
	if r.LabCounts() {
		for _, f := range r.Lab.Facts {
			if f.PerGram >= 0 {
				set = set.With(f.Nutrient)
			}
		}
	}
	return set
}

// LabEnergy is what a laboratory measured a gram of the recipe to bring, kcal.
func (r *Recipe) LabEnergy() (perGram float64, ok bool) {
	if !r.Measured().Has(nutrition.Energy) {
		return 0, false
	}
	i := slices.IndexFunc(r.Lab.Facts, func(f Fact) bool { return f.Nutrient == nutrition.Energy })
	return r.Lab.Facts[i].PerGram, true
}

// spread gives the items of a recipe what a laboratory measured of the whole, each
// as much of it as the tables give it; where they give none of them any, by
// weight. What a line's label says of a supplement stays known as added.
func spread(items []nutrition.Item, facts []Fact) {
	var grams nutrition.Grams
	known := make([]nutrition.Composition, len(items))
	for i := range items {
		one := nutrition.Sum(nutrition.Mixture{Items: items[i : i+1]})
		known[i] = one.Values
		grams += one.Grams
	}
	for _, f := range facts {
		sum := 0.0
		for i := range known {
			sum += known[i][f.Nutrient].Mid
		}
		for i := range items {
			it := &items[i]
			if !(it.Grams > 0) {
				continue
			}
			perGram := f.PerGram
			if sum > 0 {
				perGram *= known[i][f.Nutrient].Mid / sum * float64(grams/it.Grams)
			}
			it.Take(f.Nutrient, perGram)
		}
	}
}

// Shelf is a food table with a household's own foods, and with what laboratories
// measured of any.
func Shelf(h *Household, base *nutrition.Table) *nutrition.Table {
	if len(h.Labs) == 0 {
		return base.With(h.Foods)
	}
	over := slices.Clone(h.Foods)
	for _, l := range h.Labs {
		i := slices.IndexFunc(over, func(f nutrition.Food) bool { return f.Key == l.Food })
		if i < 0 {
			f := base.Food(l.Food)
			if f == nil {
				continue // the table lost it
			}
			i, over = len(over), append(over, *f)
		}
		for _, f := range l.Facts {
			if f.PerGram >= 0 {
				over[i] = over[i].WithLab(f.Nutrient, f.PerGram)
			}
		}
	}
	return base.With(over)
}

// LabOf is what a laboratory measured of a food, nil where nothing was.
func (h *Household) LabOf(food string) *Lab {
	return FirstOf(h.Labs, func(l *Lab) bool { return l.Food == food })
}
