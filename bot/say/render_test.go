package say

import (
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

func TestMass(t *testing.T) {
	metric, imperial := planner.Units{}, planner.Units{Ounces: true}
	for _, c := range []struct {
		g    nutrition.Grams
		u    planner.Units
		want string
	}{
		{0, metric, "0 g"}, {0.4, metric, "0.4 g"}, {0.96, metric, "1 g"}, {47.4, metric, "47 g"}, {49.4, metric, "49 g"},
		{49.6, metric, "50 g"}, {52.6, metric, "55 g"}, {687, metric, "685 g"}, {9990, metric, "9990 g"}, {12340, metric, "12.3 kg"},
		{28.349523125, imperial, "1 oz"}, {453.59237, imperial, "16 oz"}, {0.5, imperial, "0.02 oz"}, {5000, imperial, "11 lb"},
	} {
		if got := Mass(c.g, c.u); got != c.want {
			t.Errorf("mass(%v, %+v) = %q, want %q", c.g, c.u, got, c.want)
		}
	}
}

// TestEnoughMass rounds up what must not fall short, by at most a tenth.
func TestEnoughMass(t *testing.T) {
	metric, imperial := planner.Units{}, planner.Units{Ounces: true}
	for _, c := range []struct {
		g    nutrition.Grams
		u    planner.Units
		want string
	}{
		{169.1, metric, "170 g"}, {170, metric, "170 g"}, {170.2, metric, "175 g"}, {14.7, metric, "15 g"}, {49.2, metric, "50 g"}, {50.1, metric, "55 g"},
		{3.71, metric, "4 g"}, {3.04, metric, "3.1 g"}, {1.31, metric, "1.4 g"}, {0.423, metric, "0.43 g"}, {3, metric, "3 g"},
		{28.349523125, imperial, "1 oz"}, {100, imperial, "3.6 oz"}, {3, imperial, "0.11 oz"},
	} {
		if got := EnoughMass(c.g, c.u); got != c.want {
			t.Errorf("enoughMass(%v, %+v) = %q, want %q", c.g, c.u, got, c.want)
		}
	}
}

func TestKcalRangeSaysWhatIsNotKnown(t *testing.T) {
	for _, c := range []struct {
		v    nutrition.Value
		want string
	}{
		{nutrition.Unknown(), "not known"},
		{nutrition.Exactly(0), "0 kcal"},
		{nutrition.Exactly(1024.6), "1025 kcal"},
		{nutrition.Between(900, 1000, 1100), "1000 kcal (900-1100)"},
		{nutrition.Exactly(500).Plus(nutrition.Unknown()), "at least 500 kcal"},
	} {
		if got := KcalRange(c.v); got != c.want {
			t.Errorf("kcalRange(%+v) = %q, want %q", c.v, got, c.want)
		}
	}
}

// TestTableFitsAPhone sets awkward rows and measures every line.
func TestTableFitsAPhone(t *testing.T) {
	rows := []TableRow{
		{"", []string{"a day", "each meal"}},
		{"chicken breast, boneless, no skin, from a very long name", []string{"1250 g", "625 g"}},
		{"Supercalifragilisticexpialidociousness", []string{"1.25 g", "0.625 g"}},
		{"鶏むね肉鶏むね肉鶏むね肉鶏むね肉", []string{"5 g", "2.5 g"}},
		{"together", []string{"1256 g", "628 g"}},
	}
	for _, line := range strings.Split(tableText(rows), "\n") {
		if w := text.StringWidth(line); w > TableWidth {
			t.Errorf("%d columns wide: %q", w, line)
		}
	}
}

// Nothing in capitals is still nothing: no mark of a broken character.
func TestCapital(t *testing.T) {
	for in, want := range map[string]string{"": "", "a 6 kg dog": "A 6 kg dog", "é": "É"} {
		if got := Capital(in); got != want {
			t.Errorf("capital(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestTableName(t *testing.T) {
	for source, want := range map[string]string{"USDA SR26 13321": "USDA", "USDA SR26 04593, salmon oil": "USDA, salmon oil", "common practice, no source": "common practice, no source"} {
		if got := TableName(source); got != want {
			t.Errorf("TableName(%q) = %q, want %q", source, got, want)
		}
	}
}
