package nutrition

import "fmt"

// Nutrient names a constituent of food. Its String is its key: the stable
// name under which it is stored, exported and found in the tables.
type Nutrient uint8

// The nutrients, in the order in which tables show them. Units are those of
// Nutrient.Unit and hold per amount of food, whatever that amount is.
const (
	Energy Nutrient = iota // metabolizable energy, kcal
	Water
	Protein
	Fat
	Carbohydrate // by difference, fibre included
	Ash
	Fibre
	Calcium
	Phosphorus
	Magnesium
	Potassium
	Sodium
	Chloride // in no food table used here: from labels only
	Iron
	Zinc
	Copper
	Manganese
	Selenium
	Iodine    // in no food table used here: from labels only
	Retinoids // preformed vitamin A, IU
	Carotene  // beta-carotene, ug
	VitaminD
	VitaminE // alpha-tocopherol, IU
	VitaminK
	VitaminC
	Thiamin
	Riboflavin
	Niacin
	PantothenicAcid
	VitaminB6
	Folate
	VitaminB12
	Choline
	Tryptophan
	Threonine
	Isoleucine
	Leucine
	Lysine
	Methionine
	Cystine
	Phenylalanine
	Tyrosine
	Valine
	Arginine
	Histidine
	SaturatedFat
	Linoleic       // n-6 18:2, the n-6 column where there is one, else all 18:2
	AlphaLinolenic // n-3 18:3, the n-3 column where there is one, else all 18:3
	Arachidonic
	EPA
	DPA
	DHA
	Cholesterol
	NutrientCount // how many there are; not a nutrient
)

// nutrients holds each nutrient's key, unit and plain name.
var nutrients = [NutrientCount]struct{ key, unit, name string }{
	Energy:          {"energy", "kcal", "energy"},
	Water:           {"water", "g", "water"},
	Protein:         {"protein", "g", "protein"},
	Fat:             {"fat", "g", "fat"},
	Carbohydrate:    {"carbohydrate", "g", "carbohydrate"},
	Ash:             {"ash", "g", "ash"},
	Fibre:           {"fibre", "g", "fibre"},
	Calcium:         {"calcium", "mg", "calcium"},
	Phosphorus:      {"phosphorus", "mg", "phosphorus"},
	Magnesium:       {"magnesium", "mg", "magnesium"},
	Potassium:       {"potassium", "mg", "potassium"},
	Sodium:          {"sodium", "mg", "sodium"},
	Chloride:        {"chloride", "mg", "chloride"},
	Iron:            {"iron", "mg", "iron"},
	Zinc:            {"zinc", "mg", "zinc"},
	Copper:          {"copper", "mg", "copper"},
	Manganese:       {"manganese", "mg", "manganese"},
	Selenium:        {"selenium", "ug", "selenium"},
	Iodine:          {"iodine", "ug", "iodine"},
	Retinoids:       {"retinoids", "IU", "vitamin A (preformed)"},
	Carotene:        {"carotene", "ug", "beta-carotene"},
	VitaminD:        {"vitamin-d", "IU", "vitamin D"},
	VitaminE:        {"vitamin-e", "IU", "vitamin E"},
	VitaminK:        {"vitamin-k", "ug", "vitamin K"},
	VitaminC:        {"vitamin-c", "mg", "vitamin C"},
	Thiamin:         {"thiamin", "mg", "thiamin (B1)"},
	Riboflavin:      {"riboflavin", "mg", "riboflavin (B2)"},
	Niacin:          {"niacin", "mg", "niacin (B3)"},
	PantothenicAcid: {"pantothenic-acid", "mg", "pantothenic acid (B5)"},
	VitaminB6:       {"vitamin-b6", "mg", "vitamin B6"},
	Folate:          {"folate", "ug", "folate"},
	VitaminB12:      {"vitamin-b12", "ug", "vitamin B12"},
	Choline:         {"choline", "mg", "choline"},
	Tryptophan:      {"tryptophan", "g", "tryptophan"},
	Threonine:       {"threonine", "g", "threonine"},
	Isoleucine:      {"isoleucine", "g", "isoleucine"},
	Leucine:         {"leucine", "g", "leucine"},
	Lysine:          {"lysine", "g", "lysine"},
	Methionine:      {"methionine", "g", "methionine"},
	Cystine:         {"cystine", "g", "cystine"},
	Phenylalanine:   {"phenylalanine", "g", "phenylalanine"},
	Tyrosine:        {"tyrosine", "g", "tyrosine"},
	Valine:          {"valine", "g", "valine"},
	Arginine:        {"arginine", "g", "arginine"},
	Histidine:       {"histidine", "g", "histidine"},
	SaturatedFat:    {"saturated-fat", "g", "saturated fat"},
	Linoleic:        {"linoleic", "g", "linoleic acid"},
	AlphaLinolenic:  {"alpha-linolenic", "g", "alpha-linolenic acid"},
	Arachidonic:     {"arachidonic", "g", "arachidonic acid"},
	EPA:             {"epa", "g", "EPA"},
	DPA:             {"dpa", "g", "DPA"},
	DHA:             {"dha", "g", "DHA"},
	Cholesterol:     {"cholesterol", "mg", "cholesterol"},
}

// String returns the nutrient's key.
func (n Nutrient) String() string {
	if n >= NutrientCount {
		return fmt.Sprintf("nutrient(%d)", uint8(n))
	}
	return nutrients[n].key
}

// Unit returns the unit in which amounts of the nutrient are held: "kcal",
// "g", "mg", "ug" or "IU".
func (n Nutrient) Unit() string { return nutrients[n].unit }

// Name returns the nutrient's plain name.
func (n Nutrient) Name() string { return nutrients[n].name }

// MarshalText returns the key.
func (n Nutrient) MarshalText() ([]byte, error) {
	if n >= NutrientCount {
		return nil, fmt.Errorf("nutrition: no nutrient %d", uint8(n))
	}
	return []byte(n.String()), nil
}

// UnmarshalText reads a key; an unknown one is an error.
func (n *Nutrient) UnmarshalText(b []byte) error {
	for i := range nutrients {
		if nutrients[i].key == string(b) {
			*n = Nutrient(i)
			return nil
		}
	}
	return fmt.Errorf("nutrition: no nutrient %q", b)
}

// Nutrients is a set of nutrients.
type Nutrients uint64

const _ = uint(64 - NutrientCount) // each has a bit

// Has reports that a nutrient is in the set.
func (s Nutrients) Has(n Nutrient) bool { return s>>n&1 == 1 }

// With is the set and one more.
func (s Nutrients) With(n Nutrient) Nutrients { return s | 1<<n }

// Without is the set less one.
func (s Nutrients) Without(n Nutrient) Nutrients { return s &^ (1 << n) }

// Composition holds one value a nutrient. Its zero value knows nothing.
type Composition [NutrientCount]Value
