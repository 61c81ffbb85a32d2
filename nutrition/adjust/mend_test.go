package adjust

import (
	"math"
	"math/rand/v2"
	"testing"

	"bowlwright/nutrition"
)

// shelf is a list of foods.
type shelf []*nutrition.Food

func (s shelf) Foods() []*nutrition.Food { return s }

// remedyOf returns the remedy of a subject.
func remedyOf(t testing.TB, rs []Remedy, s nutrition.Subject) *Remedy {
	t.Helper()
	for i := range rs {
		if rs[i].Subject == s {
			return &rs[i]
		}
	}
	t.Fatalf("no remedy for %v in %d", s, len(rs))
	return nil
}

// base is 1000 g and 1000 kcal of a food that has, per 1000 kcal, twice the
// AAFCO adult minimum of everything, but for what is given.
func base(values map[nutrition.Nutrient]nutrition.Value) *nutrition.Food {
	f := made("base", nil)
	for _, r := range nutrition.ProfileByID("aafco-adult").Requirements {
		for _, term := range r.Subject.Terms() {
			if f.Per100[term.Nutrient].High == 0 && r.HasMin() {
				f.Per100[term.Nutrient] = nutrition.Exactly(r.Min / 10 * 2)
			}
		}
	}
	for n, v := range values {
		f.Per100[n] = v
	}
	return f
}

func TestMendByHand(t *testing.T) {
	// 1000 kcal with 15 mg zinc, 5 short of AAFCO's 20. A food of 10 mg and
	// 100 kcal in 100 g needs x g with 15 + 0.1 x = 20 (1 + 0.001 x):
	// x = 5 / 0.08 = 62.5. A powder of 100 mg in 100 g and no energy needs 5 g.
	p := nutrition.ProfileByID("aafco-adult")
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(1.5)}), Grams: 1000}}}
	meat := made("meat", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(10)})
	poor := made("poor", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(1.9)}) // below 20 mg per 1000 kcal: never mends
	salty := made("salty", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(50), nutrition.Iodine: nutrition.Exactly(100_000)})
	powder := made("powder", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(100), nutrition.Energy: nutrition.Exactly(0)})
	powder.Tags = nutrition.Supplement
	bare := made("bare", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Unknown(), nutrition.Energy: nutrition.Exactly(0)})
	bare.Tags = nutrition.Supplement
	list := shelf{poor, salty, bare, meat, powder}

	a := nutrition.Analyse(m, p, nutrition.Basis{})
	rs := Mend(a, m, p, list, nil)
	if len(rs) != 1 {
		t.Fatalf("%d remedies, want that of zinc: %+v", len(rs), rs)
	}
	rem := remedyOf(t, rs, nutrition.Subject(nutrition.Zinc))
	if len(rem.Options) != 2 {
		t.Fatalf("%+v", rem)
	}
	if o := rem.Options[0]; o.Food != powder || math.Abs(float64(o.Grams)-5) > 1e-6 || o.Kcal != 0 {
		t.Errorf("first %v, %v g, %v kcal; want 5 g of powder", o.Food.Key, o.Grams, o.Kcal)
	}
	if o := rem.Options[1]; o.Food != meat || math.Abs(float64(o.Grams)-62.5) > 1e-6 || math.Abs(float64(o.Kcal)-62.5) > 1e-6 {
		t.Errorf("second %v, %v g, %v kcal; want 62.5 g of meat", o.Food.Key, o.Grams, o.Kcal)
	}
	// Without the powder, the one whose label must tell: 5 mg a day, or 2.5
	// where the food is for two days.
	m.Days = 2
	a = nutrition.Analyse(m, p, nutrition.Basis{})
	not := func(f *nutrition.Food) bool { return f == powder || f == meat }
	rem = remedyOf(t, Mend(a, m, p, list, not), nutrition.Subject(nutrition.Zinc))
	if len(rem.Options) != 1 || rem.Options[0].Food != bare || !rem.Options[0].ByLabel || rem.Options[0].Nutrient != nutrition.Zinc || !nearly(rem.Options[0].PerDay, 2.5) {
		t.Errorf("by label: %+v", rem.Options)
	}
	// A food with more iodine than the maximum is never proposed.
	only := func(f *nutrition.Food) bool { return f != salty }
	if rem := remedyOf(t, Mend(a, m, p, list, only), nutrition.Subject(nutrition.Zinc)); len(rem.Options) != 0 {
		t.Errorf("proposed %+v", rem.Options)
	}
}

