package balance

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// CookedBone refuses to have bone cooked: a cut that a text names, or the recipe
// that it names or means.
func CookedBone(t *talk.Turn, s string) bool {
	if strings.Contains(s, "\n") || !read.SaysCooking(s) {
		return false
	}
	var r *planner.Recipe
	for _, one := range t.Recipes() {
		if strings.Contains(strings.ToLower(s), strings.ToLower(one.Name)) {
			r = one
		}
	}
	if r == nil && read.SaysOneOf(s, "the-food") {
		r = talk.TheRecipe(t, t.Dog(t.Talk.Dog))
	}
	if r != nil {
		return recipes.NotCooked(t, r)
	}
	if !read.SaysOneOf(s, "bone-cut") {
		return false
	}
	recipes.RefuseCooked(t, nil)
	return true
}

// BoneToCook is CookedBone for a text that neither asks whether a dog may have
// a food nor is a line of a recipe.
func BoneToCook(t *talk.Turn, s string) bool {
	if read.Says("of-eating", s) {
		return false
	}
	if got := t.RecipeText(s); len(got.Lines) > 0 || len(got.Problems) == 1 && recipes.CookedBoneLine(got.Problems[0]) && strings.ContainsAny(s, "0123456789") {
		return false
	}
	return CookedBone(t, s)
}

// pressBone takes the way out that was chosen.
func pressBone(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 1))
	switch {
	case talk.Arg(args, 0) == "raw" && r != nil && read.SaysCooking(r.Method):
		t.Mutate("did.recipe-changed", r.Name)
		r.Method = ""
		t.Say(say.Para(msg("bone.raw")), say.Para(msg("bone.method-out", "recipe", r.Name))).Offer(t.UndoButton())
	case talk.Arg(args, 0) == "raw":
		t.SayMsg("bone.raw")
	case r == nil:
		t.SayMsg("bone.off")
	case !recipes.AnyBone(t, r.Ingredients):
		t.SayMsg("press.stale")
	default:
		t.Mutate("did.recipe-changed", r.Name)
		recipes.ShowRecipe(t, r, offTheBone(t, r), t.UndoButton())
	}
}

// offTheBone takes the bone out of a recipe and puts its calcium back, and says
// both.
func offTheBone(t *talk.Turn, r *planner.Recipe) string {
	var notes []string
	r.Ingredients = slices.Clone(r.Ingredients)
	for i, in := range r.Ingredients {
		if !recipes.Bony(t, in.Food) {
			continue
		}
		f := t.Foods.Food(in.Food)
		meat := boneless(t, f)
		if meat == nil {
			notes = append(notes, msg("bone.no-meat", "food", f.Name))
			continue
		}
		grams := nutrition.Grams(math.Round(float64(in.Grams) * (1 - f.Bone.Mid)))
		r.Ingredients[i] = planner.Ingredient{Food: meat.Key, Grams: grams}
		notes = append(notes, msg("bone.taken", "was", say.ExactMass(in.Grams, t.Home.Units), "food", f.Name, "grams", say.ExactMass(grams, t.Home.Units), "meat", meat.Name))
	}
	return say.JoinParas(append(notes, addCalcium(t, r))...)
}

// boneless is the meat that stands for a cut without its bone: of the same
// animal, with skin before without, the nearest in name.
func boneless(t *talk.Turn, cut *nutrition.Food) (best *nutrition.Food) {
	most := -1
	for _, f := range t.Foods.Foods() {
		if f.Species != cut.Species || f.Part != nutrition.Muscle || !f.Has(nutrition.Raw) || recipes.Bony(t, f.Key) {
			continue
		}
		score := 0
		for _, w := range strings.Fields(strings.NewReplacer(",", "", "-", " ").Replace(cut.Name)) {
			if len(w) > 3 && strings.Contains(f.Name, w) {
				score += 2
			}
		}
		if strings.Contains(f.Name, "with skin") && !strings.Contains(cut.Name, "no skin") {
			score++
		}
		if score > most {
			best, most = f, score
		}
	}
	return best
}

// wantedRatio is the calcium to phosphorus that calcium is put back to (common
// practice, no source; the tables have 1 to 2).
const wantedRatio = 1.2

// addCalcium adds as much calcium carbonate as a recipe lacks without bone, for
// the dog that is spoken of.
func addCalcium(t *talk.Turn, r *planner.Recipe) string {
	const carbonate = "calcium-carbonate"
	most := 0.05 * float64(r.Grams(""))
	for grams := 0.5; grams <= most; grams += 0.5 {
		with := *r
		with.Ingredients = append(slices.Clone(r.Ingredients), planner.Ingredient{Food: carbonate, Grams: nutrition.Grams(grams)})
		l, err := Look(t, &with, t.Dog(t.Talk.Dog))
		if err != nil {
			break
		}
		ca, ratio := l.Result.Row(nutrition.Subject(nutrition.Calcium)), l.Result.Row(nutrition.CalciumPhosphorus)
		if (ca == nil || ca.Low >= ca.Min) && (ratio == nil || ratio.Mid >= wantedRatio) {
			r.Ingredients = with.Ingredients
			return msg("bone.calcium", "grams", say.ExactMass(nutrition.Grams(grams), t.Home.Units), "food", t.FoodName(carbonate))
		}
	}
	return msg("bone.off")
}

// ToBeCooked refuses to make anything of a recipe whose name or method says that
// it is cooked, bone and all, and reports whether it did.
func ToBeCooked(t *talk.Turn, r *planner.Recipe) bool {
	return r != nil && (read.SaysCooking(r.Name) || read.SaysCooking(r.Method)) && recipes.NotCooked(t, r)
}
