package judge

import (
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// A plan goes below the resting energy at the ideal weight only down to what a
// vet set last.
func TestVetLeast(t *testing.T) {
	now := time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)
	d := planner.Dog{ID: "1", Name: "Bracken", Weight: 30, Ideal: 24, Sex: planner.Female, Neutered: planner.Yes, Activity: planner.LowActivity, Born: now.AddDate(-6, 0, 0), Goal: planner.LoseGoal}
	resting := nutrition.RestingEnergy(24)
	set := func(days int, k nutrition.Kcal, text string) planner.Entry {
		at := now.AddDate(0, 0, -days)
		return planner.Entry{ID: text + at.String(), Dog: "1", Kind: planner.KcalSet, At: at, Date: planner.DateOf(at), Kcal: k, Text: text}
	}
	for _, c := range []struct {
		name    string
		entries []planner.Entry
		least   nutrition.Kcal
	}{
		{"by hand", []planner.Entry{set(60, 500, "")}, 0},
		{"by a vet", []planner.Entry{set(60, 500, planner.SetByVet)}, 500},
		{"by a vet, then kept", []planner.Entry{set(60, 500, planner.SetByVet), set(30, 500, "kept")}, 500},
		{"by a vet twice", []planner.Entry{set(60, 500, planner.SetByVet), set(30, 560, planner.SetByVet)}, 560},
	} {
		h := HistoryOf(d, c.entries, nil, now)
		if h.VetLeast != c.least {
			t.Errorf("%s: %v kcal, want %v", c.name, h.VetLeast, c.least)
		}
		want := resting
		if c.least > 0 {
			want = c.least
		}
		// A dog that needs so little that its plan is at the floor.
		got := TargetKcal(d, h, Posterior{Weight: 30, Mean: 40})
		if got.floor < float64(want)*0.999 || got.floor > float64(want)*1.001 {
			t.Errorf("%s: floor %.0f kcal, want %.0f", c.name, got.floor, float64(want))
		}
	}
}
