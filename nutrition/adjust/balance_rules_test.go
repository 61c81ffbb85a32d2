package adjust

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"bowlwright/nutrition"
)

// What a cook would hold an answer to, said again here: the rules are read from
// the file of bounds and from the foods' values, and know nothing of the model,
// the program or the search.

// cookRule is a row of data/bounds.csv.
type cookRule struct {
	kind                       string
	floor, times, whole, least float64
	spoon, concentrate         bool
	alone                      string
}

var ruleRows = sync.OnceValue(func() map[string]cookRule {
	f, err := os.Open("data/bounds.csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return math.Inf(1)
		}
		return x
	}
	out := map[string]cookRule{}
	for _, c := range rows[1:] {
		one := cookRule{c[0], number(c[2]), number(c[3]), number(c[4]), number(c[6]), c[5] == "yes", c[7] == "yes", c[8]}
		for _, key := range append(strings.Fields(c[1]), c[0]) {
			out[key] = one
		}
	}
	return out
})

// ruleOf returns the rule of a food; every food of the table must have one.
func ruleOf(t *testing.T, f *nutrition.Food) cookRule {
	if r, ok := ruleRows()[f.Key]; ok {
		return r
	}
	r, ok := ruleRows()[f.Kind]
	if !ok && t != nil {
		t.Errorf("%s: no rule for the kind %q", f.Key, f.Kind)
	}
	return r
}

func TestEveryFoodHasBounds(t *testing.T) {
	for _, f := range nutrition.Default().Foods() {
		want, got := ruleOf(t, f), boundsOf(f)
		if got.floor != want.floor || got.whole != want.whole || got.spoon != want.spoon || got.concentrate != want.concentrate || !(got.least > 0) {
			t.Errorf("%s: %+v, want %+v", f.Key, got, want)
		}
		if f.Has(nutrition.Seaweed) && (got.alone != nutrition.Subject(nutrition.Iodine) || got.times != 3 || !got.concentrate) {
			t.Errorf("%s: a seaweed with %+v", f.Key, got)
		}
		if f.Has(nutrition.Supplement) && !got.concentrate {
			t.Errorf("%s: a supplement with %+v", f.Key, got)
		}
		if slices.Contains([]string{"seed", "oil", "algae", "seaweed"}, f.Kind) && got.times != 3 {
			t.Errorf("%s: %+v", f.Key, got)
		}
	}
}

// halves are half of the lowest maximum of each subject that any table has, per
// 1000 kcal.
func halves() map[nutrition.Subject]float64 {
	out := map[nutrition.Subject]float64{}
	for _, p := range nutrition.Profiles() {
		for _, q := range p.Requirements {
			if q.HasMax() && q.Subject != nutrition.CalciumPhosphorus && (out[q.Subject] == 0 || q.Max/2 < out[q.Subject]) {
				out[q.Subject] = q.Max / 2
			}
		}
	}
	return out
}

// gives returns the most of a subject that a gram of a food may bring.
func gives(f *nutrition.Food, s nutrition.Subject) (x float64) {
	for _, term := range s.MaxTerms() {
		x += f.Per100[term.Nutrient].High / 100 * term.Factor
	}
	return x
}

// most returns how many grams there may be in a recipe of some grams and kcal.
func (r cookRule) most(f *nutrition.Food, start, whole, kcal float64) float64 {
	most := min(r.whole, 1.25) * whole
	if start > 0 {
		most = min(most, r.times*start)
	}
	if r.concentrate {
		for s, half := range halves() {
			if x := gives(f, s); x > 0 {
				most = min(most, half*kcal/1000/x)
			}
		}
	}
	return max(start, most)
}

// onGrid reports that a kitchen can tell an amount.
func (r cookRule) onGrid(g float64) bool {
	step := 1.0
	switch {
	case r.spoon && g < 5-1e-9:
		step = 0.1
	case g > 50+1e-9:
		step = 5
	}
	return math.Abs(g/step-math.Round(g/step)) < 1e-6
}

