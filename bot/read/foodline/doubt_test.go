package foodline

import (
	"testing"

	"bowlwright/bot/read/span"
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
		if got := splitLine(text, nutrition.Default()); len(got) != want {
			t.Errorf("%s: split into %q", text, got)
		}
	}
}

// TestGramsWithPoint checks that grams with a point and three digits, which
// are 1.2 g to some and 1200 g to others, are not read as either.
func TestGramsWithPoint(t *testing.T) {
	got := RecipeText("1.200 g turkey neck\n200 g turkey neck", nutrition.Default())
	if len(got.Lines) != 1 || len(got.Problems) != 1 || got.Problems[0].Code != span.BadNumber || got.Problems[0].Part != "1.200 g" {
		t.Errorf("got %+v", got)
	}
	in := planner.Recipe{Doses: []planner.Dose{{Food: "kelp-powder", Grams: 1.125}}}
	if back := RecipeText(FormatLines(in, nutrition.Default(), planner.Units{}), nutrition.Default()); len(back.Problems) > 0 {
		t.Errorf("%s: %v", FormatLines(in, nutrition.Default(), planner.Units{}), back.Problems)
	}
}

// TestNameIsNotRefused checks that a name in a text without an amount is not
// taken for a refused food with a typing error, and that a food still is.
func TestNameIsNotRefused(t *testing.T) {
	for text, want := range map[string]span.Code{
		"is Bony complete for Molly": span.NoAmount, "good for Molly": span.NoAmount,
		"50 g Molly": span.RefusedFood, "Molly": span.RefusedFood, "some Grapes": span.RefusedFood, "red Grape": span.RefusedFood, "some chocolte": span.RefusedFood, "100 g Chocolte": span.RefusedFood,
	} {
		got := RecipeText(text, nutrition.Default()).Problems
		if len(got) != 1 || got[0].Code != want {
			t.Errorf("%s: got %v, want %s", text, got, want)
		}
	}
}
