package recipes

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// LimitText prints a limit, empty where there is none.
func LimitText(x float64, unit string) string {
	if math.IsNaN(x) {
		return ""
	}
	f, u := say.DisplayUnit(x, unit)
	return say.Sig(x/f) + u
}

// RecipeTrouble says why a recipe could not be scaled or computed.
func RecipeTrouble(recipe string, err error) string {
	var missing *planner.MissingFoodError
	if errors.As(err, &missing) {
		return msg("scale.missing-food", "recipe", recipe, "food", missing.Food)
	}
	var s *planner.ScaleError
	if errors.As(err, &s) {
		if key := "scale-wrong." + string(s.Code); words.Has(key) {
			return msg(key, "recipe", recipe)
		}
	}
	return msg("scale-wrong.other", "recipe", recipe)
}

// Failed says why a recipe could not be scaled or computed, and reports whether it
// could not.
func Failed(t *talk.Turn, r *planner.Recipe, err error) bool {
	if err != nil {
		t.Say(say.Para(RecipeTrouble(r.Name, err)))
	}
	return err != nil
}

// ExtrasOf is what a dose that a dog gets so many times a day brings it.
func ExtrasOf(t *talk.Turn, dose *planner.Dose, d *planner.Dog, perDay float64) []nutrition.Extra {
	extras, err := planner.ExtrasOf(*dose, perDay, t.Foods, planner.AmountOf(*d, t.Event.At).Kcal)
	if err != nil {
		return nil // a food that is there no more
	}
	return extras
}

// sayRaw says what there is to know of feeding raw, and offers to keep in mind
// that somebody frail is at home.
func sayRaw(t *talk.Turn) {
	if read.Says("storing", t.AsTyped()) {
		sayStoring(t)
		return
	}
	out := t.SayMsg("raw.text")
	if read.Says("asks-bones", t.AsTyped()) {
		out.Body = []say.Block{say.Para(msg("food.bones")), say.Waits(msg("raw.text"))}
	}
	if !t.Home.AtRisk {
		out.Offer(t.Button(msg("button.at-risk"), "settings", "risk", "yes"))
	}
}

// sayStoring says how food is kept; whether it may be frozen again, or what stood
// out may be fed, comes first where that is asked.
func sayStoring(t *talk.Turn) {
	keeps, again := say.Para(msg("storing.text")), say.Para(msg("storing.again"))
	switch s := t.AsTyped(); {
	case read.Says("thawing", s):
		t.Say(say.Para(msg("storing.thaw")), say.Para(msg("storing.thaw-not")), say.Waits(msg("storing.text")))
	case read.Says("freezing", s):
		t.Say(again, keeps)
	case read.Says("left-out", s):
		t.Say(say.Para(msg("storing.out")), keeps)
	default:
		t.Say(keeps, again)
	}
}

// KeptTooLong refuses food that has gone off, or has stood out for long, whatever
// food it is.
func KeptTooLong(t *talk.Turn, s string) bool {
	gone, long := read.AsksKept(s)
	for _, d := range t.Dogs() {
		gone = gone && !strings.Contains(strings.ToLower(s), strings.ToLower(d.Name)+" smell") // it is to be bathed
	}
	if gone || long {
		t.Say(say.Whole(msg(say.Choose(gone, "storing.spoiled", "storing.out"))))
	}
	return gone || long
}

// FindIn returns the recipe's ingredient that a carer's words mean: the first of
// FindAllIn, nil where there is none.
func FindIn(t *talk.Turn, r *planner.Recipe, words string) *nutrition.Food {
	if all := FindAllIn(t, r, words); len(all) > 0 {
		return all[0]
	}
	return nil
}

