package judge

import (
	"math"
	"os"
	"time"

	"bowlwright/planner"
)

var testNow = time.Date(2026, time.June, 1, 9, 0, 0, 0, time.UTC)

func bornYears(years int) time.Time { return planner.Day(testNow).AddDate(-years, 0, 0) }

// near reports that two figures differ by at most a fraction.
func near(got, want, fraction float64) bool {
	return math.Abs(got-want) <= fraction*math.Abs(want)
}

func juniper() planner.Dog {
	return planner.Dog{Name: "Juniper", Weight: 19.6, Born: bornYears(4), Sex: planner.Female, Neutered: planner.Yes, Condition: 5, Activity: planner.ModerateCalm}
}

func bracken() planner.Dog {
	return planner.Dog{Name: "Bracken", Weight: 34.8, Born: bornYears(8), Sex: planner.Male, Neutered: planner.Yes, Condition: 7, Activity: planner.LowActivity}
}

// whole reports that all cases of a campaign are to be tried, as the checks of
// the whole project do.
func whole() bool { return os.Getenv("BOWLWRIGHT_LONG") != "" }

// sampled is how many cases of a campaign are tried: all where it is to be
// whole, else the first few. Seeds are fixed, so that a sample is the same each
// time.
func sampled(all, few int) int {
	if whole() {
		return all
	}
	return few
}
