package planner

import (
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/nutrition"
)

// FieldError says which field of a dog cannot be right, and in what way.
type FieldError struct {
	Field string    // "weight", "born", "condition", ...
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
)

// Error names the field and the code; it holds nothing that a carer typed.
func (e *FieldError) Error() string {
	return fmt.Sprintf("planner: %s is %s", e.Field, e.Code)
}

// What a dog can be. The heaviest dogs on record weigh over 110 kg and the
// lightest adults about 0.5 kg; newborn pups of toy breeds less than 0.1 kg,
// which nobody feeds from a bowl (common knowledge, no source).
const (
	LightestDog nutrition.Kilograms = 0.3
	HeaviestDog nutrition.Kilograms = 120
	oldestDog                       = 30 // years
	maxMeals                        = 6
	maxNameRune                     = 40
)

// Validate reports the first field that cannot be right as a *FieldError.
// Fields that are not known are right, but for name and weight.
func (d *Dog) Validate(now time.Time) error {
	if err := validName(d.Name); err != nil {
		return err
	}
	if err := validWeight("weight", d.Weight, false); err != nil {
		return err
	}
	if err := validWeight("ideal", d.Ideal, true); err != nil {
		return err
	}
	if err := validWeight("adult-weight", d.AdultWeight, true); err != nil {
		return err
	}
	if !d.Born.IsZero() {
		if d.Born.After(now) {
			return &FieldError{"born", FieldFuture}
		}
		if d.Born.AddDate(oldestDog, 0, 0).Before(now) {
			return &FieldError{"born", FieldTooLarge}
		}
	}
	switch {
	case d.Condition < 0 || d.Condition > 9:
		return &FieldError{"condition", FieldTooLarge}
	case d.Meals < 0 || d.Meals > maxMeals:
		return &FieldError{"meals", FieldTooLarge}
	case d.Kcal < 0:
		return &FieldError{"kcal", FieldNegative}
	}
	return nil
}

func validName(name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return &FieldError{"name", FieldMissing}
	case utf8.RuneCountInString(name) > maxNameRune:
		return &FieldError{"name", FieldTooLarge}
	}
	return nil
}

func validWeight(field string, w nutrition.Kilograms, mayBeZero bool) error {
	switch {
	case w == 0 && mayBeZero:
		return nil
	case w == 0:
		return &FieldError{field, FieldZero}
	case w < 0:
		return &FieldError{field, FieldNegative}
	case w < LightestDog:
		return &FieldError{field, FieldTooSmall}
	case !(w <= HeaviestDog): // a weight that is no number at all, too
		return &FieldError{field, FieldTooLarge}
	}
	return nil
}

// daysPerYear is the mean length of a year.
const daysPerYear = 365.25

// AgeAt returns the dog's age in years, and whether it is known.
func (d Dog) AgeAt(now time.Time) (years float64, known bool) {
	if d.Born.IsZero() {
		return 0, false
	}
	return max(now.Sub(d.Born).Hours()/24/daysPerYear, 0), true
}

// LifeStage is a dog's stage by age.
type LifeStage string

// The stages; a dog of unknown age counts as an adult.
const (
	Puppy  LifeStage = "puppy"
	Adult  LifeStage = "adult"
	Senior LifeStage = "senior"
)

// When growth ends and age begins, in years: dogs that will weigh more than
// 25 kg grow for about eighteen months, others for about twelve (common
// practice, no source). Over seven is FEDIAF's older band.
const (
	grownSmall = 1.0
	grownLarge = 1.5
	largeAdult = nutrition.Kilograms(25)
	seniorFrom = 7.0
)

// StageAt returns the dog's life stage.
func (d Dog) StageAt(now time.Time) LifeStage {
	years, known := d.AgeAt(now)
	if !known {
		return Adult
	}
	grown := grownSmall
	if max(d.AdultWeight, d.Weight) > largeAdult {
		grown = grownLarge
	}
	switch {
	case years < grown:
		return Puppy
	case years > seniorFrom:
		return Senior
	}
	return Adult
}
