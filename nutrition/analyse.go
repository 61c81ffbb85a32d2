package nutrition

// Item is a food weighed into a mixture.
type Item struct {
	Food  *Food
	Grams Grams
	// Label holds contents from the package, in the nutrient's unit per gram;
	// they replace those of the table. May be nil.
	Label map[Nutrient]float64
}

// Extra is a nutrient that is given beside the food: a capsule, a drop.
type Extra struct {
	Name     string // as the carer calls it
	Nutrient Nutrient
	PerDay   float64 // in the nutrient's unit; a dose every n days is dose / n
	NotKnown bool    // given, but nobody knows how much: PerDay is at least so much
}

// Mixture is what is analysed together: a recipe, or several in the
// proportions in which they are fed.
type Mixture struct {
	Items  []Item
	Extras []Extra
	Days   float64 // how many days' food Items are; 0 counts as 1
}

// Basis is what amounts are compared on. Its zero value is per 1000 kcal.
type Basis struct {
	PerDog bool      // per dog and day, on metabolic weight
	Weight Kilograms // of the dog, for PerDog
	Kcal   Kcal      // that the dog eats in a day, for PerDog
}