func TestMendARatio(t *testing.T) {
	// Calcium 2000 and phosphorus 2500 mg: 500 mg more calcium make 1 to 1,
	// and those are 1.25 g of a powder of 40 %.
	p := nutrition.ProfileByID("aafco-adult")
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(map[nutrition.Nutrient]nutrition.Value{nutrition.Calcium: nutrition.Exactly(200), nutrition.Phosphorus: nutrition.Exactly(250)}), Grams: 1000}}}
	chalk := made("chalk", map[nutrition.Nutrient]nutrition.Value{nutrition.Calcium: nutrition.Exactly(40_000), nutrition.Energy: nutrition.Exactly(0)})
	chalk.Tags = nutrition.Supplement
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	rem := remedyOf(t, Mend(a, m, p, shelf{chalk}, nil), nutrition.CalciumPhosphorus)
	if len(rem.Options) != 1 || math.Abs(float64(rem.Options[0].Grams)-1.25) > 1e-6 {
		t.Errorf("%+v", rem)
	}
}

func TestCutByHand(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	// Per 1000 kcal of base 250 IU of vitamin D; 10 g of oil bring 1000 and 90
	// kcal. x g of oil less: 1250 - 100 x = 750 (1.09 - 0.009 x), x = 4.636...
	oil := made("oil", map[nutrition.Nutrient]nutrition.Value{nutrition.VitaminD: nutrition.Exactly(10_000), nutrition.Energy: nutrition.Exactly(900)})
	oil.Part = nutrition.Other
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(nil), Grams: 1000}, {Food: oil, Grams: 10}}}
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	rem := remedyOf(t, Mend(a, m, p, shelf{}, nil), nutrition.Subject(nutrition.VitaminD))
	want := (1250 - 750*1.09) / (100 - 750*0.009)
	if rem.Cut == nil || rem.Cut.Part != 1 || math.Abs(float64(rem.Cut.Grams)-want) > 1e-9 || rem.Cut.Whole {
		t.Errorf("%+v, cut %+v, want %v g", rem, rem.Cut, want)
	}
	m.Items[1].Grams -= rem.Cut.Grams
	a = nutrition.Analyse(m, p, nutrition.Basis{})
	if r := a.Row(nutrition.Subject(nutrition.VitaminD)); math.Abs(r.Mid-750) > 1e-6 || r.Verdict != nutrition.Enough {
		t.Errorf("after the cut vitamin D is %v, %v", r.Mid, r.Verdict)
	}
	// Drops of 900 IU a day beside 1000 kcal with 250: 400 too many.
	m = nutrition.Mixture{Items: m.Items[:1], Extras: []nutrition.Extra{{Name: "drops", Nutrient: nutrition.VitaminD, PerDay: 900}}}
	a = nutrition.Analyse(m, p, nutrition.Basis{})
	rem = remedyOf(t, Mend(a, m, p, shelf{}, nil), nutrition.Subject(nutrition.VitaminD))
	if rem.Cut == nil || rem.Cut.Part != 1 || !nearly(rem.Cut.PerDay, 400) || rem.Cut.Whole {
		t.Errorf("%+v, cut %+v", rem, rem.Cut)
	}
	// Where the food alone passes the maximum, cutting a tenth of it is no use.
	m = nutrition.Mixture{Items: []nutrition.Item{{Food: base(map[nutrition.Nutrient]nutrition.Value{nutrition.VitaminD: nutrition.Exactly(100)}), Grams: 1000}}}
	a = nutrition.Analyse(m, p, nutrition.Basis{})
	if rem = remedyOf(t, Mend(a, m, p, shelf{}, nil), nutrition.Subject(nutrition.VitaminD)); rem.Cut == nil || !rem.Cut.Whole && rem.Cut.Grams < 1000 {
		t.Errorf("%+v, cut %+v", rem, rem.Cut)
	}
}

