package nutrition

import (
	"math"
	"slices"
	"testing"
)

func TestSharesByHand(t *testing.T) {
	// 400 g of a cut that is 20 to 30, mid 25 % bone, 500 g of meat, 100 g of
	// plants: 10 % bone (8 to 12), 80 % meat (78 to 82), 10 % plants.
	cut := made("cut", nil)
	cut.Bone = Bone{Kind: PoultryBone, Low: 0.20, Mid: 0.25, High: 0.30}
	plant := made("plant", nil)
	plant.Part = Plant
	s := SharesOf([]Item{{Food: cut, Grams: 400}, {Food: made("meat", nil), Grams: 500}, {Food: plant, Grams: 100}, {Food: plant, Grams: -5}})
	for p, want := range map[Part]Value{
		Muscle:   Between(0.78, 0.80, 0.82),
		BonePart: Between(0.08, 0.10, 0.12),
		Plant:    Exactly(0.10),
		Liver:    Exactly(0),
	} {
		if got := s[p]; math.Abs(got.Low-want.Low)+math.Abs(got.Mid-want.Mid)+math.Abs(got.High-want.High) > 1e-12 || !got.Complete {
			t.Errorf("%v: %v, want %v", p, got, want)
		}
	}
	var sum float64
	for _, v := range s {
		sum += v.Mid
	}
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("the shares add up to %v", sum)
	}
	if got := SharesOf(nil); got != (Shares{}) || got.Off() != nil {
		t.Errorf("shares of nothing: %v, off %v", got, got.Off())
	}
}

func TestOffBands(t *testing.T) {
	type off struct {
		band    Band
		verdict Verdict
		absent  bool
	}
	for _, c := range []struct {
		name  string
		parts []any
		want  []off
	}{
		{"as usual", []any{"turkey-thigh-skinless", 480, "beef-heart", 150, "chicken-wing", 220, "mackerel-atlantic", 60, "beef-liver", 50, "beef-kidney", 50}, nil},
		{"meat alone", []any{"beef-ground-90", 1000}, []off{
			{MeatBand, High, false}, {MuscularOrganBand, Low, true}, {BoneBand, Low, true},
			{LiverBand, Low, true}, {SecretingOrganBand, Low, true}, {FishBand, Low, true},
		}},
		{"too much bone and liver", []any{"chicken-wing", 500, "beef-heart", 250, "beef-liver", 150, "beef-kidney", 50, "cod", 50}, []off{
			{MeatBand, Low, false}, {BoneBand, High, false}, {LiverBand, High, false},
		}},
		{"plants only", []any{"kale", 100}, []off{{PlantBand, High, false}}},
		{"oil only", []any{"olive-oil", 100}, nil},
	} {
		var got []off
		for _, o := range SharesOf(mixtureOf(t, c.parts...).Items).Off() {
			got = append(got, off{o.Band, o.Verdict, o.Absent})
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestABandThatARangeReaches(t *testing.T) {
	b := bands[2] // bone, 8 to 12 %
	for _, c := range []struct {
		v       Value
		verdict Verdict
	}{
		{Between(0.06, 0.07, 0.09), Low},
		{Between(0.11, 0.13, 0.15), High},
		{Between(0.07, 0.10, 0.14), NotKnown}, // within, by the middle
	} {
		o, out := b.judge(c.v)
		if out != (c.verdict != NotKnown) || o.Verdict != c.verdict {
			t.Errorf("%v: %v", c.v, o.Verdict)
		}
	}
}
