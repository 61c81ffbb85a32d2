package menu

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// otherDraft is food that dogs are to eat in place of their usual food, or beside
// it, while it is asked what it is.
type otherDraft struct {
	Dogs   []string             `json:"dogs,omitempty"`
	From   planner.Date         `json:"from,omitzero"`
	Until  planner.Date         `json:"until,omitzero"`
	At     planner.Mealtime     `json:"at,omitempty"`
	Share  float64              `json:"share,omitempty"`
	Name   string               `json:"name,omitempty"`
	Open   []string             `json:"open,omitempty"`   // foods that are still to be looked up
	Lines  []planner.Ingredient `json:"lines,omitempty"`  // those that were
	Recipe string               `json:"recipe,omitempty"` // id, where it is one
	Home   string               `json:"home,omitempty"`   // id of the recipe that the rest is, where it was named
	Cooked bool                 `json:"cooked,omitempty"`
}

func (d *otherDraft) lasting() bool { return d.Until.IsZero() }

// takeOther has dogs eat something else on some days, "only chicken today": it
// takes the food, its days and its meals as some words say them. Where
// no day is named it is asked whether that is today alone.
func takeOther(t *talk.Turn, words, dog string) {
	d := otherDraft{Dogs: dogsSaid(t, dog), Cooked: read.SaysCooking(t.AsTyped())}
	if len(d.Dogs) == 1 {
		t.Talk.Dog = d.Dogs[0]
	}
	if _, asks := read.OtherAsked(t.AsTyped()); asks && sayUnwell(t, d.Dogs) {
		return // nothing is noted
	}
	words, _ = read.OtherAsked(words)
	words, sign := withoutSign(t, words)
	words = talk.WithoutDogs(t, words)
	for _, m := range slices.Backward(span.Mentions(words, t.Names().Recipes)) { // "chicken, no Stew"
		if before := read.Without("no-end", words[:m.From]); before != words[:m.From] {
			words = before + words[m.To:]
		}
	}
	words, apart := span.BindNames(read.Without("pause-days", words), t.Names())
	o, err := read.OtherFoodText(words, t.Event.At)
	o.What = apart(o.What)
	if err != nil {
		talk.SayWhenTrouble(t, err, words)
		return
	}
	day, _, _ := read.DayAsked(t.OfDays(), t.Event.At)
	if past := o.Until.Before(t.Date()) && !o.Until.IsZero(); past || day.Before(t.Date()) && !o.Day {
		fedAway(t, d.Dogs, t.AsTyped())
		return
	}
	if _, part := read.PartEaten(o.What); part && len(strings.Fields(o.What)) < 3 && t.Foods.Find(o.What).Food == nil { // "only half his dinner"
		t.SayMsg("meant.fed.part", talk.Examples(t)...)
		return
	}
	name, _ := read.AmountOff(o.What) // "300 g chicken breast"
	d.From, d.Until, d.At, d.Name = o.From, o.Until, o.At, name
	if d.Until.IsZero() && !read.Says("lasting", t.AsTyped()) {
		d.Until = d.From
	}
	d.Open = foodsSaid(t, say.Choose(t.RecipeSaid(d.Name) != nil, d.Name, o.What))
	for i, food := range d.Open {
		if f := t.Foods.Food(read.SaidKind("bland-food", food)); f != nil && read.Says("bland-diet", o.What) {
			d.Open[i] = f.Name
		}
	}
	if read.Says("gets-it", t.AsTyped()) && !slices.ContainsFunc(d.Open, func(food string) bool {
		f := t.Foods.Find(food)
		return f.Food != nil || f.Refused != nil || len(f.Choices)+len(f.Nearest) > 0 || t.RecipeSaid(food) != nil || read.Says("fodder", food)
	}) {
		t.NotUnderstood(t.AsTyped()) // "Pip gets a bath tonight"
		return
	}
	askOther(t, d)
	for _, id := range t.Alarm(sign).Dogs {
		t.Happened(&talk.SignTold{Dog: t.Dog(id), Text: sign})
	}
}

