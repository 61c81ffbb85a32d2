package balance

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
	"bowlwright/planner"
)

// mostSwaps is how many foods a swap offers.
const mostSwaps = 4

// answerSwap offers foods in place of one that a sentence names.
func answerSwap(t *talk.Turn, s read.Sentence) {
	if s.Food == "" && len(s.FoodList) == 1 && !inItsPlace(t, &s) {
		if r := outJustNow(t); r != nil && s.Grams > 0 {
			t.GoTo(read.Sentence{Intent: read.AddLines, Words: say.ExactMass(s.Grams, t.Home.Units) + " " + s.FoodList[0], Recipe: r.ID})
			return
		}
		t.SayMsg("swap.of-what", "food", say.Short(s.FoodList[0]))
		return
	}
	r := recipes.MeantWith(t, s)
	if r == nil {
		return
	}
	d := talk.DogMeant(t, s)
	words, in := s.Food, ""
	if len(s.FoodList) == 2 {
		words, in = s.FoodList[0], s.FoodList[1]
	}
	if words == "" {
		askSwap(t, r, d)
		return
	}
	if no := t.Foods.Find(in).Refused; in != "" && no != nil {
		recipes.SayRefused(t, no)
		return
	}
	f := recipes.FindIn(t, r, words)
	if f == nil && in == "" {
		f, in = bothNamed(t, r, words)
	}
	if f == nil {
		for part := range strings.SplitSeq(words, ", ") { // "what could i add for calcium? i have egg shells"
			if subject, ok := read.NutrientNamed(part); ok {
				sayNutrient(t, r, d, subject)
				return
			}
		}
		t.SayMsg("scale.not-in-recipe", "food", say.Short(words), "recipe", r.Name)
		return
	}
	found := t.Foods.Find(in)
	found.Food = cmp.Or(found.Food, recipes.Named(found.Choices, in))
	at := slices.IndexFunc(r.Ingredients, func(i planner.Ingredient) bool { return i.Food == f.Key })
	if s.Intent == read.SwapSame {
		s.Grams = r.Ingredients[at].Grams
	}
	if s.Grams > 0 && (found.Food == f || found.Food == nil && slices.Contains(found.Choices, f)) { // "the first line should be 400 g turkey thigh"
		recipes.AnswerSetLine(t, read.Sentence{Intent: read.SetLine, Food: f.Name, Recipe: r.ID, Grams: s.Grams})
		return
	}
	if s.Grams > 0 && found.Food == nil && len(found.Choices) > 0 {
		offerIn(t, t.SayMsg("swap.which", "food", say.Short(in), "out", f.Name), f.Name, s.Grams, found.Choices)
		return
	}
	if is := found.Food; s.Grams > 0 && is != nil && !held(t, d, f, is) {
		putIn(t, r, at, planner.Ingredient{Food: is.Key, Grams: s.Grams})
	} else {
		swap(t, r, d, at, in)
	}
}

// offerIn offers to put one of some foods in the place of another, so much of it.
func offerIn(t *talk.Turn, reply *say.Reply, out string, grams nutrition.Grams, some []*nutrition.Food) {
	talk.OfferAlso(t, reply, t.Event.Text, say.Each(some[:min(len(some), mostSwaps)], func(f *nutrition.Food) read.Reading {
		return read.Reading{Intent: string(read.Swap), Slots: map[string]string{"food": out, "amount": say.ExactMass(grams, t.Home.Units), "with": f.Name}}
	}))
}

// bothNamed parts words that name a food of a recipe and behind it what is to take its
// place: "instead of rice potato".
func bothNamed(t *talk.Turn, r *planner.Recipe, words string) (out *nutrition.Food, in string) {
	all := strings.Fields(words)
	for i := len(all) - 1; i > 0; i-- {
		in = strings.Join(all[i:], " ")
		found := t.Foods.Find(in)
		if out = recipes.FindIn(t, r, strings.Join(all[:i], " ")); out != nil && (found.Food != nil || len(found.Choices) > 0) {
			return out, in
		}
	}
	return nil, ""
}

