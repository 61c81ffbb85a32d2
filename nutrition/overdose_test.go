package nutrition

import (
	"math"
	"slices"
	"testing"
)

func TestOverdoses(t *testing.T) {
	aafco, growth := ProfileByID("aafco-adult"), ProfileByID("aafco-growth")
	meat := []any{"turkey-thigh-skinless", 900}
	d := func(perDay float64) Extra { return Extra{Name: "drops", Nutrient: VitaminD, PerDay: perDay} }
	zinc := func(perDay float64) Extra { return Extra{Name: "zinc", Nutrient: Zinc, PerDay: perDay} }
	for name, c := range map[string]struct {
		parts   []any
		extras  []Extra
		own     *Profile
		subject Subject
		table   string
		kind    MaxKind
	}{
		"nothing given":                  {meat, nil, aafco, 0, "", ""},
		"a usual dose":                   {meat, []Extra{d(300)}, aafco, 0, "", ""},
		"too much of one":                {meat, []Extra{d(900)}, aafco, Subject(VitaminD), "aafco-adult", NutritionalMax},
		"two that add up":                {meat, []Extra{d(500), d(500)}, aafco, Subject(VitaminD), "aafco-adult", NutritionalMax},
		"with the food beside it":        {[]any{"turkey-thigh-skinless", 900, "cod-liver-oil", 5}, []Extra{d(400)}, aafco, Subject(VitaminD), "aafco-adult", NutritionalMax},
		"by another table, by law":       {meat, []Extra{zinc(80)}, aafco, Subject(Zinc), "fediaf-adult-95", LegalMax},
		"by what is safe, of a puppy":    {meat, []Extra{{Nutrient: Iodine, PerDay: 1500}}, growth, Subject(Iodine), "nrc-adult", NutritionalMax},
		"alone, where food is not known": {nil, []Extra{d(900)}, aafco, Subject(VitaminD), "aafco-adult", NutritionalMax},
		"much by nature":                 {[]any{"beef-liver", 700}, nil, aafco, 0, "", ""},
	} {
		m := mixtureOf(t, c.parts...)
		m.Extras = c.extras
		got := Overdoses(m, c.own, 1000)
		if c.table == "" {
			if len(got) > 0 {
				t.Errorf("%s: %+v", name, got)
			}
			continue
		}
		if i := slices.IndexFunc(got, func(o Overdose) bool { return o.Subject == c.subject }); i < 0 || got[i].Profile != c.table || got[i].Kind != c.kind {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// What a product of the household's own brings is added, not natural.
func TestOverdosesOfOwnProducts(t *testing.T) {
	own := *made("own", map[Nutrient]Value{Zinc: Exactly(2400), Energy: Exactly(0)})
	own.Kind, own.Part = OwnKind, Other
	m := mixtureOf(t, "turkey-thigh-skinless", 900)
	m.Items = append(m.Items, Item{Food: &own, Grams: 10})
	if got := Overdoses(m, ProfileByID("aafco-adult"), 1000); len(got) != 1 || got[0].Subject != Subject(Zinc) || got[0].Kind != LegalMax {
		t.Errorf("%+v", got)
	}
}

func TestFailings(t *testing.T) {
	codes := func(parts ...any) (out []FailCode) {
		m := mixtureOf(t, parts...)
		a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
		for _, f := range Failings(m, &a) {
			out = append(out, f.Code)
		}
		return out
	}
	for name, c := range map[string]struct {
		parts []any
		want  []FailCode
	}{
		"meat alone":            {[]any{"turkey-thigh-skinless", 900}, []FailCode{FailCalcium, FailIodine, FailVitaminE}},
		"an egg may bring some": {[]any{"turkey-thigh-skinless", 900, "egg", 50}, []FailCode{FailCalcium, FailVitaminE}},
		"much liver":            {[]any{"turkey-thigh-skinless", 800, "beef-liver", 150, "egg", 50, "eggshell-powder", 6}, []FailCode{FailVitaminE, FailMuchLiver}},
		"no vitamin D":          {[]any{"beef-ground-95", 800, "beef-heart", 100, "eggshell-powder", 6}, []FailCode{FailIodine, FailVitaminE, FailVitaminD}},
		"a fish may bring it":   {[]any{"beef-ground-95", 800, "anchovy", 100, "eggshell-powder", 6}, []FailCode{FailVitaminE}},
		"too much calcium":      {[]any{"turkey-thigh-skinless", 900, "egg", 50, "eggshell-powder", 20, "wheat-germ-oil", 15}, []FailCode{FailRatio}},
	} {
		if got := codes(c.parts...); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	m := mixtureOf(t, "chicken-breast-skinless", 900, "egg", 100, "eggshell-powder", 12)
	a := Analyse(m, ProfileByID("aafco-growth"), Basis{})
	if got := Failings(m, &a); !slices.ContainsFunc(got, func(f Failing) bool { return f.Code == FailZinc }) {
		t.Errorf("chicken for a puppy: %+v", got)
	}
	m = mixtureOf(t, "chicken-breast-skinless", 900, "egg", 100, "eggshell-powder", 5) // between half and two thirds
	a = Analyse(m, ProfileByID("aafco-growth"), Basis{})
	if got := Failings(m, &a); len(got) == 0 || got[0].Code != FailCalcium || got[0].Value.Low < badly*got[0].Min {
		t.Errorf("little calcium for a puppy: %+v", got)
	}
	// What a tablet may hold beside is nothing to count on.
	m = mixtureOf(t, "turkey-thigh-skinless", 100)
	m.Extras = []Extra{{Name: "kelp", Nutrient: Calcium, AtMost: 400, Natural: true}}
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{})
	if got := Failings(m, &a); len(got) == 0 || got[0].Code != FailCalcium || !a.CaP.Complete {
		t.Errorf("with a tablet: %+v", got)
	}
	// A food of which the figures are missing is no failure.
	m = mixtureOf(t, "turkey-thigh-skinless", 500)
	m.Items = append(m.Items, Item{Food: &Food{Key: "f1", Kind: "own", Part: Other}, Grams: 20})
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{})
	if got := Failings(m, &a); len(got) > 0 {
		t.Errorf("%+v", got)
	}
}

// By hand: 2 g of kelp powder at 600 µg a gram are 1200 µg; a label replaces
// that, and a dose beside the food counts by the days that the food lasts.
func TestUsualIodine(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 900, "kelp-powder", 2)
	total := Sum(m)
	kcal := total.Values[Energy].Mid
	if got, want := UsualIodine(m, 500), 1200*1000/kcal; math.Abs(got-want) > 0.001*want {
		t.Errorf("%v, want %v", got, want)
	}
	m.Extras = []Extra{{Nutrient: Iodine, NotKnown: true, Usual: 300}}
	if got, want := UsualIodine(m, 500), 1200*1000/kcal+300/0.5; math.Abs(got-want) > 0.001*want {
		t.Errorf("with a dose: %v, want %v", got, want)
	}
	m.Extras = nil
	m.Items[1].Label = map[Nutrient]float64{Iodine: 100}
	if got := UsualIodine(m, 500); got != 0 {
		t.Errorf("with its label: %v", got)
	}
	if got := UsualIodine(mixtureOf(t, "turkey-thigh-skinless", 900), 500); got != 0 {
		t.Errorf("without kelp: %v", got)
	}
}
