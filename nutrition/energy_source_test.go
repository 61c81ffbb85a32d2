package nutrition

import "testing"

func TestEveryEquationHasASource(t *testing.T) {
	all := []Equation{GrowthCurve, LatePregnancy, Lactation}
	for _, c := range coefficients {
		if !(c.Low <= c.PerMetabolicKg && c.PerMetabolicKg <= c.High) {
			t.Errorf("%s: %v outside of %v-%v", c.Equation, c.PerMetabolicKg, c.Low, c.High)
		}
		all = append(all, c.Equation)
	}
	seen := map[Equation]bool{}
	for _, e := range all {
		if e.Source() == "" || seen[e] {
			t.Errorf("%s has no source or is there twice", e)
		}
		seen[e] = true
	}
	if Equation("no-such").Source() != "" {
		t.Error("an unknown equation has a source")
	}
}
