package bot

import (
	"math"
	"slices"
	"sort"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func (t *turn) listRecipes() {
	var rows []tableRow
	for i := range t.home.Recipes {
		r := &t.home.Recipes[i]
		cell := msg("value.unknown")
		if sum, err := planner.TotalsOf(*r, t.foods); err == nil && sum.Grams > 0 {
			cell = trim(sum.Energy.Mid/float64(sum.Grams), 2)
		}
		rows = append(rows, tableRow{r.Name, []string{cell}})
	}
	out := t.say(para(msg("recipe.list", "n", len(rows))), tableBlock(append([]tableRow{{"", []string{"kcal/g"}}}, rows...)))
	for i := range t.home.Recipes {
		r := &t.home.Recipes[i]
		out.offer(t.button(r.Name, "recipe", "show", r.ID))
	}
	out.offer(t.button(msg("button.add-recipe"), "recipe", "add"), t.button(msg("button.house"), "house", "list"))
}

// showRecipe says energy and weight first, then ingredients, shares and what
// is not known.
func (t *turn) showRecipe(r *planner.Recipe, head string, extra ...Button) {
	t.talk.Recipe = r.ID
	sum, err := planner.TotalsOf(*r, t.foods)
	if err != nil {
		t.say(para(head), para(t.recipeTrouble(r, err)))
		return
	}
	if sum.Grams == 0 {
		out := t.say(para(head), para(t.dosesText(r)), para(msg("scale-wrong.empty", "recipe", r.Name)))
		t.offerForRecipe(out, r)
		out.offer(extra...)
		return
	}
	unknown, cut := t.unknownText(r, mostNamed)
	out := t.say(para(head), para(t.recipeEnergy(r, sum)), tableBlock(t.ingredientRows(r)),
		para(t.dosesText(r)), para(msg("recipe.shares")), tableBlock(shareRows(sum)), para(unknown))
	t.offerForRecipe(out, r)
	out.offer(extra...)
	if cut {
		out.offer(t.button(msg("button.unknown"), "recipe", "unknown", r.ID))
	}
}

func (t *turn) offerForRecipe(out *Reply, r *planner.Recipe) {
	row := []Button{}
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if i < 3 {
			row = append(row, t.button(msg("button.bowl-for", "dog", d.Name), "bowl", "recipe", d.ID, r.ID))
		}
	}
	out.offer(row...)
	out.offer(t.button(msg("button.complete"), "analysis", "look", r.ID, idOf(t.talkedOf())))
	out.offer(t.button(msg("button.scale"), "scale", "ask", r.ID), t.button(msg("button.change"), "recipe", "edit", r.ID),
		t.button(msg("button.lines"), "recipe", "text", r.ID), t.button(msg("button.remove"), "recipe", "remove", r.ID))
}

// recipeEnergy is the line "Turkey and heart: 935 kcal (910-960) in 615 g,
// 1.52 kcal/g".
func (t *turn) recipeEnergy(r *planner.Recipe, sum planner.Totals) string {
	perGram := msg("value.unknown")
	if sum.Grams > 0 && sum.Energy.Complete {
		perGram = trim(sum.Energy.Mid/float64(sum.Grams), 2)
	}
	days := ""
	if r.Days > 0 {
		days = msg("recipe.days", "n", trim(r.Days, 1))
	}
	return msg("recipe.energy", "recipe", r.Name, "kcal", kcalRange(sum.Energy),
		"grams", mass(sum.Grams, t.home.Units), "per", perGram) + days
}

func (t *turn) ingredientRows(r *planner.Recipe) []tableRow {
	var rows []tableRow
	for _, i := range r.Ingredients {
		rows = append(rows, tableRow{t.foodName(i.Food), []string{exactMass(i.Grams, t.home.Units)}})
	}
	return rows
}

// dosesText lists a recipe's supplements with their cadence.
func (t *turn) dosesText(r *planner.Recipe) string {
	var lines []string
	for _, d := range r.Doses {
		lines = append(lines, t.doseText(d))
	}
	return strings.Join(lines, "\n")
}

// doseText prints a supplement: "vitamin E 200 IU, every 3 days".
func (t *turn) doseText(d planner.Dose) string {
	if d.Batch {
		return t.doseAmount(d) + ", " + msg("dose.batch")
	}
	return t.doseAmount(d) + ", " + cadenceText(d.Cadence)
}

