package dogs

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// What is asked of a dog only where a carer edits it.

func askDogKcal(t *talk.Turn, d *planner.Dog) {
	if planner.AmountOf(*d, t.Event.At).Waits() {
		t.SayMsg("ask.vet-kcal", "dog", d.Name)
		return
	}
	t.SayMsg("ask.dog-kcal", "dog", d.Name).Offer(t.Answer(msg("button.by-equation"), "kcal", "skip"))
}

// Kcal a day that can be set by hand: from a toy pup's to those of a sled dog
// in extreme cold (FEDIAF 2021, from memory; limits: common practice, no
// source).
const LeastKcal, MostKcal = 20, 30000

// takeDogKcal takes a figure set by hand. Of a dog whose food waits for its vet
// it is the vet's.
func takeDogKcal(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if in.Press == "skip" || strings.Contains(strings.ToLower(in.Text), "equation") {
		d.PutInForce(ByEquation(t, d), planner.OnEquation, t.Event.Person, t.Event.At)
		return ""
	}
	k, err := span.Energy(in.Value())
	if err != nil {
		n, wrong := span.Number(in.Value())
		if wrong != nil {
			return msg("wrong.kcal")
		}
		k = nutrition.Kcal(n)
	}
	if k < LeastKcal || k > MostKcal {
		return msg("wrong.kcal")
	}
	ground := planner.OnCarer
	if d.ByVet || planner.AmountOf(*d, t.Event.At).Waits() {
		ground = planner.OnVet
	}
	d.PutInForce(k, ground, t.Event.Person, t.Event.At)
	return ""
}

// takesWeight reads a weight into one of a dog's fields; "not sure" clears it.
func takesWeight(set func(*planner.Dog, nutrition.Kilograms)) func(*talk.Turn, *planner.Dog, talk.Answer) string {
	return func(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
		if in.Press == "skip" || talk.IsNotSure(in.Text) {
			set(d, 0)
			return ""
		}
		w, err := span.BodyWeight(in.Value(), t.Home.Units)
		if err != nil {
			return talk.ProblemOf(err, in.Value())
		}
		return setFit(t, d, func(d *planner.Dog) { set(d, w) })
	}
}

// takeDogExcludes reads what a dog may not have: foods, or kinds of food, at
// commas. A word that excludes nothing is said.
func takeDogExcludes(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if read.Said("says-none", in.Value()) {
		d.Excludes = nil
		return ""
	}
	var words []string
	for _, w := range strings.FieldsFunc(in.Value(), func(r rune) bool { return strings.ContainsRune(",;/\n", r) }) {
		w = read.Without("excluded-lead", strings.TrimSpace(w))
		if w == "" || utf8.RuneCountInString(w) > say.MaxName {
			continue
		}
		excludes := slices.ContainsFunc(t.Foods.Foods(), func(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{w}) })
		if !excludes {
			return msg("problem.unknown-food", "part", say.Short(w))
		}
		words = append(words, w)
	}
	d.Excludes = words
	return ""
}

// editAgain asks the open question about a dog once more.
func editAgain(t *talk.Turn, draft EditDraft) {
	if d := t.Dog(draft.Dog); d != nil {
		editDog(t, d, t.Talk.Step)
		return
	}
	t.Gone()
}
