package read

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"bowlwright/bot/read/span"
)

// TestReminderText takes apart what people want to be reminded of.
func TestReminderText(t *testing.T) {
	rows := [][2]string{
		{"to give Juniper vitamin E 200 IU every 3 days at 07:30", `giving juniper "vitamin E 200 IU"`},
		{"give Juniper her vitamin E 200 IU daily", `giving juniper "vitamin E 200 IU"`},
		{"give vitamin E 200 IU to Pip weekly", `giving pip "vitamin E 200 IU"`},
		{"give her zinc 15 mg daily", `giving - "zinc 15 mg" her`},
		{"Juniper gets zinc 15 mg on weekdays", `giving juniper "zinc 15 mg"`},
		{"Juniper's worming tablet on 1 May", `- juniper "worming tablet"`},
		{"weigh Pip every Sunday", `weighing pip ""`},
		{"every Sunday to weigh Pip", `weighing pip ""`},
		{"check Juniper's body condition monthly", `condition juniper "check body condition"`},
		{"feed Juniper at 7:30", `feeding juniper ""`},
		{"vet on Friday 10:00", `- - "vet"`},
		{"buy conditioner tomorrow", `- - "buy conditioner"`},
		{"vet at 25:70", "! bad-time"},
	}
	for _, row := range rows {
		r, err := ReminderText(row[0], quayside, time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC))
		about, dog, her := string(r.About), r.Dog, ""
		if about == "" {
			about = "-"
		}
		if dog == "" {
			dog = "-"
		}
		if r.Pronoun {
			her = " her"
		}
		got := fmt.Sprintf("%s %s %q%s", about, dog, r.Thing, her)
		var p span.Problem
		if errors.As(err, &p) {
			got = "! " + string(p.Code)
		}
		if got != row[1] {
			t.Errorf("%q: %s, want %s", row[0], got, row[1])
		}
	}
}

func TestStockText(t *testing.T) {
	rows := [][2]string{
		{"stock 60 capsules of vitamin E", `60 capsule "vitamin E"`},
		{"I bought 90", `90  "" more`},
		{"I bought 90 vitamin E capsules", `90 capsule "vitamin E" more`},
		{"I have 40 capsules left", `40 capsule ""`},
		{"12", `12  ""`},
		{"12,5", `12.5  ""`},
		{"-3 capsules", "! negative"},
		{"some capsules", "! bad-number"},
		{"99999999999 drops", "! bad-number"},
		{"", "! empty"},
	}
	for _, row := range rows {
		s, err := StockText(row[0])
		got := fmt.Sprintf("%g %s %q", s.Count, s.Form, s.Food)
		if s.More {
			got += " more"
		}
		var p span.Problem
		if errors.As(err, &p) {
			got = "! " + string(p.Code)
		}
		if got != row[1] {
			t.Errorf("%q: %s, want %s", row[0], got, row[1])
		}
	}
}

// TestNearPlaces mistypes places.
func TestNearPlaces(t *testing.T) {
	for typed, want := range map[string]string{"Olso": "Oslo", "Europe/Olso": "Oslo", "Reykjavk": "Reykjavik", "Buenos Airs": "Buenos Aires", "Kathmandoo": "Kathmandu"} {
		if got := span.NearPlaces(typed, 3); len(got) == 0 || got[0] != want {
			t.Errorf("%q: %v, want %s first", typed, got, want)
		}
	}
	for _, typed := range []string{"", "x", "qqqqqqqq", "??"} {
		if got := span.NearPlaces(typed, 3); len(got) != 0 {
			t.Errorf("%q: %v", typed, got)
		}
	}
}
