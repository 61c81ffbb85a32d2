package nutrition

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestDefaultTable(t *testing.T) {
	foods, supplements := 0, 0
	keys := map[string]bool{}
	for _, f := range Default().Foods() {
		if f.Has(Supplement) {
			supplements++
		} else {
			foods++
		}
		if keys[f.Key] {
			t.Errorf("%s is there twice", f.Key)
		}
		keys[f.Key] = true
		if Default().Food(f.Key) != f {
			t.Errorf("Food(%q) is another food", f.Key)
		}
		if f.Name == "" || f.Source == "" || f.Kind == "" {
			t.Errorf("%s has no name, source or kind", f.Key)
		}
		if f.Per100[Energy].IsUnknown() || !f.Per100[Energy].Complete {
			t.Errorf("%s has no energy", f.Key)
		}
		for n, v := range f.Per100 {
			if v.Low < 0 || v.Low > v.Mid+1e-9 || v.Mid > v.High+1e-9 {
				t.Errorf("%s: %s is %+v", f.Key, Nutrient(n), v)
			}
		}
		sum := 0.0
		for _, s := range f.Shares() {
			sum += s
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: shares add up to %v", f.Key, sum)
		}
	}
	if foods != 677 || supplements < 15 {
		t.Errorf("%d foods and %d supplements, want 677 and at least 15", foods, supplements)
	}
	if Default().Food("unicorn") != nil {
		t.Error("an absent food is not nil")
	}
}

// Water, protein, fat, carbohydrate and ash are all that a food is made of.
// Foods analysed part by part, from different samples, miss 100 g by a few.
func TestProximatesAddUp(t *testing.T) {
	for _, f := range tableFoods() {
		sum := 0.0
		for _, n := range []Nutrient{Water, Protein, Fat, Carbohydrate, Ash} {
			sum += f.Soft[n].Mid
		}
		if f.Key == "vinegar-cider" {
			sum += 5 // of acid, which is no part of these
		}
		if math.Abs(sum-100) > 4.2 {
			t.Errorf("%s: proximates add up to %.2f g", f.Key, sum)
		}
	}
}

// Energy from the general factors of Atwater, 4 kcal/g of protein, 9 of fat,
// 4 of carbohydrate less fibre, and 2 of fibre (the factors of Regulation (EU)
// 1169/2011, annex XIV), against the kcal that USDA gives, which come of
// factors for each kind of food.
func TestEnergyAgreesWithAtwater(t *testing.T) {
	reasons := map[string]string{
		"USDA's factors for algae are about 2.5 kcal/g of protein and carbohydrate": "spirulina-dried spirulina laver wakame agar-dry",
		"USDA counts its fibre as other carbohydrate": "chia pea pea-cooked pea-frozen pea-frozen-cooked black-bean-cooked kidney-bean-cooked kidney-bean-canned " +
			"lentil-cooked lentil-dry navy-bean-cooked pinto-bean-cooked split-pea-cooked split-pea-dry mixed-vegetable-cooked",
		"USDA's factor for its carbohydrate is lower": "corn-cooked oat-bran-dry wheat-bran plantain-cooked cranberry-dried carob honey",
		"its acid is energy too":                      "vinegar-cider",
	}
	outliers := map[string]bool{}
	for _, keys := range reasons {
		for _, key := range strings.Fields(keys) {
			outliers[key] = true
		}
	}
	for _, f := range tableFoods() {
		c := f.Soft
		computed := 4*c[Protein].Mid + 9*c[Fat].Mid + 4*(c[Carbohydrate].Mid-c[Fibre].Mid) + 2*c[Fibre].Mid
		given := c[Energy].Mid
		off := math.Abs(computed - given)
		inside := off <= 7 || off <= 0.07*given
		if known := outliers[f.Key]; inside == known {
			t.Errorf("%s: %.0f kcal by macronutrients, %.0f given; a known outlier: %v", f.Key, computed, given, known)
		}
	}
}

func tableFoods() []*Food {
	return slices.DeleteFunc(Default().Foods(), func(f *Food) bool { return f.Has(Supplement) })
}

