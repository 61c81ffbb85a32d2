package adjust

import (
	"context"
	"errors"
	"math"
	"testing"

	"bowlwright/nutrition"
)

// small is: least 2 x + 3 y with x + y >= 4 and x <= 3. By hand: x = 3, y = 1,
// cost 9; one more of the first row costs 3, of the second -1.
func small() *program {
	return &program{
		rows: 2, cols: 4, energy: -1,
		a: []float64{
			1, 1, -1, 0,
			1, 0, 0, 1,
		},
		b: []float64{4, 3}, exact: []float64{4, 3},
		cost: []float64{2, 3, 0, 0}, basis: []int{1, 3},
	}
}

func TestSolveByHand(t *testing.T) {
	p := small()
	s, err := p.solve(context.Background())
	if err != nil || math.Abs(s.objective-9) > 1e-9 || math.Abs(s.x[0]-3) > 1e-9 || math.Abs(s.x[1]-1) > 1e-9 {
		t.Fatal(s, err)
	}
	if y := p.duals(s.basis); len(y) != 2 || math.Abs(y[0]-3) > 1e-9 || math.Abs(y[1]+1) > 1e-9 {
		t.Errorf("duals %v", y)
	}
}

func TestSolveEnds(t *testing.T) {
	left := 5 // not even enough to read it in
	p := small()
	if _, _, err := p.simplex(watched{context.Background(), p, &left}); !errors.Is(err, errStopped) {
		t.Errorf("out of steps: %v", err)
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	left = 1000
	if _, _, err := p.simplex(watched{ended, p, &left}); !errors.Is(err, context.Canceled) {
		t.Errorf("context at its end: %v", err)
	}
	p.basis = []int{2, 3} // x + y - spare = 4 with spare = -4
	if _, err := p.solve(context.Background()); !errors.Is(err, errPanic) {
		t.Errorf("no feasible basis: %v", err)
	}
	p = small()
	p.cost[2] = -5 // more to spare, for ever
	if _, err := p.solve(context.Background()); err == nil {
		t.Error("a program without a least cost is solved")
	}
}

func TestAtMostTwoSolveAtOnce(t *testing.T) {
	for range solvesAtOnce {
		gate <- struct{}{}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := small().solve(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("a third: %v", err)
	}
	<-gate
	if _, err := small().solve(context.Background()); err != nil {
		t.Errorf("a second: %v", err)
	}
	<-gate
}

// madeFish makes a fish of invented figures per 100 g. It counts as muscle
// meat, of which there may be as much as one likes.
func madeFish(key string, energy float64, d nutrition.Value) *nutrition.Food {
	f := &nutrition.Food{Key: key, Name: key, Kind: "muscle", Part: nutrition.Muscle}
	for n := range f.Per100 {
		f.Per100[n] = nutrition.Exactly(0)
	}
	f.Per100[nutrition.Energy], f.Per100[nutrition.VitaminD] = nutrition.Exactly(energy), d
	return f
}

// TestNotKnownIsNoWayOutOfAMaximum has a fish with too much vitamin D. Another
// of which nobody knows how much it has is no better; one that is known to have
// none is.
func TestNotKnownIsNoWayOutOfAMaximum(t *testing.T) {
	p := &nutrition.Profile{ID: "made", Requirements: []nutrition.Requirement{{Subject: nutrition.Subject(nutrition.VitaminD), Min: math.NaN(), Max: 1000}}}
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: madeFish("rich", 100, nutrition.Exactly(200)), Grams: 500}}}
	for _, c := range []struct {
		name string
		d    nutrition.Value
		want Outcome
	}{
		{"known none", nutrition.Exactly(0), Met},
		{"not known", nutrition.Unknown(), Compromise},
	} {
		r := Balance(context.Background(), Request{
			Mixture: m, Profile: p, Allowed: []*nutrition.Food{madeFish("other", 100, c.d)}, LetGo: map[int]bool{0: true},
		})
		if r.Outcome != c.want {
			t.Errorf("%s: %s", c.name, r.Outcome)
		}
		if c.want == Compromise && len(r.Answers) != 1 {
			t.Errorf("%s: %d answers, which are the same", c.name, len(r.Answers))
		}
		for _, a := range r.Answers {
			if added := len(a.Items) > 1; added != (c.want == Met) {
				t.Errorf("%s: %+v", c.name, a.Items)
			}
		}
	}
}
