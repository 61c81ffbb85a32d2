package planner

import "slices"

// Other is what a dog eats in place of its usual food, or beside it: on some
// days ("only chicken today"), or from a day on ("half kibble").
type Other struct {
	Dog    string       `json:"dog"` // id
	From   Date         `json:"from"`
	Until  Date         `json:"until,omitzero"`   // its last day; zero: until further notice
	Name   string       `json:"name,omitempty"`   // what it is called
	Recipe string       `json:"recipe,omitempty"` // id of a recipe of the household; else
	Lines  []Ingredient `json:"lines,omitempty"`  // what it is made of, in these proportions
	Share  float64      `json:"share,omitempty"`  // of the kcal of its meals; 0: all of them
	At     Mealtime     `json:"at,omitempty"`     // which its meals are
}

// Mealtime is some of a dog's meals.
type Mealtime string

// The mealtimes as stored.
const (
	EveryMeal  Mealtime = ""
	FirstMeal  Mealtime = "first"
	LastMeal   Mealtime = "last"
	LaterMeals Mealtime = "later" // all but the first
)

// Has reports that a meal of so many, counted from 0, is one of them.
func (m Mealtime) Has(meal, meals int) bool {
	switch m {
	case FirstMeal:
		return meal == 0
	case LastMeal:
		return meal == meals-1
	case LaterMeals:
		return meal > 0
	}
	return true
}

// Lasting reports that it is eaten until further notice.
func (o Other) Lasting() bool { return o.Until.IsZero() }

// On reports that it is eaten on a day.
func (o Other) On(day Date) bool {
	return !day.Before(o.From) && (o.Until.IsZero() || !o.Until.Before(day))
}

// share is what part of its meals it is; 0 of one that no carer can have told,
// as an imported file may have it.
func (o Other) share() float64 {
	switch {
	case o.Share == 0:
		return 1
	case o.Share > 0 && o.Share <= 1:
		return o.Share
	}
	return 0
}

// OthersOn are what a dog eats beside its usual food on a day: what lasts first,
// then what was told of the day, in the order in which it was told.
func OthersOn(h *Household, dog string, day Date) (all []Other) {
	for _, lasting := range [...]bool{true, false} {
		for _, o := range h.Others {
			if o.Dog == dog && o.Lasting() == lasting && o.On(day) {
				all = append(all, o)
			}
		}
	}
	return all
}

// SetOther has a dog eat something beside its usual food. What lasts takes the
// place of what lasted before at the same meals, which ends on the day before; what
// is of some days takes the place of what was told of the same days and meals. What
// has long been over is forgotten.
func (h *Household) SetOther(o Other) {
	h.EndOther(o.Dog, o.From, o.Replaces)
	h.Others = slices.DeleteFunc(h.Others, func(old Other) bool {
		return !old.Lasting() && old.Until.DaysTo(o.From) > othersKept
	})
	h.Others = append(h.Others, o)
}

// Replaces reports that another food of the dog's, told before, ends with this one.
func (o Other) Replaces(old Other) bool {
	switch {
	case old.Dog != o.Dog || old.Lasting() != o.Lasting():
		return false
	case o.Lasting(): // of the first and the last meal there can be one each
		return old.At == o.At || !(old.At == FirstMeal && o.At == LastMeal || old.At == LastMeal && o.At == FirstMeal)
	}
	return old.From == o.From && old.Until == o.Until && (old.At == o.At || o.At == EveryMeal)
}

// othersKept is for how many days what is over is kept, so that a stock can be
// counted back (our own choice: as long as pauses are).
const othersKept = 31

// EndOther ends what a dog eats beside its usual food, where it is what is meant:
// the day is its first without it. It reports whether there was any.
func (h *Household) EndOther(dog string, day Date, is func(Other) bool) (ended bool) {
	kept := make([]Other, 0, len(h.Others))
	for _, o := range h.Others {
		if o.Dog == dog && is(o) && (o.Until.IsZero() || !o.Until.Before(day)) {
			ended = true
			if o.Until = day.AddDays(-1); o.Until.Before(o.From) {
				continue
			}
		}
		kept = append(kept, o)
	}
	h.Others = kept
	return ended
}

// Fare is one of the foods that a dog eats on a day.
type Fare struct {
	Recipe Recipe    // what it is; its ID is empty where it is no recipe of the household
	Per100 float64   // kcal in 100 g of the old food of a switch: its Recipe has a name alone
	Shares []float64 // what part of each meal's kcal it brings
}

// Share is what part of the day's kcal it brings, 0-1.
func (f Fare) Share() (sum float64) {
	for _, s := range f.Shares {
		sum += s / float64(len(f.Shares))
	}
	return sum
}

