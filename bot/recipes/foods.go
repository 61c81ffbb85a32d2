package recipes

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// foodCommand shows what the table holds of a food.
func foodCommand(t *talk.Turn, rest string) {
	if first, label := talk.CutWord(rest); strings.EqualFold(first, "add") || strings.EqualFold(first, "new") {
		addFood(t, label)
		return
	}
	if rest == "" {
		r := t.SayMsg("food.ask")
		r.Offer(t.Button(msg("button.add-food"), "food", "add"))
		if len(t.Home.Foods) > 0 {
			r.Offer(t.Button(msg("button.own-foods"), "food", "own"))
		}
		return
	}
	if name, figures, ok := strings.Cut(rest, ":"); ok {
		if f := ownNamed(t, strings.TrimSpace(name)); f != nil {
			changeOwn(t, f, figures)
			return
		}
	}
	if f := ownNamed(t, rest); f != nil {
		showFood(t, f)
		return
	}
	WithFood(t, rest, "show", func(f *nutrition.Food) { showFood(t, f) })
}

// WithFood finds a food by a carer's words and calls do with it; where it is
// not clear it offers the choices under a verb, refuses, or says the nearest
// names.
func WithFood(t *talk.Turn, words, verb string, do func(*nutrition.Food)) {
	found := t.Foods.Find(words)
	button := func(f *nutrition.Food) say.Button { return t.Button(f.Name, "food", verb, f.Key) }
	switch {
	case found.Refused != nil:
		SayRefused(t, found.Refused)
	case found.Food != nil:
		do(found.Food)
	case len(found.Choices) > 0:
		t.SayMsg("food.which", "text", say.Short(words)).Rows(1, say.Each(found.Choices, button)...)
	case alarm.DangerIn(words) != nil:
		SayDanger(t, alarm.DangerIn(words))
	default:
		t.SayMsg(say.Choose(len(found.Nearest) == 0, "food.unknown-none", "food.unknown"), "text", say.Short(words)).Rows(1, say.Each(found.Nearest, button)...)
	}
}

func SayRefused(t *talk.Turn, f *nutrition.Refusal) *say.Reply {
	return t.SayMsg("food.refused", "food", f.Name, "reason", msg("refuse."+f.Key))
}

// shownOf are the nutrients that are shown of a food: the main ones, and of an
// own food whatever its label says, and what a laboratory measured.
func shownOf(f *nutrition.Food) []nutrition.Nutrient {
	shown := []nutrition.Nutrient{nutrition.Protein, nutrition.Fat, nutrition.Carbohydrate, nutrition.Fibre,
		nutrition.Water, nutrition.Calcium, nutrition.Phosphorus, nutrition.Iron, nutrition.Zinc, nutrition.Copper,
		nutrition.VitaminD, nutrition.VitaminE}
	for n := nutrition.Protein; n < nutrition.NutrientCount; n++ {
		if (f.Kind == nutrition.OwnKind && !f.Per100[n].IsUnknown() || f.Measured.Has(n)) && !slices.Contains(shown, n) {
			shown = append(shown, n)
		}
	}
	return shown
}

// showFood says a food's energy first, then its main constituents.
func showFood(t *talk.Turn, f *nutrition.Food) {
	rows := append([]say.TableRow{{Label: msg("food.per-100"), Cells: []string{""}}}, say.Each(shownOf(f), func(n nutrition.Nutrient) say.TableRow {
		return say.TableRow{Label: n.Name(), Cells: []string{ValueText(f.Per100[n], n) + say.Where(f.Measured.Has(n), "*")}}
	})...)
	measures := say.LinesOf(f.Measure[:min(len(f.Measure), 5)], func(m nutrition.Measure) string {
		return msg("food.measure", "unit", unitOf(m), "grams", say.ExactMass(m.Grams, t.Home.Units), "source", m.Source)
	})
	bone := say.Where(f.Bone.Kind != nutrition.NoBone && !f.Measured.Has(nutrition.Calcium), msg("food.bone", "low", say.Percent(f.Bone.Low), "high", say.Percent(f.Bone.High)))
	out := t.Say(say.Para(msg("food.energy", "food", f.Name, "kcal", say.KcalRange(f.Per100[nutrition.Energy]))),
		say.Para(msg("food.part", "part", msg("part."+f.Part.String()), "source", f.Source)), say.TableBlock(rows),
		say.Para(say.Where(f.Measured != 0, msg("food.measured"))), say.Para(bone), say.Waits(measures))
	if f.Measured != 0 {
		out.Offer(t.Button(msg("button.lab"), "lab", "show", "food", f.Key))
	}
	if f.Kind == nutrition.OwnKind {
		out.Offer(t.Button(msg("button.change"), "food", "change", f.Key), t.Button(msg("button.remove"), "food", "remove", f.Key))
	}
}