// checkRules holds every answer to the rules.
func checkRules(t *testing.T, name string, req *Request, r *Result) {
	t.Helper()
	was := nutrition.Analyse(req.Mixture, req.Profile, req.Basis)
	lacked := func(s nutrition.Subject) bool {
		row := was.Row(s)
		return row != nil && row.HasMin() && row.Low < row.Min
	}
	for i := range r.Answers {
		a := &r.Answers[i]
		fail := func(it Amount, format string, args ...any) {
			t.Helper()
			t.Errorf("%s %s: %s from %v to %v: %s", name, a.Kind, it.Food.Key, it.Old, it.New, fmt.Sprintf(format, args...))
		}
		for _, it := range a.Items {
			old, g := float64(it.Old), float64(it.New)
			if g == old || it.Food == nil || req.Exclude != nil && req.Exclude(it.Food) {
				continue
			}
			rule := ruleOf(t, it.Food)
			if !rule.onGrid(g) {
				fail(it, "not on the grid")
			}
			if change := math.Abs(g - old); old > 0 && (change < 0.03*old-1e-9 || old > 20 && change < 2-1e-9) || old == 0 && change < rule.least-1e-9 {
				fail(it, "too little a change")
			}
			if g > rule.most(it.Food, old, float64(was.Grams), was.Energy.Mid)+1e-9 && !labelOf(req, it) {
				fail(it, "more than there may be")
			}
			if it.Food.Has(nutrition.Seaweed) && g > old && !lacked(nutrition.Subject(nutrition.Iodine)) {
				fail(it, "grows, and not for iodine")
			}
		}
		checkTogether(t, name, req, a, &was)
	}
	if n := len(r.Answers); n > 1 && !buysSomething(&r.Answers[n-1], &r.Answers[n-2]) {
		t.Errorf("%s: the thorough answer buys nothing over the gentle one", name)
	}
}

// labelOf reports that an item has figures of its own.
func labelOf(req *Request, it Amount) bool {
	return it.Index >= 0 && len(req.Mixture.Items[it.Index].Label) > 0
}

// checkTogether holds the foods of an answer together to the rules.
func checkTogether(t *testing.T, name string, req *Request, a *Answer, was *nutrition.Analysis) {
	t.Helper()
	if plants := a.Analysis.Shares[nutrition.Plant].Mid * float64(a.Analysis.Grams); plants > max(0.2*float64(was.Grams), was.Shares[nutrition.Plant].Mid*float64(was.Grams))+1e-6 {
		t.Errorf("%s %s: %v g of plants", name, a.Kind, plants)
	}
	for s, half := range halves() {
		var old, now float64
		for _, it := range a.Items {
			if it.Food != nil && ruleOf(t, it.Food).concentrate && !labelOf(req, it) {
				old += gives(it.Food, s) * float64(it.Old)
				now += gives(it.Food, s) * float64(it.New)
			}
		}
		if now > max(old, half*was.Energy.Mid/1000)*(1+1e-6) {
			t.Errorf("%s %s: concentrates bring %v of %v, from %v, and half of the lowest maximum is %v", name, a.Kind, now, s, old, half*was.Energy.Mid/1000)
		}
	}
}

// buysSomething reports that an answer closes more than another, where calcium,
// phosphorus, maximums and shares count three times.
func buysSomething(a, than *Answer) bool {
	parts := func(a *Answer) (x float64) {
		for _, g := range a.Gaps {
			grave := g.Most || g.Band != "" || g.Subject == nutrition.CalciumPhosphorus || g.Subject == nutrition.Subject(nutrition.Calcium) || g.Subject == nutrition.Subject(nutrition.Phosphorus)
			x += map[bool]float64{false: 1, true: 3}[grave] * g.Part
		}
		return x
	}
	return len(a.Gaps) < len(than.Gaps) && parts(a) < parts(than) || parts(a) < parts(than)-0.1+1e-9
}

// TestEggshellGrowsAsNeeded has one gram of eggshell where five are needed, and
// kelp and spirulina beside it, which grow for nothing but what they may.
func TestEggshellGrowsAsNeeded(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 40, "lamb-kidney", 40, "egg", 50,
		"spirulina-dried", 2, "parsley", 5, "kelp-powder", 1, "eggshell-powder", 1)
	m.Items[7].Label = map[nutrition.Nutrient]float64{nutrition.Iodine: 100}
	req := Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Bands: true}
	r := Balance(context.Background(), req)
	checkRules(t, "eggshell", &req, &r)
	if len(r.Answers) == 0 {
		t.Fatal(r.Problem)
	}
	for _, a := range r.Answers {
		for _, it := range a.Items {
			g := float64(it.New)
			switch it.Food.Key {
			case "eggshell-powder":
				if g < 3.5 || g > 5.5 {
					t.Errorf("%s: %v g of eggshell", a.Kind, g)
				}
			case "kelp-powder": // 100 ug of iodine in 1 g, and 250 per 1000 kcal are asked for
				if g != 3 && g != 2.9 && a.Analysis.Row(nutrition.Subject(nutrition.Iodine)).Low < a.Analysis.Row(nutrition.Subject(nutrition.Iodine)).Min {
					t.Errorf("%s: %v g of kelp", a.Kind, g)
				}
			case "spirulina-dried":
				if g > 6 {
					t.Errorf("%s: %v g of spirulina", a.Kind, g)
				}
			}
		}
	}
}
