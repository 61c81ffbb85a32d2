package recipes

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// mayBeAnother reports that several lines pasted while a recipe is being entered
// may be another recipe: they have a name of their own, or come while something
// is asked about lines that were pasted together.
func mayBeAnother(t *talk.Turn, d RecipeDraft, s string) bool {
	first, _, more := strings.Cut(s, "\n")
	if !more || len(d.Ingredients)+len(d.Doses)+len(d.Open) == 0 || len(read.RecipeText(s, t.Foods).Lines) == 0 {
		return false
	}
	if isTitle(first, t) && !namesNothing(first) {
		return !strings.EqualFold(recipeName(first), d.Name)
	}
	return !d.Stay && d.ID == ""
}

// askMore asks whether what was pasted belongs to the recipe under way.
func askMore(t *talk.Turn, d RecipeDraft) {
	t.Ask("recipe", "more", d)
	first, _, _ := strings.Cut(d.More, "\n")
	text, label := msg("ask.recipe-more-of", "line", say.Short(first), "recipe", d.Name), msg("button.more-of", "recipe", d.Name)
	if d.Name == "" {
		text, label = msg("ask.recipe-more-of-it", "line", say.Short(first)), msg("button.more-of-it")
	}
	t.Say(say.Para(text)).Offer(t.Answer(label, "more", "add"), t.Answer(msg("button.another-recipe"), "more", "new"), t.StopButton())
}

// takeMore takes the answer to it. The recipe under way waits while another is
// entered.
func takeMore(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	pasted := d.More
	d.More = ""
	switch in.Press {
	case "add":
		takePaste(t, d, pasted)
	case "new":
		t.Ask("recipe", "lines", d)
		t.PutAside()
		takePaste(t, RecipeDraft{}, pasted)
	default:
		d.More = pasted
		if !t.Aside(in.Text) {
			askMore(t, d)
			return
		}
		t.Again(func() { askMore(t, d) })
	}
}