// unitOf is what a measure is called, with what tells it from others.
func unitOf(m nutrition.Measure) string { return m.Unit + say.Where(m.Note != "", ", "+m.Note) }

// ValueText prints a value of a nutrient: a figure, a range, "at least" or
// "not known".
func ValueText(v nutrition.Value, n nutrition.Nutrient) string {
	return AmountIn(v, 1, " "+say.UnitText(n.Unit()))
}

// AmountIn prints a value, divided by a factor, in the unit that this gives.
func AmountIn(v nutrition.Value, f float64, unit string) string {
	switch {
	case v.IsUnknown():
		return msg("value.unknown")
	case !v.Complete:
		return msg("value.atleast", "value", say.Sig(v.Low/f)+unit)
	case say.Sig(v.Low/f) != say.Sig(v.High/f):
		return say.Sig(v.Low/f) + "-" + say.Sig(v.High/f) + unit
	}
	return say.Sig(v.Mid/f) + unit
}

// canEat answers whether dogs may have a food.
func canEat(t *talk.Turn, s read.Sentence) {
	if d := t.Dog(s.Dog); d != nil {
		t.Talk.Dog = d.ID // it is the one that is meant, not the one spoken of before
	}
	if _, asks := read.OtherAsked(t.AsTyped()); asks && read.Says("only-food", s.Food) {
		t.GoTo(read.Sentence{Intent: read.EatsOther, Dog: s.Dog}) // "can I feed Pip only chicken"
		return
	}
	foods := s.FoodList
	if len(foods) == 0 {
		foods = []string{s.Food}
	}
	if asked := slices.DeleteFunc(slices.Clone(foods), alarm.Expecting); len(asked) > 0 {
		foods = asked // "she's pregnant" behind them is no food
	}
	// A comma may belong to the name of one food: "chicken thigh, no skin".
	whole := strings.Join(foods, ", ")
	if found := t.Foods.Find(whole); len(foods) > 1 && found.Food != nil && len(found.Ignored) == 0 {
		foods = []string{whole}
	}
	slices.SortStableFunc(foods, func(a, b string) int { // what she must not have comes first
		return allowedRank(a) - allowedRank(b)
	})
	unwell, sick := "", false
	if d := talk.TalkedOf(t); d != nil {
		unwell, sick = dogs.Unwell(t, d), dogs.Sick(t, d) && (s.Dog != "" || !read.Says("dogs-at-large", t.AsTyped()))
	}
	named := illNamed(t.AsTyped(), foods)
	for i, words := range foods {
		found := t.Foods.Find(words)
		if unwell != "" && allowedRank(words) > 0 && (i == 0 || sick) {
			t.Say(say.Whole(unwell))
			unwell = ""
		}
		if found.Refused == nil && (notFor(t, words, named) || sick && allowedRank(words) > 0) {
			continue
		}
		if !found.Known() && read.Says("bone", words) {
			first := illFood(talk.TalkedOf(t), named, say.Short(words), "raw", anyBone)
			t.Say(say.Para(say.JoinParas(first, illOthers(t, s.Dog, named, anyBone))), say.Para(msg("food.bones"))) // of whatever animal
			continue
		}
		if near := found.Nearest; found.Refused == nil && len(near) == 1 && strings.HasPrefix(near[0].Name, strings.ToLower(words)+",") {
			words, found = near[0].Name, nutrition.Finding{Food: near[0]} // "peanut butter", of which only one kind is in the table
		}
		if found.Refused == nil && len(found.Choices) > 0 {
			maySome(t, words, s.Dog, named, found.Choices)
			continue
		}
		WithFood(t, words, "eat", func(f *nutrition.Food) { mayEat(t, f, s.Dog, named) })
	}
	offerIllness(t, named)
}

