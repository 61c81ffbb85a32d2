package planner

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/nutrition"
)

// FieldError says which field of a dog cannot be right, and in what way. It
// holds nothing that a carer typed.
type FieldError struct {
	Field string    // as it is stored: "weight", "ideal", "adult-weight", "born", "condition", ...
	Code  FieldCode // in what way
}

// FieldCode classifies a field that cannot be right.
type FieldCode string

// The codes of fields.
const (
	FieldMissing  FieldCode = "missing"
	FieldZero     FieldCode = "zero"
	FieldNegative FieldCode = "negative"
	FieldTooSmall FieldCode = "too-small"
	FieldTooLarge FieldCode = "too-large"
	FieldFuture   FieldCode = "future"
	FieldUnknown  FieldCode = "unknown" // none of the values that the field has
	FieldAtOdds   FieldCode = "at-odds" // with another field
)

// Error names the field and the code.
func (e *FieldError) Error() string {
	return fmt.Sprintf("planner: %s is %s", e.Field, e.Code)
}

// What a dog can be. Newborn pups of the smallest dogs weigh less, but nobody
// feeds them from a bowl; the heaviest dogs on record weighed more than
// 110 kg, the oldest lived about 30 years. Weight and ideal weight lie at most
// a factor of 2.5 apart: the scale of body condition ends at 40 to 60 % over
// the ideal weight (all common knowledge, no source).
const (
	LightestDog  nutrition.Kilograms = 0.3
	HeaviestDog  nutrition.Kilograms = 120
	OldestDog                        = 30 // years
	MostMeals                        = 6  // a day
	MostRunes                        = 40 // of a name
	farFromIdeal                     = 2.5
)

// A carer may set the day's kcal as an expert told, but no dog lives on less
// than a quarter of its resting energy (common practice, no source), and none
// needs more than a sled dog in extreme cold.
const leastOfResting = 0.25

// Validate reports the first field that cannot be right as a *FieldError. An
// unknown field is right, except name and weight. now is the time in the
// household's zone, by which a birth date is judged.
func (d *Dog) Validate(now time.Time) error {
	return cmp.Or(validName(d.Name), d.validWeights(), validBirth(d.Born, now), d.validWords(),
		validCount("condition", d.Condition, 9), validCount("meals", d.Meals, MostMeals), d.validKcal())
}

func validName(name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return &FieldError{"name", FieldMissing}
	case utf8.RuneCountInString(name) > MostRunes:
		return &FieldError{"name", FieldTooLarge}
	}
	return nil
}

func (d *Dog) validWeights() error {
	if d.Weight == 0 {
		return &FieldError{"weight", FieldZero}
	}
	for _, w := range []struct {
		field string
		kg    nutrition.Kilograms
	}{{"weight", d.Weight}, {"ideal", d.Ideal}, {"adult-weight", d.AdultWeight}} {
		if err := validWeight(w.field, w.kg); err != nil {
			return err
		}
	}
	// A puppy's ideal weight may be told as that of the adult it becomes.
	if d.Ideal > 0 && d.IdealFrom == GoalSet && d.AdultWeight == 0 && (d.Weight > farFromIdeal*d.Ideal || d.Ideal > farFromIdeal*d.Weight) {
		return &FieldError{"ideal", FieldAtOdds}
	}
	return nil
}

// validWeight accepts 0, a weight that is not known.
func validWeight(field string, w nutrition.Kilograms) error {
	switch {
	case w == 0:
		return nil
	case w < 0:
		return &FieldError{field, FieldNegative}
	case w < LightestDog:
		return &FieldError{field, FieldTooSmall}
	case !(w <= HeaviestDog): // one that is no number at all, too
		return &FieldError{field, FieldTooLarge}
	}
	return nil
}

func validBirth(born, now time.Time) error {
	switch {
	case born.IsZero():
		return nil
	case DateOf(now).Before(DateOf(born.UTC())):
		return &FieldError{"born", FieldFuture}
	case yearsBetween(born, now) > OldestDog:
		return &FieldError{"born", FieldTooLarge}
	}
	return nil
}

func (d *Dog) validWords() error {
	switch {
	case !slices.Contains([]Sex{"", Female, Male}, d.Sex):
		return &FieldError{"sex", FieldUnknown}
	case !slices.Contains([]Answer{"", Yes, No}, d.Neutered):
		return &FieldError{"neutered", FieldUnknown}
	case !slices.Contains([]Activity{"", LowActivity, ModerateCalm, ModerateBrisk, HighActivity}, d.Activity):
		return &FieldError{"activity", FieldUnknown}
	case !slices.Contains([]Stage{"", Pregnant, Nursing}, d.Stage):
		return &FieldError{"stage", FieldUnknown}
	case d.Stage != "" && d.Sex == Male, d.Stage == Pregnant && d.Neutered == Yes:
		return &FieldError{"stage", FieldAtOdds}
	}
	return nil
}

