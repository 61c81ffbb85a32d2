package planner

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
)

var testNow = time.Date(2026, time.June, 1, 9, 0, 0, 0, time.UTC)

func bornYears(years int) time.Time { return Day(testNow).AddDate(-years, 0, 0) }

// near reports that two figures differ by at most a fraction.
func near(got, want, fraction float64) bool {
	return math.Abs(got-want) <= fraction*math.Abs(want)
}

func juniper() Dog {
	return Dog{Name: "Juniper", Weight: 19.6, Born: bornYears(4), Sex: Female, Neutered: Yes, Condition: 5, Activity: ModerateCalm}
}

func bracken() Dog {
	return Dog{Name: "Bracken", Weight: 34.8, Born: bornYears(8), Sex: Male, Neutered: Yes, Condition: 7, Activity: LowActivity}
}

func pip() Dog { return Dog{Name: "Pip", Weight: 6.4, Born: bornYears(2), Activity: HighActivity} }

// TestNeedOf works the equations by hand. Powers are written out as roots:
// w^0.75 is sqrt(w) x sqrt(sqrt(w)).
func TestNeedOf(t *testing.T) {
	for _, c := range []struct {
		name     string
		dog      Dog
		equation nutrition.Equation
		per      float64 // kcal per kg^0.75
		basis    float64 // kg
		assumed  string
		gate     Gate
	}{
		{"Juniper", juniper(), nutrition.ActivityModerate, 110, 19.6, "", ""},
		{"Bracken", bracken(), nutrition.ProneToObesity, 90, 29, "", ""},
		{"Pip", pip(), nutrition.ActivityHigh, 162.5, 6.4, "condition", ""},
		{"only a weight", Dog{Weight: 12}, nutrition.ActivityModerate, 110, 12, "activity age condition", ""},
		{"low", Dog{Weight: 12, Activity: LowActivity, Born: bornYears(8), Condition: 4}, nutrition.ActivityLow, 95, 12, "", ""},
		{"brisk", Dog{Weight: 12, Activity: ModerateBrisk, Born: bornYears(8), Condition: 5}, nutrition.ActivityBrisk, 125, 12, "", ""},
		{"over seven", Dog{Weight: 12, Activity: ModerateCalm, Born: bornYears(8), Condition: 5}, nutrition.AgeOverSeven, 95, 12, "", ""},
		{"over seven, activity not known", Dog{Weight: 12, Born: bornYears(8), Condition: 5}, nutrition.AgeOverSeven, 95, 12, "activity", ""},
		{"just seven", Dog{Weight: 12, Activity: ModerateCalm, Born: bornYears(7), Condition: 5}, nutrition.ActivityModerate, 110, 12, "", ""},
		{"inclined", Dog{Weight: 22, Activity: HighActivity, Born: bornYears(3), Condition: 6}, nutrition.ProneToObesity, 90, 20, "", ""},
		{"ideal set below", Dog{Weight: 22, Ideal: 20, Activity: HighActivity, Born: bornYears(3)}, nutrition.ActivityHigh, 162.5, 20, "", ""},
		{"ideal set a little below", Dog{Weight: 21, Ideal: 20, Activity: LowActivity, Born: bornYears(3)}, nutrition.ActivityLow, 95, 20, "", ""},
		{"ideal set above", Dog{Weight: 20, Ideal: 22, Activity: LowActivity, Born: bornYears(3)}, nutrition.ActivityLow, 95, 22, "", ""},
		{"ideal set against the score", Dog{Weight: 24, Ideal: 22, Condition: 7, Activity: LowActivity, Born: bornYears(3)}, nutrition.ProneToObesity, 90, 22, "", ""},
		{"thin", Dog{Weight: 18, Activity: LowActivity, Born: bornYears(3), Condition: 3}, nutrition.ActivityLow, 95, 18, "", UnderweightGate},
		{"ill", Dog{Weight: 18, Activity: LowActivity, Born: bornYears(3), Condition: 5, Health: "CKD"}, nutrition.ActivityLow, 95, 18, "", IllnessGate},
		// 254.1 - 135 p by hand; at 28 of 30 kg what the curve gives at 30 kg.
		{"puppy, a fifth grown", Dog{Weight: 6, AdultWeight: 30, Born: testNow.AddDate(0, 0, -70), Condition: 5}, nutrition.GrowthStart, 227.1, 6, "", GrowthGate},
		{"puppy, half grown", Dog{Weight: 15, AdultWeight: 30, Born: testNow.AddDate(0, -5, 0), Condition: 5}, nutrition.GrowthStart, 186.6, 15, "", GrowthGate},
		{"puppy, nearly grown", Dog{Weight: 28, AdultWeight: 30, Born: testNow.AddDate(0, -15, 0), Condition: 5}, nutrition.GrowthStart, 119.1 * math.Pow(30.0/28, 0.75), 28, "", GrowthGate},
		{"puppy, past its adult weight", Dog{Weight: 34, AdultWeight: 30, Born: testNow.AddDate(0, -17, 0), Condition: 5}, nutrition.GrowthStart, 119.1, 30, "", GrowthGate},
		{"puppy of ten weeks", Dog{Weight: 3, Born: testNow.AddDate(0, 0, -70), Condition: 5}, nutrition.GrowthTo50, 210, 3, "adult-weight", GrowthGate},
		{"puppy of six months", Dog{Weight: 9, Born: testNow.AddDate(0, -6, 0), Condition: 5}, nutrition.GrowthTo80, 175, 9, "adult-weight", GrowthGate},
		{"puppy of eleven months", Dog{Weight: 9, Born: testNow.AddDate(0, -11, 0), Condition: 5}, nutrition.GrowthTo100, 140, 9, "adult-weight", GrowthGate},
		{"age not known, a third grown", Dog{Weight: 10, AdultWeight: 30, Condition: 5}, nutrition.GrowthStart, 209.1, 10, "", GrowthGate},
		{"pregnant", Dog{Weight: 16, Stage: Pregnant, Condition: 5}, nutrition.LatePregnancy, 132 + 26*16/8.0, 16, "", PregnantGate},
		{"nursing", Dog{Weight: 16, Stage: Nursing, Condition: 5}, nutrition.Lactation, 145 + 96*16/8.0, 16, "", NursingGate},
		{"ill and pregnant", Dog{Weight: 16, Stage: Pregnant, Condition: 5, Health: "heart murmur"}, nutrition.LatePregnancy, 132 + 26*16/8.0, 16, "", IllnessGate},
	} {
		n := NeedOf(c.dog, testNow)
		kcal := c.per * math.Sqrt(c.basis) * math.Sqrt(math.Sqrt(c.basis))
		if n.Equation != c.equation || !near(float64(n.Kcal), kcal, 1e-9) || !near(float64(n.Basis), c.basis, 1e-9) {
			t.Errorf("%s: %v kcal by %s on %v kg, want %v by %s on %v", c.name, n.Kcal, n.Equation, n.Basis, kcal, c.equation, c.basis)
		}
		if got := strings.Join(n.Assumed, " "); got != c.assumed || n.Gate != c.gate {
			t.Errorf("%s: assumed %q, gate %q; want %q, %q", c.name, got, n.Gate, c.assumed, c.gate)
		}
		if !near(n.PerMetabolicKg, c.per, 1e-9) || n.Computed != n.Kcal || !(n.Low < n.Kcal || n.Equation == nutrition.GrowthStart) || !(n.Kcal < n.High) {
			t.Errorf("%s: %v per kg^0.75, %v in %v-%v", c.name, n.PerMetabolicKg, n.Computed, n.Low, n.High)
		}
		if !near(float64(n.Resting), 70*kcal/c.per, 1e-9) {
			t.Errorf("%s: resting %v", c.name, n.Resting)
		}
	}
}

