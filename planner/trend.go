package planner

import (
	"bowlwright/nutrition"
)

// LikelyDog is false for what is no number, too.
func LikelyDog(w nutrition.Kilograms) bool { return w >= LightestDog && w <= HeaviestDog }