// validCount accepts 0, a count that is not known.
func validCount(field string, n, most int) error {
	switch {
	case n < 0:
		return &FieldError{field, FieldNegative}
	case n > most:
		return &FieldError{field, FieldTooLarge}
	}
	return nil
}

func (d *Dog) validKcal() error {
	switch {
	case d.Kcal == 0:
		return nil
	case d.Kcal < 0:
		return &FieldError{"kcal", FieldNegative}
	case d.Kcal < leastOfResting*nutrition.RestingEnergy(d.Weight):
		return &FieldError{"kcal", FieldTooSmall}
	case !(float64(d.Kcal) <= nutrition.SledDogMost*nutrition.MetabolicWeight(d.Weight)):
		return &FieldError{"kcal", FieldTooLarge}
	}
	return nil
}

// Day returns midnight UTC of the date that a time shows in its own zone, the
// form in which Dog.Born is kept.
func Day(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// AgeAt returns the dog's age in years, and whether it is known. It is whole
// on a birthday, and runs evenly from one to the next. now is the time in the
// household's zone; before birth the age is 0.
func (d Dog) AgeAt(now time.Time) (years float64, known bool) {
	if d.Born.IsZero() {
		return 0, false
	}
	return yearsBetween(d.Born, now), true
}

// yearsBetween runs for every weigh-in of a dog, so it works on dates. The
// birthday of 29 February is 1 March in years without it.
func yearsBetween(born, now time.Time) float64 {
	birth, today := DateOf(born.UTC()), DateOf(now)
	if !birth.Before(today) {
		return 0
	}
	years := today.Year - birth.Year
	last := Date{today.Year, birth.Month, birth.Day}
	if today.Before(last) {
		years--
		last.Year--
	}
	next := Date{last.Year + 1, birth.Month, birth.Day}
	from := last.Number()
	return float64(years) + float64(today.Number()-from)/float64(next.Number()-from)
}

// LifeStage is a dog's stage by age.
type LifeStage string

// The stages; a dog of unknown age counts as an adult.
const (
	Puppy  LifeStage = "puppy"
	Adult  LifeStage = "adult"
	Senior LifeStage = "senior"
)

// When growth ends and age begins: dogs that will weigh more than 25 kg grow for
// about eighteen months, others for about twelve (common practice, no source).
// Over seven years is FEDIAF's older band.
const (
	grownSmall = 12 // months
	grownLarge = 18
	LargeAdult = nutrition.Kilograms(25)
	seniorOver = 7 // years
)

// grownMonths is the age in months at which a dog is grown. Where the weight that
// it is expected to reach is not known, its present weight tells whether it is
// large.
func (d Dog) grownMonths() int {
	if d.AdultWeight > LargeAdult || d.AdultWeight == 0 && d.Weight > LargeAdult {
		return grownLarge
	}
	return grownSmall
}

// MayEat reports that nobody has taken a recipe off the dog.
func (d *Dog) MayEat(recipe string) bool { return !slices.Contains(d.Without, recipe) }

// Eat has the dog eat a recipe from now on.
func (d *Dog) Eat(recipe string) {
	d.Forget(recipe)
	d.Recipe = recipe
}

// EatNot takes a recipe off the dog, until it is to eat it again.
func (d *Dog) EatNot(recipe string) {
	d.Forget(recipe)
	d.Without = append(d.Without, recipe)
}

// Forget drops what is known of the dog and a recipe.
func (d *Dog) Forget(recipe string) {
	if d.Recipe == recipe {
		d.Recipe = ""
	}
	d.Without = slices.DeleteFunc(d.Without, func(id string) bool { return id == recipe })
}

// StageAt returns the dog's life stage.
func (d Dog) StageAt(now time.Time) LifeStage {
	years, known := d.AgeAt(now)
	if !known {
		return Adult
	}
	switch {
	case years < float64(d.grownMonths())/12:
		return Puppy
	case years > seniorOver:
		return Senior
	}
	return Adult
}

// LikelyDog is false for what is no number, too.
func LikelyDog(w nutrition.Kilograms) bool { return w >= LightestDog && w <= HeaviestDog }

// UsualMeals is how many meals a day a dog gets if nobody said (common
// practice, no source).
const UsualMeals = 2
