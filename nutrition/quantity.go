package nutrition

// Grams is a mass of food in grams.
type Grams float64

// Kcal is metabolizable energy in kilocalories (1 kcal = 4.184 kJ).
type Kcal float64

// Kilograms is the body weight of a dog in kilograms.
type Kilograms float64

// Exact by the international avoirdupois pound of 1959: 1 lb = 0.45359237 kg.
const (
	GramsPerPound Grams     = 453.59237
	GramsPerOunce Grams     = GramsPerPound / 16
	KilosPerPound Kilograms = 0.45359237
)

// International units per unit of mass, as used for foods and supplements
// (supplements: USP units; carotene for dogs: FEDIAF annex on vitamins; all
// from memory of the publications).
const (
	// VitaminEIUPerMg is IU per mg of d-alpha-tocopherol, the form that food
	// tables give.
	VitaminEIUPerMg = 1.49
	// VitaminEAcetateIUPerMg is IU per mg of synthetic dl-alpha-tocopheryl
	// acetate.
	VitaminEAcetateIUPerMg = 1.0
	// VitaminDIUPerUg is IU per microgram of vitamin D.
	VitaminDIUPerUg = 40.0
	// RetinolIUPerUg is IU of vitamin A per microgram of retinol.
	RetinolIUPerUg = 3.33
	// CaroteneIUPerMg is IU of vitamin A that a dog makes of one milligram of
	// beta-carotene.
	CaroteneIUPerMg = 833.0
)

// Ounces returns the mass in avoirdupois ounces.
func (g Grams) Ounces() float64 { return float64(g / GramsPerOunce) }

// Pounds returns the body weight in avoirdupois pounds.
func (w Kilograms) Pounds() float64 { return float64(w / KilosPerPound) }