// doseAmount prints a supplement without how often it is given.
func (t *turn) doseAmount(d planner.Dose) string {
	s := t.foodName(d.Food)
	if d.Count > 0 && d.Form != "" {
		form := d.Form
		if d.Count != 1 {
			form += "s"
		}
		s += " " + msg("dose.count", "n", trim(d.Count, 2), "form", form)
	}
	if d.Grams > 0 && d.Count == 0 {
		mass := exactMass(d.Grams, t.home.Units)
		if n, ok := t.teaspoons(d); ok {
			mass = msg("dose.spoons", "n", trim(n, 2), "mass", mass)
		}
		s += " " + mass
	}
	for _, a := range d.Amounts {
		decimals := 2
		if a.Amount >= 100 { // of an amount worked out for a dog, more is no use
			decimals = 0
		}
		s += " " + trim(a.Amount, decimals) + " " + unitText(a.Nutrient.Unit())
		if len(d.Amounts) > 1 {
			s += " " + a.Nutrient.Name()
		}
	}
	if d.Count > 1 && len(d.Amounts) > 0 {
		s += " " + msg("dose.in-all")
	}
	if d.Per1000 {
		s += " " + msg("dose.per-1000")
	}
	return s
}

// teaspoons are how many of them a dose by weight is, where it is so many
// quarters of one: nobody weighs an oil each morning.
func (t *turn) teaspoons(d planner.Dose) (n float64, ok bool) {
	f := t.foods.Food(d.Food)
	if !dosed(f) {
		return 0, false
	}
	m, ok := f.MeasureOf("tsp", "")
	if !ok || m.Grams <= 0 {
		return 0, false
	}
	n = float64(d.Grams / m.Grams)
	quarters := math.Round(n * 4)
	return quarters / 4, quarters > 0 && math.Abs(n-quarters/4) < 0.005
}

func unitText(u string) string {
	if u == "ug" {
		return "µg"
	}
	return u
}

// cadenceText prints how often a supplement is given.
func cadenceText(c planner.Cadence) string {
	switch {
	case c.EveryDays > 1:
		return msg("cadence.every", "n", c.EveryDays)
	case len(c.Weekdays) > 0:
		var days []string
		for _, d := range c.Weekdays {
			days = append(days, d.String())
		}
		return msg("cadence.weekdays", "days", list(days))
	case c.PerWeek > 0:
		return msg("cadence.per-week", "n", c.PerWeek)
	}
	return msg("cadence.daily")
}

// shareRows are the shares by body part, the largest first; parts of which
// there is nothing are left out.
func shareRows(sum planner.Totals) []tableRow {
	type share struct {
		part nutrition.Part
		f    float64
	}
	var shares []share
	for p, f := range sum.Shares {
		if f > 0.0005 {
			shares = append(shares, share{nutrition.Part(p), f})
		}
	}
	sort.SliceStable(shares, func(i, j int) bool { return shares[i].f > shares[j].f })
	var rows []tableRow
	for _, s := range shares {
		rows = append(rows, tableRow{msg("part." + s.part.String()), []string{percent(s.f)}})
	}
	return rows
}

func onLabel(i planner.Ingredient, n nutrition.Nutrient) bool {
	for _, f := range i.Label {
		if f.Nutrient == n {
			return true
		}
	}
	return false
}

// recipeTrouble says why nothing can be computed from a recipe.
func (t *turn) recipeTrouble(r *planner.Recipe, err error) string {
	return scaleTrouble(t, r.Name, err)
}

// pressRecipe does what a button about a recipe asks.
func (t *turn) pressRecipe(args []string) {
	if arg(args, 0) == "add" {
		t.parkSame("recipe")
		t.askForLines(recipeDraft{})
		return
	}
	r := t.recipe(arg(args, 1))
	if r == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Recipe = r.ID
	switch arg(args, 0) {
	case "show":
		t.showRecipe(r, "")
	case "edit":
		t.offerRecipeEdit(r)
	case "text":
		t.say(para(read.FormatLines(copied(*r, t.home.Units), t.foods, t.home.Units)))
	case "unknown":
		text, _ := t.unknownText(r, int(nutrition.NutrientCount))
		t.say(para(text)).offer(t.button(msg("button.complete"), "analysis", "look", r.ID, idOf(t.talkedOf())))
	case "lines":
		d := recipeDraft{ID: r.ID, Name: r.Name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days}
		t.ask("recipe", "lines", d)
		t.sayMsg("ask.recipe-more", "recipe", r.Name).offer(t.stopButton())
	case "less":
		t.removeIngredient(r, arg(args, 2))
	case "remove":
		t.askedSure("recipe", "really", r.ID)
		going := recipeGoing{id: r.ID}
		t.happened(&going)
		t.say(para(msg("recipe.remove-sure", "recipe", r.Name)), para(going.uses)).
			offer(t.button(msg("button.yes-remove"), "recipe", "really", r.ID), t.button(msg("button.keep"), "recipe", "show", r.ID))
	case "really":
		t.removeRecipe(r)
	default:
		t.sayMsg("press.stale")
	}
}

