package recipes

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
)

// foodDraft is the state of the dialogue that adds a food from its label, or
// changes one.
type foodDraft struct {
	Label *foodline.Label `json:"label,omitempty"`
	Key   string          `json:"key,omitempty"` // of the food that is changed
}

// addFood takes a label, or asks for it.
func addFood(t *talk.Turn, label string) {
	got, problems := foodline.LabelText(label)
	if f := ownNamed(t, got.Name); f != nil { // a second one of that name would be meant by neither
		changeOwn(t, f, label)
		return
	}
	if label == "" || len(problems) > 0 {
		t.Ask("food", "label", foodDraft{})
		t.Say(say.Para(say.Where(label != "", say.ProblemsText(problems))), say.Para(msg("ask.label"))).Offer(t.StopButton())
		return
	}
	if refused := nutrition.FindRefusal(got.Name); refused != nil {
		t.EndDialogue()
		SayRefused(t, refused)
		return
	}
	t.Ask("food", "part", foodDraft{Label: &got})
	askPart(t, got, "part")
}

// parts are the buttons that say where a food is counted.
var parts = []nutrition.Part{nutrition.Muscle, nutrition.MuscularOrgan, nutrition.Liver, nutrition.SecretingOrgan,
	nutrition.Fish, nutrition.Plant, nutrition.Other}

// partNamed is the part that a button or its label names.
func partNamed(s string) (nutrition.Part, bool) {
	for _, p := range parts {
		if strings.EqualFold(s, p.String()) || strings.EqualFold(s, msg("part."+p.String())) || strings.EqualFold(s, PartText(p)) {
			return p, true
		}
	}
	return 0, false
}

// askPart asks where a food is counted, as a step of the dialogue.
func askPart(t *talk.Turn, l foodline.Label, step string) {
	per, said := l.Per, l.PerSay
	if per == 0 {
		per, said = 100, "100 g"
	}
	known := say.Each(slices.Sorted(maps.Keys(l.Per100)), func(n nutrition.Nutrient) string {
		return n.Name() + " " + ValueText(nutrition.Exactly(l.Per100[n]*float64(per)/100), n)
	})
	r := t.SayMsg("ask.part", "food", l.Name, "known", strings.Join(known, ", "), "per", said)
	if l.Nominal {
		r.Add(msg("ask.part-nominal", "form", l.Form))
	}
	r.Rows(2, append(partButtons(t, step), t.StopButton())...)
}

// partButtons answer where a food is counted.
func partButtons(t *talk.Turn, step string) []say.Button {
	return say.Each(parts, func(p nutrition.Part) say.Button { return t.Answer(msg("part."+p.String()), step, p.String()) })
}

// PartText is a part without its example.
func PartText(p nutrition.Part) string {
	short, _, _ := strings.Cut(msg("part."+p.String()), " (")
	return short
}

// foodDialogue takes the label, then where the food is counted.
func foodDialogue(t *talk.Turn, d foodDraft, in talk.Answer) {
	if t.Talk.Step == "change" {
		takeChange(t, d, in)
		return
	}
	if t.Talk.Step == "label" || d.Label == nil {
		if _, problems := foodline.LabelText(in.Text); len(problems) > 0 && in.Press == "" && t.Asked(in.Text) {
			return
		}
		addFood(t, in.Value())
		return
	}
	if p, ok := partSaid(t, "food", d, d.Label, in); ok {
		t.EndDialogue()
		keepFood(t, *d.Label, p)
	}
}

// partSaid is the part that an answer names, after more figures of the label are taken that it
// tells: "other, and calcium is 18000 mg". Where it names none it is asked again.
func partSaid(t *talk.Turn, kind string, draft any, l *foodline.Label, in talk.Answer) (nutrition.Part, bool) {
	first, _, _ := strings.Cut(in.Value(), ",")
	p, ok := partNamed(strings.TrimSpace(first))
	if more, _ := foodline.LabelText("more: " + in.Text); len(more.Per100) > 0 {
		maps.Copy(l.Per100, more.Per100)
		t.Ask(kind, t.Talk.Step, draft)
		in.Press = "more"
	}
	if !ok {
		elsewhere(t, in, func() { askPart(t, *l, t.Talk.Step) })
	}
	return p, ok
}

// elsewhere answers what is no answer as something else where it is that, a weigh-in,
// "fed", "today", and asks again.
func elsewhere(t *talk.Turn, in talk.Answer, ask func()) {
	if in.Press == "" {
		t.Asked(in.Text)
	}
	t.Again(ask)
}