// outJustNow is the recipe of which the last change took a food out, and only a moment
// ago: "put 250 g carrots in instead of it".
func outJustNow(t *talk.Turn) *planner.Recipe {
	last := t.LastChange()
	if last.Kind != "did.recipe-changed" || t.Event.At.Sub(last.At) > inPlaceFor {
		return nil
	}
	for _, was := range last.Before.Recipes {
		if is := t.Recipe(was.ID); is != nil && len(is.Ingredients) < len(was.Ingredients) {
			return is
		}
	}
	return nil
}

// inPlaceFor is for how long "instead of it" is about what was taken out (our own
// choice).
const inPlaceFor = 15 * time.Minute

// inItsPlace completes what goes "in instead of it" by the food that swaps were just
// offered for; false where none were.
func inItsPlace(t *talk.Turn, s *read.Sentence) bool {
	for _, args := range t.Offered("swap") {
		r := t.Recipe(talk.Arg(args, 1))
		at, err := strconv.Atoi(talk.Arg(args, 3))
		if talk.Arg(args, 0) == "take" && r != nil && err == nil && at < len(r.Ingredients) {
			s.Recipe, s.FoodList = r.ID, []string{t.FoodName(r.Ingredients[at].Food), s.FoodList[0]}
			return true
		}
	}
	return false
}

// askSwap asks which ingredient is to be replaced.
func askSwap(t *talk.Turn, r *planner.Recipe, d *planner.Dog) {
	out := t.SayMsg("ask.swap", "recipe", r.Name)
	for i, in := range r.Ingredients {
		out.Offer(t.Button(t.FoodName(in.Food), "swap", "of", r.ID, dogs.IDOf(d), strconv.Itoa(i)))
	}
}

// swap offers the foods that change the recipe least, at the grams that keep
// its energy or its shares, with what gets better and worse.
// in, where not empty, is the food that a carer wants in its place.
func swap(t *talk.Turn, r *planner.Recipe, d *planner.Dog, index int, in string) {
	if in == "" && dogs.Held(t, d) || in != "" && held(t, d, t.Foods.Food(r.Ingredients[index].Food), nil) {
		return
	}
	t.Talk.Recipe = r.ID
	l, options, err := SwapOptions(t, r, d, index)
	if recipes.Failed(t, r, err) {
		return
	}
	options, others := wanted(t, options, in)
	other := say.Where(len(others) > 0, msg("swap.not-that", "food", say.Short(in)))
	options = options[:min(len(options), mostSwaps)]
	old := l.Mixture.Items[index]
	if len(options) == 0 {
		t.SayMsg("swap.none", "food", old.Food.Name)
		return
	}
	if len(options) == 1 && other == "" && read.Says("lasting-change", t.AsTyped()) && !read.IsQuestion(t.AsTyped()) { // it is settled
		putIn(t, r, index, planner.Ingredient{Food: options[0].Food.Key, Grams: options[0].Grams})
		t.LastReply().Add(swapLine(t, options[0]))
		return
	}
	out := t.Say(say.Para(byTableText(r)), say.Para(other), say.Para(say.Where(read.Says("this-time", t.AsTyped()), msg("swap.stays", "recipe", r.Name))), say.Para(msg("swap.first", "grams", say.ExactMass(old.Grams, t.Home.Units), "food", old.Food.Name, "recipe", r.Name)),
		say.Whole(say.LinesOf(options, func(o adjust.Swap) string { return swapLine(t, o) })), say.Para(swapExclusions(d)))
	for _, o := range options {
		out.Offer(t.Button(msg("button.take", "food", o.Food.Name), "swap", "take", r.ID, dogs.IDOf(d), strconv.Itoa(index), o.Food.Key))
	}
	if others = slices.DeleteFunc(others, func(f *nutrition.Food) bool { return !organ(f) || !organ(old.Food) }); len(others) > 0 {
		offerIn(t, out, old.Food.Name, old.Grams, others) // an organ for another, of which there may be as much
	}
}

