package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// scaleDraft is the state of the dialogue that scales a recipe.
type scaleDraft struct {
	Recipe string `json:"recipe"`
}

// scaleCommand scales what the rest names, or asks.
func (t *turn) scaleCommand(rest string) {
	if len(t.home.Recipes) == 0 {
		t.sayMsg("scale.no-recipe").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
		return
	}
	if rest != "" && t.sentence("scale "+rest) {
		return
	}
	if r := t.recipeNamed(rest); r != nil {
		t.askScale(r)
		return
	}
	if rest != "" {
		if r := t.theRecipe(nil); r != nil && t.scaleTyped(r, rest) {
			return
		}
		t.sayMsg("wrong.scale", "text", short(rest))
		return
	}
	if len(t.home.Recipes) == 1 {
		t.askScale(&t.home.Recipes[0])
		return
	}
	out := t.sayMsg("ask.scale-which")
	for i := range t.home.Recipes {
		r := &t.home.Recipes[i]
		out.offer(t.button(r.Name, "scale", "ask", r.ID))
	}
}

// askScale asks what a recipe is to be scaled to.
func (t *turn) askScale(r *planner.Recipe) {
	t.talk.Recipe = r.ID
	t.ask("scale", "to", scaleDraft{Recipe: r.ID})
	out := t.sayMsg("ask.scale-to", "recipe", r.Name)
	var row []Button
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if len(row) < 3 {
			row = append(row, t.button(msg("button.for", "dog", d.Name), "bowl", "recipe", d.ID, r.ID))
		}
	}
	out.offer(row...)
	out.offer(t.button(msg("button.days", "n", 7), "scale", "days", r.ID, "7"),
		t.button("1 kg", "scale", "grams", r.ID, "1000"), t.button("1000 kcal", "scale", "kcal", r.ID, "1000"))
	out.offer(t.button(msg("button.half"), "scale", "by", r.ID, "0.5"), t.button(msg("button.double"), "scale", "by", r.ID, "2"),
		t.stopButton())
}

// scaleDialogue takes a typed target.
func (t *turn) scaleDialogue(in answer) {
	var d scaleDraft
	t.draft(&d)
	r := t.recipe(d.Recipe)
	if r == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	t.endDialogue()
	if t.scaleTyped(r, in.value()) || t.sentence(in.value()) {
		return
	}
	t.ask("scale", "to", d)
	t.sayMsg("wrong.scale", "text", short(in.value())).offer(t.stopButton())
}

// scaleTyped scales to a target named without the recipe: "2 kg", "for a 12
// kg dog", "5 days", "x1.5", "900 g turkey thigh".
func (t *turn) scaleTyped(r *planner.Recipe, s string) bool {
	words := strings.TrimPrefix(strings.TrimSpace(s), "to ")
	names := t.names()
	for _, frame := range []string{"scale " + r.Name + " to " + words, "scale " + r.Name + " " + words,
		"make " + r.Name + " for " + words, "make " + r.Name + " " + words, "I have " + words} {
		got, ok := read.Understand(frame, names, t.home.Units)
		if ok && (got.Intent == read.ScaleRecipe || got.Intent == read.MakeDays || got.Intent == read.HaveFood) && hasTarget(got) {
			got.Recipe = r.ID
			t.scale(r, got)
			return true
		}
	}
	return false
}

func hasTarget(s read.Sentence) bool {
	return s.Dog != "" || s.Weight > 0 || s.Days > 0 || s.Grams > 0 || s.Kcal > 0 || s.Factor > 0
}

// scale says a recipe scaled to what a sentence names.
func (t *turn) scale(r *planner.Recipe, s read.Sentence) {
	t.talk.Recipe = r.ID
	if hasTarget(s) && t.toBeCooked(r) {
		return
	}
	switch {
	case s.Intent == read.HaveFood:
		t.scaleToFood(r, s)
	case s.Days > 0:
		t.scaleToDays(r, s)
	case s.Dog != "":
		if d := t.dog(s.Dog); d != nil {
			t.bowl(d, r)
		}
	case s.Weight > 0:
		t.scaleToWords(r, s)
	case s.Kcal > 0:
		f, err := planner.FactorForKcal(*r, t.foods, s.Kcal)
		t.sayScaled(r, f, err, msg("scaled.kcal", "kcal", trim(float64(s.Kcal), 0)))
	case s.Grams > 0:
		f, err := planner.FactorForGrams(*r, s.Grams)
		t.sayScaled(r, f, err, msg("scaled.grams", "grams", mass(s.Grams, t.unitsOf(s))))
	case s.Factor > 0:
		t.sayScaled(r, s.Factor, nil, msg("scaled.factor", "factor", trim(s.Factor, 2)))
	default:
		t.askScale(r)
	}
}

