package nutrition

import (
	"math"
	"testing"
)

func TestBlendByHand(t *testing.T) {
	// Five days of a recipe of 200 kcal and two of one of 4000, for a dog that
	// eats 500 kcal a day: 2500 kcal of the one and 1000 of the other.
	lamb := made("lamb", map[Nutrient]Value{Zinc: Exactly(2)})                                 // 20 mg per 1000 kcal
	fish := made("fish", map[Nutrient]Value{Zinc: Exactly(0.8), Energy: Exactly(200)})         // 4
	own := Item{Food: lamb, Grams: 1000, Label: map[Nutrient]float64{Energy: 1, Zinc: 0.0001}} // 0.1
	turns := []Turn{
		{Mixture{Items: []Item{{Food: lamb, Grams: 200}}, Extras: []Extra{{Nutrient: VitaminE, PerDay: 70}}}, 5},
		{Mixture{Items: []Item{{Food: fish, Grams: 1000}, {Food: lamb, Grams: 1000}, own}, Days: 9}, 2},
		{Mixture{Items: []Item{{Food: fish, Grams: 1e6}}, Extras: []Extra{{Nutrient: VitaminE, PerDay: 1e6}}}, 0},
	}
	m := Blend(turns, 500)
	if m.Days != 7 || len(m.Items) != 3 {
		t.Fatalf("%v days of %+v", m.Days, m.Items)
	}
	// The second recipe is a quarter of itself: 250 g fish, 250 g lamb twice.
	for i, want := range []float64{2500 + 250, 250, 250} {
		if got := float64(m.Items[i].Grams); math.Abs(got-want) > 1e-9 {
			t.Errorf("item %d is %v g, want %v", i, got, want)
		}
	}
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{Kcal: 500})
	zinc := (2750*0.02 + 250*0.008 + 250*0.0001) / 3.5
	if r := rowOf(t, &a, Subject(Zinc)); !same(a.Energy.Mid, 3500) || !same(r.Mid, zinc) {
		t.Errorf("zinc %v mg per 1000 kcal of %v, want %v", r.Mid, a.Energy.Mid, zinc)
	}
	// 70 IU on five of seven days: 50 a day, 100 per 1000 kcal.
	if r := rowOf(t, &a, Subject(VitaminE)); !same(r.Mid, 100) {
		t.Errorf("vitamin E %v IU per 1000 kcal", r.Mid)
	}
	if turns[0].Mixture.Items[0].Grams != 200 {
		t.Error("the recipe was changed")
	}
}

func TestBlendOfOneIsItself(t *testing.T) {
	m, p := twelve(t), ProfileByID("aafco-adult")
	a := Analyse(m, p, Basis{Kcal: 1000})
	b := Analyse(Blend([]Turn{{m, 3}}, 1000), p, Basis{Kcal: 1000})
	for i := range a.Rows {
		if x, y := &a.Rows[i], &b.Rows[i]; !nearly(x.Mid, y.Mid) || x.Verdict != y.Verdict {
			t.Errorf("%v: %v %v, blended %v %v", x.Requirement.Subject, x.Mid, x.Verdict, y.Mid, y.Verdict)
		}
	}
	if m := Blend(nil, 0); m.Days != 0 || len(m.Items) != 0 {
		t.Errorf("a blend of nothing: %+v", m)
	}
}

func BenchmarkBlend14(b *testing.B) {
	turns := make([]Turn, 14)
	for i := range turns {
		turns[i] = Turn{twelve(b), 1}
	}
	p := ProfileByID("aafco-adult")
	b.ReportAllocs()
	for b.Loop() {
		Analyse(Blend(turns, 1030), p, Basis{Kcal: 1030})
	}
}
