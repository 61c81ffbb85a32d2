package nutrition

import (
	"math"
	"testing"
)

// lackingZinc is 1000 g and 1000 kcal with 15 mg of zinc, and its analysis.
func lackingZinc(t *testing.T) (Mixture, Analysis, *Profile) {
	t.Helper()
	p := ProfileByID("aafco-adult")
	m := Mixture{Items: []Item{{Food: base(map[Nutrient]Value{Zinc: Exactly(1.5)}), Grams: 1000}}}
	return m, Analyse(m, p, Basis{}), p
}

func TestRemediesWithinReason(t *testing.T) {
	m, a, p := lackingZinc(t)
	zinc := func(mg float64) map[Nutrient]Value { return map[Nutrient]Value{Zinc: Exactly(mg)} }
	// 5 mg short; x g of a food of c mg and 100 kcal in 100 g: x = 5 / (c/100 -
	// 0.02). At 4 mg that is 250 g, at 3.9 mg 263 g: over a quarter.
	within, beyond := made("within", zinc(4.001)), made("beyond", zinc(3.9))
	heavy := made("heavy", map[Nutrient]Value{Zinc: Exactly(2), Energy: Exactly(1)}) // 253 g, but 2.5 kcal
	seaweed := made("seaweed", zinc(40))
	seaweed.Tags = Seaweed
	seaweed.Per100[Iodine] = Unknown()
	rib := made("rib", zinc(40))
	rib.Bone = Bone{MammalBone, 0.1, 0.1, 0.1}
	liver := made("liver", zinc(5)) // 167 g, 14 % of the whole
	liver.Part = Liver
	light := made("light", map[Nutrient]Value{Zinc: Exactly(20), Energy: Exactly(1000)}) // poorer per kcal

	for _, c := range []struct {
		food *Food
		want bool
	}{{within, true}, {beyond, false}, {heavy, false}, {seaweed, false}, {rib, false}, {liver, false}, {light, false}} {
		rem := remedyOf(t, Mend(a, m, p, shelf{c.food}, nil), Subject(Zinc))
		if got := len(rem.Options) == 1; got != c.want {
			t.Errorf("%s is proposed: %v", c.food.Key, got)
		}
	}
	// Bone that the recipe has already may be more.
	m.Items = append(m.Items, Item{Food: rib, Grams: 1})
	a = Analyse(m, p, Basis{})
	if rem := remedyOf(t, Mend(a, m, p, shelf{rib}, nil), Subject(Zinc)); len(rem.Options) != 1 {
		t.Errorf("more of the rib: %+v", rem.Options)
	}
}

func TestALabelThatTellsMoreIsNoPureActive(t *testing.T) {
	m, a, p := lackingZinc(t)
	mixed := made("mixed", map[Nutrient]Value{Zinc: Unknown(), Sodium: Exactly(39_000), Energy: Exactly(0)})
	mixed.Tags = Supplement
	if rem := remedyOf(t, Mend(a, m, p, shelf{mixed}, nil), Subject(Zinc)); len(rem.Options) != 0 {
		t.Errorf("proposed %+v", rem.Options)
	}
	pure := made("pure", map[Nutrient]Value{Zinc: Unknown(), Energy: Exactly(0)})
	pure.Tags = Supplement
	if rem := remedyOf(t, Mend(a, m, p, shelf{mixed, pure}, nil), Subject(Zinc)); len(rem.Options) != 1 || rem.Options[0].Food != pure {
		t.Errorf("proposed %+v", rem.Options)
	}
}

func TestTheCutIsOfAPartThatCanMendAlone(t *testing.T) {
	p := ProfileByID("aafco-adult")
	// Most of the vitamin D is in the meat, hardly above the maximum of 750 IU
	// per 1000 kcal; oil of far more brings the rest.
	meat := base(map[Nutrient]Value{VitaminD: Exactly(77)})
	oil := made("oil", map[Nutrient]Value{VitaminD: Exactly(2000), Energy: Exactly(900)})
	oil.Part = Other
	rice := made("rice", map[Nutrient]Value{})
	m := Mixture{Items: []Item{{Food: meat, Grams: 1000}, {Food: oil, Grams: 20}, {Food: rice, Grams: 200}}}
	a := Analyse(m, p, Basis{})
	rem := remedyOf(t, Mend(a, m, p, shelf{}, nil), Subject(VitaminD))
	// 770 + 400 IU in 1380 kcal: 135 too many. All of the meat would take away
	// 20 more than its energy may have, the oil 13.25 a gram.
	want := (1170 - 750*1.38) / (20 - 750*0.009)
	if rem.Cut == nil || rem.Cut.Part != 1 || math.Abs(float64(rem.Cut.Grams)-want) > 1e-9 {
		t.Errorf("%+v, cut %+v, want %v g of the oil", rem, rem.Cut, want)
	}
}
