package recipes

import (
	"slices"
	"strings"

	"bowlwright/bot/dogs"
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

// IsCooked reports that a recipe is eaten cooked: a pan of it was weighed, or its
// name or its method says so.
func IsCooked(r *planner.Recipe) bool {
	return r.Cooking.Cooked > 0 || read.SaysCooking(r.Name) || read.SaysCooking(r.Method)
}

// WeighedAs takes a recipe's weights for cooked or for raw ones: its lines become
// those of other rows. It says which, and reports whether anything changed. What a
// label states is of the food as it is sold, so that line stays.
func WeighedAs(t *talk.Turn, r *planner.Recipe, cooked bool) (said string, changed bool) {
	to := say.Choose(cooked, t.Foods.WeighedCooked, t.Foods.WeighedRaw)
	_, weighed := r.Yield()
	rows := false
	var reckoned, label []string
	r.Ingredients = slices.Clone(r.Ingredients)
	for i := range r.Ingredients {
		in := &r.Ingredients[i]
		key := to(in.Food)
		switch {
		case key == in.Food || key == "":
			continue
		case len(in.Label) > 0:
			label = append(label, t.FoodName(in.Food))
			continue
		case nutrition.ByYield(key):
			reckoned = append(reckoned, t.FoodName(in.Food))
		default:
			rows = true
		}
		in.Food, changed = key, true
	}
	if weighed && changed {
		r.Cooking.Of = slices.Clone(r.Ingredients)
	}
	if !cooked {
		said = say.Where(changed, msg("weights.now-raw", "recipe", r.Name))
	} else if changed {
		said = say.JoinParas(msg("weights.now-cooked", "recipe", r.Name), say.Where(rows, msg("weights.rows-cooked")), say.Where(len(reckoned) > 0, msg("weights.reckoned", "foods", say.List(reckoned))))
	}
	return say.JoinParas(said, say.Where(len(label) > 0, msg("weights.label", "foods", say.List(label)))), changed
}

// cookedOf is which of some foods is meant where all weights are cooked ones: the
// one that all of them are when they are cooked, nil where they are several. What
// was frozen before is the same food.
func cookedOf(t *talk.Turn, choices []*nutrition.Food) *nutrition.Food {
	key := ""
	for _, f := range choices {
		switch cooked := t.Foods.WeighedCooked(f.Key); {
		case strings.Contains(f.Key, "-frozen"):
		case key == "" || key == cooked:
			key = cooked
		default:
			return nil
		}
	}
	return t.Foods.Food(key)
}

// NotCooked refuses to have a recipe cooked, bone and all, and reports whether it did.
func NotCooked(t *talk.Turn, r *planner.Recipe) bool {
	bony := AnyBone(t, r.Ingredients)
	if bony {
		RefuseCooked(t, r)
	}
	return bony
}

// RefuseCooked says that bone is not cooked, and offers the two ways out.
func RefuseCooked(t *talk.Turn, r *planner.Recipe) {
	id, what := "", ""
	if r != nil {
		id = r.ID
		what = msg("bone.in", "recipe", r.Name, "foods", say.List(dogs.FoodsIn(t, r.Ingredients, func(f *nutrition.Food) bool { return Bony(t, f.Key) })))
	}
	t.Say(say.Para(msg("bone.cooked")), say.Para(what)).
		Offer(t.Button(msg("button.bone-raw"), "bone", "raw", id), t.Button(msg("button.bone-off"), "bone", "off", id))
}

// askCooked asks about a draft in which bone is to be cooked, by its lines or by
// its name.
func askCooked(t *talk.Turn, d RecipeDraft, head string) {
	t.Ask("recipe", "bone", d)
	what := strings.Join(d.Cooked, "\n")
	t.Say(say.Para(head), say.Para(msg("bone.cooked")), say.Para(what)).
		Offer(t.Answer(msg("button.bone-raw"), "bone", "raw"), t.Answer(msg("button.bone-off"), "bone", "off")).
		Offer(t.StopButton())
}

// namedCooked reports that a draft is to be cooked by its name or its method, bone
// and all.
func namedCooked(t *talk.Turn, d RecipeDraft) bool {
	return !d.Boneless && (d.Weighed || read.SaysCooking(d.Name) || read.SaysCooking(d.Method)) && AnyBone(t, d.Ingredients)
}

// takeCooked takes the answer to askCooked.
func takeCooked(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	var left []string
	switch in.Press {
	case "raw":
		d.Weighed = false
		if namedCooked(t, d) {
			d.Name = read.LessCooking(d.Name)
		}
		if namedCooked(t, d) {
			d.Method, left = "", []string{msg("recipe.method-cooked")}
		}
	case "off":
		d.Boneless = true
	default:
		if talk.Stale(t, in.Press != "") {
			return
		}
		t.Beside(in.Text, func() { askCooked(t, d, "") })
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