// FareOn returns all that a dog eats on a day, treats apart: its usual food, or
// the old and the new one of a switch, and what it eats beside or instead. The
// shares of all are 1 of each meal, less where a part of its food is not known,
// as of a dog without a recipe. Pauses and days away from home are not looked at.
func FareOn(h *Household, dog string, day Date) []Fare {
	return fareOn(h, dog, day, OthersOn(h, dog, day))
}

// LastingFare is what a dog eats of what until further notice, as of a day: without
// what was told of some days alone.
func LastingFare(h *Household, dog string, day Date) []Fare {
	return fareOn(h, dog, day, slices.DeleteFunc(OthersOn(h, dog, day), func(o Other) bool { return !o.Lasting() }))
}

func fareOn(h *Household, dog string, day Date, others []Other) (all []Fare) {
	d := h.Dog(dog)
	if d == nil {
		return nil
	}
	meals := len(d.MealTimes())
	add := func(f Fare, share float64, at Mealtime) {
		f.Shares = make([]float64, meals)
		for m := range f.Shares {
			if !at.Has(m, meals) {
				continue
			}
			for i := range all {
				all[i].Shares[m] *= 1 - share
			}
			f.Shares[m] = share
		}
		same := func(o Fare) bool { return o.Recipe.ID != "" && o.Recipe.ID == f.Recipe.ID }
		if i := slices.IndexFunc(all, same); i >= 0 {
			for m, s := range f.Shares {
				all[i].Shares[m] += s
			}
			return
		}
		all = append(all, f)
	}
	if t := TransitionOf(h, dog); t != nil && !t.Over(day) && h.Recipe(t.NewRecipe(h)) != nil {
		add(Fare{Recipe: Recipe{Name: t.Old}, Per100: t.OldPer100}, 1, EveryMeal)
		add(Fare{Recipe: *h.Recipe(t.NewRecipe(h))}, t.ShareOn(day), EveryMeal)
	} else if r := h.UsualOn(d, day); r != nil {
		add(Fare{Recipe: *r}, 1, EveryMeal)
	}
	for _, o := range others {
		if r := h.Recipe(o.Recipe); r != nil {
			add(Fare{Recipe: *r}, o.share(), o.At)
		} else if len(o.Lines) > 0 {
			add(Fare{Recipe: Recipe{Name: o.Name, Ingredients: o.Lines}}, o.share(), o.At)
		}
	}
	return slices.DeleteFunc(all, func(f Fare) bool { return f.Share() == 0 })
}

// UsualOn is the recipe that a dog eats on a day: the one it is to eat, else the
// only one that there is; nil where none is known.
func (h *Household) UsualOn(d *Dog, day Date) *Recipe {
	if id, ok := RecipeOn(h, d.ID, day); ok {
		return h.Recipe(id)
	}
	return h.OnlyRecipe(d)
}

// OnlyRecipe is the household's recipe where it has one alone, and the dog, if
// any, may have it for its food: one that another dog is to eat is not taken for this one's.
func (h *Household) OnlyRecipe(d *Dog) *Recipe {
	r := h.MayEatOnly(d)
	if r == nil || d != nil && h.OfOthers(d, r.ID) {
		return nil
	}
	return r
}

// MayEatOnly is the household's only recipe, whoever eats it, where a dog may have it.
func (h *Household) MayEatOnly(d *Dog) *Recipe {
	if len(h.Recipes) != 1 || d != nil && (!d.MayEat(h.Recipes[0].ID) || h.Recipes[0].Topper()) {
		return nil
	}
	return &h.Recipes[0]
}

// OfOthers reports that a recipe is what other dogs are to eat, and not this one.
func (h *Household) OfOthers(d *Dog, recipe string) bool {
	return d.Recipe != recipe && slices.ContainsFunc(h.Dogs, func(o Dog) bool {
		t := TransitionOf(h, o.ID)
		return o.ID != d.ID && (o.Recipe == recipe || t != nil && t.NewRecipe(h) == recipe)
	})
}

// ShareAt is what part of a meal's kcal it brings; of the whole day's where the meal
// is below 0.
func (f Fare) ShareAt(meal int) float64 {
	if meal < 0 || meal >= len(f.Shares) {
		return f.Share()
	}
	return f.Shares[meal]
}

// ShareOf is the Share of a recipe, 0 where a dog does not eat it on a day.
func ShareOf(h *Household, dog string, day Date, recipe string) float64 {
	for _, f := range FareOn(h, dog, day) {
		if f.Recipe.ID == recipe {
			return f.Share()
		}
	}
	return 0
}
