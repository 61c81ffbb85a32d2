package recipes

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Bony reports that a food carries bone that is eaten.
func Bony(t *talk.Turn, key string) bool {
	f := t.Foods.Food(key)
	return f != nil && (f.Has(nutrition.BoneIn) || f.Bone.Kind != nutrition.NoBone) && !f.Has(nutrition.Canned)
}

// AnyBone reports that one of some ingredients is on the bone.
func AnyBone(t *talk.Turn, all []planner.Ingredient) bool {
	return slices.ContainsFunc(all, func(in planner.Ingredient) bool { return Bony(t, in.Food) })
}

// RefuseCooked says that bone is not cooked, and offers the two ways out.
func RefuseCooked(t *talk.Turn, r *planner.Recipe) {
	id, what := "", ""
	if r != nil {
		id = r.ID
		what = msg("bone.in", "recipe", r.Name, "foods", say.List(bones(t, r.Ingredients)))
	}
	t.Say(say.Para(msg("bone.cooked")), say.Para(what)).
		Offer(t.Button(msg("button.bone-raw"), "bone", "raw", id), t.Button(msg("button.bone-off"), "bone", "off", id))
}

// bones are the names of the ingredients with bone in them.
func bones(t *talk.Turn, all []planner.Ingredient) (names []string) {
	for _, in := range all {
		if Bony(t, in.Food) {
			names = append(names, t.FoodName(in.Food))
		}
	}
	return names
}

// askCooked asks about a draft in which bone is to be cooked, by its lines or by
// its name.
func askCooked(t *talk.Turn, d RecipeDraft, head string) {
	t.Ask("recipe", "bone", d)
	what := ""
	if len(d.Cooked) > 0 {
		what = strings.Join(d.Cooked, "\n")
	}
	t.Say(say.Para(head), say.Para(msg("bone.cooked")), say.Para(what)).
		Offer(t.Answer(msg("button.bone-raw"), "bone", "raw"), t.Answer(msg("button.bone-off"), "bone", "off")).
		Offer(t.StopButton())
}

// namedCooked reports that a draft is to be cooked by its name or its method, bone
// and all.
func namedCooked(t *talk.Turn, d RecipeDraft) bool {
	return !d.Boneless && (read.SaysCooking(d.Name) || read.SaysCooking(d.Method)) && AnyBone(t, d.Ingredients)
}

// takeCooked takes the answer to askCooked.
func takeCooked(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	var left []string
	switch in.Press {
	case "raw":
		if namedCooked(t, d) {
			d.Name = read.LessCooking(d.Name)
		}
		if namedCooked(t, d) {
			d.Method, left = "", []string{msg("recipe.method-cooked")}
		}
	case "off":
		d.Boneless = true
	default:
		if in.Press != "" {
			t.SayMsg("press.stale")
			return
		}
		if !t.Aside(in.Text) {
			t.NotUnderstood(in.Text)
		}
		t.Again(func() { askCooked(t, d, "") })
		return
	}
	lines := d.Cooked
	d.Cooked = nil
	for i := range lines {
		lines[i] = read.LessCooking(lines[i])
	}
	if len(lines) > 0 {
		takePaste(t, d, strings.Join(lines, "\n")+"\n")
		return
	}
	goOnWithRecipe(t, d, nil, left)
}
