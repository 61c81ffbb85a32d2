package bot

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"bowlwright/bot/read"
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
		got := read.RecipeText(section, nutrition.Default())
		if len(got.Problems) > 0 || got.Name == "" {
			panic(fmt.Sprintf("bot: house_recipes.txt: %q: %v", section, got.Problems))
		}
		out = append(out, got.Planner())
	}
	return out
})

// listHouse offers the recipes that come with the program.
func (t *turn) listHouse() {
	r := t.sayMsg("house.list", "profile", msg("profile."+houseProfile))
	for i, recipe := range houseRecipes() {
		r.offer(t.button(recipe.Name, "house", "take", strconv.Itoa(i)))
	}
}

// pressHouse lists the recipes or puts one into the household's own.
func (t *turn) pressHouse(args []string) {
	if arg(args, 0) == "list" {
		t.listHouse()
		return
	}
	i, err := strconv.Atoi(arg(args, 1))
	if err != nil || i < 0 || i >= len(houseRecipes()) {
		t.sayMsg("press.stale")
		return
	}
	recipe := houseRecipes()[i]
	t.keepRecipe(recipeDraft{Name: recipe.Name, Ingredients: recipe.Ingredients, Doses: recipe.Doses}, joinParas(t.houseAssumes(recipe), t.houseExclusions(recipe)))
}

// houseAssumes says what a recipe that comes with the program takes for granted
// of its seaweed, and how it stands without.
func (t *turn) houseAssumes(r planner.Recipe) string {
	without := r
	without.Ingredients = nil
	text := ""
	for _, in := range r.Ingredients {
		f := t.foods.Food(in.Food)
		if f == nil || !f.Has(nutrition.Seaweed) {
			without.Ingredients = append(without.Ingredients, in)
			continue
		}
		for _, x := range in.Label {
			if x.Nutrient == nutrition.Iodine {
				text = msg("house.assumes", "grams", exactMass(in.Grams, t.home.Units), "food", f.Name, "iodine", sig(x.PerGram))
			}
		}
	}
	l, err := t.look(&without, nil)
	if text == "" || err != nil {
		return ""
	}
	iodine := l.result.Row(nutrition.Subject(nutrition.Iodine))
	return text + " " + msg("house.without", "verdict", iodine.Verdict.String(), "rest", t.verdictText(l))
}

// houseExclusions says which dogs may not have something in the recipe.
func (t *turn) houseExclusions(r planner.Recipe) string {
	var lines []string
	for i := range t.home.Dogs {
		lines = append(lines, t.excludedText(&t.home.Dogs[i], r))
	}
	return joinParas(lines...)
}

// excludedText says what of a recipe a dog may not have, empty for nothing.
func (t *turn) excludedText(d *planner.Dog, r planner.Recipe) string {
	var foods []string
	for _, in := range r.Ingredients {
		if f := t.foods.Food(in.Food); f != nil && nutrition.Excluded(f, d.Excludes) {
			foods = append(foods, f.Name)
		}
	}
	if len(foods) == 0 {
		return ""
	}
	return msg("house.not-for", "dog", d.Name, "foods", list(foods))
}
