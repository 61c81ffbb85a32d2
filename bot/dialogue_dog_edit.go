package bot

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// What is asked of a dog only where a carer edits it.

func askDogKcal(t *turn, d *planner.Dog) {
	if planner.AmountOf(*d, t.event.At).Waits() {
		t.sayMsg("ask.vet-kcal", "dog", d.Name)
		return
	}
	t.sayMsg("ask.dog-kcal", "dog", d.Name).offer(t.answer(msg("button.by-equation"), "kcal", "skip"))
}

// Kcal a day that can be set by hand: from a toy pup's to those of a sled dog
// in extreme cold (FEDIAF 2021, from memory; limits: common practice, no
// source).
const leastKcal, mostKcal = 20, 30000

// takeDogKcal takes a figure set by hand. Of a dog whose food waits for its vet
// it is the vet's.
func takeDogKcal(t *turn, d *planner.Dog, in answer) string {
	if in.press == "skip" || strings.Contains(strings.ToLower(in.text), "equation") {
		d.PutInForce(t.byEquation(d), planner.OnEquation, t.event.Person, t.event.At)
		return ""
	}
	k, err := read.Energy(in.value())
	if err != nil {
		n, wrong := read.Number(in.value())
		if wrong != nil {
			return msg("wrong.kcal")
		}
		k = nutrition.Kcal(n)
	}
	if k < leastKcal || k > mostKcal {
		return msg("wrong.kcal")
	}
	ground := planner.OnCarer
	if d.ByVet || planner.AmountOf(*d, t.event.At).Waits() {
		ground = planner.OnVet
	}
	d.PutInForce(k, ground, t.event.Person, t.event.At)
	return ""
}

func askDogIdeal(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-ideal", "dog", d.Name).offer(t.answer(msg("button.not-sure"), "ideal", "skip"))
}

func takeDogIdeal(t *turn, d *planner.Dog, in answer) string {
	return takeWeightOf(t, d, in, func(d *planner.Dog, w nutrition.Kilograms) { d.SetGoal(w, planner.GoalSet) })
}

func askDogAdult(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-adult", "dog", d.Name).offer(t.answer(msg("button.not-sure"), "adult", "skip"))
}

func takeDogAdult(t *turn, d *planner.Dog, in answer) string {
	return takeWeightOf(t, d, in, func(d *planner.Dog, w nutrition.Kilograms) { d.AdultWeight = w })
}

// takeWeightOf reads a weight into one of a dog's fields; "not sure" clears
// it.
func takeWeightOf(t *turn, d *planner.Dog, in answer, set func(*planner.Dog, nutrition.Kilograms)) string {
	if in.press == "skip" || isNotSure(in.text) {
		set(d, 0)
		return ""
	}
	w, err := read.BodyWeight(in.value(), t.home.Units)
	if err != nil {
		return problemOf(err, in.value())
	}
	changed := *d
	set(&changed, w)
	if err := changed.Validate(t.event.At); err != nil {
		return fieldText(err, t.home.Units)
	}
	set(d, w)
	return ""
}

func askDogExcludes(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-excludes", "dog", d.Name).offer(t.answer(msg("button.nothing"), "excludes", "none"))
}

// takeDogExcludes reads what a dog may not have: foods, or kinds of food, at
// commas. A word that excludes nothing is said.
func takeDogExcludes(t *turn, d *planner.Dog, in answer) string {
	switch strings.ToLower(strings.Trim(in.value(), " .")) {
	case "none", "nothing", "no":
		d.Excludes = nil
		return ""
	}
	var words []string
	for _, w := range strings.FieldsFunc(in.value(), func(r rune) bool { return strings.ContainsRune(",;/\n", r) }) {
		w = strings.TrimSpace(w)
		for _, no := range []string{"no ", "without ", "and ", "or "} {
			w = strings.TrimPrefix(w, no)
		}
		if w == "" || utf8.RuneCountInString(w) > maxName {
			continue
		}
		excludes := slices.ContainsFunc(t.foods.Foods(), func(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{w}) })
		if !excludes {
			return msg("problem.unknown-food", "part", short(w))
		}
		words = append(words, w)
	}
	d.Excludes = words
	return ""
}

// editAgain asks the open question about a dog once more.
func (t *turn) editAgain() {
	var d editDraft
	t.draft(&d)
	if dog := t.dog(d.Dog); dog != nil {
		t.editDog(dog, t.talk.Step)
		return
	}
	t.endDialogue()
	t.sayMsg("press.gone")
}