// unitsOf is the household's units, or those in which the amount was typed.
func (t *turn) unitsOf(s read.Sentence) planner.Units {
	if s.Imperial {
		return planner.Units{Ounces: true, Pounds: true}
	}
	return t.home.Units
}

// scaleToFood scales to the amount of one ingredient that there is.
func (t *turn) scaleToFood(r *planner.Recipe, s read.Sentence) {
	f := t.findIn(r, s.Food)
	if f == nil {
		t.sayMsg("scale.not-in-recipe", "food", short(s.Food), "recipe", r.Name)
		return
	}
	factor, err := planner.FactorForIngredient(*r, f.Key, s.Grams)
	if err == nil {
		factor = t.notMoreThan(*r, f.Key, s.Grams, factor)
	}
	t.sayScaled(r, factor, err, msg("scaled.food", "grams", mass(s.Grams, t.home.Units), "food", f.Name))
}

// notMoreThan makes a factor smaller until the rounded recipe asks for no
// more of a food than there is.
func (t *turn) notMoreThan(r planner.Recipe, food string, have nutrition.Grams, factor float64) float64 {
	for range 20 {
		scaled, err := planner.Scale(r, factor)
		if err != nil {
			return factor
		}
		parts := make([]nutrition.Grams, len(scaled.Ingredients))
		for i, in := range scaled.Ingredients {
			parts[i] = in.Grams
		}
		rounded, _ := planner.RoundParts(parts, t.home.Units)
		var asked nutrition.Grams
		for i, in := range scaled.Ingredients {
			if in.Food == food {
				asked += rounded[i]
			}
		}
		if asked <= have+1e-9 {
			return factor
		}
		factor *= 0.9975
	}
	return factor
}

// findIn returns the recipe's ingredient that a carer's words mean: what the
// words find first, else the one whose name holds them.
func (t *turn) findIn(r *planner.Recipe, words string) *nutrition.Food {
	found := t.foods.Find(words)
	all := append([]*nutrition.Food{found.Food}, found.Choices...)
	for _, f := range append(all, found.Nearest...) {
		if f == nil {
			continue
		}
		for _, i := range r.Ingredients {
			if i.Food == f.Key {
				return f
			}
		}
	}
	words = strings.ToLower(words)
	stem := strings.TrimSuffix(words, "s")
	for _, i := range r.Ingredients {
		if f := t.foods.Food(i.Food); f != nil && stem != "" && strings.Contains(" "+strings.ToLower(f.Name), " "+stem) {
			return f // at the beginning of a word: "less" is in "boneless"
		}
	}
	return nil
}

// scaleToDays makes food for a number of days, for the dog named or for all
// dogs together.
func (t *turn) scaleToDays(r *planner.Recipe, s read.Sentence) {
	var total nutrition.Kcal
	var who []string
	var dogs []*planner.Dog
	if t.held(t.dog(s.Dog)) {
		return
	}
	add := func(d *planner.Dog) {
		total += planner.AmountOf(*d, t.event.At).Kcal
		who, dogs = append(who, d.Name), append(dogs, d)
	}
	switch {
	case t.dog(s.Dog) != nil:
		add(t.dog(s.Dog))
	case s.Weight > 0:
		d := t.dogOfWords(s)
		if t.heldInWords(d) {
			return
		}
		one := this(d)
		total, who, dogs = planner.AmountOf(d, t.event.At).Kcal, []string{t.describe(s)}, []*planner.Dog{&one}
	case len(t.home.Dogs) == 0:
		t.sayMsg("scale.days-for-whom").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	default:
		for i := range t.home.Dogs {
			if d := &t.home.Dogs[i]; !t.held(d) {
				add(d)
			}
		}
		if len(who) == 0 {
			return
		}
	}
	f, err := planner.FactorForKcal(*r, t.foods, nutrition.Kcal(float64(total)*s.Days))
	t.sayScaled(r, f, err, msg("scaled.days", "n", trim(s.Days, 1), "who", list(who), "kcal", kcal(total)), dogs...)
}

// dogOfWords is the dog that a sentence describes: "a 30 lb dog, low
// activity".
func (t *turn) dogOfWords(s read.Sentence) planner.Dog {
	d := planner.Dog{Name: t.describe(s), Weight: s.Weight, Activity: s.Activity, Condition: s.Condition}
	if s.Years > 0 {
		d.Born, d.BornAbout = t.event.At.AddDate(0, -int(s.Years*12+0.5), 0), true
	}
	switch s.Stage {
	case read.StagePuppy:
		if s.Years == 0 {
			d.Born, d.BornAbout = t.event.At.AddDate(0, -5, 0), true // somewhere in its growth
		}
	case read.StageSenior:
		if s.Years == 0 {
			d.Born, d.BornAbout = t.event.At.AddDate(-9, 0, 0), true
		}
	case read.StageOverweight:
		if s.Condition == 0 {
			d.Condition = 7
		}
	case read.StagePregnant, read.StageNursing:
		d.Stage = planner.Stage(s.Stage)
	}
	t.mealsForAge(&d)
	return d
}

