package read

// Codes of problems with dogs, ages and places.
const (
	UnknownPlace  Code = "unknown-place"  // no zone, city or country with one zone
	BadAge        Code = "bad-age"        // no age and no date
	NoAgeUnit     Code = "no-age-unit"    // a bare number: years, months or weeks?
	AmbiguousDate Code = "ambiguous-date" // day and month could be swapped
	FutureBirth   Code = "future-birth"   // born after today
	TooOld        Code = "too-old"        // older than any dog
	NotPlaced     Code = "not-placed"     // words that say nothing known of a dog
	BadWeight     Code = "bad-weight"     // no weight that a dog has
	BadCondition  Code = "bad-condition"  // no score from 1 to 9
	OtherScale    Code = "other-scale"    // a body condition score of another scale than 9
	BadMeals      Code = "bad-meals"      // more meals a day than a dog gets
	PuppyNoAge    Code = "puppy-no-age"   // a puppy or an old dog, of which the age is needed
)