// withoutSign parts what is told of a dog's health from the food that it tells of: "only
// chicken today, Nell has the runs". What stands behind it is told of later.
func withoutSign(t *talk.Turn, words string) (rest, sign string) {
	for _, part := range read.Clauses(strings.ReplaceAll(words, ". ", ", ")) {
		if a := t.Alarm(part); a.Signs && len(a.Dogs) > 0 {
			before, after, _ := strings.Cut(words, part)
			return cmp.Or(strings.Trim(before, " ,;."), after), part
		}
	}
	return words, ""
}

// mostNamed is how many words name a food at most where a sentence tells of it (our own
// choice).
const mostNamed = 6

// sayUnwell says of which dogs the vet is to be asked first, and reports whether of
// any.
func sayUnwell(t *talk.Turn, ids []string) (said bool) {
	for _, id := range ids {
		if d := t.Dog(id); d != nil && dogs.Unwell(t, d) != "" {
			t.Say(say.Whole(dogs.Unwell(t, d)))
			said = true
		}
	}
	return said
}

// OtherMeant answers what very likely tells of other food than usual: by others
// elsewhere, in the past, or on some days to come. It reports false where no food is
// named.
func OtherMeant(t *talk.Turn, slots map[string]string, s string) bool {
	food := slots["food"]
	if of := span.Mentions(s, t.Names().Recipes); food == "" && len(of) == 1 {
		food = s[of[0].From:of[0].To]
	}
	if read.Says("away-place", s) {
		fedAway(t, dogsSaid(t, ""), s)
		return true
	}
	if _, stops := read.StopsFood(talk.WithoutDogs(t, s)); stops {
		sayNoOther(t, dogsSaid(t, ""), s)
		return true
	}
	if food == "" {
		return false
	}
	words := food + " " + slots["when"]
	if meal := slots["meal"]; meal != "" {
		words += " for " + meal
	}
	takeOther(t, words, "")
	return true
}

// fedAway notes that dogs were fed otherwise on days that were.
func fedAway(t *talk.Turn, dogs []string, s string) {
	for _, id := range dogs {
		t.GoTo(read.Sentence{Intent: read.FedAway, Dog: id, Words: s})
	}
	if len(t.Replies) == 0 {
		t.GoTo(read.Sentence{Intent: read.FedAway, Words: s})
	}
}

// StopOtherWords takes "no more kibble" of what a dog eats beside its usual food,
// and reports whether it was that.
func StopOtherWords(t *talk.Turn, s string) bool {
	text := talk.WithoutDogs(t, s)
	what, ok := read.StopsFood(text)
	if back := read.Says("goes-back", text); !ok && !back {
		return false
	}
	ids := eatBeside(t, func(d *planner.Dog, o planner.Other) bool {
		return strings.EqualFold(o.Name, what) || !ok && (read.Says("home-food", text) || read.HasName(text, talk.RecipeName(t, d.Recipe)))
	})
	named := dogsSaid(t, "")
	if len(ids) == 0 {
		is, fodder := t.Understand("stop the " + what)
		none := ok && fodder && is.Intent == read.StopOther
		if none {
			sayNoOther(t, named, s)
		}
		return none
	}
	if of := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return !slices.Contains(named, id) }); len(of) > 0 && len(t.Home.Dogs) > 1 {
		ids = of
	}
	stopOther(t, ids, what)
	return true
}

// eatBeside are the dogs that eat such food today beside their usual food, or in its place.
func eatBeside(t *talk.Turn, is func(*planner.Dog, planner.Other) bool) (ids []string) {
	for _, d := range t.Dogs() {
		if slices.ContainsFunc(planner.OthersOn(t.Home, d.ID, t.Date()), func(o planner.Other) bool { return is(d, o) }) {
			ids = append(ids, d.ID)
		}
	}
	return ids
}

// dogsSaid are the dogs that are meant: those named, or both, or the one spoken of.
func dogsSaid(t *talk.Turn, dog string) []string {
	text := t.AsTyped()
	if _, _, ids := read.DogsNamed(text, t.Names()); len(ids) > 0 {
		return ids
	}
	if read.Says("they", text) { // "mum's got them, she only does kibble"
		return talk.AllDogs(t)
	}
	if d := t.Dog(dog); d != nil {
		return []string{d.ID}
	}
	if d := talk.TheDog(t); d != nil && (len(t.Home.Dogs) == 1 || read.SaysShe(text)) {
		return []string{d.ID}
	}
	return nil
}

