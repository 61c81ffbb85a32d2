package bot

import (
	"maps"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
)

// foodDraft is the state of the dialogue that adds a food from its label.
type foodDraft struct {
	Label *read.Label `json:"label,omitempty"`
}

// addFood takes a label, or asks for it.
func (t *turn) addFood(label string) {
	if label == "" {
		t.ask("food", "label", foodDraft{})
		t.sayMsg("ask.label").offer(t.stopButton())
		return
	}
	got, problems := read.LabelText(label)
	if len(problems) > 0 {
		var lines []string
		for _, p := range problems {
			lines = append(lines, problemText(p))
		}
		t.ask("food", "label", foodDraft{})
		t.say(para(strings.Join(lines, "\n")), para(msg("ask.label"))).offer(t.stopButton())
		return
	}
	if refused := nutrition.FindRefusal(got.Name); refused != nil {
		t.endDialogue()
		t.sayRefused(refused)
		return
	}
	t.ask("food", "part", foodDraft{Label: &got})
	t.askPart(got)
}

// parts are the buttons that say where a food is counted.
var parts = []nutrition.Part{nutrition.Muscle, nutrition.MuscularOrgan, nutrition.Liver, nutrition.SecretingOrgan,
	nutrition.Fish, nutrition.Plant, nutrition.Other}

func (t *turn) askPart(l read.Label) {
	var known []string
	per, say := l.Per, l.PerSay
	if per == 0 {
		per, say = 100, "100 g"
	}
	for _, n := range slices.Sorted(maps.Keys(l.Per100)) {
		known = append(known, n.Name()+" "+valueText(nutrition.Exactly(l.Per100[n]*float64(per)/100), n))
	}
	r := t.sayMsg("ask.part", "food", l.Name, "known", strings.Join(known, ", "), "per", say)
	if l.Nominal {
		r.Body = append(r.Body, para(msg("ask.part-nominal", "form", l.Form)))
	}
	var row []Button
	for _, p := range parts {
		row = append(row, t.answer(msg("part."+p.String()), "part", p.String()))
		if len(row) == 2 {
			r.offer(row...)
			row = nil
		}
	}
	r.offer(append(row, t.stopButton())...)
}

// foodDialogue takes the label, then where the food is counted.
func (t *turn) foodDialogue(in answer) {
	var d foodDraft
	t.draft(&d)
	if t.talk.Step == "label" || d.Label == nil {
		t.addFood(in.value())
		return
	}
	for _, p := range parts {
		if strings.EqualFold(in.value(), p.String()) || strings.EqualFold(in.value(), msg("part."+p.String())) {
			t.endDialogue()
			t.keepFood(*d.Label, p)
			return
		}
	}
	t.askPart(*d.Label)
}

// keepFood stores a food of the household's own. What its label does not say
// is not known.
func (t *turn) keepFood(l read.Label, p nutrition.Part) {
	t.mutate("did.food-added", l.Name)
	f := nutrition.Food{Key: t.newID("own"), Name: l.Name, Kind: nutrition.OwnKind, Part: p, Source: msg("food.label-source")}
	for n, x := range l.Per100 {
		f.Per100[n] = nutrition.Exactly(x)
	}
	f.Soft = f.Per100
	if l.Piece > 0 {
		form := l.Form
		if form == "" {
			form = "piece"
		}
		f.Measure = []nutrition.Measure{{Unit: form, Grams: l.Piece, Source: f.Source}}
		if form != "piece" {
			f.Measure = append(f.Measure, nutrition.Measure{Unit: "piece", Grams: l.Piece, Source: f.Source})
		}
	}
	t.home.Foods = append(t.home.Foods, f)
	t.foods = t.base.With(t.home.Foods)
	if f.Per100[nutrition.Energy].IsUnknown() {
		t.sayMsg("food.added-no-kcal", "food", f.Name).offer(t.undoButton())
		return
	}
	t.sayMsg("food.added", "food", f.Name, "kcal", kcalRange(f.Per100[nutrition.Energy])).offer(t.undoButton())
}

// removeFood forgets a food of the household's own, unless a recipe has it.
func (t *turn) removeFood(key string) {
	i := slices.IndexFunc(t.home.Foods, func(f nutrition.Food) bool { return f.Key == key })
	if i < 0 {
		t.sayMsg("press.gone")
		return
	}
	name := t.home.Foods[i].Name
	for _, r := range t.home.Recipes {
		for _, in := range r.Ingredients {
			if in.Food == key {
				t.sayMsg("food.in-use", "food", name, "recipe", r.Name)
				return
			}
		}
	}
	t.mutate("did.food-removed", name)
	t.home.Foods = slices.Delete(t.home.Foods, i, i+1)
	t.sayMsg("food.removed", "food", name).offer(t.undoButton())
}

// foodAgain asks the open question about a food once more.
func (t *turn) foodAgain() {
	var d foodDraft
	t.draft(&d)
	if d.Label == nil {
		t.addFood("")
		return
	}
	t.askPart(*d.Label)
}
