package menu

import (
	"strings"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestRowOfAmounts tells the amounts beside each other in the same steps.
func TestRowOfAmounts(t *testing.T) {
	for _, c := range []struct {
		row  []nutrition.Grams
		want string
	}{{[]nutrition.Grams{29, 900}, "30 900"}, {[]nutrition.Grams{29, 48}, "29 48"}, {[]nutrition.Grams{2, 900}, "2 900"}, {[]nutrition.Grams{0, 900}, "0 900"}} {
		if got := strings.Join(alike(planner.Units{}, c.row...), " "); got != c.want {
			t.Errorf("%v: %q, want %q", c.row, got, c.want)
		}
	}
}
