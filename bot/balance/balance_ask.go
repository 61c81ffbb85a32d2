package balance

import (
	"slices"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
)

// balanceDialogue takes what was chosen: an answer, the recipe as it was, a
// food to keep as it is, a food that may be added.
func balanceDialogue(t *talk.Turn, d balanceDraft, in talk.Answer) {
	if in.Press == "" {
		balanceTyped(t, d, in)
		return
	}
	what, key, _ := strings.Cut(in.Press, ":")
	switch what {
	case "take":
		takeBalance(t, d, adjust.Kind(key))
	case "keep":
		t.EndDialogue()
		t.SayMsg("balance.kept")
	case "lock":
		askLock(t, d)
	case "lock-food":
		d.Locked = append(d.Locked, key)
		showBalance(t, d)
	case "allow":
		d.Allowed = append(d.Allowed, key)
		showBalance(t, d)
	default:
		t.SayMsg("press.stale")
	}
}

// balanceTyped takes typed words: "allow kelp", "lock the heart", or a
// question of its own.
func balanceTyped(t *talk.Turn, d balanceDraft, in talk.Answer) {
	verb, rest := talk.CutWord(in.Text)
	switch strings.ToLower(verb) {
	case "allow", "add", "permit":
		if got := foodline.RecipeText(rest, t.Foods); len(got.Lines) > 0 { // with its amount: into the recipe
			t.EndDialogue()
			t.RouteWords(in.Text)
			return
		}
		f := t.Foods.Find(rest)
		if f.Food == nil {
			recipes.WithFood(t, rest, "show", func(*nutrition.Food) {})
			return
		}
		d.Allowed = append(d.Allowed, f.Food.Key)
		showBalance(t, d)
	case "lock", "keep":
		r := t.Recipe(d.Recipe)
		if r == nil {
			t.SayMsg("press.gone")
			return
		}
		f := recipes.FindIn(t, r, strings.TrimPrefix(rest, "the "))
		if f == nil {
			t.SayMsg("scale.not-in-recipe", "food", say.Short(rest), "recipe", r.Name)
			return
		}
		d.Locked = append(d.Locked, f.Key)
		showBalance(t, d)
	default:
		t.EndDialogue()
		t.RouteWords(in.Text)
	}
}

func askLock(t *talk.Turn, d balanceDraft) {
	r := t.Recipe(d.Recipe)
	if r == nil {
		t.SayMsg("press.gone")
		return
	}
	out := t.SayMsg("ask.lock")
	for _, in := range r.Ingredients {
		if !slices.Contains(d.Locked, in.Food) {
			out.Offer(t.Answer(t.FoodName(in.Food), "choose", "lock-food:"+in.Food))
		}
	}
}
