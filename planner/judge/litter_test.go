package judge

import (
	"testing"
	"time"

	"bowlwright/planner"
)

// TestWeighedWithPups leaves what a bitch weighed with her pups out of what tells
// of her own need.
func TestWeighedWithPups(t *testing.T) {
	mated := time.Date(2026, 2, 20, 12, 0, 0, 0, time.UTC)
	at := func(days int) time.Time { return mated.AddDate(0, 0, days) }
	d := planner.Dog{Weight: 16, Sex: planner.Female, Born: mated.AddDate(-4, 0, 0), Litter: planner.Litter{Told: mated, Ended: at(119)}}
	entries := []planner.Entry{{Kind: planner.Weighed, Weight: 20, At: at(60)}, {Kind: planner.Weighed, Weight: 17, At: at(100)}, {Kind: planner.Weighed, Weight: 16, At: at(126)}}
	if h := HistoryOf(d, entries, time.UTC, at(126)); len(h.grown()) != 1 {
		t.Errorf("weighed with pups, that tells nothing of her need: %v", h.grown())
	}
}
