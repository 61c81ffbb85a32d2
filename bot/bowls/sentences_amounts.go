package bowls

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/planner/portions"
	"bowlwright/store"
)

func answerBowl(t *talk.Turn, s read.Sentence) {
	d, described, ok := t.Who(s, "bowl")
	if !ok {
		return
	}
	r := t.Recipe(s.Recipe)
	if described {
		scaleToWords(t, cmp.Or(r, talk.TheRecipe(t, nil)), s)
		return
	}
	if r == nil && read.Says("of-that", t.AsTyped()) {
		r = t.Recipe(t.Talk.Recipe)
	}
	before := len(t.Replies)
	Bowl(t, d, r)
	if r != nil && mealLeftOut(t, d) && len(t.Replies) > before {
		t.Replies[before].Begin(msg("bowl.left-out", "dog", d.Name))
	}
}

// NamesMeal reports that one meal of today is asked for: "how much for his dinner".
func NamesMeal(t *talk.Turn) bool {
	s := t.OfDays()
	w, err := span.WhenText(s, t.Event.At)
	return read.Says("meal-asked", s) && !read.NamesBothMeals(s) && err == nil && (w.On.IsZero() || w.On == t.Date())
}

// mealLeftOut reports that a meal of today is noted as left out, perhaps before.
func mealLeftOut(t *talk.Turn, d *planner.Dog) bool {
	all := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.NotFed}, From: planner.Instant(t.Date().AddDays(-2), 0, t.Event.At.Location())})
	return slices.ContainsFunc(all, func(e planner.Entry) bool { return e.Date == t.Date() })
}

// answerNeed says the kcal of a dog, named or described.
func answerNeed(t *talk.Turn, s read.Sentence) {
	d, described, ok := t.Who(s, "bowl")
	if !ok {
		return
	}
	if !described {
		t.Talk.Dog = d.ID
		dogs.WhyDog(t, d)
		return
	}
	if w, n, ok := inWords(t, s); ok {
		t.Say(say.Para(dogs.NeedText(t, w, n)), say.Para(dogs.NeedEquation(n)), say.Para(msg("why.spread")), say.Whole(dogs.GateText(this(w), n)))
	}
}

// answerFoodAmount says how much of one food a dog gets: its part of the
// bowl, or where no recipe has it, that it is in none.
func answerFoodAmount(t *talk.Turn, s read.Sentence) {
	if n, ok := read.NutrientNamed(s.Food); ok { // "how much phosphorus in her food"
		s.Intent, s.Nutrient, s.Food = read.NutrientAmount, n, ""
		t.GoTo(s)
		return
	}
	d, described, ok := t.Who(s, "bowl")
	if !ok {
		return
	}
	of := d
	if described {
		w := dogs.DogOfWords(t, s)
		if of = &w; heldInWords(t, w) {
			return
		}
	} else if t.Talk.Dog = d.ID; dogs.Held(t, d) || dogs.SignHeld(t, d, nil) {
		return
	}
	e := Eater{Name: of.Name, Need: planner.AmountOf(*of, t.Event.At), Meals: talk.MealsOf(*of), Units: dogs.UnitsOf(t, s), Dog: of}
	if r := cmp.Or(t.Recipe(s.Recipe), talk.TheRecipe(t, d)); r != nil {
		if f := recipes.FindIn(t, r, s.Food); f != nil {
			sayPart(t, e, r, f)
			return
		}
		had := say.Where(!described, hadText(t, of, s.Food))
		if t.Say(say.Para(msg("scale.not-in-recipe", "food", say.Short(s.Food), "recipe", r.Name)), say.Para(had)); had != "" {
			return
		}
	}
	t.GoTo(read.Sentence{Intent: read.CanEat, Dog: s.Dog, Food: s.Food})
}

// hadDays is for how many days what a dog had besides is looked through for a food
// (our own choice).
const hadDays = 60

// hadText says that a dog is given a food by a reminder, or when it had it besides.
func hadText(t *talk.Turn, d *planner.Dog, food string) string {
	has := func(text string) bool {
		return strings.Contains(strings.ToLower(text), strings.TrimSuffix(strings.ToLower(food), "s"))
	}
	for i := range t.Home.Reminders {
		if r := &t.Home.Reminders[i]; r.Dog == d.ID && has(talk.ReminderTitle(t, r)) {
			return msg("part.given", "what", say.Capital(talk.ReminderTitle(t, r)))
		}
	}
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat, planner.Fed}, From: t.Event.At.AddDate(0, 0, -hadDays), Newest: true}) {
		if has(e.Text) {
			return msg("part.had", "dog", d.Name, "day", t.DateText(e.Date), "text", e.Text)
		}
	}
	return ""
}

// sayPart says one food's part of the bowl.
func sayPart(t *talk.Turn, e Eater, r *planner.Recipe, f *nutrition.Food) {
	b, err := portions.BowlFor(*r, t.Foods, balance.FoodKcal(t, e.Dog, e.Need.Kcal), e.Meals, e.Units)
	if recipes.Failed(t, r, err) {
		return
	}
	for _, row := range b.Rows {
		if row.Food == f.Key {
			t.SayMsg("part.amount", "dog", e.Name, "amount", say.Mass(row.Day, e.Units), "food", f.Name,
				"recipe", r.Name, "total", say.WholeText(b.Day, e.Units)+say.Where(recipes.Cooks(t, r) || larder.InRawWeights(*r, t.Foods), msg("bowl.raw")), "kcal", say.Kcal(b.Kcal))
			return
		}
	}
	for _, row := range b.Tiny {
		if row.Food == f.Key {
			t.Say(say.Whole(TinyText(t, portions.Bowl{Tiny: []portions.TinyRow{row}}, -1)))
		}
	}
}

