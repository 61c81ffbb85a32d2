package nutrition

// Value is an amount of one nutrient or of energy, in the unit of its
// Nutrient. Low, Mid and High are the sum of what is known (equal where it is
// one figure, spread where it is a range). Complete says that nothing is
// missing from it: an incomplete value is "at least Low", with no upper
// bound.
//
// The zero Value is "not known": at least nothing. It is never zero; a known
// zero is Exactly(0).
type Value struct {
	Low, Mid, High float64
	Complete       bool
}

// Exactly returns a known value.
func Exactly(x float64) Value { return Value{x, x, x, true} }

// Between returns a known range.
func Between(low, mid, high float64) Value { return Value{low, mid, high, true} }

// Unknown returns the value of which nothing is known.
func Unknown() Value { return Value{} }

// IsUnknown reports that nothing at all is known of the value.
func (v Value) IsUnknown() bool { return !v.Complete && v.High == 0 }

// Plus returns the sum; it is complete only where both are.
func (v Value) Plus(w Value) Value {
	return Value{v.Low + w.Low, v.Mid + w.Mid, v.High + w.High, v.Complete && w.Complete}
}

// Times returns the value scaled by a factor of zero or more. Nothing of a
// food is nothing: a factor of 0 gives a known zero.
func (v Value) Times(f float64) Value {
	if f == 0 {
		return Exactly(0)
	}
	return Value{v.Low * f, v.Mid * f, v.High * f, v.Complete}
}

// below returns how much of what a range may be lies below x, from 0 to 1.
//
// A range is taken to be a triangle that rises from Low to Mid and falls to
// High. Of most ranges nobody has published how they are spread, only two ends
// and a figure that is thought likeliest, which is what a triangle says. It
// must thin out toward its ends: bone, which makes most of them, is at an end
// only where the share of it in the cut and the mineral in its tissue are at
// theirs together.
func (v Value) below(x float64) float64 {
	switch {
	case x <= v.Low:
		return 0
	case x > v.High:
		return 1
	case x <= v.Mid:
		return (x - v.Low) * (x - v.Low) / ((v.High - v.Low) * (v.Mid - v.Low))
	}
	return 1 - (v.High-x)*(v.High-x)/((v.High-v.Low)*(v.High-v.Mid))
}

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
