package planner

import (
	"testing"

	"bowlwright/nutrition"
)

// labShelf has a lean food with 10 mg of calcium in 100 g, and a bony one of which
// the table says 500-900 mg; both have 100 kcal, and nobody knows their zinc.
func labShelf() shelf {
	s := testShelf()
	bony := *s["lean"]
	bony.Key = "bony"
	s["bony"] = &bony
	s["lean"].Per100[nutrition.Calcium] = nutrition.Exactly(10)
	bony.Per100[nutrition.Calcium] = nutrition.Between(500, 700, 900)
	zinc := nutrition.Food{Key: "zinc", Name: "zinc", Tags: nutrition.Supplement}
	for n := range zinc.Per100 {
		zinc.Per100[n] = nutrition.Exactly(0)
	}
	s["zinc"] = &zinc
	return s
}

// Of 500 g with 0.45 % calcium and 20 mg/kg zinc there are 2250 mg and 10 mg, in
// 500 kcal: 4500 and 20 in 1000 kcal, whatever the table and the bone model say.
// The 30 mg of zinc stirred into it were in the sample; what is given by the day,
// 3 mg with the 250 kcal a day of this dog, comes on top: 12 mg in 1000 kcal.
func TestLabOfRecipe(t *testing.T) {
	r := recipeOf("lean", 400, "bony", 100)
	r.Doses = []Dose{
		{Food: "zinc", Batch: true, Amounts: []Amount{{nutrition.Zinc, 30}}},
		{Food: "zinc", Amounts: []Amount{{nutrition.Zinc, 3}}},
	}
	r.Lab.Set(nutrition.Zinc, 0.02)
	r.Lab.Set(nutrition.Calcium, 4.5)
	r.Measure()
	table := func(r Recipe) (calcium, zinc nutrition.Row) {
		m, err := MixtureOf(r, labShelf(), 250)
		if err != nil {
			t.Fatal(err)
		}
		a := nutrition.Analyse(m, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{Kcal: 250})
		return *a.Row(nutrition.Subject(nutrition.Calcium)), *a.Row(nutrition.Subject(nutrition.Zinc))
	}
	twice, err := Scale(r, 2)
	if err != nil {
		t.Fatal(err)
	}
	for name, same := range map[string]Recipe{"as measured": r, "twice as much": twice} {
		ca, zn := table(same)
		if !alike(ca.Low, 4500) || !alike(ca.High, 4500) || !ca.Measured {
			t.Errorf("%s: calcium %+v", name, ca.Value)
		}
		if !alike(zn.Low, 20+12) || !alike(zn.High, 20+12) || !zn.Complete || !zn.Measured {
			t.Errorf("%s: zinc %+v", name, zn.Value)
		}
	}
	// By the table the bony food has 700 of 740 mg, and so of what was measured.
	m, err := MixtureOf(r, labShelf(), 250)
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Items[1].Label[nutrition.Calcium] * 100; !alike(got, 2250*700/740.) {
		t.Errorf("the bony food brings %v mg of the calcium", got)
	}
	// With twice the bony food the table counts: 40 + 1000 to 1800 mg of calcium, and
	// of zinc what is given, 30 mg in 600 kcal and 3 in 250.
	other := r
	other.Ingredients = recipeOf("lean", 400, "bony", 200).Ingredients
	ca, zn := table(other)
	if !alike(ca.Low, 1040/0.6) || !alike(ca.High, 1840/0.6) || ca.Measured || zn.Complete || !alike(zn.Low, 50+12) || zn.Measured {
		t.Errorf("other lines: calcium %+v, zinc %+v", ca.Value, zn.Value)
	}
}

// 1.2 kcal a gram by a laboratory are 600 kcal in 500 g, so that 300 kcal are half
// of it, by the table 60 %.
func TestLabEnergy(t *testing.T) {
	r := recipeOf("lean", 400, "mystery", 100)
	if _, err := FactorForKcal(r, labShelf(), 300); err == nil {
		t.Error("a part of what has no energy")
	}
	r.Lab.Set(nutrition.Energy, 1.2)
	r.Measure()
	if f, err := FactorForKcal(r, labShelf(), 300); err != nil || !alike(f, 0.5) {
		t.Errorf("%v, %v", f, err)
	}
	if sum, err := TotalsOf(r, labShelf()); err != nil || sum.Energy != nutrition.Exactly(600) || len(sum.Unknown) > 0 {
		t.Errorf("%+v, %v", sum, err)
	}
}

// A laboratory's figures for a food take the place of the range of its bone, in the
// food that the table finds by the same words; nobody else's table has them.
func TestShelf(t *testing.T) {
	base := nutrition.Default()
	own := nutrition.Food{Key: "own1", Name: "Beef mix", Kind: nutrition.OwnKind}
	own.Per100[nutrition.Protein] = nutrition.Exactly(17)
	h := &Household{Foods: []nutrition.Food{own}, Labs: []Lab{
		{Food: "turkey-neck", Facts: []Fact{{nutrition.Calcium, 12}, {nutrition.Iron, -1}}},
		{Food: "own1", Facts: []Fact{{nutrition.Zinc, 0.012}}},
		{Food: "beef-ground-70", Facts: []Fact{{nutrition.Zinc, 0.04}}},
		{Food: "gone", Facts: []Fact{{nutrition.Zinc, 1}}},
	}}
	shelf := Shelf(h, base)
	neck, was := shelf.Food("turkey-neck"), base.Food("turkey-neck")
	if neck.Per100[nutrition.Calcium] != nutrition.Exactly(1200) || !neck.Measured.Has(nutrition.Calcium) || neck.Measured.Has(nutrition.Iron) {
		t.Errorf("%+v, measured %b", neck.Per100[nutrition.Calcium], neck.Measured)
	}
	if neck.Per100[nutrition.Phosphorus] != was.Per100[nutrition.Phosphorus] || was.Per100[nutrition.Calcium].Low == was.Per100[nutrition.Calcium].High {
		t.Error("another figure, or the table itself, is changed")
	}
	for _, words := range []string{was.Name, "turkey neck", "ground beef", "beef", "70 % lean ground beef"} {
		a, b := shelf.Find(words), base.Find(words)
		if (a.Food == nil) != (b.Food == nil) || len(a.Choices) != len(b.Choices) || a.Food != nil && a.Food != shelf.Food(b.Food.Key) {
			t.Errorf("%q finds %v of %d, and %v of %d in the table", words, a.Food, len(a.Choices), b.Food, len(b.Choices))
		}
	}
	mix := shelf.Find("beef mix").Food
	if mix == nil || mix.Per100[nutrition.Zinc] != nutrition.Exactly(1.2) || mix.Per100[nutrition.Protein] != nutrition.Exactly(17) {
		t.Errorf("own food: %+v", mix)
	}
	if !h.Foods[0].Per100[nutrition.Zinc].IsUnknown() {
		t.Error("the label itself is changed")
	}
}
