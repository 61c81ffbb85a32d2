package nutrition

import (
	"math"
	"slices"
	"testing"
)

// made returns a food of which everything is known to be nothing but what is
// given, per 100 g. Energy is 100 kcal unless given.
func made(key string, values map[Nutrient]Value) *Food {
	f := &Food{Key: key, Name: key}
	for n := range f.Per100 {
		f.Per100[n] = Exactly(0)
	}
	f.Per100[Energy] = Exactly(100)
	for n, v := range values {
		f.Per100[n] = v
	}
	return f
}

// rowOf returns the row of a subject.
func rowOf(t testing.TB, a *Analysis, s Subject) *Row {
	t.Helper()
	for i := range a.Rows {
		if a.Rows[i].Requirement.Subject == s {
			return &a.Rows[i]
		}
	}
	t.Fatalf("no row for %v", s)
	return nil
}

func TestVerdicts(t *testing.T) {
	// AAFCO adult, per 1000 kcal: calcium 1250 to 6250 mg, zinc at least 20
	// mg, vitamin D 125 to 750 IU; phosphorus follows calcium here.
	p := ProfileByID("aafco-adult")
	atLeast := func(x float64) Value { return Value{x, x, x, false} }
	for _, c := range []struct {
		name    string
		subject Subject
		is      Value // per 1000 kcal
		want    Verdict
		min     bool // StraddlesMin
		max     bool
		open    bool
	}{
		{"below", Subject(Zinc), Exactly(19.9), Low, false, false, false},
		{"at the minimum", Subject(Zinc), Exactly(20), Enough, false, false, false},
		{"above, no maximum", Subject(Zinc), Exactly(2000), Enough, false, false, false},
		{"nothing known", Subject(Zinc), Unknown(), NotKnown, false, false, false},
		{"known to be nothing", Subject(Zinc), Exactly(0), Low, false, false, false},
		{"at least enough", Subject(Zinc), atLeast(21), Enough, false, false, false},
		{"at least too little", Subject(Zinc), atLeast(19), NotKnown, false, false, false},
		{"range below", Subject(Calcium), Between(500, 900, 1249), Low, false, false, false},
		{"range across the minimum", Subject(Calcium), Between(1000, 1300, 1600), NotKnown, true, false, false},
		{"range within", Subject(Calcium), Between(1250, 3000, 6250), Enough, false, false, false},
		{"range across the maximum", Subject(Calcium), Between(5000, 6000, 7000), NotKnown, false, true, false},
		{"range across both", Subject(Calcium), Between(1000, 3000, 7000), LikelyEnough, true, true, false},
		{"range across both, much of it outside", Subject(Calcium), Between(0, 3000, 9000), NotKnown, true, true, false},
		// 10 % poultry bone: (1250-970)^2 / (1260*500) = 12 % of it is below.
		{"range mostly above the minimum", Subject(Calcium), Between(970, 1470, 2230), LikelyEnough, true, false, false},
		{"range mostly below the minimum", Subject(Calcium), Between(600, 900, 1400), LikelyLow, true, false, false},
		{"range mostly above the maximum", Subject(Calcium), Between(5900, 7000, 9000), LikelyHigh, false, true, false},
		{"at least a range mostly above the minimum", Subject(Zinc), Value{19, 24, 30, false}, LikelyEnough, false, false, false},
		{"at least a range mostly below the minimum", Subject(Zinc), Value{10, 15, 21, false}, NotKnown, false, false, false},
		{"range above", Subject(Calcium), Between(6251, 7000, 9000), High, false, false, false},
		{"at least above the maximum", Subject(Calcium), atLeast(6300), High, false, false, false},
		{"at least within: the maximum is open", Subject(Calcium), atLeast(2000), Enough, false, false, true},
		{"at the maximum", Subject(VitaminD), Exactly(750), Enough, false, false, false},
		{"above the maximum", Subject(VitaminD), Exactly(751), High, false, false, false},
	} {
		n, _ := c.subject.Nutrient()
		f := made("a", map[Nutrient]Value{n: c.is.Times(0.1)}) // 100 kcal in 100 g
		a := Analyse(Mixture{Items: []Item{{Food: f, Grams: 250}}}, p, Basis{})
		r := rowOf(t, &a, c.subject)
		if r.Verdict != c.want || r.StraddlesMin != c.min || r.StraddlesMax != c.max || r.OpenMax != c.open {
			t.Errorf("%s: %v %v (straddles minimum %v, maximum %v, open %v), want %v (%v, %v, %v)", c.name,
				r.Value, r.Verdict, r.StraddlesMin, r.StraddlesMax, r.OpenMax, c.want, c.min, c.max, c.open)
		}
		if got := r.UnknownFrom; (len(got) > 0) == c.is.Complete {
			t.Errorf("%s: not known from %v", c.name, got)
		}
	}
}