// held is dogs.Held for a food that a carer wants in the place of another: what a dog must
// not have may go before its vet has spoken, for what it may have.
func held(t *talk.Turn, d *planner.Dog, out, in *nutrition.Food) bool {
	not := dogs.Excluder(t, d)
	return (not == nil || !not(out) || in != nil && not(in)) && dogs.Held(t, d)
}

func organ(f *nutrition.Food) bool {
	return f != nil && (f.Part == nutrition.Liver || f.Part == nutrition.SecretingOrgan)
}

// wanted keeps the options that a carer's words mean; all where they mean none of them,
// and the foods that they mean instead.
func wanted(t *talk.Turn, options []adjust.Swap, words string) (kept []adjust.Swap, others []*nutrition.Food) {
	if words == "" {
		return options, nil
	}
	found := t.Foods.Find(words)
	meant := append(slices.Clone(found.Choices), found.Food)
	for _, o := range options {
		if slices.Contains(meant, o.Food) {
			kept = append(kept, o)
		}
	}
	if len(kept) == 0 {
		return options, meant
	}
	return kept, nil
}

func swapExclusions(d *planner.Dog) string {
	if d == nil || len(d.Excludes) == 0 {
		return ""
	}
	return msg("swap.kept-out", "dog", d.Name, "foods", say.List(d.Excludes))
}

// allSwaps is more than a line has: which are shown is chosen later.
const allSwaps = 1000

// SwapOptions are the foods that could take the place of a line of a recipe, for a
// dog, and the recipe as it is analysed for that.
func SwapOptions(t *talk.Turn, r *planner.Recipe, d *planner.Dog, index int) (Looked, []adjust.Swap, error) {
	l, err := given(t, d, byTable(r))
	if err != nil {
		return l, nil, err
	}
	return l, adjust.Swaps(l.Mixture, index, l.Profile, l.Result.Basis, t.Foods, dogs.Excluder(t, d), allSwaps), nil
}

// Worsened says what a swap makes worse; empty where nothing is.
func Worsened(o adjust.Swap) string {
	return say.Where(len(o.Worse) > 0, msg("swap.worse", "names", changeNames(o.Worse)))
}

// swapLine is one food to swap in: its grams, what gets better and worse.
func swapLine(t *talk.Turn, o adjust.Swap) string {
	s := msg("swap.option", "grams", say.ExactMass(kitchenGrams(o.Grams), t.Home.Units), "food", o.Food.Name, "keeps", msg("keeps."+string(o.Keeps)))
	s += say.Where(len(o.Better) > 0, " "+msg("swap.better", "names", changeNames(o.Better)))
	if len(o.Worse) > 0 {
		s += " " + Worsened(o)
	}
	most := say.Each(o.Biggest, func(c adjust.Change) string {
		return msg("swap.change", "name", c.Subject.Name(), "percent", say.Where(c.Part > 0, "+")+say.Trim(c.Part*100, 0)+" %")
	})
	return s + say.Where(len(most) > 0 && len(o.Better)+len(o.Worse) == 0, " "+msg("swap.biggest", "changes", strings.Join(most, ", ")))
}

