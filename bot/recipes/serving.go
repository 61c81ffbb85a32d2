package recipes

import (
	"cmp"
	_ "embed"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// Serving is an amount of a food as a carer tells it, and the kcal that it brings.
type Serving struct {
	Name   string
	Grams  nutrition.Grams
	Energy nutrition.Value
	Extra  bool // it is in no table: the kcal are rough
}

// ServingOf works out "300 g steak", "a slice of cheese", "half a sausage", "400 kcal of
// butter", of which no grams are known. Where
// several foods are meant by a name the kcal are a range. It reports false where the
// food is not known, or what it weighs; refused is what dogs must not eat.
func ServingOf(t *talk.Turn, text string) (s Serving, refused *nutrition.Refusal, ok bool) {
	if m := read.Pattern("kcal-of").FindStringSubmatch(text); m != nil {
		kcal, err := span.Number(m[1])
		found := t.Foods.Find(m[2])
		_, extra := extraOf(m[2], m[2])
		known := found.Known() || len(found.Nearest) == 1 || extra || len(span.Mentions(m[2], t.Names().Recipes)) > 0
		return Serving{Name: m[2], Energy: nutrition.Exactly(kcal)}, found.Refused, known && err == nil && found.Refused == nil
	}
	if tr := switchedFrom(t, text); tr != nil {
		g := read.MassIn(text)
		return Serving{Name: tr.Old, Grams: g, Energy: nutrition.Exactly(tr.OldPer100 / 100 * float64(g))}, nil, g > 0
	}
	got := t.RecipeText(text)
	if len(got.Problems) == 0 && len(got.Lines) == 1 {
		s, ok = servingLine(t, got.Lines[0].Ingredient)
		return s, nil, ok
	}
	if len(got.Problems) != 1 || len(got.Lines) > 0 {
		return s, nil, false
	}
	p := got.Problems[0]
	found := t.Foods.Find(p.Part)
	extra, known := extraOf(p.Text, p.Part)
	switch {
	case known && (found.Refused == nil || found.Refused.Key == sulphite):
		return extra, nil, extra.Grams > 0
	case found.Refused != nil:
		return s, found.Refused, false
	case len(found.Choices) > 0 && p.Code != span.NoAmount:
		s, ok = servingOfAny(t, text, p.Part, found.Choices)
	case len(found.Nearest) == 1:
		s, ok = servingOfAny(t, text, p.Part, found.Nearest)
	}
	return s, nil, ok
}

// switchedFrom is the switch from the food that a text names, of whose label it knows the
// kcal: "140 g kibble"; nil for none.
func switchedFrom(t *talk.Turn, text string) *planner.Transition {
	return planner.FirstOf(t.Home.Transitions, func(tr *planner.Transition) bool {
		return !tr.Done && t.Dog(tr.Dog) != nil && (read.HasName(text, tr.Old) || read.Says("dog-food", text) && read.Says("dog-food", tr.Old))
	})
}

// Cooks reports that a recipe is written in raw weights and was weighed cooked: its
// grams are then told apart.
func Cooks(t *talk.Turn, r *planner.Recipe) bool {
	_, weighed := r.Yield()
	return weighed && !larder.InCookedWeights(*r, t.Foods)
}

// Raw is what so many grams of a recipe, as it is fed, weighed raw, and whether that is
// another weight: what is cooked is told cooked, unless it is called raw.
func Raw(t *talk.Turn, r *planner.Recipe, fed nutrition.Grams) (raw nutrition.Grams, cooked bool) {
	if !Cooks(t, r) || read.SaysOneOf(t.AsTyped(), "stays-raw") {
		return fed, false
	}
	yield, _ := r.Yield()
	return fed / nutrition.Grams(yield), true
}

// CookedUnknown reports that grams are told cooked of a recipe of which nobody knows what it
// weighs then.
func CookedUnknown(t *talk.Turn, r *planner.Recipe) bool {
	return read.SaysCooking(t.AsTyped()) && !Cooks(t, r) && !larder.InCookedWeights(*r, t.Foods)
}

// sulphite is the key of what sausages may have in them.
const sulphite = "sulphite"

// servingOfAny is the range of some foods of which each may be meant by a part of the
// text; of those that nobody knows the weight of it leaves out.
func servingOfAny(t *talk.Turn, text, part string, foods []*nutrition.Food) (s Serving, ok bool) {
	for _, f := range foods {
		got := t.RecipeText(strings.Replace(text, part, f.Name, 1))
		if len(got.Problems) > 0 || len(got.Lines) != 1 {
			continue
		}
		one, fits := servingLine(t, got.Lines[0].Ingredient)
		switch {
		case !fits:
		case !ok:
			s, ok = one, true
		default:
			s.Energy.Low, s.Energy.High = min(s.Energy.Low, one.Energy.Low), max(s.Energy.High, one.Energy.High)
			s.Energy.Mid = (s.Energy.Low + s.Energy.High) / 2
		}
	}
	if len(foods) > 1 {
		s.Name = part
	}
	return s, ok
}

func servingLine(t *talk.Turn, in *planner.Ingredient) (s Serving, ok bool) {
	if in == nil {
		return s, false
	}
	f := t.Foods.Food(in.Food)
	if f == nil || f.Per100[nutrition.Energy].IsUnknown() {
		return s, false
	}
	return Serving{Name: f.Name, Grams: in.Grams, Energy: f.Per100[nutrition.Energy].Times(float64(in.Grams) / 100)}, true
}

//go:embed extras.csv
var extras string

// extraOf is an amount of something that is no food of the table; without a weight
// where nobody says what a piece of it weighs.
func extraOf(text, part string) (Serving, bool) {
	name := strings.ToLower(part)
	for line := range strings.Lines(extras) {
		cells := strings.Split(strings.TrimSpace(line), ",")
		if len(cells) != 3 || !(name == cells[0] || name == cells[0]+"s" || strings.HasSuffix(name, " "+cells[0]) || strings.HasSuffix(name, " "+cells[0]+"s")) {
			continue
		}
		kcal, err := strconv.ParseFloat(cells[1], 64)
		if err != nil {
			continue // the heading
		}
		piece, _ := strconv.ParseFloat(cells[2], 64)
		grams := cmp.Or(read.WeighsTogether(text, text), nutrition.Grams(piece*read.PiecesOf(text)))
		return Serving{Name: cells[0], Grams: grams, Extra: true, Energy: nutrition.Exactly(kcal / 100 * float64(grams))}, true
	}
	return Serving{}, false
}
