package bot

import (
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestBodyWeight shows weights as precisely as they were typed, and rounds those
// that were worked out or typed in the other unit.
func TestBodyWeight(t *testing.T) {
	kg, lb := planner.Units{}, planner.Units{Pounds: true}
	for _, c := range []struct {
		typed string
		u     planner.Units
		want  string
	}{
		{"20.15", kg, "20.15 kg"}, {"20.1", kg, "20.1 kg"}, {"20", kg, "20 kg"}, {"3.05", kg, "3.05 kg"}, {"3.0", kg, "3 kg"},
		{"3.055", kg, "3.055 kg"}, {"850 g", kg, "0.85 kg"}, {"42.35", lb, "42.35 lb"}, {"42.4", lb, "42.4 lb"},
		{"42 lb 7 oz", lb, "42 lb 7 oz"}, {"42 lb 7.5 oz", lb, "42 lb 7.5 oz"}, {"42 lb 8 oz", lb, "42.5 lb"}, {"15 oz", lb, "15 oz"},
		{"42 lb 7 oz", kg, "19.25 kg"}, {"42.4 lb", kg, "19.23 kg"}, {"42 lb", kg, "19.1 kg"}, {"19.3 kg", lb, "42.5 lb"}, {"19.28 kg", lb, "42.51 lb"}, {"19.283 kg", lb, "42.51 lb"},
	} {
		w, err := span.BodyWeight(c.typed, c.u)
		if err != nil {
			t.Fatal(c.typed, err)
		}
		if got := say.BodyWeight(w, c.u); got != c.want {
			t.Errorf("%s is shown as %s, want %s", c.typed, got, c.want)
		}
	}
	for _, c := range []struct {
		w    nutrition.Kilograms
		u    planner.Units
		want string
	}{
		{23.6 / 1.2, kg, "19.7 kg"}, {3.3 / 1.2 * 1.01, kg, "2.8 kg"}, {20.15 - 20.1, kg, "0.05 kg"}, {19.6 / 1.4, kg, "14 kg"}, {20.0 / 3, lb, "14.7 lb"},
	} {
		if got := say.BodyWeight(c.w, c.u); got != c.want {
			t.Errorf("%v is shown as %s, want %s", c.w, got, c.want)
		}
	}
}