// this is a dog described in words as sentences speak of it.
func this(d planner.Dog) planner.Dog {
	d.Name = msg("eater.this")
	return d
}

// illInWords points to the vet where a dog is described as ill, and reports
// whether it was.
func (t *turn) illInWords(s read.Sentence) bool {
	if s.Stage != read.StageIll {
		return false
	}
	t.say(para(msg("gate.illness-words")))
	return true
}

// heldInWords says that nothing is made of the food of a dog described in words
// that a vet plans for, and reports whether it is so.
func (t *turn) heldInWords(d planner.Dog) bool {
	n := planner.AmountOf(d, t.event.At)
	if n.Waits() {
		t.say(para(t.gateText(this(d), n)))
	}
	return n.Waits()
}

// scaleToWords makes the bowl of a dog that is described in words.
func (t *turn) scaleToWords(r *planner.Recipe, s read.Sentence) {
	if t.illInWords(s) {
		return
	}
	d := t.dogOfWords(s)
	if err := d.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	n := planner.AmountOf(d, t.event.At)
	if t.heldInWords(d) {
		return
	}
	if r == nil {
		t.noRecipe(&d, n)
		return
	}
	one := this(d)
	if far := t.farOver(&one, r); far != "" {
		t.say(para(far))
		return
	}
	t.sayBowl(eater{name: d.Name, need: n, meals: mealsOf(d), units: t.unitsOf(s)}, r, joinParas(t.batchText(r, []*planner.Dog{&one}), t.gateText(one, n)))
}

// sayScaled says a recipe times a factor, its whole first, with what is amiss
// with it for the dogs that eat it: the one spoken of where none are meant.
func (t *turn) sayScaled(r *planner.Recipe, factor float64, err error, what string, dogs ...*planner.Dog) {
	var scaled planner.Recipe
	if err == nil {
		scaled, err = planner.Scale(*r, factor)
	}
	if err != nil {
		t.say(para(scaleTrouble(t, r.Name, err)))
		return
	}
	sum, err := planner.TotalsOf(scaled, t.foods)
	if err != nil {
		t.say(para(scaleTrouble(t, r.Name, err)))
		return
	}
	if d := t.theDog(); len(dogs) == 0 && d != nil {
		dogs = append(dogs, d)
	}
	parts := make([]nutrition.Grams, len(scaled.Ingredients))
	for i, in := range scaled.Ingredients {
		parts[i] = in.Grams
	}
	rounded, whole := planner.RoundParts(parts, t.home.Units)
	rows := []tableRow{{"", []string{choose(t.home.Units.Ounces, "oz", "g")}}}
	for i, in := range scaled.Ingredients {
		cell := figure(rounded[i], t.home.Units)
		if rounded[i] == 0 {
			cell = exactMass(parts[i], t.home.Units)
		}
		rows = append(rows, tableRow{t.foodName(in.Food), []string{cell}})
	}
	rows = append(rows, tableRow{msg("bowl.sum"), []string{figure(whole, t.home.Units)}})
	first := msg("scaled.first", "whole", wholeText(whole, t.home.Units), "recipe", r.Name, "what", what)
	t.say(para(first), para(msg("scaled.reason", "factor", trim(factor, 3), "kcal", kcalRange(sum.Energy))),
		tableBlock(rows), para(t.dosesText(&scaled)), para(t.batchText(r, dogs)))
}

// pressScale does what a button about scaling asks.
func (t *turn) pressScale(args []string) {
	r := t.recipe(arg(args, 1))
	if r == nil {
		t.sayMsg("press.gone")
		return
	}
	if t.talk.Kind == "scale" {
		t.endDialogue()
	}
	n, err := read.Number(arg(args, 2))
	switch what := arg(args, 0); {
	case what == "ask":
		t.askScale(r)
	case err != nil:
		t.sayMsg("press.stale")
	case what == "days":
		t.scale(r, read.Sentence{Days: n})
	case what == "grams":
		t.scale(r, read.Sentence{Grams: nutrition.Grams(n)})
	case what == "kcal":
		t.scale(r, read.Sentence{Kcal: nutrition.Kcal(n)})
	case what == "by":
		t.scale(r, read.Sentence{Factor: n})
	default:
		t.sayMsg("press.stale")
	}
}
