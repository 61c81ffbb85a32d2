package nutrition

import (
	"math"
	"testing"
)

func closeTo(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

// is compares a value with its ends and whether it is complete.
func is(t *testing.T, what string, got Value, low, high float64, complete bool) {
	t.Helper()
	if !closeTo(got.Low, low) || !closeTo(got.High, high) || got.Complete != complete {
		t.Errorf("%s is %+v, want %v to %v, complete %v", what, got, low, high, complete)
	}
}

// TestDryMatterByHand: 400 g of meat with 70 % water, 20 % protein, 150 kcal and
// 4 mg of zinc per 100 g, and 100 g of a plant with 90 % water, 2 % protein, 50
// kcal and 1 mg of zinc.
//
//	as fed: 500 g have 82 g protein, 16.4 %; 17 mg zinc, 3.4 mg per 100 g;
//	650 kcal, 130 per 100 g
//	dry matter: 400 x 0.3 + 100 x 0.1 = 130 g of 500, 26 %
//	protein 82 / 130 = 63.08 %, zinc 17 mg / 0.130 kg = 130.8 mg per kg, and
//	650 / 0.130 = 5000 kcal per kg, so AAFCO's least of protein, 45 g per 1000
//	kcal, is 225 g per kg or 22.5 % here, and 45 x 0.13 = 5.85 g per 100 g as fed
func TestDryMatterByHand(t *testing.T) {
	m := Mixture{Items: []Item{
		{Food: made("meat", map[Nutrient]Value{Energy: Exactly(150), Water: Exactly(70), Protein: Exactly(20), Zinc: Exactly(4)}), Grams: 400},
		{Food: made("plant", map[Nutrient]Value{Energy: Exactly(50), Water: Exactly(90), Protein: Exactly(2), Zinc: Exactly(1)}), Grams: 100},
	}}
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
	for _, c := range []struct {
		view                 View
		protein, least, zinc float64
	}{
		{AsFed, 16.4, 5.85, 3.4},
		{PerKcal, 82 / .650, 45, 17 / .650},
		{DryMatter, 82 / .130, 225, 17 / .130},
	} {
		seen, ok := a.In(c.view, m)
		if !ok {
			t.Fatalf("no view %s", c.view)
		}
		protein := rowOf(t, &seen, Subject(Protein))
		is(t, string(c.view)+": protein", protein.Value, c.protein, c.protein, true)
		is(t, string(c.view)+": zinc", rowOf(t, &seen, Subject(Zinc)).Value, c.zinc, c.zinc, true)
		if !closeTo(protein.Min, c.least) || protein.Verdict != Enough {
			t.Errorf("%s: the least protein is %v, %v; want %v, enough", c.view, protein.Min, protein.Verdict, c.least)
		}
	}
	if _, ok := a.In(PerKilo, m); ok {
		t.Error("a view per kg of no dog")
	}
	// A 16 kg dog, 16^0.75 = 8, of 880 kcal a day: 880/650 of the mixture, 111 g
	// of protein, 6.94 g per kg; at least 45 g x 110 x 8 / 1000 = 39.6, 2.475 per kg.
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{PerDog: true, Weight: 16, Kcal: 880})
	seen, _ := a.In(PerKilo, m)
	row := rowOf(t, &seen, Subject(Protein))
	is(t, "protein per kg of dog", row.Value, 82./650*880/16, 82./650*880/16, true)
	if !closeTo(row.Min, 2.475) {
		t.Errorf("the least protein per kg of dog is %v, want 2.475", row.Min)
	}
	// The table for growth has no daily intake: 56.3 g per 1000 kcal, of 880 for
	// 16 kg, are 3.0965 g per kg.
	a = Analyse(m, ProfileByID("aafco-growth"), Basis{PerDog: true, Weight: 16, Kcal: 880})
	seen, _ = a.In(PerKilo, m)
	row = rowOf(t, &seen, Subject(Protein))
	is(t, "protein per kg of puppy", row.Value, 82./650*880/16, 82./650*880/16, true)
	if !closeTo(row.Min, 3.0965) {
		t.Errorf("the least protein per kg of puppy is %v, want 3.0965", row.Min)
	}
}

