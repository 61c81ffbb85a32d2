package read

import (
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestQualifierStays checks that what is said of a food after a comma goes
// with it, though an amount follows.
func TestQualifierStays(t *testing.T) {
	for text, want := range map[string]int{
		"2 x chicken thigh, bone in (300 g)":         1,
		"2 x chicken thigh, bone-in (300 g), 2 eggs": 2,
		"turkey thigh, no skin 300 g, 2 eggs":        2,
		"2 chicken thighs, skinless, 300 g":          1,
		"chicken thigh 300 g, kale 20 g":             2,
	} {
		if got := splitLine(text); len(got) != want {
			t.Errorf("%s: split into %q", text, got)
		}
	}
}

// TestGramsWithPoint checks that grams with a point and three digits, which
// are 1.2 g to some and 1200 g to others, are not read as either.
func TestGramsWithPoint(t *testing.T) {
	for text, want := range map[string]nutrition.Grams{
		"1.200 g": 0, "1.200g": 0, "12.345 grams": 0, "250.000 g": 0,
		"1.2 g": 1.2, "1.2000 g": 1.2, "0.200 g": 0.2, "1.200 kg": 1200, "1,200 g": 1200, "1.234,5 g": 1234.5,
	} {
		got, err := Mass(text)
		p, _ := err.(Problem)
		if want == 0 && p.Code != BadNumber || want > 0 && (err != nil || got != want) {
			t.Errorf("%s: got %v, %v", text, got, err)
		}
	}
	got := RecipeText("1.200 g turkey neck\n200 g turkey neck", nutrition.Default())
	if len(got.Lines) != 1 || len(got.Problems) != 1 || got.Problems[0].Code != BadNumber || got.Problems[0].Part != "1.200 g" {
		t.Errorf("got %+v", got)
	}
	for g, want := range map[nutrition.Grams]string{1.125: "1.1250 g", 0.125: "0.125 g", 1125: "1125 g", 1234.125: "1234.125 g"} {
		s := FormatMass(g, planner.Units{})
		back, err := Mass(s)
		if s != want || err != nil || back != g {
			t.Errorf("%v g printed as %s, want %s; read back as %v, %v", float64(g), s, want, back, err)
		}
	}
	in := planner.Recipe{Doses: []planner.Dose{{Food: "kelp-powder", Grams: 1.125}}}
	if back := RecipeText(FormatLines(in, nutrition.Default(), planner.Units{}), nutrition.Default()); len(back.Problems) > 0 {
		t.Errorf("%s: %v", FormatLines(in, nutrition.Default(), planner.Units{}), back.Problems)
	}
}

// TestNameIsNotRefused checks that a name in a text without an amount is not
// taken for a refused food with a typing error, and that a food still is.
func TestNameIsNotRefused(t *testing.T) {
	for text, want := range map[string]Code{
		"is Bony complete for Molly": NoAmount, "good for Molly": NoAmount,
		"50 g Molly": RefusedFood, "Molly": RefusedFood, "some Grapes": RefusedFood, "red Grape": RefusedFood, "some chocolte": RefusedFood, "100 g Chocolte": RefusedFood,
	} {
		got := RecipeText(text, nutrition.Default()).Problems
		if len(got) != 1 || got[0].Code != want {
			t.Errorf("%s: got %v, want %s", text, got, want)
		}
	}
}
