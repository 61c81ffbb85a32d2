package menu

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// fodderDraft is bought food of which it is asked how much dogs get, while its label
// is asked for.
type fodderDraft struct {
	Dogs []string `json:"dogs"`
	Name string   `json:"name"`
	Eats string   `json:"eats,omitempty"` // the words that told that one dog eats it
}

// own has the food be that of the one dog of which it was told, where that has one of
// its own: "Pip's kibble".
func (d *fodderDraft) own(t *talk.Turn, per100 float64) *nutrition.Food {
	f, as := t.Foods.Find(d.Name).Food, d.Name
	for _, dog := range t.Dogs() {
		name := msg("fodder.own", "dog", dog.Name, "food", strings.ToLower(as))
		own := t.Foods.Find(name).Food
		has := own != nil && own.Kind == nutrition.OwnKind && strings.EqualFold(own.Name, name)
		if one := len(d.Dogs) == 1 && d.Dogs[0] == dog.ID; one && (has || per100 > 0 && d.Eats != "" && len(t.Home.Dogs) > 1) {
			d.Name = name
			return say.Choose(has, own, nil)
		} else if has && f != nil && f.Key == own.Key {
			f = nil // another's
		}
	}
	return f
}

// FodderWords says how much of a bought food takes the place of a dog's own, and
// reports whether that was asked: "how much kibble with 380 kcal per 100 g for Sela",
// "I have a tin with 90 kcal per 100 g". Nothing becomes of the dog's plan.
func FodderWords(t *talk.Turn, s string) bool {
	name, asks := read.FodderAsked(s)
	_, err := read.Density(s)
	if name == "" || len(t.Home.Dogs) == 0 || !asks && (err != nil || !read.Says("fodder-have", s)) {
		return false
	}
	d := fodderDraft{Name: name, Eats: read.Find("fodder-eats", s)}
	for _, dog := range t.Living() {
		if read.HasName(s, dog.Name) {
			d.Dogs = append(d.Dogs, dog.ID)
		}
	}
	if len(d.Dogs) == 0 {
		d.Dogs = talk.AllDogs(t)
	}
	if f := d.own(t, 0); err != nil && f != nil && f.Kind == nutrition.OwnKind {
		sayFodder(t, d, f.Per100[nutrition.Energy].Mid)
		return true
	}
	if err != nil {
		d.Dogs = slices.DeleteFunc(d.Dogs, func(id string) bool { return !mayEatOther(t, t.Dog(id), &otherDraft{Until: t.Date()}) })
		if len(d.Dogs) > 0 {
			askFodder(t, d)
		}
		return true
	}
	takeFodder(t, d, talk.Answer{Text: s})
	return true
}

// oddKcal says that no food has so many kcal per 100 g; empty where one may.
func oddKcal(per100 float64) string {
	odd := per100 < planner.LeastPer100 || per100 > planner.MostPer100
	return say.Where(odd, msg("transition-wrong.odd-kcal", "what", say.Trim(per100, 1), "low", planner.LeastPer100, "high", planner.MostPer100))
}

// askFodder asks what the label says.
func askFodder(t *talk.Turn, d fodderDraft) {
	t.Ask("fodder", "label", d)
	t.SayMsg("fodder.ask", "food", d.Name).Offer(t.StopButton())
}

// takeFodder takes the kcal of a label, and keeps them as a food of the household's
// own, so that they are asked for once.
func takeFodder(t *talk.Turn, d fodderDraft, in talk.Answer) {
	per100, err := read.Density(in.Text)
	if name, _ := read.FodderAsked(in.Text); name != "" && name != d.Name && t.Talk.Kind == "fodder" { // another one
		t.EndDialogue()
		FodderWords(t, in.Text)
		return
	}
	ask := func() { askFodder(t, d) }
	switch {
	case err != nil && t.Asked(in.Text):
		t.Again(ask)
		return
	case err != nil:
		talk.Wrong(t, msg("other.no-kcal", "what", say.Short(in.Value())), ask)
		return
	case oddKcal(per100) != "":
		talk.Wrong(t, oddKcal(per100), ask)
		return
	}
	t.EndIf("fodder")
	f := d.own(t, per100)
	if f == nil || f.Kind != nutrition.OwnKind {
		own := recipes.OwnFood(t, foodline.Label{Name: d.Name, Per100: map[nutrition.Nutrient]float64{nutrition.Energy: per100}}, nutrition.Other)
		f = &own
	}
	if eats := d.Eats != "" && len(d.Dogs) == 1; eats && len(planner.LastingFare(t.Home, d.Dogs[0], t.Date())) == 0 {
		askOther(t, otherDraft{Dogs: d.Dogs, From: t.Date(), Name: d.Name, Lines: []planner.Ingredient{{Food: f.Key, Grams: evenGrams, Typed: d.Eats}}})
		return
	}
	sayFodder(t, d, per100)
}

// sayFodder says how much of a food with so many kcal is a dog's day, of each that may
// have other food.
func sayFodder(t *talk.Turn, d fodderDraft, per100 float64) {
	if sayUnwell(t, d.Dogs) {
		return
	}
	var lines, names []string
	planned := false
	for _, id := range d.Dogs {
		dog := t.Dog(id)
		if !mayEatOther(t, dog, &otherDraft{Until: t.Date()}) {
			continue
		}
		kcal := planner.AmountOf(*dog, t.Event.At).Kcal
		for _, f := range planner.FareOn(t.Home, id, t.Date()) {
			if strings.EqualFold(f.Recipe.Name, d.Name) && f.Share() > 0 {
				planned, kcal = true, kcal*nutrition.Kcal(f.Share())
			}
		}
		aDay := nutrition.Grams(float64(kcal) / per100 * 100)
		lines = append(lines, msg("fodder.dog", "dog", dog.Name, "day", say.Mass(aDay, t.Home.Units), "meal", say.Mass(aDay/nutrition.Grams(talk.MealsOf(*dog)), t.Home.Units), "kcal", say.Kcal(kcal)))
		names = append(names, dog.Name)
	}
	if len(lines) == 0 {
		return
	}
	why := msg(say.Choose(planned, "fodder.planned", "fodder.why"), "food", d.Name, "kcal", say.Trim(per100, 0))
	count := say.Where(!planned, msg("fodder.count", "dog", names[0], "food", d.Name))
	out := t.Say(say.Whole(talk.JoinLines(lines)), say.Para(say.JoinParas(why, count)))
	if t.Changed {
		out.Offer(t.UndoButton())
	}
}
