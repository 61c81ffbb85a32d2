package planner

import (
	"testing"
	"time"
)

func TestCautionDue(t *testing.T) {
	now := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	h := Household{Told: map[string]bool{"old": true}}
	due := func(key string, days int) bool { return h.CautionDue(key, Weekly, now.AddDate(0, 0, days)) }
	if !due("calcium", 0) {
		t.Error("never said, and not due")
	}
	h.SayCaution("calcium", now)
	if due("calcium", 6) || !due("calcium", 7) {
		t.Error("said a week ago it is due, not before")
	}
	h.WaveOff("calcium", now)
	if due("calcium", 89) || !due("calcium", 90) {
		t.Error("waved off it comes back after three months")
	}
	if due("old", 0) || due("old", 6) || !due("old", 7) {
		t.Error("told before times were kept, it counts as told now")
	}
}
