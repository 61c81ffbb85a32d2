package nutrition_test

import (
	"math"
	"testing"

	"bowlwright/nutrition"
)

// near reports that two figures differ by at most a fraction.
func near(got, want, fraction float64) bool {
	return math.Abs(got-want) <= fraction*math.Abs(want)
}

// TestRestingEnergyOfTheGuidelines is the worked example of the AAHA
// Nutrition and Weight Management Guidelines 2021, box 1: a neutered dog of
// 4.5 kg rests on 216 kcal and is fed 1.4 times that, 302.
func TestRestingEnergyOfTheGuidelines(t *testing.T) {
	rer := float64(nutrition.RestingEnergy(4.5))
	if math.Round(rer) != 216 {
		t.Errorf("resting energy of 4.5 kg is %.1f kcal, want 216", rer)
	}
	if fed := math.Floor(rer * 1.4); fed != 302 {
		t.Errorf("1.4 x resting energy is %v kcal, want 302", fed)
	}
}

// TestMetabolicWeight compares with the root of the cube, which needs no
// power.
func TestMetabolicWeight(t *testing.T) {
	for _, w := range []float64{0.3, 1, 6.4, 16, 19.6, 81, 120} {
		if got, want := nutrition.MetabolicWeight(nutrition.Kilograms(w)), math.Sqrt(math.Sqrt(w*w*w)); !near(got, want, 1e-12) {
			t.Errorf("%v kg: %v, want %v", w, got, want)
		}
	}
	for _, w := range []float64{0, -3, math.NaN()} {
		if got := nutrition.MetabolicWeight(nutrition.Kilograms(w)); got != 0 {
			t.Errorf("%v kg: %v, want 0", w, got)
		}
	}
}

// TestGrowthFactors are those of FEDIAF 2021 as tabulated in The Veterinary
// Nurse 37(4), September 2022, table 2.
func TestGrowthFactors(t *testing.T) {
	for share, want := range map[float64]float64{0.05: 210, 0.49: 210, 0.5: 210, 0.51: 175, 0.8: 175, 0.81: 140, 1: 140, 1.3: 140} {
		if got := nutrition.GrowthEquation(share).Factor(); got != want {
			t.Errorf("at %v of adult weight: %v, want %v", share, got, want)
		}
	}
}

// TestGrowthStart: the lower growth curve by hand. The reference tells how far
// the NRC's lies above it.
func TestGrowthStart(t *testing.T) {
	for _, c := range []struct {
		w, adult nutrition.Kilograms
		want     float64
	}{
		{16, 32, 186.6 * 8}, {16, 20, 146.1 * 8}, {16, 16, 119.1 * 8}, {1, 10, 240.6}, {16, 8, 119.1 * 8}, {0, 8, 0}, {8, 0, 0},
	} {
		if got := float64(nutrition.GrowthStartEnergy(c.w, c.adult)); !near(got, c.want, 1e-9) {
			t.Errorf("%v of %v kg: %v kcal, want %v", c.w, c.adult, got, c.want)
		}
	}
	for share, above := range map[nutrition.Kilograms]float64{0.2: 1.36, 0.5: 1.22} {
		if got := float64(nutrition.GrowthEnergy(30*share, 30) / nutrition.GrowthStartEnergy(30*share, 30)); !near(got, above, 0.005) {
			t.Errorf("at %v of adult weight the NRC's is %.3f of it, want %v", share, got, above)
		}
	}
}

// TestGrowthCurve: grown, the NRC's curve gives its figure for active adults
// (130 kcal per kg^0.75) within 3 %; in the middle of FEDIAF's upper steps the
// two publications agree within an eighth. It falls all the way.
func TestGrowthCurve(t *testing.T) {
	const adult = 30
	per := func(w nutrition.Kilograms) float64 {
		return float64(nutrition.GrowthEnergy(w, adult)) / nutrition.MetabolicWeight(w)
	}
	if got := per(adult); !near(got, 130, 0.03) {
		t.Errorf("grown: %.1f kcal per kg^0.75, want about 130", got)
	}
	for share, want := range map[nutrition.Kilograms]float64{0.65: 175, 0.9: 140} {
		if got := per(share * adult); !near(got, want, 0.125) {
			t.Errorf("at %v of adult weight: NRC %.0f, FEDIAF %v", share, got, want)
		}
	}
	for w := nutrition.Kilograms(2); w <= adult; w++ {
		if per(w) >= per(w-1) {
			t.Errorf("%v kg: the curve rises", w)
		}
	}
	if got := nutrition.GrowthEnergy(31, adult); !near(float64(got), 132.7*nutrition.MetabolicWeight(31), 0.001) {
		t.Errorf("past adult weight: %v", got)
	}
	if nutrition.GrowthEnergy(0, adult) != 0 || nutrition.GrowthEnergy(5, 0) != 0 {
		t.Error("growth without a weight is not 0")
	}
}

