package bot

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// bony reports that a food carries bone that is eaten.
func (t *turn) bony(key string) bool {
	f := t.foods.Food(key)
	return f != nil && (f.Has(nutrition.BoneIn) || f.Bone.Kind != nutrition.NoBone) && !f.Has(nutrition.Canned)
}

// anyBone reports that one of some ingredients is on the bone.
func (t *turn) anyBone(all []planner.Ingredient) bool {
	return slices.ContainsFunc(all, func(in planner.Ingredient) bool { return t.bony(in.Food) })
}

// cookedBone refuses to have bone cooked: a cut that a text names, or the recipe
// that it names or means.
func (t *turn) cookedBone(s string) bool {
	if strings.Contains(s, "\n") || !read.SaysCooking(s) {
		return false
	}
	var r *planner.Recipe
	for i := range t.home.Recipes {
		if one := &t.home.Recipes[i]; strings.Contains(strings.ToLower(s), strings.ToLower(one.Name)) {
			r = one
		}
	}
	if r == nil && read.SaysTheFood(s) {
		r = t.theRecipe(t.dog(t.talk.Dog))
	}
	if r != nil && t.anyBone(r.Ingredients) {
		t.refuseCooked(r)
		return true
	}
	if r != nil || !read.SaysBoneCut(s) {
		return false
	}
	t.refuseCooked(nil)
	return true
}

// boneToCook is cookedBone for what does not ask whether a dog may have a food,
// nor is a line of a recipe.
func (t *turn) boneToCook(s string) bool {
	for _, w := range strings.Fields(strings.ToLower(s)) {
		switch strings.Trim(w, ".,!?") {
		case "eat", "have", "had", "ate", "eaten", "recipe", "dog", "dogs", "bad", "safe", "toxic":
			return false
		}
	}
	if got := read.RecipeText(s, t.foods); len(got.Lines) > 0 || len(got.Problems) == 1 && cookedBoneLine(got.Problems[0]) && strings.ContainsAny(s, "0123456789") {
		return false
	}
	return t.cookedBone(s)
}

// refuseCooked says that bone is not cooked, and offers the two ways out.
func (t *turn) refuseCooked(r *planner.Recipe) {
	id, what := "", ""
	if r != nil {
		id = r.ID
		what = msg("bone.in", "recipe", r.Name, "foods", list(t.bones(r.Ingredients)))
	}
	t.say(para(msg("bone.cooked")), para(what)).
		offer(t.button(msg("button.bone-raw"), "bone", "raw", id), t.button(msg("button.bone-off"), "bone", "off", id))
}

// bones are the names of the ingredients with bone in them.
func (t *turn) bones(all []planner.Ingredient) (names []string) {
	for _, in := range all {
		if t.bony(in.Food) {
			names = append(names, t.foodName(in.Food))
		}
	}
	return names
}

// pressBone takes the way out that was chosen.
func (t *turn) pressBone(args []string) {
	r := t.recipe(arg(args, 1))
	switch {
	case arg(args, 0) == "raw":
		t.sayMsg("bone.raw")
	case r == nil:
		t.sayMsg("bone.off")
	case !t.anyBone(r.Ingredients):
		t.sayMsg("press.stale")
	default:
		t.mutate("did.recipe-changed", r.Name)
		notes := t.offTheBone(r)
		t.showRecipe(r, notes, t.undoButton())
	}
}

// offTheBone takes the bone out of a recipe and puts its calcium back, and says
// both.
func (t *turn) offTheBone(r *planner.Recipe) string {
	var notes []string
	r.Ingredients = slices.Clone(r.Ingredients)
	for i, in := range r.Ingredients {
		if !t.bony(in.Food) {
			continue
		}
		f := t.foods.Food(in.Food)
		meat := t.boneless(f)
		if meat == nil {
			notes = append(notes, msg("bone.no-meat", "food", f.Name))
			continue
		}
		grams := nutrition.Grams(math.Round(float64(in.Grams) * (1 - f.Bone.Mid)))
		r.Ingredients[i] = planner.Ingredient{Food: meat.Key, Grams: grams}
		notes = append(notes, msg("bone.taken", "was", exactMass(in.Grams, t.home.Units), "food", f.Name, "grams", exactMass(grams, t.home.Units), "meat", meat.Name))
	}
	return joinParas(append(notes, t.addCalcium(r))...)
}