func TestVitaminAMaximumCountsPreformedOnly(t *testing.T) {
	// 100 mg of carotene per 1000 kcal are 83,300 IU at 833 IU a mg (FEDIAF
	// annex, from memory): above the AAFCO maximum of 62,500 if it counted.
	p := ProfileByID("aafco-adult")
	carrot := made("carrot", map[Nutrient]Value{Carotene: Exactly(10_000)})
	a := Analyse(Mixture{Items: []Item{{Food: carrot, Grams: 100}}}, p, Basis{})
	r := rowOf(t, &a, VitaminA)
	if r.Verdict != Enough || !same(r.Mid, 83_300) || r.Capped.Mid != 0 {
		t.Errorf("carotene alone: %v, %v toward the maximum: %v", r.Mid, r.Capped.Mid, r.Verdict)
	}
	liver := made("liver", map[Nutrient]Value{Retinoids: Exactly(6251), Carotene: Unknown()})
	a = Analyse(Mixture{Items: []Item{{Food: liver, Grams: 100}}}, p, Basis{})
	if r := rowOf(t, &a, VitaminA); r.Verdict != High || r.Complete || !r.Capped.Complete {
		t.Errorf("preformed above the maximum, carotene not known: %+v", r)
	}
}

func TestRaisedMinimums(t *testing.T) {
	// 40 g of polyunsaturated fat call for 24 IU of vitamin E at 0.6 IU a g
	// (AAFCO footnote); 20 g call for 12, less than the 12.5 of the table.
	for _, c := range []struct{ pufa, min float64 }{{40, 24}, {20, 12.5}} {
		oil := made("oil", map[Nutrient]Value{Linoleic: Exactly(c.pufa / 10 / 2), DHA: Exactly(c.pufa / 10 / 2)})
		a := Analyse(Mixture{Items: []Item{{Food: oil, Grams: 100}}}, ProfileByID("aafco-adult"), Basis{})
		r := rowOf(t, &a, Subject(VitaminE))
		if !same(r.Min, c.min) || r.Requirement.Min != 12.5 {
			t.Errorf("%v g: minimum %v, published %v", c.pufa, r.Min, r.Requirement.Min)
		}
	}
	// 145 g of protein are 100 g above FEDIAF's 45: 1 g more arginine than
	// 1.30 (FEDIAF, from memory).
	meat := made("meat", map[Nutrient]Value{Protein: Exactly(14.5), Arginine: Exactly(0.2)})
	a := Analyse(Mixture{Items: []Item{{Food: meat, Grams: 100}}}, ProfileByID("fediaf-adult-110"), Basis{})
	if r := rowOf(t, &a, Subject(Arginine)); !same(r.Min, 2.30) || r.Verdict != Low {
		t.Errorf("arginine minimum %v, %v", r.Min, r.Verdict)
	}
}