// foodsSaid are the foods that some words name, one where all of them are the name
// of one.
func foodsSaid(t *talk.Turn, what string) []string {
	if all := slices.DeleteFunc(read.SentencesOf(what), func(part string) bool { return namesNoFood(t, part) }); len(all) > 0 {
		what = strings.Join(all, ". ") // "fab, that's helpful. 105 g kibble"
	}
	if f := t.Foods.Find(what); f.Food != nil && len(f.Ignored) == 0 || t.RecipeSaid(what) != nil {
		return []string{what}
	}
	return slices.DeleteFunc(read.FoodsParted(what), func(s string) bool { return !say.HasLetters(s) })
}

// answerShares divides a dog's food from now on: "half kibble, half turkey".
func answerShares(t *talk.Turn, s read.Sentence) {
	all, ok := read.FoodShares(read.Without("not-so-much", talk.WithoutDogs(t, t.AsTyped())))
	if !ok {
		t.SayMsg("other.shares-how", talk.Examples(t)...)
		return
	}
	d := otherDraft{Dogs: dogsSaid(t, s.Dog), From: t.Date()}
	for _, f := range all {
		r := t.RecipeSaid(f.What)
		switch {
		case r != nil && len(all) > 1 && d.Home == "", f.Home && r == nil:
			if r != nil {
				d.Home = r.ID
			}
		case d.Name == "":
			d.Name, d.Share, d.Open = f.What, f.Share, foodsSaid(t, f.What)
		default: // two foods beside the recipe, or no recipe
			t.SayMsg("other.one-beside", talk.Examples(t)...)
			return
		}
	}
	if d.Name == "" {
		t.SayMsg("other.shares-how", talk.Examples(t)...)
		return
	}
	if len(d.Open) > 1 {
		d.Open = []string{d.Name}
	}
	if shared := eatBeside(t, func(_ *planner.Dog, o planner.Other) bool { return o.Share > 0 && strings.EqualFold(o.Name, d.Name) }); len(d.Dogs) == 0 && len(shared) == 1 {
		d.Dogs = shared
	}
	askOther(t, d)
}

// answerMealIs has another food be some meals of a dog from now on: "kibble in the
// morning".
func answerMealIs(t *talk.Turn, s read.Sentence) {
	text, apart := span.BindNames(talk.WithoutDogs(t, t.AsTyped()), t.Names())
	first, rest := read.MealsParted(text)
	o, err := read.OtherFoodText(first, t.Event.At)
	o.What, rest = apart(o.What), apart(rest)
	if err != nil || o.At == planner.EveryMeal || !say.HasLetters(o.What) {
		t.SayMsg("other.shares-how", talk.Examples(t)...)
		return
	}
	d := otherDraft{Dogs: dogsSaid(t, s.Dog), From: t.Date(), At: o.At, Name: o.What, Open: []string{o.What}}
	food := read.CutOther(rest)
	if r := t.RecipeSaid(food); r != nil {
		d.Home = r.ID
	}
	askOther(t, d)
	if d.Home == "" && say.HasLetters(food) && !read.Says("home-food", food) { // "tins in the evening"
		t.LastReply().Add(msg("other.then", "food", o.What, "rest", strings.Trim(rest, " ,.")))
	}
}

// otherVerbs begin the question what a dog eats instead, or end what it eats beside.
func otherVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){
		"ask": talk.TappedOn(func(t *talk.Turn, d *planner.Dog, stamp string) {
			day, ok := say.DateOfStamp(stamp)
			if !ok {
				day = t.Date()
			}
			askOther(t, otherDraft{Dogs: []string{d.ID}, From: day, Until: day})
		}),
		"stop":  talk.Tapped(func(t *talk.Turn, d *planner.Dog) { stopOther(t, []string{d.ID}, "") }),
		"lasts": talk.Tapped(lastOther),
	}
}