func allowedRank(words string) int {
	if nutrition.FindRefusal(words) != nil {
		return 0
	}
	return 1
}

// sayNever says what a dog is not to have by what was told, and what no dog should.
func sayNever(t *talk.Turn, s read.Sentence) {
	own := ""
	if d := t.Dog(s.Dog); d != nil {
		t.Talk.Dog = d.ID
		own = say.JoinParas(msg(say.Choose(len(d.Excludes) > 0, "never.excludes", "never.none"), "dog", d.Name, "foods", say.List(d.Excludes)),
			say.Where(len(d.Limits) > 0, msg("never.limits", "limits", strings.Join(d.Limits, "; "))))
	}
	t.Say(say.Whole(own), say.Whole(msg("never.all", "foods", msg("refuse.all"))))
}

// notFor says so of a food that the dog which is talked of is not to have.
func notFor(t *talk.Turn, food string, named []string) bool {
	d := talk.TalkedOf(t)
	not := d != nil && len(named) == 0 && dogs.NotFor(t, d, food)
	if not {
		t.SayMsg("food.excluded-all", "text", say.Short(food), "dog", d.Name, "foods", say.List(d.Excludes))
	}
	return not
}

// maySome answers for words that mean several foods: yes, with all their
// cautions.
func maySome(t *talk.Turn, words, dog string, named []string, foods []*nutrition.Food) {
	d := talk.TalkedOf(t)
	var notes []string
	for _, f := range foods {
		for _, note := range FoodNotes(t, f) {
			if !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	first := cmp.Or(illFood(d, named, say.Short(words), howMaySome(t, foods), foods...), msg("may-some."+howMaySome(t, foods), "text", say.Short(words)))
	r := t.Say(say.Para(say.JoinParas(first, illOthers(t, dog, named, foods...))), say.Whole(strings.Join(notes, "\n")))
	for _, f := range foods {
		r.Offer(t.Button(f.Name, "food", eatArgs(f, dog, named)...))
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

// FoodNotes are the cautions that go with a food whatever the recipe, those of
// a small dog for a small dog.
func FoodNotes(t *talk.Turn, f *nutrition.Food) []string {
	ctx := nutrition.CautionContext{AtRisk: t.Home.AtRisk}
	var notes []string
	if d := talk.TalkedOf(t); d != nil {
		ctx.Weight = d.Weight
		if d.Breeding() && nutrition.RawAnimal(f) {
			notes = append(notes, msg("food.raw-breeding", "dog", d.Name))
		}
	}
	for _, c := range nutrition.Cautions([]nutrition.Item{{Food: f, Grams: 100}}, ctx) {
		if c.Code != nutrition.LiverShareCaution && !(c.Code == nutrition.RawPorkCaution && t.Home.PorkFree) { // the one is of a whole recipe
			notes = append(notes, msg("caution."+string(c.Code)))
		}
	}
	if f.Key == SaltKey {
		notes = append(notes, msg("caution.salt"))
	}
	return notes
}

// calciumSource reports that a food is given for its calcium, as bone meal and eggshell
// are: 5 g in 100 g and more (our own choice).
func calciumSource(f *nutrition.Food) bool { return f.Per100[nutrition.Calcium].Mid >= 5000 }

// noCalcium refuses what is given for its calcium to a growing dog that is asked about.
func noCalcium(t *talk.Turn, f *nutrition.Food) string {
	growing := slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return !planner.Growing(*d, t.Event.At) })
	d := talk.TalkedOf(t)
	if len(growing) == 1 && read.Says("growing-dog", t.AsTyped()) { // "for a puppy"
		d = growing[0]
	}
	if d == nil || !calciumSource(f) || !planner.Growing(*d, t.Event.At) {
		return ""
	}
	return msg("food.calcium-growing", "dog", d.Name, "food", f.Name)
}

// byDose are the supplements of which a tablet made for people, or a pinch more,
// may be too much for a dog (common veterinary practice, from memory).
var byDose = map[string]bool{"vitamin-a": true, "vitamin-d": true, "vitamin-e": true, "zinc": true, "copper": true, "manganese": true, "iron": true,
	"selenium": true, "magnesium": true, "iodine": true, "kelp-powder": true, "calcium-carbonate": true}

// HowMay is the answer whether dogs may have a food, "yes" or how it must be
// made safe first: "cooked", "boned" (off the bone and cooked), "frozen" (or
// cooked), or by "dose".
func HowMay(t *talk.Turn, f *nutrition.Food) string {
	how := "yes"
	switch {
	case byDose[f.Key]:
		return "dose"
	case f.Has(nutrition.CookFirst):
		return "cooked"
	}
	for _, c := range nutrition.Cautions([]nutrition.Item{{Food: f, Grams: 100}}, nutrition.CautionContext{}) {
		if c.Code == nutrition.RawPorkCaution && t.Home.PorkFree {
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
func howMaySome(t *talk.Turn, foods []*nutrition.Food) string {
	how := "boned"
	for _, f := range foods {
		switch one := HowMay(t, f); {
		case one == "dose", one == "frozen" && f.Has(nutrition.Anadromous):
			return one
		case one == "cooked" && how == "boned":
			how = one
		case one == "yes" || one == "frozen":
			how = "yes"
		}
	}
	return how
}

// SaltKey is table salt: a pinch is food, more is a poison.
const SaltKey = "salt"

// mayEat says that a food of the table may be fed, and what it asks for.
func mayEat(t *talk.Turn, f *nutrition.Food, dog string, named []string) {
	if notFor(t, f.Name, named) {
		return
	}
	notes, d := FoodNotes(t, f), talk.TalkedOf(t)
	how := HowMay(t, f)
	if how == "yes" && calciumSource(f) {
		how = "calcium"
	}
	first := cmp.Or(noCalcium(t, f), illFood(d, named, f.Name, HowMay(t, f), f), msg("may."+how, "food", f.Name, "kcal", say.KcalRange(f.Per100[nutrition.Energy])))
	t.Say(say.Para(say.JoinParas(first, illOthers(t, dog, named, f))), say.Para(treatText(t, d, f)), say.Whole(strings.Join(notes, "\n")))
}

// treatText is how much of a food a dog without a gate may have as a treat.
func treatText(t *talk.Turn, d *planner.Dog, f *nutrition.Food) string {
	if d == nil || !d.Classed() || nutrition.Excluded(f, d.Excludes) || !isTreat(t, f) {
		return ""
	}
	n := planner.AmountOf(*d, t.Event.At)
	if n.Gate != "" {
		return ""
	}
	kcal, _ := dogs.MostTreats(d, n.Kcal)
	most := nutrition.Grams(float64(kcal) / float64(f.Per100[nutrition.Energy].Mid) * 100)
	return msg("may.treat", "dog", d.Name, "amount", say.Mass(most, t.Home.Units), "kcal", say.Kcal(n.Kcal))
}

// isTreat reports that a tenth of a day's kcal is a fair limit for a food: meat,
// fish, egg, milk. Of glands, bone, oil and sweets it is too much, of greens more
// than anybody gives.
func isTreat(t *talk.Turn, f *nutrition.Food) bool {
	how := HowMay(t, f)
	fit := f.Part == nutrition.Muscle || f.Part == nutrition.MuscularOrgan || f.Part == nutrition.Fish || f.Kind == "egg" || f.Has(nutrition.Dairy)
	return fit && how != "boned" && how != "dose" && f.Per100[nutrition.Energy].Mid >= leastTreat
}

// leastTreat is how rich in energy a food is of which that is told, kcal per 100 g
// (our own choice).
const leastTreat = 50

// pressFood does what a button under a food asks.
func pressFood(t *talk.Turn, args []string) {
	what, key := talk.Arg(args, 0), talk.Arg(args, 1)
	f, own := t.Foods.Food(key), ownFoodOf(t, key)
	switch {
	case what == "add":
		addFood(t, "")
	case what == "storing":
		sayStoring(t)
	case what == "own":
		listOwn(t)
	case what == "really":
		removeOwn(t, key)
	case f == nil:
		t.SayMsg("press.gone")
	case what == "show":
		showFood(t, f)
	case what == "change":
		askChange(t, key)
	case what == "remove" && own != nil:
		askRemoveOwn(t, own)
	case what == "eat":
		mayEat(t, f, talk.Arg(args, 2), args[min(3, len(args)):])
	default:
		t.SayMsg("press.stale")
	}
}