func TestPerDog(t *testing.T) {
	// FEDIAF 2021: 52.1 g of protein per 1000 kcal at 95 kcal/kg^0.75 is 4.95
	// g/kg^0.75, its own figure (from memory). A dog of 16 kg has 8 kg^0.75.
	p := ProfileByID("fediaf-adult-95")
	food := made("food", map[Nutrient]Value{Protein: Exactly(6)}) // 60 g per 1000 kcal
	m := Mixture{Items: []Item{{Food: food, Grams: 3000}}}
	basis := Basis{PerDog: true, Weight: 16, Kcal: 500}
	a := Analyse(m, p, basis)
	r := rowOf(t, &a, Subject(Protein))
	if !a.Basis.PerDog || math.Abs(r.Min-4.95*8) > 0.01*8 || !same(r.Mid, 30) || r.Verdict != Low {
		t.Errorf("a dog that eats little: %v of %v g, %v", r.Mid, r.Min, r.Verdict)
	}
	if a = Analyse(m, p, Basis{}); rowOf(t, &a, Subject(Protein)).Verdict != Enough {
		t.Error("the same food is enough per 1000 kcal")
	}
	// Maximums stay per 1000 kcal; a ratio stays as it is.
	a = Analyse(m, p, basis)
	if r := rowOf(t, &a, Subject(Calcium)); !same(r.Max, 6250*0.5) {
		t.Errorf("calcium maximum for 500 kcal is %v mg", r.Max)
	}
	if r := rowOf(t, &a, CalciumPhosphorus); r.Min != 1 || r.Max != 2 {
		t.Errorf("calcium to phosphorus from %v to %v", r.Min, r.Max)
	}
	for _, b := range []Basis{{PerDog: true, Weight: 16}, {PerDog: true, Kcal: 500}} {
		if a := Analyse(m, p, b); a.Basis.PerDog {
			t.Errorf("%+v is no basis per dog", b)
		}
	}
	if a := Analyse(m, ProfileByID("fediaf-growth-late"), basis); a.Basis.PerDog {
		t.Error("growth has no intake, and so no basis per dog")
	}
}

func TestExtrasAreGivenByTheDay(t *testing.T) {
	p := ProfileByID("aafco-adult")
	food := made("food", nil)
	m := Mixture{
		Items:  []Item{{Food: food, Grams: 2000}}, // 2000 kcal
		Extras: []Extra{{Name: "capsule", Nutrient: VitaminE, PerDay: 50}},
	}
	for _, c := range []struct {
		days float64
		kcal Kcal
		want float64 // IU per 1000 kcal
	}{
		{0, 0, 25},     // one day's food
		{4, 0, 100},    // four days' food: 200 IU in 2000 kcal
		{1, 500, 100},  // eaten in four days, whatever was written
		{4, 2000, 25},  // eaten in one
		{4, 1000, 50},  // eaten in two
		{0, 250, 200},  // eaten in eight
		{0, -100, 25},  // no energy said
		{-3, 0, 25},    // no days said
		{0.5, 0, 12.5}, // half a day's food
	} {
		m.Days = c.days
		a := Analyse(m, p, Basis{Kcal: c.kcal})
		if r := rowOf(t, &a, Subject(VitaminE)); !same(r.Mid, c.want) {
			t.Errorf("%v days, %v kcal a day: %v IU per 1000 kcal, want %v", c.days, c.kcal, r.Mid, c.want)
		}
	}
	m.Extras[0].NotKnown, m.Extras[0].PerDay, m.Days = true, 0, 1
	a := Analyse(m, p, Basis{})
	if r := rowOf(t, &a, Subject(VitaminE)); r.Verdict != NotKnown || !slices.Equal(r.UnknownFrom, []int{1}) {
		t.Errorf("a capsule of no known strength: %v from %v", r.Verdict, r.UnknownFrom)
	}
}