// sumsMeant is the recipe that a sentence means, and its sums. Where there is none
// it says so and reports false.
func sumsMeant(t *talk.Turn, s read.Sentence) (r *planner.Recipe, sum planner.Totals, ok bool) {
	if r = talk.RecipeMeant(t, s); r == nil {
		return nil, sum, false
	}
	t.Talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.Foods)
	return r, sum, !recipes.Failed(t, r, err)
}

func answerRecipeEnergy(t *talk.Turn, s read.Sentence) {
	r, sum, ok := sumsMeant(t, s)
	if !ok {
		return
	}
	if s.Grams > 0 && sum.Grams > 0 {
		raw, cooked := recipes.Raw(t, r, s.Grams)
		v := sum.Energy.Times(float64(raw / sum.Grams))
		t.SayMsg("recipe.amount-energy", "kcal", say.KcalRange(v), "grams", say.ExactMass(s.Grams, dogs.UnitsOf(t, s)), "recipe", r.Name+say.Where(cooked, msg("enough.cooked")))
		return
	}
	t.Say(say.Para(recipes.RecipeEnergy(t, r, sum)))
}

// answerFoodEnergy says the kcal of an amount of a food, 100 g where none is
// named.
func answerFoodEnergy(t *talk.Turn, s read.Sentence) {
	recipes.WithFood(t, s.Food, "show", func(f *nutrition.Food) {
		grams := s.Grams
		if s.Count > 0 {
			m, ok := f.MeasureOf(cmp.Or(s.Measure, "piece"), "")
			if !ok {
				t.SayMsg("food.no-measure", "food", f.Name, "unit", cmp.Or(s.Measure, "piece"))
				return
			}
			grams = m.Grams * nutrition.Grams(s.Count)
		}
		if grams == 0 {
			grams = 100
		}
		v := f.Per100[nutrition.Energy].Times(float64(grams) / 100)
		t.SayMsg("food.amount-energy", "kcal", say.KcalRange(v), "grams", say.ExactMass(grams, dogs.UnitsOf(t, s)), "food", f.Name, "source", say.TableName(f.Source)).
			Offer(t.Button(msg("button.why"), "food", "show", f.Key))
	})
}

// AnswerScale says a recipe scaled to what a sentence names.
func AnswerScale(t *talk.Turn, s read.Sentence) {
	if s.Intent == read.HaveFood && s.Recipe == "" {
		if r := recipes.RecipeWith(t, s.Food); r != nil {
			scale(t, r, s)
			return
		}
	}
	if r := talk.RecipeMeant(t, s); r != nil {
		if read.SaysCooking(t.AsTyped()) && recipes.NotCooked(t, r) {
			return
		}
		scale(t, r, s)
	}
}

// answerLasts says for how many days an amount of a recipe is enough: for the
// dog that is named, else for all together.
func answerLasts(t *talk.Turn, s read.Sentence) {
	if len(t.Home.Dogs) == 0 {
		talk.WhoFeeds(t)
		return
	}
	r, sum, ok := sumsMeant(t, s)
	if !ok {
		return
	}
	var ids []string
	var need nutrition.Kcal
	for _, d := range t.Dogs() {
		if s.Dog == "" || s.Dog == d.ID {
			if dogs.Held(t, d) {
				return
			}
			ids = append(ids, d.ID)
			need += planner.AmountOf(*d, t.Event.At).Kcal
		}
	}
	if !sum.Energy.Complete || sum.Energy.Mid <= 0 || need <= 0 || sum.Grams <= 0 {
		t.Say(say.Para(recipes.RecipeEnergy(t, r, sum)))
		return
	}
	need = r.Share(need)
	raw, cooked := recipes.Raw(t, r, s.Grams)
	days := raw / nutrition.Grams(float64(need)/sum.Energy.Mid*float64(sum.Grams))
	aDay := s.Grams / days
	t.Say(say.Para(msg("lasts.days", "days", say.Trim(float64(days), 1), "grams", say.Mass(s.Grams, dogs.UnitsOf(t, s)), "recipe", r.Name+say.Where(cooked, msg("enough.cooked")), "dogs", talk.DogNames(t, ids))),
		say.Para(msg("lasts.why", "day", say.Mass(aDay, t.Home.Units), "kcal", say.Kcal(need))), say.Para(StandsFor(r, need))).
		Offer(t.Button(msg("button.storing"), "food", "storing"))
}

// sayInUnits says what an amount is in grams, in ounces, and in pounds with the ounces
// beside.
func sayInUnits(t *talk.Turn, s read.Sentence) {
	lb, oz := math.Modf(float64(s.Grams / nutrition.GramsPerPound))
	t.SayMsg("unit.mass", "g", say.Choose(s.Grams < 3000, say.ExactMass(s.Grams, planner.Units{}), say.Trim(float64(s.Grams/1000), 2)+" kg"), "oz", say.Trim(s.Grams.Ounces(), 1), "lb", say.Trim(lb, 0), "rest", say.Trim(oz*16, 1))
}
