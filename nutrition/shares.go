package nutrition

import "slices"

// Shares is what fraction of the weight each body part is (0 to 1), as a
// range where bone is one. The zero value is that of nothing.
type Shares [PartCount]Value

// SharesOf returns the shares of items by body part. The bone of a bone-in
// cut counts as bone, the rest of it under the part of its soft tissue.
func SharesOf(items []Item) Shares {
	var s Shares
	var whole float64
	for p := range s {
		s[p].Complete = true
	}
	for i := range items {
		it := &items[i]
		if !(it.Grams > 0) {
			continue
		}
		g := float64(it.Grams)
		whole += g
		part, bone := Other, Bone{}
		if it.Food != nil {
			part, bone = it.Food.Part, it.Food.Bone
		}
		s[part] = s[part].Plus(Between(g*(1-bone.High), g*(1-bone.Mid), g*(1-bone.Low)))
		s[BonePart] = s[BonePart].Plus(Between(g*bone.Low, g*bone.Mid, g*bone.High))
	}
	if whole == 0 {
		return Shares{}
	}
	for p := range s {
		v := &s[p]
		v.Low, v.Mid, v.High = v.Low/whole, v.Mid/whole, v.High/whole
	}
	return s
}

// Band is a usual range of a share of the animal part of a recipe; common
// practice, no source.
type Band string

// The bands, in the order in which they are told.
const (
	MeatBand           Band = "meat"            // muscle, muscular organs and fish
	MuscularOrganBand  Band = "muscular-organ"  // at least one
	BoneBand           Band = "bone"            // too much: hard, white, crumbly stool
	LiverBand          Band = "liver"           // too much: vitamin A
	SecretingOrganBand Band = "secreting-organ" // another than liver
	FishBand           Band = "fish"            // or a few times a week
	PlantBand          Band = "plant"           // of the whole, not of the animal part
)

// BandLimits is a band with its limits, as fractions.
type BandLimits struct {
	Band      Band
	Low, High float64
	Parts     []Part // whose shares it sums
}

// Bands returns the usual shares by body part (common practice, no source).
// Fish is part of the meat, because a recipe with fish has less of other
// meat for it. The slice is shared and is not to be changed.
func Bands() []BandLimits { return bands }

var bands = []BandLimits{
	{MeatBand, 0.70, 0.80, []Part{Muscle, MuscularOrgan, Fish}},
	{MuscularOrganBand, 0, 1, []Part{MuscularOrgan}},
	{BoneBand, 0.08, 0.12, []Part{BonePart}},
	{LiverBand, 0.03, 0.07, []Part{Liver}},
	{SecretingOrganBand, 0.03, 0.07, []Part{SecretingOrgan}},
	{FishBand, 0.05, 0.10, []Part{Fish}},
	{PlantBand, 0, 0.10, []Part{Plant}},
}

// Limits returns the band with its limits.
func (b Band) Limits() BandLimits {
	return bands[slices.IndexFunc(bands, func(l BandLimits) bool { return l.Band == b })]
}

// OffBand is a share outside its usual band.
type OffBand struct {
	BandLimits
	Share   Value   // of the animal part; of the whole for PlantBand
	Verdict Verdict // Low or High, by the middle estimate in whole percents
	// Absent: there is none of it at all. A recipe without bone may well take
	// its calcium from elsewhere; one without fish may get fish on other days.
	Absent bool
}

// Off returns the shares outside their usual bands, in the order of Bands. A
// mixture without any animal part has none but that of plants.
func (s Shares) Off() []OffBand {
	animal := s.animal()
	var off []OffBand
	for _, b := range bands {
		whole := animal
		if b.Band == PlantBand {
			whole = 1
		}
		if whole == 0 {
			continue
		}
		if o, out := b.judge(s.Share(b, whole)); out {
			off = append(off, o)
		}
	}
	return off
}

// animal returns the share of all that is neither plant nor another thing.
func (s Shares) animal() (sum float64) {
	for p, v := range s {
		if Part(p) != Plant && Part(p) != Other {
			sum += v.Mid
		}
	}
	return sum
}

// Share returns what fraction of a whole a band's parts are.
func (s Shares) Share(b BandLimits, whole float64) Value {
	v := Exactly(0)
	for _, p := range b.Parts {
		v = v.Plus(s[p])
	}
	return v.Times(1 / whole)
}

// wholePercent is by how much a share may miss its band: the bands are rules of
// thumb in whole percents.
const wholePercent = 0.005

// judge tells whether a share is outside the band.
func (b BandLimits) judge(v Value) (OffBand, bool) {
	o := OffBand{BandLimits: b, Share: v, Absent: v.High == 0}
	switch {
	case v.Mid < b.Low-wholePercent, b.Band == MuscularOrganBand && o.Absent:
		o.Verdict = Low
	case v.Mid > b.High+wholePercent:
		o.Verdict = High
	default:
		return o, false
	}
	return o, true
}
