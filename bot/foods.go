package bot

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
)

// foodCommand shows what the table holds of a food.
func (t *turn) foodCommand(rest string) {
	if first, label := cutWord(rest); strings.EqualFold(first, "add") || strings.EqualFold(first, "new") {
		t.addFood(label)
		return
	}
	if rest == "" {
		r := t.sayMsg("food.ask")
		r.offer(t.button(msg("button.add-food"), "food", "add"))
		for i := range t.home.Foods {
			r.offer(t.button(t.home.Foods[i].Name, "food", "show", t.home.Foods[i].Key))
		}
		return
	}
	t.withFood(rest, "show", func(f *nutrition.Food) { t.showFood(f) })
}

// withFood finds a food by a carer's words and calls do with it; where it is
// not clear it offers the choices under a verb, refuses, or says the nearest
// names.
func (t *turn) withFood(words, verb string, do func(*nutrition.Food)) {
	found := t.foods.Find(words)
	switch {
	case found.Refused != nil:
		t.sayRefused(found.Refused)
	case found.Food != nil:
		do(found.Food)
	case len(found.Choices) > 0:
		r := t.sayMsg("food.which", "text", short(words))
		for _, f := range found.Choices {
			r.offer(t.button(f.Name, "food", verb, f.Key))
		}
	case read.DangerIn(words) != nil:
		t.sayDanger(read.DangerIn(words))
	default:
		if len(found.Nearest) == 0 {
			t.sayMsg("food.unknown-none", "text", short(words))
			return
		}
		r := t.sayMsg("food.unknown", "text", short(words))
		for _, f := range found.Nearest {
			r.offer(t.button(f.Name, "food", verb, f.Key))
		}
	}
}

func (t *turn) sayRefused(f *nutrition.Refusal) *Reply {
	return t.sayMsg("food.refused", "food", f.Name, "reason", msg("refuse."+f.Key))
}

// showFood says a food's energy first, then its main constituents.
func (t *turn) showFood(f *nutrition.Food) {
	rows := []tableRow{{msg("food.per-100"), []string{""}}}
	for _, n := range []nutrition.Nutrient{nutrition.Protein, nutrition.Fat, nutrition.Carbohydrate, nutrition.Fibre,
		nutrition.Water, nutrition.Calcium, nutrition.Phosphorus, nutrition.Iron, nutrition.Zinc, nutrition.Copper,
		nutrition.VitaminD, nutrition.VitaminE} {
		rows = append(rows, tableRow{n.Name(), []string{valueText(f.Per100[n], n)}})
	}
	var measures []string
	for _, m := range f.Measure {
		unit := m.Unit
		if m.Note != "" {
			unit += ", " + m.Note
		}
		if len(measures) < 5 {
			measures = append(measures, msg("food.measure", "unit", unit, "grams", exactMass(m.Grams, t.home.Units)))
		}
	}
	bone := ""
	if f.Bone.Kind != nutrition.NoBone {
		bone = msg("food.bone", "low", percent(f.Bone.Low), "high", percent(f.Bone.High))
	}
	out := t.say(para(msg("food.energy", "food", f.Name, "kcal", kcalRange(f.Per100[nutrition.Energy]))),
		para(msg("food.part", "part", msg("part."+f.Part.String()), "source", f.Source)), tableBlock(rows),
		para(bone), para(strings.Join(measures, "\n")))
	if f.Kind == "own" {
		out.offer(t.button(msg("button.remove"), "food", "remove", f.Key))
	}
}

// valueText prints a value of a nutrient: a figure, a range, "at least" or
// "not known".
func valueText(v nutrition.Value, n nutrition.Nutrient) string {
	unit := unitText(n.Unit())
	switch {
	case v.IsUnknown():
		return msg("value.unknown")
	case !v.Complete:
		return msg("value.atleast", "value", sig(v.Low)+" "+unit)
	case sig(v.Low) != sig(v.High):
		return sig(v.Low) + "-" + sig(v.High) + " " + unit
	}
	return sig(v.Mid) + " " + unit
}

// sig prints a figure to about three significant digits.
func sig(x float64) string {
	switch {
	case x >= 1000:
		return trim(math.Round(x/10)*10, 0)
	case x >= 100:
		return trim(x, 0)
	case x >= 10:
		return trim(x, 1)
	case x >= 1:
		return trim(x, 2)
	}
	return trim(x, 3)
}

// canEat answers whether dogs may have a food.
func (t *turn) canEat(s read.Sentence) {
	if d := t.dog(s.Dog); d != nil {
		t.talk.Dog = d.ID // it is the one that is meant, not the one spoken of before
	}
	foods := s.FoodList
	if len(foods) == 0 {
		foods = []string{s.Food}
	}
	// A comma may belong to the name of one food: "chicken thigh, no skin".
	whole := strings.Join(foods, ", ")
	if found := t.foods.Find(whole); len(foods) > 1 && found.Food != nil && len(found.Ignored) == 0 {
		foods = []string{whole}
	}
	slices.SortStableFunc(foods, func(a, b string) int { // what she must not have comes first
		return allowedRank(a) - allowedRank(b)
	})
	named := illNamed(t.event.Text, foods)
	for _, words := range foods {
		found := t.foods.Find(words)
		if found.Refused == nil && found.Food == nil && len(found.Choices) == 0 && read.SaysBone(words) {
			t.sayMsg("food.bones") // of whatever animal
			continue
		}
		if found.Refused == nil && len(found.Choices) > 0 {
			t.maySome(words, s.Dog, named, found.Choices)
			continue
		}
		t.withFood(words, "eat", func(f *nutrition.Food) { t.mayEat(f, s.Dog, named) })
	}
}

