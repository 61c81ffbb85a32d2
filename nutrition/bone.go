package nutrition

import "slices"

// Food tables give the edible part of a cut. A dog that eats the bone gets
// what is in it too, so a bone-in cut is modelled as
//
//	cut = (1 - b) x soft tissue + b x bone tissue
//
// where b is the share of the cut that is bone. Both b and bone tissue vary a
// lot, so the values are ranges, from the least to the most that b and the
// tissue can give.

// oneFigureSpread is how far, of itself, a share of bone may be off either way
// where its source gives one figure (common practice, no source).
const oneFigureSpread = 0.15

// calciumToPhosphorus is the ratio of calcium to phosphorus in bone by mass,
// that of hydroxyapatite (from memory).
const calciumToPhosphorus = 2.15

// boneTissue is what 100 g of bone with its cartilage, marrow and scraps holds.
//
// Calcium is 37 % of bone ash in every species (Field 2000, Meat Science 55:
// 255-264). Poultry: ash and calcium of whole broilers (Caldas et al. 2019,
// Poultry Science 98: 866-877) over the 32 % of the carcass that is bone (USDA
// SR26 05006). Mammals: whole-body calcium of pigs and lambs over the share of
// the skeleton (from memory). The other figures are from memory. Clean
// cortical bone is two to ten times richer; no cut is clean bone.
var boneTissue = func() (t [MammalBone + 1]Composition) {
	fill := func(k BoneKind, calcium, energy Value, magnesium, sodium, protein, fat, water, ash float64) {
		c := &t[k]
		c[Calcium], c[Energy] = calcium, energy
		c[Phosphorus] = calcium.Times(1 / calciumToPhosphorus)
		c[Magnesium], c[Sodium] = Exactly(magnesium), Exactly(sodium)
		c[Protein], c[Fat], c[Water], c[Ash] = Exactly(protein), Exactly(fat), Exactly(water), Exactly(ash)
	}
	fill(PoultryBone, Between(1700, 2200, 2900), Between(80, 120, 160), 40, 150, 18, 10, 62, 6)
	fill(MammalBone, Between(4000, 6000, 9000), Between(90, 130, 180), 110, 200, 19, 12, 45, 17)
	return t
}()

// withBone returns what 100 g of a cut holds, soft tissue and bone together.
//
// For the nutrients that the model gives no figure of, bone tissue counts as
// zero. Of those in unlisted it holds enough to matter, so their values are "at
// least"; of others (copper, amino acids) it has so little that the cut's value
// is that of its soft part alone, complete where the soft part's is.
func withBone(soft *Composition, b Bone) (cut Composition) {
	if b.Kind == NoBone {
		return *soft
	}
	for n := range NutrientCount {
		s, t := soft[n], boneTissue[b.Kind][n]
		// The mixture is linear in b, so its ends lie at the ends of b; which
		// end is the lower depends on which tissue is the richer.
		cut[n] = Value{
			Low:      min(mix(s.Low, t.Low, b.Low), mix(s.Low, t.Low, b.High)),
			Mid:      mix(s.Mid, t.Mid, b.Mid),
			High:     max(mix(s.High, t.High, b.Low), mix(s.High, t.High, b.High)),
			Complete: s.Complete && !slices.Contains(unlisted[:], n),
		}
	}
	return cut
}

// unlisted are the minerals that bone tissue holds but the model has no figure
// for (from memory: bone stores zinc and manganese, and marrow holds iron).
var unlisted = [...]Nutrient{Iron, Zinc, Manganese}

// LeftBone returns what a gram of a bone-in cut holds of the minerals of bone
// where the bone itself is not eaten.
func (f *Food) LeftBone() map[Nutrient]float64 {
	left := make(map[Nutrient]float64, 3)
	for _, n := range []Nutrient{Calcium, Phosphorus, Magnesium} {
		left[n] = f.Soft[n].Mid * (1 - f.Bone.Mid) / 100
	}
	return left
}

// mix returns (1-b) x soft + b x bone.
func mix(soft, bone, b float64) float64 { return soft*(1-b) + bone*b }

// Shares returns how a weight of the food divides into body parts, as
// fractions that add up to 1: the bone by its middle share, the rest under the
// food's own part.
func (f *Food) Shares() (shares [PartCount]float64) {
	shares[BonePart] = f.Bone.Mid
	shares[f.Part] += 1 - f.Bone.Mid
	return shares
}
