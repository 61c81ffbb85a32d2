package nutrition

import (
	"math"
	"testing"
)

// By hand: a triangle from 0 over 2 to 6 is 1/3 high, that its area be 1. At
// 1 it is half as high and at 5 a quarter.
func TestBelow(t *testing.T) {
	v := Between(0, 2, 6)
	for x, want := range map[float64]float64{-1: 0, 0: 0, 1: 1. / 12, 2: 1. / 3, 5: 1 - 1./24, 6: 1, 7: 1} {
		if got := v.below(x); math.Abs(got-want) > 1e-12 {
			t.Errorf("below %v: %v, want %v", x, got, want)
		}
	}
	for _, v := range []Value{Between(1, 1, 2), Between(1, 2, 2), Exactly(1)} {
		for x := 0.5; x <= 2.5; x += 0.25 {
			if p := v.below(x); !(p >= 0 && p <= 1) {
				t.Errorf("%v below %v: %v", v, x, p)
			}
		}
	}
}

// Eighty recipes by the book: 10 % poultry bone, 5 % liver, 5 % kidney, some
// heart, the rest muscle meat. The trade's share of bone is meant to give
// enough calcium, so that most of them are to get an answer.
func TestTenPercentBoneIsJudged(t *testing.T) {
	muscles := []string{"turkey-thigh-skinless", "chicken-thigh-skinless", "beef-ground-90", "lamb-stew", "pork-leg-lean", "rabbit", "venison", "duck-skinless"}
	bones := []string{"chicken-neck-skinless", "chicken-wing", "chicken-back", "turkey-neck", "duck-whole"}
	livers := []string{"chicken-liver", "beef-liver"}
	open, any := map[Subject]int{}, 0
	for _, muscle := range muscles {
		for _, bone := range bones {
			for _, liver := range livers {
				cut := 100 / Default().Food(bone).Bone.Mid
				m := mixtureOf(t, bone, int(cut), liver, 50, "beef-kidney", 50, "beef-heart", 100, muscle, int(800-cut))
				a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
				some := 0
				for _, s := range []Subject{Subject(Calcium), Subject(Phosphorus), CalciumPhosphorus} {
					if a.Row(s).Verdict == NotKnown {
						open[s]++
						some = 1
					}
				}
				any += some
			}
		}
	}
	t.Log(open, any)
	if any > 24 {
		t.Errorf("of 80 recipes %d have minerals of bone that are not known: %v", any, open)
	}
}