// mid returns a food's value, 100 g as fed.
func mid(t *testing.T, key string, n Nutrient) float64 {
	t.Helper()
	f := Default().Food(key)
	if f == nil {
		t.Fatalf("no food %q", key)
	}
	if f.Per100[n].IsUnknown() {
		t.Fatalf("%s: %s is not known", key, n)
	}
	return f.Per100[n].Mid
}

// What every textbook of nutrition says of these foods (common knowledge, no
// one source), as a guard against columns that have slipped.
func TestFoodsAreWhatTheyAreKnownFor(t *testing.T) {
	tests := []struct {
		more, less string
		n          Nutrient
		times      float64
	}{
		{"beef-liver", "chicken-liver", Copper, 5},
		{"lamb-liver", "pork-liver", Copper, 5},
		{"salmon-sockeye-canned", "beef-top-round", VitaminD, 20},
		{"salmon-sockeye-canned", "chicken-breast-skinless", EPA, 20},
		{"salmon-sockeye-canned", "chicken-breast-skinless", DHA, 20},
		{"beef-top-round", "chicken-breast-skinless", Zinc, 3},
		{"beef-top-round", "chicken-breast-skinless", Iron, 3},
		{"beef-liver", "beef-heart", Retinoids, 100},
		{"cod-liver-oil", "salmon-sockeye-canned", VitaminD, 5},
		{"flax-oil", "sunflower-oil", AlphaLinolenic, 20},
		{"sunflower-oil", "flax-oil", Linoleic, 3},
		{"carrot", "cucumber", Carotene, 50},
		{"mussel", "beef-top-round", Manganese, 50},
		{"egg-yolk", "chicken-breast-skinless", Choline, 5},
		{"oyster-eastern", "beef-top-round", Zinc, 5},
	}
	for _, tt := range tests {
		if a, b := mid(t, tt.more, tt.n), mid(t, tt.less, tt.n); a < tt.times*b {
			t.Errorf("%s: %s has %v, %s %v; want %v times as much", tt.n, tt.more, a, tt.less, b, tt.times)
		}
	}
}

// Values as printed in USDA SR26 (from memory of the tables), in its units,
// and what they are in the project's.
func TestUnitsOfTheTable(t *testing.T) {
	tests := []struct {
		key  string
		n    Nutrient
		want float64
	}{
		{"egg", Energy, 143},
		{"egg", VitaminD, 82},
		{"egg", Retinoids, 160 * 3.33},             // 160 ug retinol
		{"cod-liver-oil", Retinoids, 30000 * 3.33}, // 30,000 ug retinol
		{"cod-liver-oil", VitaminD, 10000},
		{"olive-oil", VitaminE, 14.35 * 1.49}, // 14.35 mg alpha-tocopherol
		{"carrot", Carotene, 8285},
		{"carrot", Retinoids, 0},
		{"beef-liver", Copper, 9.755},
		{"beef-liver", Carotene, 232},
		{"chia", Retinoids, 0},
	}
	for _, tt := range tests {
		if got := mid0(t, tt.key, tt.n); math.Abs(got-tt.want) > 1e-3*tt.want {
			t.Errorf("%s: %s is %v, want %v", tt.key, tt.n, got, tt.want)
		}
	}
}

func mid0(t *testing.T, key string, n Nutrient) float64 {
	t.Helper()
	v := Default().Food(key).Per100[n]
	if !v.Complete {
		t.Errorf("%s: %s is not known", key, n)
	}
	return v.Mid
}

func TestMissingIsNotZero(t *testing.T) {
	for _, f := range tableFoods() {
		if !f.Per100[Iodine].IsUnknown() || !f.Per100[Chloride].IsUnknown() {
			t.Errorf("%s: iodine and chloride are in no table", f.Key)
		}
	}
	for _, k := range []struct {
		key string
		n   Nutrient
	}{{"lamb-liver", VitaminE}, {"veal-ground", Retinoids}, {"chia", Carotene}, {"beef-spleen", VitaminD}, {"kelp-powder", Iodine}, {"vitamin-e", VitaminE}, {"salt", Iodine}, {"fish-oil-capsule", VitaminD}, {"psyllium", Calcium}} {
		if v := Default().Food(k.key).Per100[k.n]; !v.IsUnknown() {
			t.Errorf("%s: %s is %+v, want not known", k.key, k.n, v)
		}
	}
}

