// Package planner holds what a household keeps and what follows from it:
// dogs, recipes, what a dog needs, portions, scaling, rounding to a kitchen
// scale and the bowl of the day.
//
// It is pure: time and data come in as arguments; it neither stores nor
// prints. It returns values and typed errors; package bot makes sentences of
// them and package store keeps them.
package planner