func allowedRank(words string) int {
	if nutrition.FindRefusal(words) != nil {
		return 0
	}
	return 1
}

// maySome answers for words that mean several foods: yes with the cautions of
// any of them, unless the dog may have none.
func (t *turn) maySome(words, dog string, named []string, foods []*nutrition.Food) {
	d := t.talkedOf()
	if d != nil && len(named) == 0 && !slices.ContainsFunc(foods, func(f *nutrition.Food) bool { return !nutrition.Excluded(f, d.Excludes) }) {
		t.sayMsg("food.excluded-all", "text", short(words), "dog", d.Name, "foods", list(d.Excludes))
		return
	}
	var notes []string
	for _, f := range foods {
		for _, note := range t.foodNotes(f) {
			if !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	first := t.illFood(d, named, short(words), foods...)
	if first == "" {
		first = msg("may-some."+t.howMaySome(foods), "text", short(words))
	}
	r := t.say(para(joinParas(first, t.illOthers(dog, named, foods...))), para(strings.Join(notes, "\n")))
	for _, f := range foods {
		r.offer(t.button(f.Name, "food", eatArgs(f, dog, named)...))
	}
}

// eatArgs are what a button under a question about a food carries: the food, and
// the dog or the illness that was named.
func eatArgs(f *nutrition.Food, dog string, named []string) []string {
	args := []string{"eat", f.Key}
	if dog != "" || len(named) > 0 {
		args = append(append(args, dog), named[:min(1, len(named))]...)
	}
	return args
}

// foodNotes are the cautions that go with a food whatever the recipe, those of
// a small dog for a small dog.
func (t *turn) foodNotes(f *nutrition.Food) []string {
	ctx := nutrition.CautionContext{}
	if d := t.talkedOf(); d != nil {
		ctx.Weight = d.Weight
	}
	var notes []string
	for _, c := range nutrition.Cautions([]nutrition.Item{{Food: f, Grams: 100}}, ctx) {
		if c.Code != nutrition.LiverShareCaution && !(c.Code == nutrition.RawPorkCaution && t.home.PorkFree) { // the one is of a whole recipe
			notes = append(notes, msg("caution."+string(c.Code)))
		}
	}
	if f.Key == saltKey {
		notes = append(notes, msg("caution.salt"))
	}
	return notes
}

// howMay is the answer whether dogs may have a food, "yes" or how it must be
// made safe first: "cooked", "boned" (off the bone and cooked), "frozen" (or
// cooked).
func (t *turn) howMay(f *nutrition.Food) string {
	how := "yes"
	for _, c := range nutrition.Cautions([]nutrition.Item{{Food: f, Grams: 100}}, nutrition.CautionContext{}) {
		if c.Code == nutrition.RawPorkCaution && t.home.PorkFree {
			continue
		}
		switch c.Code {
		case nutrition.RawBoarCaution, nutrition.RawPorkCaution, nutrition.RawOffalCaution:
			if f.Bone.Kind != nutrition.NoBone {
				return "boned"
			}
			return "cooked"
		case nutrition.RawAnadromousCaution, nutrition.RawGameCaution:
			how = "frozen"
		}
	}
	return how
}

// howMaySome is the same for words that mean several foods: "yes" where any of
// them is safe as it is, but for salmon and trout.
func (t *turn) howMaySome(foods []*nutrition.Food) string {
	how := "boned"
	for _, f := range foods {
		switch one := t.howMay(f); {
		case one == "frozen" && f.Has(nutrition.Anadromous):
			return one
		case one == "cooked" && how == "boned":
			how = one
		case one == "yes" || one == "frozen":
			how = "yes"
		}
	}
	return how
}

// saltKey is table salt: a pinch is food, more is a poison.
const saltKey = "salt"

// mayEat says that a food of the table may be fed, and what it asks for.
func (t *turn) mayEat(f *nutrition.Food, dog string, named []string) {
	notes := t.foodNotes(f)
	d := t.talkedOf()
	if d != nil && len(named) == 0 && nutrition.Excluded(f, d.Excludes) {
		notes = append([]string{msg("food.excluded", "dog", d.Name)}, notes...)
	}
	first := t.illFood(d, named, f.Name, f)
	if first == "" {
		first = msg("may."+t.howMay(f), "food", f.Name, "kcal", kcalRange(f.Per100[nutrition.Energy]))
	}
	t.say(para(joinParas(first, t.illOthers(dog, named, f))), para(strings.Join(notes, "\n")))
}

// pressFood does what a button under a food asks.
func (t *turn) pressFood(args []string) {
	switch arg(args, 0) {
	case "add":
		t.addFood("")
		return
	case "storing":
		t.sayStoring()
		return
	case "remove":
		t.removeFood(arg(args, 1))
		return
	}
	f := t.foods.Food(arg(args, 1))
	if f == nil {
		t.sayMsg("press.gone")
		return
	}
	switch arg(args, 0) {
	case "show":
		t.showFood(f)
	case "eat":
		t.mayEat(f, arg(args, 2), args[min(3, len(args)):])
	default:
		t.sayMsg("press.stale")
	}
}