func TestSupplements(t *testing.T) {
	tb := Default()
	// A pure active is a known zero in all but its active.
	for n, v := range tb.Food("vitamin-e").Per100 {
		if Nutrient(n) != VitaminE && v != Exactly(0) {
			t.Errorf("vitamin E: %s is %+v", Nutrient(n), v)
		}
	}
	// 1 g of plain fish oil: EPA 180 mg and DHA 120 mg (the common grade).
	if got := tb.Food("fish-oil-capsule").Per100[EPA].Mid; got != 18 {
		t.Errorf("fish oil: %v g EPA per 100 g", got)
	}
	if c := tb.Food("eggshell-powder").Per100[Calcium]; c.Low != 37000 || c.High != 38000 {
		t.Errorf("eggshell: calcium %+v", c)
	}
	// Kelp: USDA SR26 11445 has 168 mg calcium in 81.58 g water.
	want := 168 * (100 - 8) / (100 - 81.58)
	c := tb.Food("kelp-powder").Per100[Calcium]
	if math.Abs(c.Mid-want) > 0.5 || math.Abs(c.Low-want/2) > 0.5 || math.Abs(c.High-want*1.5) > 0.5 {
		t.Errorf("kelp powder: calcium %+v, want %.0f by half", c, want)
	}
	// Sodium and chloride of common salt, by molar mass, make up the whole.
	s := tb.Food("salt").Per100
	if sum := s[Sodium].Mid + s[Chloride].Mid; math.Abs(sum-100000) > 1 {
		t.Errorf("salt: %v mg sodium and chloride per 100 g", sum)
	}
}

func TestWith(t *testing.T) {
	own := []Food{{Key: "own-1", Name: "Ines's turkey broth", Part: Other}, {Key: "own-2", Name: "Goat tripe"}, {Key: "egg", Name: "Our own hens' egg"}}
	tb := Default().With(own)
	if tb.Food("own-1") != &own[0] || tb.Food("kale") != Default().Food("kale") || tb.Food("egg") != &own[2] || tb.Food("x") != nil {
		t.Error("Food does not find the household's own and the table's")
	}
	all := tb.Foods()
	if len(all) != len(Default().Foods())+2 || all[len(all)-3] != &own[0] {
		t.Errorf("%d foods", len(all))
	}
	for q, want := range map[string]*Food{"ines' turkey broth": nil, "turkey broth": &own[0], "goat tripe": &own[1], "beef kidney": Default().Food("beef-kidney"), "parsley": Default().Food("parsley")} {
		if got := tb.Find(q); want != nil && got.Food != want {
			t.Errorf("Find(%q) = %+v", q, got)
		}
	}
	if Default().With(nil) != Default() {
		t.Error("nothing laid over the table makes another")
	}
	if Default().Find("goat tripe").Food != nil {
		t.Error("the table itself finds a household's food")
	}
}

func TestReadBadCells(t *testing.T) {
	for _, s := range []string{"poultry", "fish 40", "poultry 0", "poultry 100", "poultry 50 40 60", "poultry x", "poultry 1 2", "poultry 95"} {
		if b, err := readBone(s); err == nil {
			t.Errorf("readBone(%q) = %+v", s, b)
		}
	}
	for _, s := range []string{"", "x", "-1", "2..1", "1..2..3..4"} {
		if v, err := readValue(s); err == nil {
			t.Errorf("readValue(%q) = %+v", s, v)
		}
	}
	if _, err := readTags("raw flying"); err == nil {
		t.Error("a tag that is none is read")
	}
}

func BenchmarkLoadTable(b *testing.B) {
	for b.Loop() {
		loadTable().index()
	}
}

func BenchmarkWithAndFind(b *testing.B) {
	own := []Food{{Key: "own-1", Name: "turkey broth"}}
	for b.Loop() {
		Default().With(own).Find("kale")
	}
}