// TestRemediesMend adds each proposed food to the mixture and analyses anew.
func TestRemediesMend(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	table := nutrition.Default()
	tried := 0
	for range 40 {
		m := randomMixture(rng)
		p := nutrition.ProfileByID([]string{"aafco-adult", "fediaf-adult-95", "nrc-adult"}[rng.IntN(3)])
		exclude := func(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{"poultry", "dairy"}) }
		basis := nutrition.Basis{PerDog: rng.IntN(2) == 0, Weight: 20, Kcal: 1000}
		a := nutrition.Analyse(m, p, basis)
		for _, rem := range Mend(a, m, p, table, exclude) {
			before := a.Row(rem.Subject)
			if before.Verdict == nutrition.Enough || len(rem.Options) > 2 {
				t.Fatalf("%v is %v and has %d options", rem.Subject, before.Verdict, len(rem.Options))
			}
			for _, o := range rem.Options {
				if exclude(o.Food) {
					t.Fatalf("%s is excluded", o.Food.Key)
				}
				if o.ByLabel {
					continue
				}
				tried++
				with := m
				with.Items = append(append([]nutrition.Item(nil), m.Items...), nutrition.Item{Food: o.Food, Grams: o.Grams})
				after := nutrition.Analyse(with, p, basis)
				if r := after.Row(rem.Subject); r.Low < r.Min*(1-1e-6) {
					t.Errorf("%v g %s: %v is %v of %v", o.Grams, o.Food.Key, rem.Subject, r.Low, r.Min)
				}
				for i := range after.Rows {
					r, was := &after.Rows[i], &a.Rows[i]
					if r.Verdict == nutrition.High && was.Verdict != nutrition.High {
						t.Errorf("%v g %s for %v: %v is now high", o.Grams, o.Food.Key, rem.Subject, r.Requirement.Subject)
					}
				}
			}
		}
	}
	if tried < 50 {
		t.Errorf("only %d remedies tried", tried)
	}
}

func TestNothingToMend(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(nil), Grams: 1000}}}
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	if rs := Mend(a, m, p, nutrition.Default(), nil); len(rs) != 0 {
		t.Errorf("mended %+v", rs)
	}
	if rs := Mend(nutrition.Analyse(nutrition.Mixture{}, p, nutrition.Basis{}), nutrition.Mixture{}, p, nutrition.Default(), nil); rs != nil {
		t.Errorf("mended nothing: %+v", rs)
	}
}

func BenchmarkMend12(b *testing.B) {
	m, p := twelve(b), nutrition.ProfileByID("aafco-adult")
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	for b.Loop() {
		Mend(a, m, p, nutrition.Default(), nil)
	}
}

func TestMendADay(t *testing.T) {
	// 4000 kcal for a dog that eats 500 a day last 8 days. AAFCO's 20 mg of zinc
	// are for 1000 kcal, so the minimum of a day is what the profile's intake of
	// them gives: the powder of 100 mg in 100 g makes up the rest.
	p := nutrition.ProfileByID("aafco-adult")
	basis := nutrition.Basis{PerDog: true, Weight: 10, Kcal: 500}
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(1)}), Grams: 4000}}}
	powder := made("powder", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(100), nutrition.Energy: nutrition.Exactly(0)})
	powder.Tags = nutrition.Supplement
	a := nutrition.Analyse(m, p, basis)
	if !nearly(a.Days(), 8) {
		t.Fatalf("%v days", a.Days())
	}
	least := 20 * p.Intake / 1000 * math.Pow(10, 0.75) // mg a day
	o := remedyOf(t, Mend(a, m, p, shelf{powder}, nil), nutrition.Subject(nutrition.Zinc)).Options[0]
	if want := least - 1*5; math.Abs(float64(o.Grams)-8*want) > 1e-6 {
		t.Errorf("%v g in all; want %v a day", o.Grams, want)
	}
	// 100 times too much iodine of a salty food: what is cut is told by day too.
	m.Items = append(m.Items, nutrition.Item{Food: made("salty", map[nutrition.Nutrient]nutrition.Value{nutrition.Iodine: nutrition.Exactly(100_000)}), Grams: 100})
	a = nutrition.Analyse(m, p, basis)
	cut := remedyOf(t, Mend(a, m, p, shelf{powder}, nil), nutrition.Subject(nutrition.Iodine)).Cut
	if cut == nil || cut.Grams <= 0 {
		t.Errorf("%+v over %v days", cut, a.Days())
	}
	if a := nutrition.Analyse(m, p, nutrition.Basis{Kcal: 500}); a.Days() != 0 {
		t.Errorf("%v days of no dog", a.Days())
	}
}

// lackingZinc is 1000 g and 1000 kcal with 15 mg of zinc, and its analysis.
func lackingZinc(t *testing.T) (nutrition.Mixture, nutrition.Analysis, *nutrition.Profile) {
	t.Helper()
	p := nutrition.ProfileByID("aafco-adult")
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: base(map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(1.5)}), Grams: 1000}}}
	return m, nutrition.Analyse(m, p, nutrition.Basis{}), p
}

