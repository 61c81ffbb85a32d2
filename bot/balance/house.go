package balance

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

//go:embed house_recipes.txt
var houseText string

// houseProfile is the profile that every recipe of houseText claims.
const houseProfile = "aafco-adult"

// houseRecipes are the recipes that come with the program. A line that cannot
// be read is a defect of the program and stops it at once.
var houseRecipes = sync.OnceValue(func() []planner.Recipe {
	var out []planner.Recipe
	for _, section := range strings.Split(houseText, "\n\n") {
		if strings.HasPrefix(section, "#") {
			continue // the comment at the top
		}
		got := foodline.RecipeText(section, nutrition.Default())
		if len(got.Problems) > 0 || got.Name == "" {
			panic(fmt.Sprintf("bot: house_recipes.txt: %q: %v", section, got.Problems))
		}
		out = append(out, got.Planner())
	}
	return out
})

// pressHouse offers the recipes that come with the program, or puts one into the
// household's own.
func pressHouse(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "list" {
		r := t.SayMsg("house.list", "profile", msg("profile."+houseProfile))
		for i, recipe := range houseRecipes() {
			r.Offer(t.Button(recipe.Name, "house", "take", strconv.Itoa(i)))
		}
		return
	}
	i, err := strconv.Atoi(talk.Arg(args, 1))
	if talk.Stale(t, err != nil || i < 0 || i >= len(houseRecipes())) {
		return
	}
	recipe := houseRecipes()[i]
	recipes.KeepRecipe(t, recipes.RecipeDraft{Name: recipe.Name, Ingredients: recipe.Ingredients, Doses: recipe.Doses}, houseAssumes(t, recipe))
}

// houseAssumes says what a recipe that comes with the program takes for granted
// of its seaweed, and how it stands without.
func houseAssumes(t *talk.Turn, r planner.Recipe) string {
	without := r
	without.Ingredients = nil
	text := ""
	for _, in := range r.Ingredients {
		f := t.Foods.Food(in.Food)
		if f == nil || !f.Has(nutrition.Seaweed) {
			without.Ingredients = append(without.Ingredients, in)
			continue
		}
		for _, x := range in.Label {
			if x.Nutrient == nutrition.Iodine {
				text = msg("house.assumes", "grams", say.ExactMass(in.Grams, t.Home.Units), "food", f.Name, "iodine", say.Sig(x.PerGram))
			}
		}
	}
	l, err := Look(t, &without, nil)
	if text == "" || err != nil {
		return ""
	}
	iodine := l.Result.Row(nutrition.Subject(nutrition.Iodine))
	return text + " " + msg("house.without", "verdict", iodine.Verdict.String(), "rest", VerdictText(l))
}