// TestReproduction works the equations for a 16 kg bitch, whose metabolic
// weight is 8 kg^0.75, by hand.
func TestReproduction(t *testing.T) {
	if got, want := nutrition.PregnancyEnergy(16), nutrition.Kcal(132*8+26*16); got != want {
		t.Errorf("pregnant: %v, want %v", got, want)
	}
	for _, c := range []struct {
		pups, week int
		want       nutrition.Kcal
	}{
		{1, 1, 145*8 + 16*24*0.75},
		{4, 3, 145*8 + 16*96*1.1},
		{6, 2, 145*8 + 16*(96+24)*0.95},
		{8, 4, 145*8 + 16*(96+48)*1.2},
		{4, 0, 145*8 + 16*96},
	} {
		got, ok := nutrition.LactationEnergy(16, c.pups, c.week)
		if !ok || !near(float64(got), float64(c.want), 1e-12) {
			t.Errorf("%d pups, week %d: %v %v, want %v", c.pups, c.week, got, ok, c.want)
		}
	}
	for _, c := range [][2]int{{0, 1}, {9, 1}, {4, 5}, {4, -1}} {
		if k, ok := nutrition.LactationEnergy(16, c[0], c[1]); ok || k != 0 {
			t.Errorf("%d pups, week %d: %v", c[0], c[1], k)
		}
	}
}

// TestIdealWeight: each point above 5 is 10 to 15 % over the ideal weight
// (AAHA); 34.8 kg at 7 of 9 is 34.8 / 1.2 = 29.0.
func TestIdealWeight(t *testing.T) {
	for _, c := range []struct {
		score          int
		mid, low, high float64
	}{
		{7, 29, 34.8 / 1.3, 29}, {9, 34.8 / 1.4, 34.8 / 1.6, 34.8 / 1.4}, {6, 34.8 / 1.1, 34.8 / 1.15, 34.8 / 1.1},
		{5, 34.8, 34.8, 34.8}, {4, 34.8, 34.8, 34.8}, {0, 34.8, 34.8, 34.8}, {10, 34.8, 34.8, 34.8}, {-1, 34.8, 34.8, 34.8},
		{3, 34.8 / 0.9, 34.8 / 0.9, 34.8 / 0.9}, {1, 34.8 / 0.7, 34.8 / 0.7, 34.8 / 0.7},
	} {
		mid, low, high := nutrition.IdealWeight(34.8, c.score)
		if !near(float64(mid), c.mid, 1e-9) || !near(float64(low), c.low, 1e-9) || !near(float64(high), c.high, 1e-9) {
			t.Errorf("score %d: %v (%v-%v), want %+v", c.score, mid, low, high, c)
		}
	}
}

// TestEnergyOfMeat: the table's energy of plain meat is that by the factors which
// USDA uses for meat (USDA SR documentation).
func TestEnergyOfMeat(t *testing.T) {
	checked := 0
	for _, f := range nutrition.Default().Foods() {
		if f.Part != nutrition.Muscle || f.Bone.Kind != nutrition.NoBone || f.Has(nutrition.Egg) {
			continue
		}
		protein, fat := f.Soft[nutrition.Protein].Mid, f.Soft[nutrition.Fat].Mid
		carbohydrate := f.Soft[nutrition.Carbohydrate].Mid
		usda := f.Soft[nutrition.Energy].Mid
		got := 4.27*protein + 9.02*fat + 3.87*carbohydrate
		if usda == 0 || carbohydrate > 1 {
			continue
		}
		checked++
		if !near(got, usda, 0.08) {
			t.Errorf("%s: %.0f kcal by factors, %.0f in the table (%s)", f.Key, got, usda, f.Source)
		}
	}
	if checked < 10 {
		t.Errorf("only %d meats checked", checked)
	}
}
