package planner

import (
	"os"
)

// whole reports that all cases of a campaign are to be tried, as the checks of
// the whole project do.
func whole() bool { return os.Getenv("BOWLWRIGHT_LONG") != "" }

// Sampled returns how many cases of a campaign to try: all where it is to be
// whole, else the first few. Seeds are fixed, so that a sample is the same each
// time.
func Sampled(all, few int) int {
	if whole() {
		return all
	}
	return few
}