// changeNames says changed verdicts: "zinc (low to enough)".
func changeNames(changes []adjust.Change) string {
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
func pressSwap(t *talk.Turn, args []string) {
	r, d := t.Recipe(talk.Arg(args, 1)), t.Dog(talk.Arg(args, 2))
	if talk.Gone(t, r == nil || d == nil && talk.Arg(args, 2) != "-") {
		return
	}
	if talk.Arg(args, 0) == "ask" {
		askSwap(t, r, d)
		return
	}
	index, err := strconv.Atoi(talk.Arg(args, 3))
	if talk.Gone(t, err != nil || index < 0 || index >= len(r.Ingredients)) {
		return
	}
	switch talk.Arg(args, 0) {
	case "of":
		swap(t, r, d, index, "")
	case "take":
		takeSwap(t, r, d, index, talk.Arg(args, 4))
	default:
		t.SayMsg("press.stale")
	}
}

// takeSwap puts the chosen food into the recipe.
func takeSwap(t *talk.Turn, r *planner.Recipe, d *planner.Dog, index int, key string) {
	if held(t, d, t.Foods.Food(r.Ingredients[index].Food), t.Foods.Food(key)) {
		return
	}
	_, options, err := SwapOptions(t, r, d, index)
	if recipes.Failed(t, r, err) {
		return
	}
	for _, o := range options {
		if o.Food.Key == key {
			putIn(t, r, index, planner.Ingredient{Food: key, Grams: kitchenGrams(o.Grams)})
			return
		}
	}
	t.SayMsg("press.gone")
}

// putIn puts a line into a recipe in the place of another. Where there is such a
// food already, it is added to that.
func putIn(t *talk.Turn, r *planner.Recipe, index int, in planner.Ingredient) {
	t.Mutate("did.recipe-changed", r.Name)
	rest := slices.Delete(slices.Clone(r.Ingredients), index, index+1)
	if is := slices.IndexFunc(rest, func(o planner.Ingredient) bool { return o.Food == in.Food }); is >= 0 {
		rest[is].Grams, rest[is].Typed = rest[is].Grams+in.Grams, ""
		r.Ingredients = rest
	} else {
		r.Ingredients[index] = in
	}
	recipes.ShowRecipe(t, r, msg("recipe.changed", "recipe", r.Name), t.UndoButton())
}

// together is one list of what would mend a recipe; nothing for a dog whose
// food is a vet's matter.
func together(t *talk.Turn, l Looked) adjust.Together {
	if dogs.Gated(t, l.Dog) {
		return adjust.Together{}
	}
	return adjust.MendTogether(l.Result, l.Mixture, mendedBy(l), t.Foods, dogs.Excluder(t, l.Dog))
}

// A list that is longer, or leaves more open, is another recipe.
const mostSteps, mostLeftOpen = 10, 3

// togetherText says what would mend all of it, a line each with its purpose,
// and what that leaves open. Against a dog's day the amounts are for a day,
// else for the whole recipe.
func togetherText(t *talk.Turn, l Looked, all adjust.Together) string {
	if len(all.Steps) == 0 {
		return ""
	}
	if len(all.Open) > mostLeftOpen || len(all.Steps) > mostSteps {
		return msg("mend.too-much")
	}
	per := say.Choose(l.Result.Days() > 0, msg("mend.day"), msg("mend.whole"))
	open, _ := recipes.NamesOf(all.Open, recipes.MostNamed)
	first := msg(say.Choose(len(all.Open) > 0, "mend.some", "mend.all"), "open", open, "per", per)
	return say.JoinParas(first, say.LinesOf(all.Steps, func(s adjust.Step) string { return stepText(t, l, s) }))
}

// stepText is one line of it: "3.5 g calcium carbonate: calcium".
func stepText(t *talk.Turn, l Looked, s adjust.Step) string {
	if s.Less != "" || s.ByLabel {
		return msg(say.Choose(s.Less != "", "mend.less-dose", "mend.label"), "amount", recipes.LimitText(s.PerDay, s.Nutrient.Unit()), "nutrient", s.Nutrient.Name())
	}
	g := ofDay(l, s.Grams)
	if slices.Contains(s.For, nutrition.Subject(nutrition.Calcium)) { // which says it
		s.For = slices.DeleteFunc(slices.Clone(s.For), func(x nutrition.Subject) bool { return x == nutrition.CalciumPhosphorus })
	}
	purpose, _ := recipes.NamesOf(s.For, 3)
	return msg(say.Choose(g < 0, "mend.less", "mend.add"), "grams", say.ExactMass(max(g, -g), t.Home.Units), "food", s.Food.Name, "for", purpose)
}

// unchangedText says that no shift among a recipe's foods helps; less of one may.
func unchangedText(recipe string, a adjust.Answer) string {
	less := func(s adjust.Step) bool { return s.Grams < 0 }
	return msg(say.Choose(slices.ContainsFunc(a.Closers.Steps, less), "balance.less", "balance.unchanged"), "recipe", recipe)
}
