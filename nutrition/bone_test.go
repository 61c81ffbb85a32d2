package nutrition

import (
	"math"
	"testing"
)

// Calcium of a wing worked out by hand from the model: 46 % bone (38 at
// least), soft tissue 12 mg calcium (USDA SR26 05100), poultry bone 1.7, 2.2,
// 2.9 g per 100 g.
func TestBoneByHand(t *testing.T) {
	c := Default().Food("chicken-wing").Per100
	soft := Default().Food("chicken-wing").Soft[Calcium].Mid
	want := Value{0.62*soft + 0.38*1700, 0.54*soft + 0.46*2200, 0.54*soft + 0.46*2900, true}
	if !near(c[Calcium], want) {
		t.Errorf("calcium %+v, want %+v", c[Calcium], want)
	}
	// Soft tissue has far more energy than bone: the end with least bone is
	// the upper one.
	soft = Default().Food("chicken-wing").Soft[Energy].Mid
	want = Value{0.54*soft + 0.46*80, 0.54*soft + 0.46*120, 0.62*soft + 0.38*160, true}
	if !near(c[Energy], want) {
		t.Errorf("energy %+v, want %+v", c[Energy], want)
	}
	// One figure of 44 % is taken 15 % of it either way.
	b := Default().Food("chicken-back").Bone
	if math.Abs(b.Low-0.374) > 1e-12 || math.Abs(b.High-0.506) > 1e-12 {
		t.Errorf("share of bone %+v", b)
	}
}

func near(a, b Value) bool {
	close := func(x, y float64) bool { return math.Abs(x-y) <= 1e-6*math.Max(1, math.Abs(y)) }
	return close(a.Low, b.Low) && close(a.Mid, b.Mid) && close(a.High, b.High) && a.Complete == b.Complete
}

// Whatever share of bone and whatever tissue within the ranges, the cut's
// value lies within its range: checked on a grid, by the formula itself.
func TestBoneRangesHold(t *testing.T) {
	for _, f := range tableFoods() {
		if f.Bone.Kind == NoBone {
			if f.Per100 != f.Soft {
				t.Errorf("%s: boneless, but not its soft part", f.Key)
			}
			continue
		}
		for _, n := range []Nutrient{Energy, Protein, Fat, Water, Ash, Calcium, Phosphorus, Magnesium, Sodium, Zinc, Copper, Leucine} {
			for i := 0.0; i <= 4; i++ {
				for j := 0.0; j <= 4; j++ {
					b := f.Bone.Low + (f.Bone.High-f.Bone.Low)*i/4
					tissue := boneTissue[f.Bone.Kind][n]
					x := (1-b)*f.Soft[n].Mid + b*(tissue.Low+(tissue.High-tissue.Low)*j/4)
					v := f.Per100[n]
					if x < v.Low-1e-9 || x > v.High+1e-9 {
						t.Errorf("%s: %s may be %v, outside %+v", f.Key, n, x, v)
					}
				}
			}
			if f.Per100[n].Complete != (f.Soft[n].Complete && n != Zinc) { // which the model has no figure of
				t.Errorf("%s: %s: completeness changes", f.Key, n)
			}
		}
		if p, c := f.Per100[Phosphorus], f.Per100[Calcium]; p.High-p.Low <= 0 || c.High <= c.Low {
			t.Errorf("%s: calcium or phosphorus of a bone-in cut is no range", f.Key)
		}
	}
}

// A diet with 10 % bone by weight at about 1.5 kcal/g (the trade's rule of
// thumb) carries about 1.5 g calcium per 1000 kcal from poultry bone: between
// the adult minimum and maximum of 1.25 and 6.25 g per 1000 kcal (AAFCO dog
// food nutrient profiles, adult maintenance).
func TestTenPercentBone(t *testing.T) {
	grams := 1000 / 1.5
	bone := boneTissue[PoultryBone][Calcium].Times(0.10 * grams / 100)
	if math.Abs(bone.Mid-1500) > 50 || bone.Mid < 1250 || bone.Mid > 6250 {
		t.Errorf("calcium %+v mg per 1000 kcal, want about 1500", bone)
	}
	if r := bone.Mid / boneTissue[PoultryBone][Phosphorus].Times(0.10*grams/100).Mid; math.Abs(r-2.15) > 1e-9 {
		t.Errorf("calcium to phosphorus %v", r)
	}
}

// The tissue is made of its parts: water, protein, fat and ash leave little.
func TestBoneTissueAddsUp(t *testing.T) {
	for _, k := range []BoneKind{PoultryBone, MammalBone} {
		c := boneTissue[k]
		sum := c[Water].Mid + c[Protein].Mid + c[Fat].Mid + c[Ash].Mid
		if sum < 90 || sum > 100 {
			t.Errorf("kind %d: %v g of 100", k, sum)
		}
		// Calcium is 37 % of bone ash (Field 2000); the figures are rounded.
		if share := c[Calcium].Mid / 1000 / c[Ash].Mid; math.Abs(share-0.37) > 0.03 {
			t.Errorf("kind %d: calcium is %v of the ash", k, share)
		}
	}
}
