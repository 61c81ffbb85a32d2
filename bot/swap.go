package bot

import (
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// mostSwaps is how many foods a swap offers.
const mostSwaps = 4

// answerSwap offers foods in place of one that a sentence names.
func (t *turn) answerSwap(s read.Sentence) {
	r := t.recipe(s.Recipe)
	if r == nil && s.Food != "" {
		r = t.recipeWith(s.Food)
	}
	if r == nil {
		if r = t.recipeMeant(s); r == nil {
			return
		}
	}
	d := t.dogMeant(s)
	words, in := s.Food, ""
	if len(s.FoodList) == 2 {
		words, in = s.FoodList[0], s.FoodList[1]
	}
	if words == "" {
		t.askSwap(r, d)
		return
	}
	if no := t.foods.Find(in).Refused; in != "" && no != nil {
		t.sayMsg("food.refused", "food", no.Name, "reason", msg("refuse."+no.Key))
		return
	}
	f := t.findIn(r, words)
	if f == nil {
		t.sayMsg("scale.not-in-recipe", "food", short(words), "recipe", r.Name)
		return
	}
	for i := range r.Ingredients {
		if r.Ingredients[i].Food == f.Key {
			t.swap(r, d, i, in)
			return
		}
	}
}

// askSwap asks which ingredient is to be replaced.
func (t *turn) askSwap(r *planner.Recipe, d *planner.Dog) {
	out := t.sayMsg("ask.swap", "recipe", r.Name)
	for i, in := range r.Ingredients {
		out.offer(t.button(t.foodName(in.Food), "swap", "of", r.ID, idOf(d), strconv.Itoa(i)))
	}
}

// swap offers the foods that change the recipe least, at the grams that keep
// its energy or its shares, with what gets better and worse.
// in, where not empty, is the food that a carer wants in its place.
func (t *turn) swap(r *planner.Recipe, d *planner.Dog, index int, in string) {
	if t.held(d) {
		return
	}
	t.talk.Recipe = r.ID
	l, options, err := t.swapOptions(r, d, index, 1000)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	options, other := t.wanted(options, in)
	options = options[:min(len(options), mostSwaps)]
	old := l.mixture.Items[index]
	if len(options) == 0 {
		t.sayMsg("swap.none", "food", old.Food.Name)
		return
	}
	var lines []string
	for _, o := range options {
		lines = append(lines, t.swapLine(o))
	}
	out := t.say(para(other), para(msg("swap.first", "grams", exactMass(old.Grams, t.home.Units), "food", old.Food.Name, "recipe", r.Name)),
		para(strings.Join(lines, "\n")), para(t.swapExclusions(d)))
	for _, o := range options {
		out.offer(t.button(msg("button.take", "food", o.Food.Name), "swap", "take", r.ID, idOf(d), strconv.Itoa(index), o.Food.Key))
	}
}

// wanted keeps the options that a carer's words mean; all where they mean
// none of them, which it says.
func (t *turn) wanted(options []nutrition.SwapOption, words string) (kept []nutrition.SwapOption, other string) {
	if words == "" {
		return options, ""
	}
	found := t.foods.Find(words)
	for _, o := range options {
		if o.Food == found.Food || slices.Contains(found.Choices, o.Food) {
			kept = append(kept, o)
		}
	}
	if len(kept) == 0 {
		return options, msg("swap.not-that", "food", short(words))
	}
	return kept, ""
}

func (t *turn) swapExclusions(d *planner.Dog) string {
	if d == nil || len(d.Excludes) == 0 {
		return ""
	}
	return msg("swap.kept-out", "dog", d.Name, "foods", list(d.Excludes))
}

func (t *turn) swapOptions(r *planner.Recipe, d *planner.Dog, index, limit int) (looked, []nutrition.SwapOption, error) {
	l, err := t.given(d, r)
	if err != nil {
		return l, nil, err
	}
	return l, nutrition.Swaps(l.mixture, index, l.profile, l.result.Basis, t.foods, t.excluder(d), limit), nil
}

// swapLine is one food to swap in: its grams, what gets better and worse.
func (t *turn) swapLine(o nutrition.SwapOption) string {
	s := msg("swap.option", "grams", exactMass(kitchenGrams(o.Grams), t.home.Units), "food", o.Food.Name, "keeps", msg("keeps."+string(o.Keeps)))
	if better := changeNames(o.Better); better != "" {
		s += " " + msg("swap.better", "names", better)
	}
	if worse := changeNames(o.Worse); worse != "" {
		s += " " + msg("swap.worse", "names", worse)
	}
	if len(o.Better)+len(o.Worse) > 0 {
		return s
	}
	var most []string
	for _, c := range o.Biggest {
		most = append(most, msg("swap.change", "name", c.Subject.Name(), "percent", signed(c.Part)))
	}
	if len(most) == 0 {
		return s
	}
	return s + " " + msg("swap.biggest", "changes", strings.Join(most, ", "))
}

// signed prints a part of a limit as "+12 %" or "-12 %".
func signed(part float64) string {
	s := trim(part*100, 0) + " %"
	if part > 0 {
		return "+" + s
	}
	return s
}

// changeNames says changed verdicts: "zinc (low to enough)".
func changeNames(changes []nutrition.Change) string {
	var names []string
	for i, c := range changes {
		if i == 3 {
			names = append(names, msg("finding.others", "n", len(changes)-3))
			break
		}
		names = append(names, msg("swap.verdict", "name", c.Subject.Name(), "from", c.From.String(), "to", c.To.String()))
	}
	return strings.Join(names, ", ")
}

// pressSwap does what a button about a swap asks.
func (t *turn) pressSwap(args []string) {
	r, d := t.recipe(arg(args, 1)), t.dog(arg(args, 2))
	if r == nil || d == nil && arg(args, 2) != "-" {
		t.sayMsg("press.gone")
		return
	}
	if arg(args, 0) == "ask" {
		t.askSwap(r, d)
		return
	}
	index, err := strconv.Atoi(arg(args, 3))
	if err != nil || index < 0 || index >= len(r.Ingredients) {
		t.sayMsg("press.gone")
		return
	}
	switch arg(args, 0) {
	case "of":
		t.swap(r, d, index, "")
	case "take":
		t.takeSwap(r, d, index, arg(args, 4))
	default:
		t.sayMsg("press.stale")
	}
}

// takeSwap puts the chosen food into the recipe.
func (t *turn) takeSwap(r *planner.Recipe, d *planner.Dog, index int, key string) {
	if t.held(d) {
		return
	}
	_, options, err := t.swapOptions(r, d, index, 1000)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	for _, o := range options {
		if o.Food.Key == key {
			t.mutate("did.recipe-changed", r.Name)
			r.Ingredients[index] = planner.Ingredient{Food: key, Grams: kitchenGrams(o.Grams)}
			t.showRecipe(r, msg("recipe.changed", "recipe", r.Name), t.undoButton())
			return
		}
	}
	t.sayMsg("press.gone")
}