// FindAllIn returns the recipe's ingredients that a carer's words may mean: the line
// in that place, else what the words find, else those whose names hold them.
func FindAllIn(t *talk.Turn, r *planner.Recipe, words string) (all []*nutrition.Food) {
	add := func(is func(f *nutrition.Food) bool) {
		for _, i := range r.Ingredients {
			if f := t.Foods.Food(i.Food); f != nil && is(f) && !slices.Contains(all, f) {
				all = append(all, f)
			}
		}
	}
	if of := strings.TrimSpace(read.Without("line-place", words)); of != "" && of != words {
		if all = FindAllIn(t, r, of); len(all) > 0 { // "the second salt"
			return all
		}
	}
	if n := span.PlaceOf(words, len(r.Ingredients)); n > 0 && n <= len(r.Ingredients) {
		add(func(f *nutrition.Food) bool { return f.Key == r.Ingredients[n-1].Food })
		return all
	}
	found := t.Foods.Find(words)
	for _, some := range [][]*nutrition.Food{{found.Food}, found.Choices, found.Nearest} {
		if add(func(f *nutrition.Food) bool { return slices.Contains(some, f) }); len(all) > 0 {
			return all
		}
	}
	if stem := strings.TrimSuffix(strings.ToLower(read.Without("mince", words)), "s"); stem != "" { // at the beginning of a word: "less" is in "boneless"
		add(func(f *nutrition.Food) bool { return strings.Contains(" "+strings.ToLower(f.Name), " "+stem) })
	}
	return all
}

// Named is the one of some foods whose name has every word of a text, nil where that is
// none or several: "oats cooked".
func Named(some []*nutrition.Food, words string) *nutrition.Food {
	all := slices.DeleteFunc(slices.Clone(some), func(f *nutrition.Food) bool {
		return slices.ContainsFunc(strings.Fields(strings.ToLower(words)), func(w string) bool { return !strings.Contains(strings.ToLower(f.Name), strings.Trim(w, ",")) })
	})
	if len(all) != 1 {
		return nil
	}
	return all[0]
}

// KeyIn is the key of the recipe's ingredient or supplement that words mean;
// empty where they mean none.
func KeyIn(t *talk.Turn, r *planner.Recipe, words string) string {
	if f := FindIn(t, r, words); f != nil {
		return f.Key
	}
	if d := planner.FirstOf(r.Doses, func(d *planner.Dose) bool {
		return strings.Contains(strings.ToLower(t.FoodName(d.Food)), strings.ToLower(words))
	}); d != nil {
		return d.Food
	}
	return ""
}

// RecipeWith is the recipe that has a food: the one under discussion where
// it has it, else the first that does.
func RecipeWith(t *talk.Turn, words string) *planner.Recipe {
	if r := talk.TheRecipe(t, nil); r != nil && FindIn(t, r, words) != nil {
		return r
	}
	if span.PlaceOf(words, 1) > 0 { // every recipe has a first line
		return nil
	}
	for _, r := range t.Recipes() {
		if FindIn(t, r, words) != nil {
			return r
		}
	}
	return nil
}

// MeantWith is the recipe that a sentence means: the one that is named, else one
// that has the food named, else the one under discussion. Where it is not clear it
// says so and returns nil.
func MeantWith(t *talk.Turn, s read.Sentence) *planner.Recipe {
	if named := span.Mentions(t.AsTyped(), t.Names().Recipes); t.Recipe(s.Recipe) == nil && len(named) == 1 {
		s.Recipe = named[0].ID
	}
	if t.Recipe(s.Recipe) == nil && s.Food != "" {
		if r := RecipeWith(t, s.Food); r != nil {
			return r
		}
	}
	return talk.RecipeMeant(t, s)
}

// SayDanger refuses what the lists know as dangerous, and what was named
// besides.
func SayDanger(t *talk.Turn, d *alarm.Danger, also ...alarm.Danger) *say.Reply {
	return t.Say(say.Para(say.LinesOf(append([]alarm.Danger{*d}, also...), func(d alarm.Danger) string { return DangerText(&d) })))
}

func DangerText(d *alarm.Danger) string {
	return msg("food.refused", "food", d.Name, "reason", msg("refuse."+d.Key))
}

