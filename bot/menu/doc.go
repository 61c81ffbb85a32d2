// Package menu is the room for which recipe on which day: rotations, the switch to
// a new food in steps, and which dog eats what.
package menu
