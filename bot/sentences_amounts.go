package bot

import (
	"cmp"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func (t *turn) answerBowl(s read.Sentence) {
	d, described, ok := t.who(s, "bowl")
	if !ok {
		return
	}
	r := t.recipe(s.Recipe)
	if described {
		if r == nil {
			r = t.theRecipe(nil)
		}
		t.scaleToWords(r, s)
		return
	}
	t.bowl(d, r)
}

// answerNeed says the kcal of a dog, named or described.
func (t *turn) answerNeed(s read.Sentence) {
	d, described, ok := t.who(s, "bowl")
	if !ok {
		return
	}
	if !described {
		t.talk.Dog = d.ID
		t.whyDog(d)
		return
	}
	if t.illInWords(s) {
		return
	}
	w := t.dogOfWords(s)
	if err := w.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	if t.heldInWords(w) {
		return
	}
	n := planner.AmountOf(w, t.event.At)
	t.say(para(t.needText(w, n)), para(msg("why.spread")), para(t.gateText(this(w), n)))
}

// answerFoodAmount says how much of one food a dog gets: its part of the
// bowl, or where no recipe has it, that it is in none.
func (t *turn) answerFoodAmount(s read.Sentence) {
	d, described, ok := t.who(s, "bowl")
	if !ok {
		return
	}
	e := eater{meals: 2, units: t.unitsOf(s)}
	if described {
		w := t.dogOfWords(s)
		if t.heldInWords(w) {
			return
		}
		e.name, e.need, e.meals = w.Name, planner.AmountOf(w, t.event.At), mealsOf(w)
	} else if t.held(d) {
		return
	} else {
		t.talk.Dog = d.ID
		e.name, e.need, e.meals = d.Name, planner.AmountOf(*d, t.event.At), mealsOf(*d)
	}
	r := t.recipe(s.Recipe)
	if r == nil {
		r = t.theRecipe(d)
	}
	if r == nil {
		t.sayMsg("scale.no-recipe").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
		return
	}
	f := t.findIn(r, s.Food)
	if f == nil {
		if found := t.foods.Find(s.Food); found.Refused != nil {
			t.sayRefused(found.Refused)
			return
		}
		t.sayMsg("scale.not-in-recipe", "food", short(s.Food), "recipe", r.Name)
		return
	}
	t.sayPart(e, r, f)
}

// sayPart says one food's part of the bowl.
func (t *turn) sayPart(e eater, r *planner.Recipe, f *nutrition.Food) {
	b, err := planner.BowlFor(*r, t.foods, e.need.Kcal, e.meals, e.units)
	if err != nil {
		t.say(para(scaleTrouble(t, r.Name, err)))
		return
	}
	for _, row := range b.Rows {
		if row.Food == f.Key {
			t.sayMsg("part.amount", "dog", e.name, "amount", mass(row.Day, e.units), "food", f.Name,
				"recipe", r.Name, "total", wholeText(b.Day, e.units), "kcal", kcal(e.need.Kcal))
			return
		}
	}
	for _, row := range b.Tiny {
		if row.Food == f.Key {
			t.say(para(t.tinyText(planner.Bowl{Tiny: []planner.TinyRow{row}})))
		}
	}
}

func (t *turn) answerContents(s read.Sentence) {
	if r := t.recipeMeant(s); r != nil {
		t.showRecipe(r, "")
	}
}

func (t *turn) answerRecipeEnergy(s read.Sentence) {
	r := t.recipeMeant(s)
	if r == nil {
		return
	}
	t.talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.foods)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	if s.Grams > 0 && sum.Grams > 0 {
		v := sum.Energy.Times(float64(s.Grams / sum.Grams))
		t.sayMsg("recipe.amount-energy", "kcal", kcalRange(v), "grams", exactMass(s.Grams, t.unitsOf(s)), "recipe", r.Name)
		return
	}
	t.say(para(t.recipeEnergy(r, sum)))
}

// answerFoodEnergy says the kcal of an amount of a food, 100 g where none is
// named.
func (t *turn) answerFoodEnergy(s read.Sentence) {
	t.withFood(s.Food, "show", func(f *nutrition.Food) {
		grams := s.Grams
		if s.Count > 0 {
			m, ok := f.MeasureOf(cmp.Or(s.Measure, "piece"), "")
			if !ok {
				t.sayMsg("food.no-measure", "food", f.Name, "unit", cmp.Or(s.Measure, "piece"))
				return
			}
			grams = m.Grams * nutrition.Grams(s.Count)
		}
		if grams == 0 {
			grams = 100
		}
		v := f.Per100[nutrition.Energy].Times(float64(grams) / 100)
		t.sayMsg("food.amount-energy", "kcal", kcalRange(v), "grams", exactMass(grams, t.unitsOf(s)), "food", f.Name, "source", f.Source)
	})
}

func (t *turn) answerScale(s read.Sentence) {
	if s.Intent == read.HaveFood && s.Recipe == "" {
		if r := t.recipeWith(s.Food); r != nil {
			t.scale(r, s)
			return
		}
	}
	if r := t.recipeMeant(s); r != nil {
		if line, ok := t.lineNamed(r, s); ok {
			t.answerSetLine(line)
			return
		}
		if read.SaysCooking(t.event.Text) && t.anyBone(r.Ingredients) {
			t.refuseCooked(r)
			return
		}
		t.scale(r, s)
	}
}

// recipeWith is the recipe that has a food: the one under discussion where
// it has it, else the first that does.
func (t *turn) recipeWith(words string) *planner.Recipe {
	if r := t.theRecipe(nil); r != nil && t.findIn(r, words) != nil {
		return r
	}
	for i := range t.home.Recipes {
		if t.findIn(&t.home.Recipes[i], words) != nil {
			return &t.home.Recipes[i]
		}
	}
	return nil
}
