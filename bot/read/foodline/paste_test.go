package foodline

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestPaste reads a whole recipe: its name, comments, headings, several foods
// on a line and a bad line that costs nothing else.
func TestPaste(t *testing.T) {
	got := RecipeText("Turkey and heart:\r\nfor 3 days\n\n# the meat\nMeat:\n250 g turkey thigh, no skin, 100 g beef heart\n20 g raisins\nVegetables:\n2 eggs\nLiver:\n", nutrition.Default())
	if got.Name != "Turkey and heart" || got.Days != 3 || len(got.Lines) != 3 || len(got.Problems) != 2 {
		t.Fatalf("%+v", got)
	}
	if got.Problems[0].Line != 7 || got.Lines[2].Number != 9 || got.Problems[1].Code != span.NoAmount {
		t.Errorf("line numbers: problem %d, eggs %d, %v", got.Problems[0].Line, got.Lines[2].Number, got.Problems[1])
	}
	r := got.Planner()
	if r.Name != got.Name || r.Days != 3 || len(r.Ingredients) != 3 || r.Ingredients[1].Typed != "100 g beef heart" {
		t.Errorf("Planner() = %+v", r)
	}
	for text, name := range map[string]string{
		"# Rabbit & kale\n2 eggs": "Rabbit & kale", "Recipe: Rabbit and kale\n2 eggs": "Rabbit and kale", "Ingredients:\n2 eggs": "",
		"250 g beef heart:\n2 eggs": "", "2 eggs\nRabbit:\n": "",
	} {
		if got := RecipeText(text, nutrition.Default()); got.Name != name {
			t.Errorf("name of %q is %q, want %q", text, got.Name, name)
		}
	}
}

// TestDashes takes dashes right before numbers for bullets where there are
// several.
func TestDashes(t *testing.T) {
	if got := briefText("-250 g beef heart\n-2 eggs"); got != "beef-heart 250g; egg 100g" {
		t.Error(got)
	}
}

// TestLongPaste loses nothing silently: what is too much is a problem.
func TestLongPaste(t *testing.T) {
	line := "5 g kale\n"
	for _, c := range []struct {
		text        string
		lines, from int
	}{
		{strings.Repeat(line, 1500), maxPasteLines, maxPasteLines + 1},
		{strings.Repeat("x", 40_000), 0, 1},
		{strings.Repeat(line, 3) + strings.Repeat("y", 40_000), 3, 4},
		{strings.Repeat(line, 3) + strings.Repeat(" ", 10_000) + "\n5 g kale", 3, 5},
		{line + strings.Repeat("x", 201), 1, 2},
		{strings.Repeat("5 g kale, ", 300), maxPasteLines, 1},
	} {
		got := RecipeText(c.text, nutrition.Default())
		if len(got.Lines) != c.lines || len(got.Problems) == 0 || got.Problems[0].Code != span.TooLong || got.Problems[0].Line != c.from {
			t.Errorf("%.20q: %d lines, problems %.300v; want %d, too long from %d", c.text, len(got.Lines), got.Problems, c.lines, c.from)
		}
		for _, p := range got.Problems {
			if n := len([]rune(p.Text)); n > span.MaxProblemRunes || n == 0 {
				t.Errorf("a problem with %d characters", n)
			}
		}
	}
}

// TestEveryFood reads every food of the table by its name, with the amount
// before it and after it.
func TestEveryFood(t *testing.T) {
	for _, f := range nutrition.Default().Foods() {
		active, pure := activeOf(f)
		for _, text := range []string{"7 g " + f.Name, f.Name + ", 7 g", "- 7g " + strings.ToUpper(f.Name)} {
			want := f.Key + " 7g"
			if pure {
				x, _ := toUnit(active, 7, span.UnitWords["g"], false)
				want = fmt.Sprintf("dose %s %s=%.5g, daily", f.Key, active, x)
				if active == nutrition.VitaminD || active == nutrition.Retinoids { // 280 and 23 million IU
					want = "too-much: " + strings.TrimPrefix(text, "- ")
				}
				if active == nutrition.VitaminE {
					want = "which-e: " + strings.TrimPrefix(text, "- ")
				}
			}
			if f.Key == "fish-oil-capsule" { // its name holds a form
				continue
			}
			if got := briefText(text); got != want {
				t.Errorf("%q = %s, want %s", text, got, want)
			}
		}
	}
}

// TestOwnFood reads and prints a household's own food whose name looks like
// an amount.
func TestOwnFood(t *testing.T) {
	own := []nutrition.Food{{Key: "f1", Name: "Butcher's 500 g mix, 2 x ground"}, {Key: "f2", Name: "Mix: 7 herbs"}, {Key: "f3", Name: `"Odd" [name]`}}
	table := nutrition.Default().With(own)
	want := planner.Recipe{Ingredients: []planner.Ingredient{{Food: "f1", Grams: 120}, {Food: "f2", Grams: 3.5}, {Food: "f3", Grams: math.Pi}}}
	text := FormatLines(want, table, planner.Units{})
	got := RecipeText(text, table)
	if len(got.Problems) > 0 || !sameRecipe(untyped(got.Planner()), want) {
		t.Errorf("printed as\n%sread as %+v, problems %v", text, got.Planner(), got.Problems)
	}
}
