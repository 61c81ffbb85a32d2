package planner

import (
	"testing"
	"time"

	"bowlwright/nutrition"
)

func TestProfileFor(t *testing.T) {
	now := time.Date(2025, 6, 1, 9, 0, 0, 0, time.UTC)
	weeks := func(n int) time.Time { return now.AddDate(0, 0, -7*n) }
	for _, c := range []struct {
		name   string
		dog    Dog
		chosen string
		id     string
		adult  nutrition.Kilograms
	}{
		{"age not known", Dog{Weight: 19.6}, "", "aafco-adult", 0},
		{"adult", Dog{Weight: 19.6, Born: weeks(4 * 52)}, "", "aafco-adult", 0},
		{"adult, chosen", Dog{Weight: 34.8, Born: weeks(8 * 52)}, "fediaf-adult-95", "fediaf-adult-95", 0},
		{"adult, growth chosen", Dog{Weight: 34.8, Born: weeks(8 * 52)}, "aafco-growth", "aafco-growth", 0},
		{"adult, none such", Dog{Weight: 34.8, Born: weeks(8 * 52)}, "mine", "aafco-adult", 0},
		{"13 weeks", Dog{Weight: 5, AdultWeight: 30, Born: weeks(13)}, "", "fediaf-growth-early", 30},
		{"14 weeks", Dog{Weight: 5, AdultWeight: 30, Born: weeks(14)}, "", "fediaf-growth-late", 30},
		{"13 weeks, AAFCO chosen", Dog{Weight: 5, Born: weeks(13)}, "aafco-adult", "aafco-growth", 0},
		{"30 weeks, NRC chosen", Dog{Weight: 5, AdultWeight: 8, Born: weeks(30)}, "nrc-adult", "fediaf-growth-late", 8},
		{"15 months, will be large", Dog{Weight: 28, AdultWeight: 35, Born: weeks(65)}, "", "fediaf-growth-late", 35},
		{"15 months, small", Dog{Weight: 6.4, Born: weeks(65)}, "", "aafco-adult", 0},
		{"age not known, half grown", Dog{Weight: 10, AdultWeight: 30}, "", "fediaf-growth-late", 30},
		{"age not known, grown", Dog{Weight: 29, AdultWeight: 30}, "", "aafco-adult", 30},
		{"pregnant", Dog{Weight: 20, Stage: Pregnant, Born: weeks(200)}, "", "fediaf-growth-early", 20},
		{"nursing, AAFCO chosen", Dog{Weight: 20, Stage: Nursing}, "aafco-adult", "aafco-growth", 20},
	} {
		id, adult := ProfileFor(c.dog, now, c.chosen)
		if id != c.id || adult != c.adult {
			t.Errorf("%s: %s, %v kg; want %s, %v kg", c.name, id, adult, c.id, c.adult)
		}
		if p := RequirementsFor(c.dog, now, c.chosen); p.ID != id {
			t.Errorf("%s: requirements of %s", c.name, p.ID)
		}
	}
}

func TestLargePuppiesGetLessCalcium(t *testing.T) {
	// AAFCO: at most 4.5 g per 1000 kcal from 31.8 kg adult weight, else 6.25.
	now := time.Date(2025, 6, 1, 9, 0, 0, 0, time.UTC)
	for adult, want := range map[nutrition.Kilograms]float64{10: 6250, 40: 4500, 0: 4500} {
		d := Dog{Weight: 9, AdultWeight: adult, Born: now.AddDate(0, -4, 0)}
		q, _ := RequirementsFor(d, now, "aafco-growth").Requirement(nutrition.Subject(nutrition.Calcium))
		if q.Max != want {
			t.Errorf("%v kg: calcium at most %v mg, want %v", adult, q.Max, want)
		}
	}
}