// namesDraft keeps the recipe that is being typed where a sentence names it and a dog,
// and answers that: "Juniper and Bracken eat Lamb pot", "how much Lamb pot for Juniper".
// It reports whether it did.
func namesDraft(t *talk.Turn, d RecipeDraft, s string) bool {
	names := t.Names()
	names.Recipes = append(names.Recipes, span.Named{ID: "?", Name: d.Name})
	said, ok := read.Understand(s, names, t.Home.Units)
	_, _, of := talk.DogsIn(t, s)
	named := ok && said.Recipe == "?" || strings.Contains(strings.ToLower(s), strings.ToLower(d.Name))
	if d.Name == "" || len(d.Open) > 0 || len(d.Ingredients)+len(d.Doses) == 0 || !named || len(of) == 0 || talk.IsLine(t, s) {
		return false
	}
	d.Stay = false
	if goOnWithRecipe(t, d, nil, nil); t.Talk.Kind == "" {
		talk.Sentence(t, s)
	}
	return true
}

// mattersFirst are the nutrients that home-made food is most often short of,
// for which a missing figure matters most (Stockman and others 2013 on
// home-made recipes for dogs, from memory; the order is our own choice).
var mattersFirst = []nutrition.Subject{
	nutrition.Subject(nutrition.Iodine), nutrition.Subject(nutrition.Calcium), nutrition.CalciumPhosphorus, nutrition.Subject(nutrition.VitaminD),
	nutrition.Subject(nutrition.Zinc), nutrition.Subject(nutrition.Copper), nutrition.Subject(nutrition.VitaminE), nutrition.Subject(nutrition.Choline),
	nutrition.Subject(nutrition.Manganese), nutrition.VitaminA, nutrition.EPADHA, nutrition.Subject(nutrition.EPA), nutrition.Subject(nutrition.DHA),
	nutrition.Subject(nutrition.Selenium), nutrition.Subject(nutrition.Phosphorus),
}

// byWeight puts what matters most first and leaves the rest in its order.
func byWeight(all []nutrition.Subject) {
	rank := func(s nutrition.Subject) int {
		if i := slices.Index(mattersFirst, s); i >= 0 {
			return i
		}
		return len(mattersFirst)
	}
	slices.SortStableFunc(all, func(a, b nutrition.Subject) int { return cmp.Compare(rank(a), rank(b)) })
}

// MostNamed is how many nutrients without figures a line names.
const MostNamed = 6

// NamesOf lists nutrients, those that matter most first: the first few and
// how many more there are. It reports whether it left any out.
func NamesOf(all []nutrition.Subject, most int) (text string, cut bool) {
	byWeight(all)
	var names []string
	for i, s := range all {
		if i == most && len(all) > most+1 {
			return say.List(append(names, msg("recipe.unknown-more", "n", len(all)-most))), true
		}
		names = append(names, s.Name())
	}
	return say.List(names), false
}

// unknownText names the nutrients of which the table lacks a value for every
// ingredient, or for some. It reports whether it left any out.
func unknownText(t *talk.Turn, r *planner.Recipe, most int) (text string, cut bool) {
	var none, some []nutrition.Subject
	for n := nutrition.Calcium; n < nutrition.NutrientCount; n++ {
		missing := 0
		for _, i := range r.Ingredients {
			f := t.Foods.Food(i.Food)
			onLabel := func(x planner.Fact) bool { return x.Nutrient == n }
			if f != nil && !f.Per100[n].Complete && !slices.ContainsFunc(i.Label, onLabel) {
				missing++
			}
		}
		switch {
		case missing == 0 || n == nutrition.Cholesterol || n == nutrition.VitaminK || n == nutrition.VitaminC:
		case missing == len(r.Ingredients):
			none = append(none, nutrition.Subject(n))
		default:
			some = append(some, nutrition.Subject(n))
		}
	}
	of, cutNone := NamesOf(none, most)
	part, cutSome := NamesOf(some, most)
	return say.JoinParas(say.Where(len(none) > 0, msg("recipe.unknown", "what", of)), say.Where(len(some) > 0, msg("recipe.unknown-part", "what", part))), cutNone || cutSome
}
