package recipes

import (
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// askLabel asks for the label of the food that no table has, in the midst of
// its recipe.
func askLabel(t *talk.Turn, d RecipeDraft, head string) {
	t.Ask("recipe", "label", d)
	t.Say(say.Para(head), say.Para(msg("ask.recipe-label", "food", say.Short(openProblem(t, d).Part)))).
		Offer(t.Answer(msg("button.drop-line"), "lines", "drop"), t.StopButton())
}

// takeLabel takes what the label says, and asks where the food is counted.
func takeLabel(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	p := openProblem(t, d)
	switch {
	case in.Press != "":
		pressRecipeLine(t, d, in.Press)
		return
	case p.Code != read.UnknownFood:
		goOnWithRecipe(t, d, nil, nil)
		return
	}
	label, problems := read.LabelText(p.Part + ": " + in.Text)
	if whole, wrong := read.LabelText(in.Text); len(problems) > 0 && len(wrong) == 0 { // with its name
		label, problems = whole, nil
	}
	switch {
	case len(problems) == 0:
		label.Name = p.Part
		d.Label = &label
		t.Ask("recipe", "label-part", d)
		askPart(t, label, "label-part")
	case t.Asked(in.Text): // a weigh-in, "fed", "today"
		t.Again(func() { askLabel(t, d, "") })
	default:
		askLabel(t, d, say.ProblemsText(problems))
	}
}

// takeLabelPart keeps the food and takes its line again.
func takeLabelPart(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	part, ok := partNamed(in.Value())
	switch {
	case ok && d.Label != nil:
		f := ownFood(t, *d.Label, part)
		d.Label = nil
		t.SayMsg("food.added-here", "food", f.Name)
		takeAgain(t, d)
	case in.Press == "" && t.Asked(in.Text):
		t.Again(func() { askPart(t, *d.Label, "label-part") })
	default:
		askPart(t, *d.Label, "label-part")
	}
}