// OwnFood stores a food of the household's own. What its label does not say is
// not known.
func OwnFood(t *talk.Turn, l foodline.Label, p nutrition.Part) nutrition.Food {
	t.Mutate("did.food-added", l.Name)
	f := nutrition.Food{Key: t.NewID("own"), Name: l.Name, Kind: nutrition.OwnKind, Part: p, Source: msg("food.label-source")}
	for n, x := range l.Per100 {
		f.Per100[n] = nutrition.Exactly(x)
	}
	f.Soft = f.Per100
	f.Measure = measuresOf(l)
	t.Home.Foods = append(t.Home.Foods, f)
	t.Shelve()
	return f
}

// measuresOf is what a piece or scoop weighs by a label.
func measuresOf(l foodline.Label) []nutrition.Measure {
	if l.Piece <= 0 {
		return nil
	}
	source := msg("food.label-source")
	all := []nutrition.Measure{{Unit: cmp.Or(l.Form, "piece"), Grams: l.Piece, Source: source}}
	if all[0].Unit != "piece" {
		all = append(all, nutrition.Measure{Unit: "piece", Grams: l.Piece, Source: source})
	}
	return all
}

// keepFood stores a food and says so.
func keepFood(t *talk.Turn, l foodline.Label, p nutrition.Part) {
	f := OwnFood(t, l, p)
	kcal := f.Per100[nutrition.Energy]
	t.SayMsg(say.Choose(kcal.IsUnknown(), "food.added-no-kcal", "food.added"), "food", f.Name, "kcal", say.KcalRange(kcal)).Offer(t.UndoButton())
}

// foodAgain asks the open question about a food once more.
func foodAgain(t *talk.Turn, d foodDraft) {
	switch {
	case d.Key != "":
		askChange(t, d.Key)
	case d.Label == nil:
		addFood(t, "")
	default:
		askPart(t, *d.Label, "part")
	}
}

// askLabel asks for the label of the food that no table has, in the midst of
// its recipe.
func askLabel(t *talk.Turn, d RecipeDraft, head string) {
	t.Ask("recipe", "label", d)
	t.Say(say.Para(head), say.Para(msg("ask.recipe-label", "food", say.Short(openProblem(t, d).Part)))).
		Offer(t.Answer(msg("button.drop-line"), "label", "drop"), t.StopButton())
}

// takeLabel takes what the label says, and asks where the food is counted. What has no
// figure of a label is about the recipe: the line is left out, the recipe saved.
func takeLabel(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	p := openProblem(t, d)
	switch {
	case in.Press != "":
		pressRecipeLine(t, d, in.Press)
		return
	case p.Code != span.UnknownFood:
		goOnWithRecipe(t, d, nil, nil)
		return
	}
	label, problems := foodline.LabelText("food: " + in.Text)
	if whole, wrong := foodline.LabelText(in.Text); len(problems) > 0 && len(wrong) < len(problems) { // with its name
		label, problems = whole, wrong
	}
	switch {
	case len(problems) == 0:
		label.Name = p.Part
		d.Label = &label
		t.Ask("recipe", "label-part", d)
		askPart(t, label, "label-part")
	case len(label.Per100) > 0 || t.Talk.Step != "label":
		askLabel(t, d, say.ProblemsText(problems))
	default:
		t.Talk.Step = "lines"
		recipeDialogue(t, d, in)
	}
}

// LabelWords takes a label that is told with its food's name: of a new food, or of one of the
// household's own.
func LabelWords(t *talk.Turn, s string) bool {
	label := foodline.LabelIn(s)
	for _, f := range t.Home.Foods {
		if rest := s[min(len(s), len(f.Name)):]; strings.EqualFold(s[:len(s)-len(rest)], f.Name) && !strings.HasPrefix(rest, ":") {
			label = f.Name + ": " + read.Without("label-has", rest)
		}
	}
	if label == "" || !foodline.HasFigures(s) || t.Talk.Kind == "recipe" {
		return false
	}
	addFood(t, label)
	return true
}

// labelTyped takes a label that was typed where a line is open or more lines are
// waited for: it is no line. It reports whether it was one.
func labelTyped(t *talk.Turn, d RecipeDraft, text string) bool {
	switch {
	case !foodline.HasFigures(text):
		return false
	case len(d.Open) > 0 && openProblem(t, d).Code == span.UnknownFood:
		takeLabel(t, d, talk.Answer{Text: text})
	default:
		goOnWithRecipe(t, d, nil, []string{msg("recipe.label-alone")})
	}
	return true
}

// takeLabelPart keeps the food and takes its line again.
func takeLabelPart(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	part, ok := partSaid(t, "recipe", d, d.Label, in)
	if !ok {
		return
	}
	f := OwnFood(t, *d.Label, part)
	d.Label = nil
	t.SayMsg("food.added-here", "food", f.Name)
	openAs(t, d, d.Open[0])
}
