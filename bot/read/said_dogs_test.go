package read

import (
	"slices"
	"testing"
	"time"

	"bowlwright/planner"
)

// TestLongerNameCounts names a dog whose name begins with that of another, in
// each kind of text that names dogs.
func TestLongerNameCounts(t *testing.T) {
	names := Names{Dogs: []Named{{"d1", "Pip"}, {"d2", "Pip Junior"}}}
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{"Pip Junior": "d2", "Pip": "d1", "PIP JUNIOR’s": "d2", "Pip Juniors": "d1"} {
		if _, _, dogs := DogsNamed("skip "+text, names); !slices.Equal(dogs, []string{want}) {
			t.Errorf("%q: %v, want %s", text, dogs, want)
		}
	}
	if said, ok, err := Weighing("Pip Junior 6.4 yesterday", names, planner.Units{}, now); !ok || err != nil || said.Dog != "d2" || said.Weight != 6.4 {
		t.Errorf("a weight: %+v, %v, %v", said, ok, err)
	}
	if said, ok := Treat("treat 40 kcal for Pip Junior", names); !ok || said.Dog != "d2" || said.Each != 40 {
		t.Errorf("a treat: %+v, %v", said, ok)
	}
}
