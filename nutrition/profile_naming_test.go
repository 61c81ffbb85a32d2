package nutrition

import "testing"

func TestNaming(t *testing.T) {
	p := ProfileByID("aafco-adult")
	if p.Naming(Subject(Calcium)) != p {
		t.Error("a profile that has the requirement is another")
	}
	named := p.Naming(EPADHA)
	if len(p.Requirements)+1 != len(named.Requirements) {
		t.Fatalf("%d requirements of %d", len(named.Requirements), len(p.Requirements))
	}
	f := Default().Food("fish-oil-capsule")
	m := Mixture{Items: []Item{{Food: f, Grams: 10}}}
	a := Analyse(m, named, Basis{})
	row := a.Row(EPADHA)
	if row == nil || row.HasMin() || row.HasMax() || row.Verdict != NoLimit {
		t.Fatalf("row %+v", row)
	}
	// 18 g EPA and 12 g DHA in 902 kcal.
	if want := 30 / 902. * 1000; row.Mid < want*0.999 || row.Mid > want*1.001 {
		t.Errorf("%g g per 1000 kcal, want %g", row.Mid, want)
	}
	if before := Analyse(m, p, Basis{}); before.Row(EPADHA) != nil {
		t.Error("a row without a requirement")
	}
}