// copied is a recipe with amounts as a person would write them: to a tenth of
// a gram or a hundredth of an ounce.
func copied(r planner.Recipe, u planner.Units) planner.Recipe {
	unit := nutrition.Grams(1)
	round := 10.0
	if u.Ounces {
		unit, round = nutrition.GramsPerOunce, 100
	}
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		if n := math.Round(float64(r.Ingredients[i].Grams/unit)*round) / round; n > 0 {
			r.Ingredients[i].Grams = nutrition.Grams(n) * unit
		}
	}
	return r
}

func (t *turn) offerRecipeEdit(r *planner.Recipe) {
	out := t.sayMsg("recipe.edit-what", "recipe", r.Name)
	out.offer(t.button(msg("button.add-lines"), "recipe", "lines", r.ID))
	for _, i := range r.Ingredients {
		out.offer(t.button(msg("button.take-out", "food", t.foodName(i.Food)), "recipe", "less", r.ID, i.Food))
	}
	for _, d := range r.Doses {
		out.offer(t.button(msg("button.take-out", "food", t.doseText(d)), "recipe", "less", r.ID, d.Food))
	}
}

// removeIngredient takes a food out of a recipe.
func (t *turn) removeIngredient(r *planner.Recipe, food string) {
	t.mutate("did.recipe-changed", r.Name)
	ingredients := r.Ingredients[:0]
	for _, i := range r.Ingredients {
		if i.Food != food {
			ingredients = append(ingredients, i)
		}
	}
	doses := r.Doses[:0]
	for _, d := range r.Doses {
		if d.Food != food {
			doses = append(doses, d)
		}
	}
	r.Ingredients, r.Doses = ingredients, doses
	t.showRecipe(r, msg("recipe.changed", "recipe", r.Name), t.undoButton())
}

func (t *turn) removeRecipe(r *planner.Recipe) {
	name, id := r.Name, r.ID
	t.mutate("did.recipe-removed", name)
	kept := t.home.Recipes[:0]
	for _, other := range t.home.Recipes {
		if other.ID != id {
			kept = append(kept, other)
		}
	}
	t.home.Recipes = kept
	for i := range t.home.Dogs {
		if t.home.Dogs[i].Recipe == id {
			t.home.Dogs[i].Recipe = ""
		}
	}
	if t.talk.Recipe == id {
		t.talk.Recipe = ""
	}
	gone := recipeRemoved{id: id, name: name}
	t.happened(&gone)
	t.say(para(msg("recipe.removed", "recipe", name)), para(gone.said)).offer(t.undoButton())
}

// problemText says what is wrong with a piece of text and what to type
// instead.
func problemText(p read.Problem) string {
	key := "problem." + string(p.Code)
	if p.Code == read.RefusedFood && p.Finding.Refused != nil {
		return msg("problem.refused-food", "text", short(p.Text), "food", p.Finding.Refused.Name,
			"reason", msg("refuse."+p.Finding.Refused.Key))
	}
	if p.Code == read.SaltOrElement && p.Finding.Food != nil {
		return msg("problem.salt-or-element", "text", short(p.Text), "part", short(p.Part), "share", percent(p.Salt().Share))
	}
	if !hasMessage(key) {
		return msg("wrong.text", "text", short(p.Text))
	}
	part := p.Part
	if part == "" {
		part = p.Text
	}
	s := msg(key, "text", short(p.Text), "part", short(part))
	if p.Labelled() {
		return s + " " + msg("problem.own-product")
	}
	if len(p.Finding.Nearest) > 0 {
		var names []string
		for _, f := range p.Finding.Nearest {
			names = append(names, f.Name)
		}
		s += " " + msg("problem.nearest", "foods", strings.Join(names, "; "))
	}
	return s
}

func (t *turn) recipeNames() (names []string) {
	for i := range t.home.Recipes {
		names = append(names, t.home.Recipes[i].Name)
	}
	return names
}
