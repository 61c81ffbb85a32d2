package nutrition

import "testing"

// FEDIAF 2021, from memory: its legal maximums (zinc 56.8 mg, selenium
// 0.142 mg, vitamin D 568 IU, iodine 2.75 mg per 1000 kcal) bind where the
// element is added.
func TestLegalMaximumsBindWhatIsAdded(t *testing.T) {
	p := ProfileByID("fediaf-adult-110")
	table := Default()
	// 1000 kcal, as made has 100 kcal in 100 g.
	food := func(n Nutrient, x float64) Item {
		return Item{Food: made("food", map[Nutrient]Value{n: Exactly(x / 10)}), Grams: 1000}
	}
	label := func(key string, n Nutrient, x float64) Item {
		return Item{Food: table.Food(key), Grams: 1, Label: map[Nutrient]float64{n: x}}
	}
	own := *made("own", map[Nutrient]Value{Zinc: Exactly(2000), Energy: Exactly(0)})
	own.Kind, own.Part = OwnKind, Other
	for _, c := range []struct {
		name    string
		m       Mixture
		subject Nutrient
		want    Verdict
	}{
		{"natural", Mixture{Items: []Item{food(Zinc, 60)}}, Zinc, AboveLegal},
		{"natural, within", Mixture{Items: []Item{food(Zinc, 56)}}, Zinc, Enough},
		{"natural selenium, in ug", Mixture{Items: []Item{food(Selenium, 143)}}, Selenium, AboveLegal},
		{"some added", Mixture{Items: []Item{food(Zinc, 56), label("zinc", Zinc, 1)}}, Zinc, High},
		{"a dose", Mixture{Items: []Item{food(Zinc, 56)}, Extras: []Extra{{Nutrient: Zinc, PerDay: 1}}}, Zinc, High},
		{"a dose of a food", Mixture{Items: []Item{food(Zinc, 56)}, Extras: []Extra{{Nutrient: Zinc, PerDay: 1, Natural: true}}}, Zinc, AboveLegal},
		{"an own product", Mixture{Items: []Item{food(Zinc, 56), {Food: &own, Grams: 1}}}, Zinc, High},
		{"kelp's own zinc is not added", Mixture{Items: []Item{food(Zinc, 57), label("kelp-powder", Iodine, 600)}}, Zinc, AboveLegal},
		{"kelp's iodine is", Mixture{Items: []Item{food(Iodine, 100), label("kelp-powder", Iodine, 3000)}}, Iodine, High},
		{"a nutritional maximum binds all the same", Mixture{Items: []Item{food(VitaminD, 801)}}, VitaminD, High},
		{"a legal one beside it, natural", Mixture{Items: []Item{food(VitaminD, 600)}}, VitaminD, AboveLegal},
		{"a legal one beside it, added", Mixture{Items: []Item{food(VitaminD, 560)}, Extras: []Extra{{Nutrient: VitaminD, PerDay: 20}}}, VitaminD, High},
	} {
		a := Analyse(c.m, p, Basis{})
		if r := rowOf(t, &a, Subject(c.subject)); r.Verdict != c.want {
			t.Errorf("%s: %v of %v (legal %v, added %v) is %v, want %v", c.name, r.Capped, r.Max, r.Legal, r.Added, r.Verdict, c.want)
		}
	}
}

// What a product's label leaves out, and what bone holds beside the model, do
// not hide that the rest is too little.
func TestShortUnlessAProductBringsIt(t *testing.T) {
	p := ProfileByID("aafco-adult")
	known := made("food", map[Nutrient]Value{Calcium: Exactly(50), Zinc: Exactly(1)}) // per 100 kcal: 500 mg and 10 mg
	product := Food{Key: "own1", Kind: OwnKind, Part: Other}
	product.Per100[Energy], product.Soft[Energy] = Exactly(0), Exactly(0)
	meat := product
	meat.Part = Muscle
	for _, c := range []struct {
		name  string
		items []Item
		extra []Extra
		want  Verdict
		parts int
	}{
		{"a spoon of a product", []Item{{Food: known, Grams: 1000}, {Food: &product, Grams: 5}}, nil, Low, 1},
		{"a dose of one", []Item{{Food: known, Grams: 1000}}, []Extra{{Nutrient: Calcium, NotKnown: true, Unlisted: true}}, Low, 1},
		{"a supplement given for it", []Item{{Food: known, Grams: 1000}}, []Extra{{Nutrient: Calcium, NotKnown: true}}, NotKnown, 0},
		{"half of the bowl", []Item{{Food: known, Grams: 1000}, {Food: &meat, Grams: 900}}, nil, NotKnown, 0},
	} {
		a := Analyse(Mixture{Items: c.items, Extras: c.extra}, p, Basis{})
		if r := rowOf(t, &a, Subject(Calcium)); r.Verdict != c.want || len(r.Unless) != c.parts {
			t.Errorf("%s: %v is %v unless %v, want %v", c.name, r.Value, r.Verdict, r.Unless, c.want)
		}
	}
	// A wing of 46 % bone: its zinc is "at least", and that of beef is not.
	a := Analyse(mixtureOf(t, "chicken-wing", 500, "turkey-breast-skinless", 200), p, Basis{})
	r := rowOf(t, &a, Subject(Zinc))
	if r.Complete || r.Verdict != Low || len(r.Unless) != 1 || r.Unless[0] != 0 {
		t.Errorf("zinc %v is %v unless %v", r.Value, r.Verdict, r.Unless)
	}
}

// What a laboratory finds in kelp is its own; what its label says is added, whoever
// measured the whole.
func TestMeasuredIsNotAdded(t *testing.T) {
	kelp := Item{Food: Default().Food("kelp-powder"), Grams: 1}
	measured, labelled := kelp, kelp
	measured.Take(Iodine, 600)
	labelled.Label = map[Nutrient]float64{Iodine: 500}
	labelled.Take(Iodine, 600)
	for _, c := range []struct {
		name     string
		it       Item
		adds     bool
		measured bool
	}{{"measured", measured, false, true}, {"labelled, then measured", labelled, true, false}} {
		if c.it.adds(Iodine) != c.adds || c.it.measured().Has(Iodine) != c.measured || c.it.Label[Iodine] != 600 {
			t.Errorf("%s: added %v, measured %v, %v", c.name, c.it.adds(Iodine), c.it.measured().Has(Iodine), c.it.Label)
		}
	}
	if len(kelp.Label) > 0 || labelled.Label[Iodine] != 600 {
		t.Error("a label is shared")
	}
}
