package nutrition

import (
	"math"
	"testing"
)

// What heat spoils is a range of raw food alone: USDA's cooked rows have the loss
// in them.
func TestHeatIsCountedOnce(t *testing.T) {
	table := Default()
	raw, cooked := table.Food("turkey-thigh-skinless"), table.Food("turkey-thigh-skinless-roasted")
	if cooked.AsCooked() != cooked || table.Food("calcium-carbonate").AsCooked() != table.Food("calcium-carbonate") || table.Food("sardine-oil").AsCooked() != table.Food("sardine-oil") {
		t.Error("figures of food that is cooked already were lowered")
	}
	is := raw.AsCooked().Per100
	if v := is[Thiamin]; !(v.Low < v.Mid && v.Mid < v.High && v.High < raw.Per100[Thiamin].Low) || !v.Complete {
		t.Errorf("thiamin of cooked turkey %+v, of raw %+v", v, raw.Per100[Thiamin])
	}
	for n := range NutrientCount {
		if !LostToHeat().Has(n) && is[n] != raw.Per100[n] {
			t.Errorf("%v changed from %+v to %+v", n, raw.Per100[n], is[n])
		}
	}
	lab := raw.WithLab(Thiamin, 0.01)
	if lab.AsCooked().Per100[Thiamin] != lab.Per100[Thiamin] {
		t.Error("what a laboratory measured was lowered")
	}
}

// USDA's own raw and cooked rows: what is left of the B vitamins by weight of
// protein lies in the ranges, but for some, since the rows are of other samples.
func TestHeatOfTheTablesOwnRows(t *testing.T) {
	in, all := 0, 0
	for _, p := range cookedPairs() {
		if !p.raw.flesh() {
			continue
		}
		for _, k := range keptOfFlesh {
			was, is := p.raw.Per100[k.n], p.cooked.Per100[k.n]
			if !was.Complete || !is.Complete || was.Mid == 0 {
				continue
			}
			all++
			if left := is.Mid / was.Mid * p.raw.Per100[Protein].Mid / p.cooked.Per100[Protein].Mid; left >= k.low-0.05 && left <= k.high+0.15 {
				in++
			}
		}
	}
	t.Logf("%d of %d within", in, all)
	if in*100 < 75*all {
		t.Errorf("only %d of %d within", in, all)
	}
}

type cookedPair struct{ raw, cooked *Food }

// cookedPairs are the foods of which the table has a raw and a cooked row.
func cookedPairs() (all []cookedPair) {
	table := Default()
	for _, f := range table.Foods() {
		if to := table.Food(table.WeighedCooked(f.Key)); to != nil && to.Key != f.Key && to.Key != f.Key+weighedCooked {
			all = append(all, cookedPair{f, to})
		}
	}
	return all
}

// A cut keeps its protein when it is cooked, so USDA SR26's raw and cooked rows
// imply a yield. Those outside the usual range, with why:
var yieldOutliers = map[string]string{
	"mussel": "shed their liquor", "oyster-eastern": "shed their liquor", "oyster-pacific": "shed their liquor",
	"pollock":    "two samples: the cooked row has twice the solids",
	"beef-tripe": "takes up water, as its collagen swells",
}

func TestTablesOwnRowsImplyTheUsualYields(t *testing.T) {
	pairs := cookedPairs()
	if len(pairs) < 150 {
		t.Fatalf("only %d pairs", len(pairs))
	}
	for _, p := range pairs {
		implied := p.raw.Per100[Protein].Mid / p.cooked.Per100[Protein].Mid
		y := p.raw.Yield()
		if p.raw.flesh() || p.raw.Has(Grain) || y == pulseYield { // of vegetables water and salts go into the pot: see the README
			if _, known := yieldOutliers[p.raw.Key]; known == y.Has(math.Round(implied*100)/100) {
				t.Errorf("%s: %.2f, usual %v, known as an outlier: %t", p.raw.Key, implied, y, known)
			}
		}
	}
}

// By hand: 100 g of cooked food of a raw one that keeps 80 g holds what 125 g of
// it hold; and there and back again is the same key.
func TestWeighedCooked(t *testing.T) {
	table := Default()
	for key, want := range map[string]string{
		"kale": "kale-cooked", "rice-white-dry": "rice-white-cooked", "turkey-thigh-skinless": "turkey-thigh-skinless-roasted",
		"duck-liver": "duck-liver+cooked", "salmon-oil": "salmon-oil", "kale-cooked": "kale-cooked", "chicken-neck-skin": "",
	} {
		if got := table.WeighedCooked(key); got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		} else if want != "" && want != key && table.WeighedRaw(got) != key {
			t.Errorf("%s comes back as %s", got, table.WeighedRaw(got))
		}
	}
	raw, is := table.Food("duck-liver"), table.Food("duck-liver+cooked")
	for _, yield := range []float64{0.55, 0.8, 0.95} {
		if v, of := is.Per100[Iron], raw.Per100[Iron].Mid/yield; of < v.Low-1e-9 || of > v.High+1e-9 {
			t.Errorf("at a yield of %v it has %v mg iron, the range is %+v", yield, of, v)
		}
	}
	if !is.Has(Cooked) || is.Has(Raw) || is.AsCooked() != is {
		t.Errorf("tags %v", is.Tags)
	}
	if v := is.Per100[Water]; v.Low >= v.Mid || v.Mid >= v.High || v.High > 100 {
		t.Errorf("water %+v", v)
	}
	if table.Food("chicken-neck-skin+cooked") != nil || table.Food("nothing+cooked") != nil {
		t.Error("a food that is not")
	}
}