// TestRuleOfThumb: an adult of 40-45 lb at moderate activity eats about
// 1000 kcal a day (common practice, no source).
func TestRuleOfThumb(t *testing.T) {
	for pounds := nutrition.Kilograms(40); pounds <= 45; pounds++ {
		d := Dog{Weight: pounds * nutrition.KilosPerPound, Activity: ModerateCalm, Condition: 5, Born: bornYears(4)}
		if n := NeedOf(d, testNow); !near(float64(n.Kcal), 1000, 0.1) {
			t.Errorf("%v lb: %.0f kcal, want 1000 within a tenth", pounds, n.Kcal)
		}
	}
}

func TestIdealOfNeed(t *testing.T) {
	n := NeedOf(bracken(), testNow)
	if n.IdealFrom != "condition" || !near(float64(n.Ideal), 29, 1e-9) || !near(float64(n.IdealLow), 34.8/1.3, 1e-9) || n.IdealHigh != n.Ideal {
		t.Errorf("Bracken: %v (%v-%v) from %s", n.Ideal, n.IdealLow, n.IdealHigh, n.IdealFrom)
	}
	d := bracken()
	d.Ideal = 30
	if n = NeedOf(d, testNow); n.IdealFrom != "set" || n.Ideal != 30 || n.IdealLow != 30 || n.IdealHigh != 30 || n.Basis != 30 {
		t.Errorf("set: %+v", n)
	}
	if n = NeedOf(pip(), testNow); n.IdealFrom != "weight" || n.Ideal != 6.4 {
		t.Errorf("Pip: %v from %s", n.Ideal, n.IdealFrom)
	}
}