// TestDryMatterLimitsAreAAFCOs: of a food with the 4000 kcal per kg of dry matter
// that AAFCO presumes, the limits are those of its own dry-matter table.
func TestDryMatterLimitsAreAAFCOs(t *testing.T) {
	m := Mixture{Items: []Item{{Food: made("food", map[Nutrient]Value{Energy: Exactly(100), Water: Exactly(75)}), Grams: 300}}}
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
	seen, ok := a.In(DryMatter, m)
	if !ok {
		t.Fatal("no dry matter")
	}
	checked := 0
	for key, row := range readSheet(t, "testdata/aafco-dry-matter.csv").rows {
		s, err := ParseSubject(key)
		if err != nil {
			t.Fatal(err)
		}
		if row[2] == "" { // of growth alone
			continue
		}
		r := rowOf(t, &seen, s)
		checkDryMatter(t, s, "minimum", r.Min/4, row[2], row[1])
		if row[4] != "" {
			checkDryMatter(t, s, "maximum", r.Max/4, row[4], row[1])
		}
		checked++
	}
	if checked < 35 {
		t.Errorf("only %d limits checked", checked)
	}
}

// TestViewOfWhatIsNotKnown: 100 g of a food of which nobody knows the water, with
// 30 g protein and 10 g fat, are 40 to 100 g of dry matter; what is not known
// stays so, and limits that cannot be reckoned are none.
func TestViewOfWhatIsNotKnown(t *testing.T) {
	f := made("tin", map[Nutrient]Value{Water: Unknown(), Protein: Exactly(30), Fat: Exactly(10), Zinc: Exactly(4), Iodine: Unknown(),
		Copper: {0.2, 0.2, 0.2, false}})
	m := Mixture{Items: []Item{{Food: f, Grams: 100}}}
	a := Analyse(m, ProfileByID("aafco-adult").Naming(Subject(Water)), Basis{})
	dry, _ := a.In(DryMatter, m)
	is(t, "zinc", rowOf(t, &dry, Subject(Zinc)).Value, 40, 100, true) // 4 mg in 0.1 or 0.04 kg
	if r := rowOf(t, &dry, Subject(Zinc)); r.HasMin() || r.Verdict != rowOf(t, &a, Subject(Zinc)).Verdict {
		t.Errorf("zinc of unknown water: least %v, %v", r.Min, r.Verdict)
	}
	fed, _ := a.In(AsFed, m)
	for _, seen := range []Analysis{dry, fed} {
		for _, n := range []Nutrient{Iodine, Water} {
			if r := rowOf(t, &seen, Subject(n)); !r.IsUnknown() {
				t.Errorf("%v is %+v, not unknown", n, r.Value)
			}
		}
	}
	if r := rowOf(t, &dry, Subject(Copper)); r.Complete || !closeTo(r.Low, 2) {
		t.Errorf("copper is %+v, want at least 2", r.Value)
	}
	// Nothing of it is known: there may be next to no dry matter, so all that is
	// known of zinc is that 4 mg are in 100 g of it at least.
	m.Items[0].Food = made("tin", map[Nutrient]Value{Water: Unknown(), Zinc: Exactly(4)})
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{})
	dry, _ = a.In(DryMatter, m)
	is(t, "zinc of a food of which nothing else is known", rowOf(t, &dry, Subject(Zinc)).Value, 40, 40, false)
	// Without its energy there is no verdict; amounts by weight are known.
	m.Items[0].Food = made("tin", map[Nutrient]Value{Energy: Unknown(), Zinc: Exactly(4)})
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{})
	fed, _ = a.In(AsFed, m)
	is(t, "zinc of a food without kcal", rowOf(t, &fed, Subject(Zinc)).Value, 4, 4, true)
	if r := rowOf(t, &fed, Subject(Zinc)); r.HasMin() {
		t.Errorf("its least is %v per 100 g", r.Min)
	}
}

