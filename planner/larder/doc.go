// Package larder works out what a household's kitchen has, needs and pays: food
// shared out in packs, what is left of them, what the dogs eat in some days, what
// of that is to be bought and what it costs, and what food weighs cooked. What is
// kept of it are records of package planner.
//
// It is pure like package planner, on which it stands.
package larder
