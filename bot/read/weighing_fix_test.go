package read

import (
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

func TestCorrectedWeight(t *testing.T) {
	for text, want := range map[string]float64{
		"actually 27.6": 27.6, "Sorry, 19.4 kg": 19.4, "change it to 27.5": 27.5, "no, 27,6": 27.6, "oops sorry, it was 8 kg": 8,
		"I meant 19.4": 19.4, "no wait, make it 12": 12,
		// What is a weight of its own, or none.
		"27.6": 0, "actually": 0, "it was Juniper": 0, "no": 0, "sorry": 0, "it was 3 days ago": 0, "make it for 7 days": 0,
	} {
		kg, ok := CorrectedWeight(text, planner.Units{})
		if ok != (want > 0) || ok && float64(kg) != want {
			t.Errorf("%q: %v, %v, want %v", text, kg, ok, want)
		}
	}
}

func TestLastWeight(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "Pip"}}}
	for text, want := range map[string]string{
		"juniper was 19 and a half kilo no 19.4": "juniper 19.4",
		"Pip 6.5, sorry 6.4 kg":                  "Pip 6.4 kg",
		"pip 6.3, hes lost weight eh?":           "pip 6.3",
		"Pip 6.3, Juniper 19.4?":                 "Pip 6.3, Juniper 19.4?",
		"Pip has no 6":                           "Pip has no 6",
	} {
		if got := LastWeight(text, names, planner.Units{}, time.Now()); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestWithFigure(t *testing.T) {
	for _, row := range [][3]string{
		{"odin gets 1300 kcal", "not 1300, 1350", "odin gets 1350 kcal"},
		{"odin gets 1300 kcal", "no 1250 kcal", "odin gets 1250 kcal"},
		{"odin gets 1300 kcal", "no 1250 g", ""},
		{"biscuit's goal is 14 kg", "i meant 14.5", "biscuit's goal is 14.5 kg"},
		{"odin 29.2, biscuit 18.6", "no, 18.9", "odin 29.2, biscuit 18.9"},
		{"odin 29.2, biscuit 28.6", "no, 28.9", ""},
		{"odin 200 g, biscuit 20 g", "20 not 200", "odin 20 g, biscuit 20 g"},
		{"froze 4 packs of 280 g", "oops, 3", "froze 3 packs of 280 g"},
		{"feed odin at 7 and 18:00", "no, 17:30", "feed odin at 7 and 17:30"},
		{"biscuit 8.4", "it was 8:30", ""},
		{"biscuit 18.4", "no, 3 packs", ""},
		{"biscuit 18.4", "no thanks", ""},
	} {
		if got := WithFigure(row[0], row[1]); got != row[2] {
			t.Errorf("%q, %q: %q, want %q", row[0], row[1], got, row[2])
		}
	}
}