func TestRemediesWithinReason(t *testing.T) {
	m, a, p := lackingZinc(t)
	zinc := func(mg float64) map[nutrition.Nutrient]nutrition.Value {
		return map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(mg)}
	}
	// 5 mg short; x g of a food of c mg and 100 kcal in 100 g: x = 5 / (c/100 -
	// 0.02). At 4 mg that is 250 g, at 3.9 mg 263 g: over a quarter.
	within, beyond := made("within", zinc(4.001)), made("beyond", zinc(3.9))
	heavy := made("heavy", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(2), nutrition.Energy: nutrition.Exactly(1)}) // 253 g, but 2.5 kcal
	seaweed := made("seaweed", zinc(40))
	seaweed.Tags = nutrition.Seaweed
	seaweed.Per100[nutrition.Iodine] = nutrition.Unknown()
	rib := made("rib", zinc(40))
	rib.Bone = nutrition.Bone{Kind: nutrition.MammalBone, Low: 0.1, Mid: 0.1, High: 0.1}
	liver := made("liver", zinc(5)) // 167 g, 14 % of the whole
	liver.Part = nutrition.Liver
	light := made("light", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Exactly(20), nutrition.Energy: nutrition.Exactly(1000)}) // poorer per kcal

	for _, c := range []struct {
		food *nutrition.Food
		want bool
	}{{within, true}, {beyond, false}, {heavy, false}, {seaweed, false}, {rib, false}, {liver, false}, {light, false}} {
		rem := remedyOf(t, Mend(a, m, p, shelf{c.food}, nil), nutrition.Subject(nutrition.Zinc))
		if got := len(rem.Options) == 1; got != c.want {
			t.Errorf("%s is proposed: %v", c.food.Key, got)
		}
	}
	// Bone that the recipe has already may be more.
	m.Items = append(m.Items, nutrition.Item{Food: rib, Grams: 1})
	a = nutrition.Analyse(m, p, nutrition.Basis{})
	if rem := remedyOf(t, Mend(a, m, p, shelf{rib}, nil), nutrition.Subject(nutrition.Zinc)); len(rem.Options) != 1 {
		t.Errorf("more of the rib: %+v", rem.Options)
	}
}

func TestALabelThatTellsMoreIsNoPureActive(t *testing.T) {
	m, a, p := lackingZinc(t)
	mixed := made("mixed", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Unknown(), nutrition.Sodium: nutrition.Exactly(39_000), nutrition.Energy: nutrition.Exactly(0)})
	mixed.Tags = nutrition.Supplement
	if rem := remedyOf(t, Mend(a, m, p, shelf{mixed}, nil), nutrition.Subject(nutrition.Zinc)); len(rem.Options) != 0 {
		t.Errorf("proposed %+v", rem.Options)
	}
	pure := made("pure", map[nutrition.Nutrient]nutrition.Value{nutrition.Zinc: nutrition.Unknown(), nutrition.Energy: nutrition.Exactly(0)})
	pure.Tags = nutrition.Supplement
	if rem := remedyOf(t, Mend(a, m, p, shelf{mixed, pure}, nil), nutrition.Subject(nutrition.Zinc)); len(rem.Options) != 1 || rem.Options[0].Food != pure {
		t.Errorf("proposed %+v", rem.Options)
	}
}

func TestTheCutIsOfAPartThatCanMendAlone(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	// Most of the vitamin D is in the meat, hardly above the maximum of 750 IU
	// per 1000 kcal; oil of far more brings the rest.
	meat := base(map[nutrition.Nutrient]nutrition.Value{nutrition.VitaminD: nutrition.Exactly(77)})
	oil := made("oil", map[nutrition.Nutrient]nutrition.Value{nutrition.VitaminD: nutrition.Exactly(2000), nutrition.Energy: nutrition.Exactly(900)})
	oil.Part = nutrition.Other
	rice := made("rice", map[nutrition.Nutrient]nutrition.Value{})
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: meat, Grams: 1000}, {Food: oil, Grams: 20}, {Food: rice, Grams: 200}}}
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	rem := remedyOf(t, Mend(a, m, p, shelf{}, nil), nutrition.Subject(nutrition.VitaminD))
	// 770 + 400 IU in 1380 kcal: 135 too many. All of the meat would take away
	// 20 more than its energy may have, the oil 13.25 a gram.
	want := (1170 - 750*1.38) / (20 - 750*0.009)
	if rem.Cut == nil || rem.Cut.Part != 1 || math.Abs(float64(rem.Cut.Grams)-want) > 1e-9 {
		t.Errorf("%+v, cut %+v, want %v g of the oil", rem, rem.Cut, want)
	}
}
