// Package portions makes of kcal what goes into the bowl: a recipe, a day's fare or
// a day of a switch as amounts that a kitchen scale shows, split into meals.
//
// It is pure like package planner, on which it stands.
package portions