// TestLossStart: resting energy at the ideal weight (AAHA), for dogs 20 % over
// it and without a gate.
func TestLossStart(t *testing.T) {
	want := 70 * math.Sqrt(29) * math.Sqrt(math.Sqrt(29))
	if n := NeedOf(bracken(), testNow); !near(float64(n.LossStart), want, 1e-9) || n.LossStart >= n.Kcal {
		t.Errorf("Bracken: %v, want %v, below %v", n.LossStart, want, n.Kcal)
	}
	ill := bracken()
	ill.Health = "diabetic"
	six := bracken()
	six.Condition = 6
	young := bracken()
	young.Born = testNow.AddDate(0, -8, 0)
	for _, d := range []Dog{juniper(), ill, six, young, {Weight: 23.9, Ideal: 20}} {
		if n := NeedOf(d, testNow); n.LossStart != 0 {
			t.Errorf("%+v: loss from %v", d, n.LossStart)
		}
	}
	if n := NeedOf(Dog{Weight: 24, Ideal: 20}, testNow); n.LossStart == 0 {
		t.Error("20 % over a set ideal weight: no start")
	}
}

func TestNeedByHand(t *testing.T) {
	d := juniper()
	d.Kcal = 900
	n := AmountOf(d, testNow)
	if !n.ByHand || n.Kcal != 900 || n.Low != 900 || n.High != 900 || n.Equation != ByHand {
		t.Errorf("%+v", n)
	}
	if without := NeedOf(juniper(), testNow); n.Computed != without.Kcal || without.ByHand {
		t.Errorf("computed %v, want %v", n.Computed, without.Kcal)
	}
	if !near(n.PerMetabolicKg, 900/nutrition.MetabolicWeight(19.6), 1e-9) {
		t.Errorf("%v kcal per kg^0.75", n.PerMetabolicKg)
	}
}

// TestWideNeeds: where litter and week are not known the range spans them.
func TestWideNeeds(t *testing.T) {
	n := NeedOf(Dog{Weight: 16, Stage: Nursing}, testNow)
	if n.Low != 145*8+16*24*0.75 || !near(float64(n.High), 145*8+16*144*1.2, 1e-12) {
		t.Errorf("nursing: %v-%v", n.Low, n.High)
	}
	n = NeedOf(Dog{Weight: 16, Stage: Pregnant}, testNow)
	if !near(float64(n.Low), 0.75*110*8, 1e-12) || !near(float64(n.High), 1.25*(132*8+26*16), 1e-12) {
		t.Errorf("pregnant: %v-%v", n.Low, n.High)
	}
}

