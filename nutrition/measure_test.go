package nutrition

import (
	"math"
	"testing"
)

// Weights of USDA SR26's household measures, and by the definition of US cup
// measures (1 cup = 8 fl oz = 16 tbsp = 48 tsp) where it has one only.
func TestMeasureOf(t *testing.T) {
	tests := []struct {
		key, unit, note string
		want            float64 // 0: none
	}{
		{"egg", "piece", "", 50},
		{"egg", "piece", "medium", 44},
		{"egg", "piece", "Large", 50},
		{"egg-quail", "piece", "", 9},
		{"egg-duck", "piece", "", 70},
		{"blueberry", "cup", "", 148},
		{"kale", "cup", "", 67},
		{"kale", "cup", "chopped", 67},
		{"carrot", "cup", "grated", 110},
		{"carrot", "cup", "", 128},
		{"carrot", "cup", "slices", 122},
		{"carrot", "piece", "", 61},
		{"carrot", "piece", "gigantic", 61},
		{"egg", "piece", "extra small", 0},
		{"apple", "cup", "", 125},
		{"olive-oil", "tbsp", "", 13.5},
		{"olive-oil", "tsp", "", 4.5},
		{"flax-oil", "tsp", "", 13.6 / 3},
		{"goat-milk", "fl oz", "", 30.5},
		{"goat-milk", "tbsp", "", 244.0 / 16},
		{"yogurt-whole", "tbsp", "", 245.0 / 16},
		{"yogurt-whole", "cup", "", 245},
		{"flaxseed", "tbsp", "ground", 7},
		{"flaxseed", "tbsp", "milled", 7},
		{"sardine-oil", "can", "", 92},
		{"sardine-oil", "piece", "", 12},
		{"chicken-heart", "piece", "", 6.1},
		{"chicken-neck-skin", "piece", "", 50 / (1 - 0.36)},
		{"quail-whole", "piece", "", 109 / 0.9},
		{"cod", "fillet", "", 231},
		{"fish-oil-capsule", "capsule", "", 1},
		{"kelp-powder", "tsp", "", 2.5},
		{"beef-liver", "piece", "", 0},
		// The source's pieces of these were weighed with their bone.
		{"chicken-thigh-skinless", "piece", "", 0},
		{"chicken-thigh-skin", "piece", "", 0},
		{"turkey-thigh-skinless", "piece", "", 0},
		{"turkey-breast-skinless", "piece", "", 0},
		{"beef-liver", "cup", "", 0},
		{"vitamin-e", "drop", "", 0},
		{"egg", "handful", "", 0},
	}
	for _, tt := range tests {
		m, ok := Default().Food(tt.key).MeasureOf(tt.unit, tt.note)
		if ok != (tt.want != 0) || math.Abs(float64(m.Grams)-tt.want) > 0.005*tt.want {
			t.Errorf("%s: %s %q = %+v, %v; want %v g", tt.key, tt.unit, tt.note, m, ok, tt.want)
		}
		if ok && (m.Unit != tt.unit || m.Source == "") {
			t.Errorf("%s: %s: %+v", tt.key, tt.unit, m)
		}
	}
}

// A spoon of anything weighs between a leaf's and honey's; a cup is 16 of
// the spoons that the source weighed, give or take how it is heaped.
func TestMeasuresArePlausible(t *testing.T) {
	bounds := map[string][2]float64{"cup": {15, 340}, "tbsp": {2, 21}, "tsp": {1.5, 7}, "fl oz": {25, 35}}
	for _, f := range Default().Foods() {
		for _, m := range f.Measure {
			if b, ok := bounds[m.Unit]; ok && (float64(m.Grams) < b[0] || float64(m.Grams) > b[1]) {
				t.Errorf("%s: a %s weighs %v g", f.Key, m.Unit, m.Grams)
			}
			if m.Source == "" {
				t.Errorf("%s: %s has no source", f.Key, m.Unit)
			}
		}
	}
}
