package nutrition

import "testing"

func TestDifferences(t *testing.T) {
	row := func(v Verdict, x Value) Row {
		return Row{Requirement: Requirement{Subject: Subject(Zinc)}, Verdict: v, Value: x}
	}
	for _, c := range []struct {
		name string
		a, b Row
		want bool
	}{
		{"a fifth more", row(Enough, Exactly(10)), row(Enough, Exactly(12)), true},
		{"a fifth more, the other way round", row(Enough, Exactly(12)), row(Enough, Exactly(10)), true},
		{"less than that", row(Enough, Exactly(10)), row(Enough, Exactly(11.9)), false},
		{"another verdict", row(Enough, Exactly(10)), row(Low, Exactly(9.9)), true},
		{"likely and surely", row(LikelyEnough, Exactly(10)), row(Enough, Exactly(10.1)), false},
		{"at least so much", row(Enough, Value{10, 10, 10, false}), row(Enough, Exactly(30)), false},
		{"none and some", row(Enough, Exactly(0)), row(Enough, Exactly(1)), true},
		{"none in either", row(Low, Exactly(0)), row(Low, Exactly(0)), false},
	} {
		got := Differences(&Analysis{Rows: []Row{c.a}}, &Analysis{Rows: []Row{c.b}})
		if (len(got) == 1) != c.want {
			t.Errorf("%s: %d differences", c.name, len(got))
		}
	}
}