func TestRatios(t *testing.T) {
	ratio := func(kind RatioKind, basis Basis, foods ...*Food) Ratio {
		t.Helper()
		var m Mixture
		for _, f := range foods {
			m.Items = append(m.Items, Item{Food: f, Grams: 100})
		}
		p := ProfileByID("aafco-adult")
		a := Analyse(m, p, basis)
		for _, r := range Ratios(&a, m, p) {
			if r.Kind == kind {
				return r
			}
		}
		t.Fatalf("no ratio %s", kind)
		return Ratio{}
	}
	food := func(v map[Nutrient]Value) *Food { return made("food", v) }
	zinc := food(map[Nutrient]Value{Zinc: Exactly(6), Copper: Exactly(.1)})
	copper := food(map[Nutrient]Value{Zinc: Exactly(2), Copper: Between(.3, .5, .7)})
	r := ratio(ZnToCu, Basis{}, zinc, copper)
	is(t, "8 mg zinc to 0.4-0.8 mg copper", r.Value, 10, 20, true)
	is(t, "zinc per 1000 kcal", r.Of, 40, 40, true)
	if !math.IsNaN(r.Min) || !math.IsNaN(r.Max) {
		t.Errorf("no table limits zinc to copper: %v to %v", r.Min, r.Max)
	}
	noCopper := food(map[Nutrient]Value{Copper: Unknown()})
	r = ratio(ZnToCu, Basis{}, zinc, noCopper)
	is(t, "6 mg zinc to at least 0.1 mg copper", r.Value, 0, 60, true)
	if len(r.ToOpen) != 1 || r.ToOpen[0] != 1 || len(r.OfOpen) != 0 {
		t.Errorf("without a figure: %v and %v, want none and 1", r.OfOpen, r.ToOpen)
	}
	is(t, "at least 6 mg zinc to 0.1 mg copper", ratio(ZnToCu, Basis{}, zinc, food(map[Nutrient]Value{Zinc: Unknown()})).Value, 60, 60, false)
	if r := ratio(ZnToCu, Basis{}, zinc, food(map[Nutrient]Value{Zinc: Unknown(), Copper: Unknown()})); !r.IsUnknown() {
		t.Errorf("with neither known it is %+v", r.Value)
	}
	salty := Mixture{Items: []Item{{Food: food(map[Nutrient]Value{Protein: Exactly(2), Potassium: Exactly(500)}), Grams: 100}}}
	a := Analyse(salty, ProfileByID("aafco-adult"), Basis{})
	if r, ok := a.Ratio(salty, ProfileByID("aafco-adult"), Subject(Protein), Subject(Potassium)); !ok || !closeTo(r.Mid, 4) {
		t.Errorf("2 g protein to 500 mg potassium: %+v", r.Value)
	}
	if r, ok := a.Ratio(salty, ProfileByID("aafco-adult"), Subject(Protein), Subject(VitaminD)); ok {
		t.Errorf("grams to IU: %+v", r.Value)
	}
	// 14.9 IU are 10 mg; AAFCO's 0.6 IU per g are 0.4027 mg.
	r = ratio(EToPUFA, Basis{}, food(map[Nutrient]Value{VitaminE: Exactly(14.9), Linoleic: Exactly(3), DPA: Exactly(1), DHA: Exactly(1)}))
	is(t, "10 mg vitamin E to 5 g", r.Value, 2, 2, true)
	if math.Abs(r.Min-0.4027) > 0.0001 {
		t.Errorf("AAFCO's least vitamin E is %v mg per g", r.Min)
	}
	wing := food(map[Nutrient]Value{})
	wing.Part, wing.Bone = Muscle, Bone{PoultryBone, .2, .3, .4}
	plant := food(map[Nutrient]Value{})
	plant.Part = Plant
	r = ratio(BoneShare, Basis{}, wing, plant)
	is(t, "bone of the animal part", r.Value, .2, .4, true)
	is(t, "bone of the whole", r.Of, .1, .2, true)
	// 400 kcal a day of 100 kcal per 100 g are 400 g, 4 % of 10 kg.
	is(t, "food a day", ratio(OfWeight, Basis{PerDog: true, Weight: 10, Kcal: 400}, wing).Value, .04, .04, true)
	if r := ratio(OfWeight, Basis{PerDog: true, Weight: 10, Kcal: 400}, wing, food(map[Nutrient]Value{Energy: Unknown()})); !r.IsUnknown() {
		t.Errorf("with a food of unknown kcal a day's food is %+v", r.Value)
	}
}