// boneless is the meat that stands for a cut without its bone: of the same
// animal, with skin before without, the nearest in name.
func (t *turn) boneless(cut *nutrition.Food) (best *nutrition.Food) {
	most := -1
	for _, f := range t.foods.Foods() {
		if f.Species != cut.Species || f.Part != nutrition.Muscle || !f.Has(nutrition.Raw) || t.bony(f.Key) {
			continue
		}
		score := 0
		for _, w := range strings.Fields(strings.NewReplacer(",", "", "-", " ").Replace(cut.Name)) {
			if len(w) > 3 && strings.Contains(f.Name, w) {
				score += 2
			}
		}
		if strings.Contains(f.Name, "with skin") && !strings.Contains(cut.Name, "no skin") {
			score++
		}
		if score > most {
			best, most = f, score
		}
	}
	return best
}

// wantedRatio is the calcium to phosphorus that calcium is put back to (common
// practice, no source; the tables have 1 to 2).
const wantedRatio = 1.2

// addCalcium adds as much calcium carbonate as a recipe lacks without bone, for
// the dog that is spoken of.
func (t *turn) addCalcium(r *planner.Recipe) string {
	const carbonate = "calcium-carbonate"
	var whole nutrition.Grams
	for _, in := range r.Ingredients {
		whole += in.Grams
	}
	most := 0.05 * float64(whole)
	for grams := 0.5; grams <= most; grams += 0.5 {
		with := *r
		with.Ingredients = append(slices.Clone(r.Ingredients), planner.Ingredient{Food: carbonate, Grams: nutrition.Grams(grams)})
		l, err := t.look(&with, t.dog(t.talk.Dog))
		if err != nil {
			break
		}
		ca, ratio := l.result.Row(nutrition.Subject(nutrition.Calcium)), l.result.Row(nutrition.CalciumPhosphorus)
		if (ca == nil || ca.Low >= ca.Min) && (ratio == nil || ratio.Mid >= wantedRatio) {
			r.Ingredients = with.Ingredients
			return msg("bone.calcium", "grams", exactMass(nutrition.Grams(grams), t.home.Units), "food", t.foodName(carbonate))
		}
	}
	return msg("bone.off")
}

// askCooked asks about a draft in which bone is to be cooked, by its lines or by
// its name.
func (t *turn) askCooked(d recipeDraft, head string) {
	t.ask("recipe", "bone", d)
	what := ""
	if len(d.Cooked) > 0 {
		what = strings.Join(d.Cooked, "\n")
	}
	t.say(para(head), para(msg("bone.cooked")), para(what)).
		offer(t.answer(msg("button.bone-raw"), "bone", "raw"), t.answer(msg("button.bone-off"), "bone", "off")).
		offer(t.stopButton())
}

// toBeCooked refuses what is made of a recipe that is to be cooked by its name,
// bone and all, and reports whether it did.
func (t *turn) toBeCooked(r *planner.Recipe) bool {
	if r == nil || !read.SaysCooking(r.Name) || !t.anyBone(r.Ingredients) {
		return false
	}
	t.refuseCooked(r)
	return true
}

// namedCooked reports that a draft is to be cooked by its name, bone and all.
func (t *turn) namedCooked(d recipeDraft) bool {
	return !d.Boneless && read.SaysCooking(d.Name) && t.anyBone(d.Ingredients)
}

// takeCooked takes the answer to askCooked.
func (t *turn) takeCooked(d recipeDraft, in answer) {
	switch in.press {
	case "raw":
		if t.namedCooked(d) {
			d.Name = read.LessCooking(d.Name)
		}
	case "off":
		d.Boneless = true
	default:
		if in.press != "" {
			t.sayMsg("press.stale")
			return
		}
		if !t.aside(in.text) {
			t.notUnderstood(in.text)
		}
		t.again(func() { t.askCooked(d, "") })
		return
	}
	lines := d.Cooked
	d.Cooked = nil
	for i := range lines {
		lines[i] = read.LessCooking(lines[i])
	}
	if len(lines) > 0 {
		t.takePaste(d, strings.Join(lines, "\n")+"\n")
		return
	}
	t.goOnWithRecipe(d, nil, nil)
}
