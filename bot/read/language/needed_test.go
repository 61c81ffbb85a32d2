package language

import (
	"regexp/syntax"
	"slices"
	"testing"
)

// TestNeeded holds which words a text must have to have a pattern: a text without them
// is not searched.
func TestNeeded(t *testing.T) {
	for pattern, want := range map[string][]string{
		`(?i)\b(?:false|wrong) alarm\b`:   {" alarm"},
		`(?i)^\W*(?:Keeps?|leave) on`:     {"keep", "leave"},
		`(?i)(the )?(vet|groomer)s?`:      {"vet", "groomer"},
		`(?i)(?:at|on|maybe)? ?(\d+) ?kg`: {"kg"},
		`(?i)(?:no )*ab+c{2,}d{0,3}`:      {"a"},
		`(?i)^(?:vet|)\d`:                 nil,
		`(?i)a|\d`:                        nil,
	} {
		tree, err := syntax.Parse(pattern, syntax.Perl)
		if err != nil {
			t.Fatal(err)
		}
		if got := needed(tree); !slices.Equal(got, want) {
			t.Errorf("%s needs %q, want %q", pattern, got, want)
		}
	}
	for _, s := range Sayings["dictated"] {
		if s.may("rub her belly") {
			t.Errorf("%s is looked for in a text that has none of %q", s.Is(), s.needs())
		}
	}
}
