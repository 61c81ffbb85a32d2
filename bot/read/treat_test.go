package read

import (
	"fmt"
	"testing"

	"bowlwright/bot/read/span"
)

var treatNames = span.Names{Dogs: []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "Bracken"}}}

// TestTreat reads what carers say of treats; "-" is not about one.
func TestTreat(t *testing.T) {
	for text, want := range map[string]string{
		"treat 40 kcal":                     " 1 x 40",
		"two biscuits of 15 kcal":           "biscuits 2 x 15",
		"2 biscuits of 15 kcal each":        "biscuits 2 x 15",
		"Juniper had a 30 kcal chew":        "d1 chew 1 x 30",
		"treats: 3 x 10 kcal":               " 3 x 10",
		"treat 40 kcal for Bracken":         "d2 1 x 40",
		"gave Juniper a dental stick 75cal": "d1 dental stick 1 x 75",
		"three treats, 60 kcal in total":    " 3 x 20",
		"treat 100 kJ":                      " 1 x 23.9",
		"treat 10 g cheddar":                `"10 g cheddar"`,
		"treat for Juniper: 10 g cheddar":   `d1 "10 g cheddar"`,
		"Juniper got 20 g apple as a treat": `d1 "20 g apple"`,
		"treat":                             `""`,
		"treat one biscuit":                 `"one biscuit"`,
		"how many kcal in a treat?":         "-",
		"can dogs eat biscuits":             "-",
		"beef heart 40 kcal":                "-",
		"two biscuits":                      "-",
		"2000 kcal":                         "-",
		"treat -5 kcal":                     "-",
		"":                                  "-",
	} {
		got := "-"
		if said, ok := Treat(text, treatNames); ok {
			got = said.Dog
			if said.Each == 0 {
				got += fmt.Sprintf(" %q", said.Rest)
			} else {
				got += fmt.Sprintf(" %s %.3g x %.3g", said.What, said.Pieces, float64(said.Each))
			}
		}
		if squeeze(got) != squeeze(want) {
			t.Errorf("%q = %s, want %s", text, got, want)
		}
	}
}

func squeeze(s string) string {
	out := ""
	for _, r := range s {
		if r != ' ' {
			out += string(r)
		}
	}
	return out
}
