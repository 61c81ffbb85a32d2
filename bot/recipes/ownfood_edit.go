package recipes

import (
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// ownFoodOf is a food of the household's own, nil where it has none of that key.
func ownFoodOf(t *talk.Turn, key string) *nutrition.Food {
	return planner.FirstOf(t.Home.Foods, func(f *nutrition.Food) bool { return f.Key == key })
}

// ownNamed is the household's own food of a name, nil where there is none.
func ownNamed(t *talk.Turn, name string) *nutrition.Food {
	return planner.FirstOf(t.Home.Foods, func(f *nutrition.Food) bool { return strings.EqualFold(f.Name, name) })
}

// onOwn answers a sentence about a food of the household's own.
func onOwn(do func(t *talk.Turn, f *nutrition.Food, s read.Sentence)) talk.Intent {
	return func(t *talk.Turn, s read.Sentence) {
		if f := ownFoodOf(t, s.Own); f != nil {
			do(t, f, s)
		}
	}
}

// mostOwnButtons is how many own foods have a button under their list (our own
// choice).
const mostOwnButtons = 20

// listOwn lists the household's own foods with their kcal.
func listOwn(t *talk.Turn) {
	if len(t.Home.Foods) == 0 {
		t.SayMsg("food.own-none").Offer(t.Button(msg("button.add-food"), "food", "add"))
		return
	}
	rows := []say.TableRow{{Label: msg("food.per-100"), Cells: []string{"kcal"}}}
	for _, f := range t.Home.Foods {
		v := f.Per100[nutrition.Energy]
		rows = append(rows, say.TableRow{Label: f.Name, Cells: []string{say.Choose(v.IsUnknown(), msg("value.unknown"), say.Sig(v.Mid))}})
	}
	out := t.Say(say.Para(msg("food.own", "n", len(t.Home.Foods))), say.TableBlock(rows))
	for _, f := range t.Home.Foods[:min(len(t.Home.Foods), mostOwnButtons)] {
		out.Offer(t.Button(f.Name, "food", "show", f.Key))
	}
	out.Offer(t.Button(msg("button.add-food"), "food", "add"))
}

// usedIn are the recipes that have a food, as a line or as a supplement.
func usedIn(t *talk.Turn, key string) []*planner.Recipe {
	return slices.DeleteFunc(t.Recipes(), func(r *planner.Recipe) bool { return !r.Uses(key) })
}

func recipeNames(all []*planner.Recipe) string {
	return say.ListOf(all, func(r *planner.Recipe) string { return r.Name })
}

// editOwn takes what a sentence says of a food's label, or asks for it.
func editOwn(t *talk.Turn, f *nutrition.Food, s read.Sentence) {
	figures := s.Words
	if _, typed, ok := strings.Cut(t.Event.Text, ":"); ok {
		figures = typed
	}
	if strings.TrimSpace(figures) == "" {
		askChange(t, f.Key)
		return
	}
	changeOwn(t, f, figures)
}

// askChange asks what a food's label says now.
func askChange(t *talk.Turn, key string) {
	f := ownFoodOf(t, key)
	if f == nil {
		t.Gone()
		return
	}
	t.Ask("food", "change", foodDraft{Key: key})
	t.SayMsg("ask.food-change", "food", f.Name).Rows(2, partButtons(t, "change")...).Offer(t.StopButton())
}

// takeChange takes new figures of a food, or what it counts as.
func takeChange(t *talk.Turn, d foodDraft, in talk.Answer) {
	f := ownFoodOf(t, d.Key)
	p, isPart := partNamed(in.Value())
	switch {
	case f == nil:
		t.Gone()
	case isPart:
		t.EndDialogue()
		t.Mutate("did.food-changed", f.Name)
		f.Part = p
		ownChanged(t, f)
	case in.Press == "" && !strings.ContainsAny(in.Text, "0123456789") && t.Asked(in.Text):
	default:
		changeOwn(t, f, in.Value())
	}
}

// changeOwn takes figures for a food; those that they do not name stay.
func changeOwn(t *talk.Turn, f *nutrition.Food, figures string) {
	figures = strings.TrimSpace(figures)
	if begin := min(len(f.Name), len(figures)); strings.EqualFold(figures[:begin], f.Name) {
		figures = strings.TrimLeft(figures[begin:], " :,")
	}
	const name = "own: " // of any name, which is not read
	l, problems := foodline.LabelText(name + figures)
	if water := f.Per100[nutrition.Water]; water.Complete && len(problems) == 1 && problems[0].Code == span.NoMoisture {
		l, problems = foodline.LabelText(name + figures + ", moisture " + say.Trim(water.Mid, 2) + " %")
	}
	if len(problems) > 0 {
		askChange(t, f.Key)
		t.LastReply().Begin(say.ProblemsText(problems))
		return
	}
	t.EndDialogue()
	relabel(t, f, l)
}

// relabel gives a food the figures of a label.
func relabel(t *talk.Turn, f *nutrition.Food, l foodline.Label) {
	t.Mutate("did.food-changed", f.Name)
	for n, x := range l.Per100 {
		f.Per100[n] = nutrition.Exactly(x)
	}
	for _, n := range l.Open {
		f.Per100[n] = nutrition.Unknown()
	}
	f.Soft = f.Per100
	if m := measuresOf(l); m != nil {
		f.Measure = m
	}
	ownChanged(t, f)
}

// ownChanged shows a food that was changed, and which recipes count with it.
func ownChanged(t *talk.Turn, f *nutrition.Food) {
	t.Shelve()
	showFood(t, f)
	used := usedIn(t, f.Key)
	t.LastReply().Begin(say.JoinParas(msg("food.changed", "food", f.Name), say.Where(len(used) > 0, msg("food.counts-in", "recipes", recipeNames(used))))).Offer(t.UndoButton())
}

// renameOwn gives a food another name. Recipes hold it by its key.
func renameOwn(t *talk.Turn, f *nutrition.Food, s read.Sentence) {
	name, _ := dogs.NewName(t.Event.Text, f.Name, s.Words)
	if name = recipeName(name); name == "" || ownNamed(t, name) != nil {
		t.SayMsg("recipe.name-taken", "name", name)
		return
	}
	if refused := nutrition.FindRefusal(name); refused != nil {
		SayRefused(t, refused)
		return
	}
	t.Mutate("did.food-changed", f.Name)
	f.Name = name
	ownChanged(t, f)
}

// askRemoveOwn asks before a food goes that recipes use; another goes at once.
func askRemoveOwn(t *talk.Turn, f *nutrition.Food) {
	if slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Dose != nil && r.Dose.Food == f.Key }) {
		t.SayMsg("food.in-reminder", "food", f.Name)
		return
	}
	used := usedIn(t, f.Key)
	if len(used) == 0 {
		removeOwn(t, f.Key)
		return
	}
	t.AskedSure("food", "really", f.Key)
	out := t.SayMsg("food.remove-sure", "food", f.Name, "recipes", recipeNames(used))
	out.Offer(t.Button(msg("button.yes-remove"), "food", "really", f.Key), t.Button(msg("button.keep"), "food", "show", f.Key))
	if len(used) > 1 {
		for _, r := range used {
			out.Offer(t.Button(msg("button.only-out-of", "recipe", r.Name), "recipe", "less", r.ID, f.Key))
		}
	}
}

// removeOwn forgets a food, and takes it out of the recipes.
func removeOwn(t *talk.Turn, key string) {
	f := ownFoodOf(t, key)
	if talk.Gone(t, f == nil) {
		return
	}
	name, used := f.Name, usedIn(t, key)
	t.Mutate("did.food-removed", name)
	for _, r := range used {
		r.Drop(key)
	}
	t.Home.Foods = slices.DeleteFunc(t.Home.Foods, func(f nutrition.Food) bool { return f.Key == key })
	t.Shelve()
	t.SayMsg(say.Choose(len(used) > 0, "food.removed-from", "food.removed"), "food", name, "recipes", recipeNames(used)).Offer(t.UndoButton())
}