// TestNeedOfNoWeight: nothing is made up, and nothing is not a number.
func TestNeedOfNoWeight(t *testing.T) {
	for _, w := range []nutrition.Kilograms{0, -4, nutrition.Kilograms(math.NaN())} {
		for _, s := range []Stage{"", Pregnant, Nursing} {
			n := NeedOf(Dog{Weight: w, Stage: s, Condition: 7}, testNow)
			if n.Kcal != 0 || n.Low != 0 || n.High != 0 || n.PerMetabolicKg != 0 || n.LossStart != 0 || n.Basis != 0 {
				t.Errorf("%v kg %s: %+v", w, s, n)
			}
		}
	}
	if n := AmountOf(Dog{Kcal: 500}, testNow); n.Kcal != 500 || n.PerMetabolicKg != 0 {
		t.Errorf("by hand without a weight: %+v", n)
	}
}

// TestNeedGrowsWithWeight over all that is known of a dog: no step of the
// rules turns a heavier dog into one that needs less.
func TestNeedGrowsWithWeight(t *testing.T) {
	for _, a := range []Activity{"", LowActivity, ModerateCalm, ModerateBrisk, HighActivity} {
		for condition := 0; condition <= 9; condition++ {
			for _, years := range []int{2, 7, 12} {
				last := nutrition.Kcal(0)
				for w := LightestDog; w <= HeaviestDog; w += 0.7 {
					n := NeedOf(Dog{Weight: w, Activity: a, Condition: condition, Born: bornYears(years)}, testNow)
					if n.Kcal <= last || n.Kcal < n.Resting || slices.Contains(n.Assumed, "age") {
						t.Fatalf("%v kg, %s, condition %d, %d years: %+v after %v", w, a, condition, years, n, last)
					}
					last = n.Kcal
				}
			}
		}
	}
}

// TestNeedOfGrowth: a growing dog's figure rises with its weight up to what the
// curve gives at its adult weight, below the NRC's all the way.
func TestNeedOfGrowth(t *testing.T) {
	for _, adult := range []nutrition.Kilograms{3, 6.5, 18, 33, 70} {
		last, grown := nutrition.Kcal(0), nutrition.GrowthStartEnergy(adult, adult)
		for share := nutrition.Kilograms(0.05); share < 1.2; share += 0.002 {
			d := Dog{Weight: adult * share, AdultWeight: adult, Condition: 5}
			n := NeedOf(d, testNow)
			if !Growing(d, testNow) {
				break
			}
			if n.Kcal < last || n.Kcal > grown || n.Low != n.Kcal || n.High != nutrition.GrowthEnergy(n.Basis, adult) || n.High <= n.Kcal {
				t.Fatalf("%v of %v kg: %+v after %.1f", d.Weight, adult, n, last)
			}
			last = n.Kcal
		}
		if !near(float64(last), float64(grown), 1e-9) {
			t.Errorf("%v kg: %.1f in the end, want %.1f", adult, last, grown)
		}
	}
}

// TestGrowthInBand: a puppy heavier than its age's growth band is fed by the
// band's upper edge, one below it by what it weighs.
func TestGrowthInBand(t *testing.T) {
	d := Dog{Weight: 20, AdultWeight: 40, Born: testNow.AddDate(0, 0, -7*12), Condition: 5}
	low, high, _, _, _ := BandOf(d, testNow)
	if n := NeedOf(d, testNow); n.Basis != high || n.Kcal != nutrition.GrowthStartEnergy(high, 40) {
		t.Errorf("above: %+v, want by %v kg", n, high)
	}
	d.Weight = 0.9 * low
	if n := NeedOf(d, testNow); n.Basis != d.Weight {
		t.Errorf("below: %+v, want by %v kg", n, d.Weight)
	}
}

func BenchmarkNeedOf(b *testing.B) {
	d := bracken()
	d.Health = "no kidney trouble, heart murmur"
	b.ReportAllocs()
	for b.Loop() {
		NeedOf(d, testNow)
	}
}