func TestCalciumToPhosphorusMovesTogether(t *testing.T) {
	// Bone of 1 to 3 g calcium with phosphorus a 2.15th of it, in meat of 200
	// mg phosphorus: the ratio is 1000/665 to 3000/1595, not 1000/1595 to
	// 3000/665.
	bone := func(ca float64) float64 { return 200 + ca/2.15 }
	f := made("cut", map[Nutrient]Value{
		Calcium:    Between(1000, 2000, 3000),
		Phosphorus: Between(bone(1000), bone(2000), bone(3000)),
	})
	a := Analyse(Mixture{Items: []Item{{Food: f, Grams: 70}}}, ProfileByID("aafco-adult"), Basis{})
	want := Between(1000/bone(1000), 2000/bone(2000), 3000/bone(3000))
	if !same(a.CaP.Low, want.Low) || !same(a.CaP.Mid, want.Mid) || !same(a.CaP.High, want.High) || !a.CaP.Complete {
		t.Errorf("ratio %v, want %v", a.CaP, want)
	}
	f.Per100[Calcium].Complete = false
	a = Analyse(Mixture{Items: []Item{{Food: f, Grams: 70}}}, ProfileByID("aafco-adult"), Basis{})
	if r := rowOf(t, &a, CalciumPhosphorus); r.Complete || !same(r.Low, want.Low) || r.Verdict != Enough || !r.OpenMax {
		t.Errorf("at least so much calcium: %+v", r)
	}
	f.Per100[Phosphorus] = Unknown()
	a = Analyse(Mixture{Items: []Item{{Food: f, Grams: 70}}}, ProfileByID("aafco-adult"), Basis{})
	if r := rowOf(t, &a, CalciumPhosphorus); !r.IsUnknown() || r.Verdict != NotKnown || len(r.UnknownFrom) != 1 {
		t.Errorf("phosphorus not known: %+v", r)
	}
	// Some phosphorus is known and some is not: more of it would make the
	// ratio any smaller.
	meat := made("meat", map[Nutrient]Value{Calcium: Exactly(10), Phosphorus: Exactly(200)})
	if v := Analyse(Mixture{Items: []Item{{Food: f, Grams: 70}, {Food: meat, Grams: 70}}}, ProfileByID("aafco-adult"), Basis{}).CaP; !v.IsUnknown() {
		t.Errorf("phosphorus known in part: %+v", v)
	}
}

func TestEnergyThatIsNotKnown(t *testing.T) {
	p := ProfileByID("aafco-adult")
	known := made("known", map[Nutrient]Value{Zinc: Exactly(3)}) // 30 mg per 1000 kcal
	// 1 g without a figure brings 0 to 9.02 kcal beside 1000: nearly nothing.
	pinch := made("pinch", map[Nutrient]Value{Energy: Unknown()})
	a := Analyse(Mixture{Items: []Item{{Food: known, Grams: 1000}, {Food: pinch, Grams: 1}}}, p, Basis{})
	r := rowOf(t, &a, Subject(Zinc))
	if a.Energy.Complete || !same(r.High, 30) || !same(r.Low, 30*1000/1009.02) || r.Verdict != Enough {
		t.Errorf("a pinch: %+v", r)
	}
	// 100 g may be 902 kcal, and then zinc is 15.8 mg per 1000 kcal.
	a = Analyse(Mixture{Items: []Item{{Food: known, Grams: 1000}, {Food: pinch, Grams: 100}}}, p, Basis{})
	r = rowOf(t, &a, Subject(Zinc))
	if r.Verdict != NotKnown || !r.StraddlesMin || !slices.Equal(r.UnknownFrom, []int{1}) {
		t.Errorf("a handful: %+v", r)
	}
	// A capsule of no known energy brings 10 kcal a day at most.
	m := Mixture{Items: []Item{{Food: known, Grams: 1000}}, Extras: []Extra{{Nutrient: Energy, NotKnown: true}}}
	a = Analyse(m, p, Basis{})
	r = rowOf(t, &a, Subject(Zinc))
	if !same(r.Low, 30/1.01) || !same(r.High, 30) || r.Verdict != Enough || r.UnknownFrom != nil {
		t.Errorf("a capsule: %+v", r)
	}
	for name, items := range map[string][]Item{
		"nothing":     nil,
		"no grams":    {{Food: known}},
		"only that":   {{Food: pinch, Grams: 100}},
		"less":        {{Food: known, Grams: -10}},
		"no number":   {{Food: known, Grams: Grams(math.NaN())}},
		"not a food":  {{Grams: 100}},
		"only energy": {{Food: made("water", map[Nutrient]Value{Energy: Exactly(0)}), Grams: 10}},
	} {
		a := Analyse(Mixture{Items: items}, p, Basis{})
		for _, r := range a.Rows {
			if r.Verdict != NotKnown || math.IsNaN(r.Low) || math.IsInf(r.High, 0) {
				t.Errorf("%s: %v is %v, %v", name, r.Requirement.Subject, r.Value, r.Verdict)
			}
		}
	}
}

