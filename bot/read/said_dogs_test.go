package read

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// TestLongerNameCounts names a dog whose name begins with that of another, in
// each kind of text that names dogs.
func TestLongerNameCounts(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Pip"}, {ID: "d2", Name: "Pip Junior"}}}
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

func TestDogFacts(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "Pip"}}}
	for text, want := range map[string]string{
		"Juniper is spayed":                 "d1 x 0kg female neutered=yes",
		"she's spayed":                      " x 0kg female neutered=yes",
		"Pip was neutered":                  "d2 x 0kg neutered=yes",
		"Pip is 6 years old":                "d2 x 0kg born=2020-03-31 about",
		"Pip's birthday is 5 March 2021":    "d2 x 0kg born=2021-03-05",
		"Pip was born on 5 March 2021":      "d2 x 0kg born=2021-03-05",
		"Pip is a boy":                      "d2 x 0kg male",
		"Juniper is allergic to chicken.":   `d1 x 0kg health="allergic to chicken" no="chicken"`,
		"no chicken for Juniper":            `d1 x 0kg no="chicken"`,
		"Juniper can't have beef":           `d1 x 0kg no="beef"`,
		"Pip has kidney disease":            `d2 x 0kg health="kidney disease"`,
		"he is intact":                      " x 0kg neutered=no",
		"Juniper is happy":                  "-",
		"is Juniper spayed":                 "-",
		"Juniper is spayed?":                "-",
		"Juniper 19.4":                      "-",
		"Juniper is a spayed girl, 19.4 kg": "-",
		"Moss is spayed":                    "-",
		"spayed":                            "-",
	} {
		got := "-"
		if dog, d, ok := DogFacts(text, names, planner.Units{}, noon); ok {
			got = dog + " " + describeDog(d, nil)
		}
		if got != want {
			t.Errorf("%q:\n got %s\nwant %s", text, got, want)
		}
	}
}

func TestBareFacts(t *testing.T) {
	now := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	for text, want := range map[string]bool{
		"4 years": true, "spayed, moderate": true, "female": true, "5/9": true, "neutered male, 2 years old": true,
		"": false, "carrots": false, "12 kg": false, "4 years?": false, "moderate and 300 g beef": false, "3 meals a day": false, "900 kcal": false, "/today": false,
	} {
		if _, ok := BareFacts(text, planner.Units{}, now); ok != want {
			t.Errorf("BareFacts(%q) is %v", text, ok)
		}
	}
}

func TestClauses(t *testing.T) {
	got := strings.Join(Clauses("fed Juniper, skip Pip and then fed Bracken; done"), "|")
	if got != "fed Juniper|skip Pip|fed Bracken|done" {
		t.Error(got)
	}
	if got := Clauses("fed Andy"); len(got) != 1 {
		t.Error(got)
	}
}