func TestLabelReplacesTheTable(t *testing.T) {
	f := made("kelp", map[Nutrient]Value{Iodine: Unknown(), Zinc: Exactly(5)})
	label := map[Nutrient]float64{Iodine: 600, Energy: 2}
	a := Analyse(Mixture{Items: []Item{{Food: f, Grams: 10, Label: label}}}, ProfileByID("aafco-adult"), Basis{})
	// 6000 ug of iodine and 0.5 mg of zinc in 20 kcal.
	if r := rowOf(t, &a, Subject(Iodine)); !same(r.Mid, 300_000) || r.Verdict != High {
		t.Errorf("iodine %v ug per 1000 kcal, %v", r.Mid, r.Verdict)
	}
	if r := rowOf(t, &a, Subject(Zinc)); !same(r.Mid, 25) || !same(a.Energy.Mid, 20) {
		t.Errorf("zinc %v mg per 1000 kcal of %v kcal", r.Mid, a.Energy)
	}
	// The label's energy tells how many days the food lasts, too.
	if a := Analyse(Mixture{Items: []Item{{Food: f, Grams: 10, Label: label}}}, ProfileByID("aafco-adult"), Basis{Kcal: 5}); !same(a.Totals.Days, 4) {
		t.Errorf("20 kcal at 5 a day last %v days", a.Totals.Days)
	}
}

func TestAmountsBelowNothing(t *testing.T) {
	f := made("food", map[Nutrient]Value{Zinc: Exactly(3)})
	m := Mixture{
		Items:  []Item{{Food: f, Grams: 1000, Label: map[Nutrient]float64{Zinc: -1, Energy: math.NaN()}}, {Food: f, Grams: -500}},
		Extras: []Extra{{Nutrient: Zinc, PerDay: -100}},
	}
	for _, basis := range []Basis{{}, {Kcal: 1000}} {
		a := Analyse(m, ProfileByID("aafco-adult"), basis)
		if r := rowOf(t, &a, Subject(Zinc)); !same(r.Mid, 30) || !same(a.Totals.Days, 1) {
			t.Errorf("zinc %v mg per 1000 kcal, %v days", r.Value, a.Totals.Days)
		}
	}
}

func TestUnknownFromManyParts(t *testing.T) {
	// More parts than fit one machine word.
	known, open := made("known", nil), made("open", map[Nutrient]Value{Zinc: Unknown()})
	var m Mixture
	var want []int
	for i := range 150 {
		f := known
		if i%37 == 0 {
			f = open
			want = append(want, i)
		}
		m.Items = append(m.Items, Item{Food: f, Grams: 1})
	}
	m.Extras = []Extra{{Nutrient: Zinc, NotKnown: true}}
	want = append(want, 150)
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
	r := rowOf(t, &a, Subject(Zinc))
	if !slices.Equal(r.UnknownFrom, want) || !slices.Equal(a.Totals.UnknownFrom(Zinc), want) {
		t.Errorf("not known from %v, want %v", r.UnknownFrom, want)
	}
	if a.Totals.UnknownFrom(Iron) != nil {
		t.Error("iron is known")
	}
}
