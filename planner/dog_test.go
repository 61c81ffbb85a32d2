package planner

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
)

func TestAgeAt(t *testing.T) {
	date := func(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		born, now time.Time
		want      float64
	}{
		{date(2022, 6, 1), date(2026, 6, 1), 4},
		{date(2023, 6, 1), date(2026, 6, 1), 3}, // 1096 days, none of them lost
		{date(2025, 6, 1), date(2026, 6, 1), 1},
		{date(2025, 6, 1), date(2026, 5, 31), 364.0 / 365},
		{date(2026, 6, 1), date(2026, 6, 1), 0},
		{date(2026, 6, 2), date(2026, 6, 1), 0},
		{date(2024, 2, 29), date(2026, 2, 28), 1 + 364.0/365},
		{date(2024, 2, 29), date(2026, 3, 1), 2},
		{date(2024, 2, 29), date(2028, 2, 29), 4},
		{date(2023, 1, 1), date(2024, 7, 1), 1 + 182.0/366},
		{date(2022, 6, 1).Add(20 * time.Hour), date(2026, 6, 1), 4}, // an hour in it changes nothing
	} {
		got, known := Dog{Born: c.born}.AgeAt(c.now)
		if !known || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("born %s, on %s: %v, want %v", c.born.Format(time.DateOnly), c.now.Format(time.DateOnly), got, c.want)
		}
	}
	if years, known := (Dog{}).AgeAt(testNow); known || years != 0 {
		t.Error("an age from nothing")
	}
	// It is 2 June in Auckland already.
	auckland := time.FixedZone("NZST", 12*60*60)
	if got, _ := (Dog{Born: date(2024, 6, 2)}).AgeAt(time.Date(2026, 6, 1, 20, 0, 0, 0, time.UTC).In(auckland)); got != 2 {
		t.Errorf("birthday in Auckland: %v", got)
	}
}

func TestAgeNeverRunsBackward(t *testing.T) {
	for _, born := range []time.Time{time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC), time.Date(2023, 12, 31, 0, 0, 0, 0, time.UTC)} {
		last := -1.0
		for d := range 3000 {
			years, _ := Dog{Born: born}.AgeAt(born.AddDate(0, 0, d))
			if years <= last && d > 0 || math.Abs(years-float64(d)/365.25) > 0.01 {
				t.Fatalf("day %d: %v after %v", d, years, last)
			}
			last = years
		}
	}
}

// The age is worked out on dates; by the clock it is the time since the last
// birthday as a share of that to the next.
func TestAgeByTheClock(t *testing.T) {
	zone := time.FixedZone("", 13*60*60)
	for _, born := range []time.Time{
		time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC), time.Date(2023, 3, 1, 0, 0, 0, 0, time.UTC),
		time.Date(2023, 12, 31, 0, 0, 0, 0, time.UTC), time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC),
	} {
		for d := -3; d < 366*5; d++ {
			now := born.AddDate(0, 0, d)
			n := 0
			for !born.AddDate(n+1, 0, 0).After(now) {
				n++
			}
			last, next := born.AddDate(n, 0, 0), born.AddDate(n+1, 0, 0)
			want := max(float64(n)+float64(now.Sub(last))/float64(next.Sub(last)), 0)
			here := time.Date(now.Year(), now.Month(), now.Day(), 1, 30, 0, 0, zone)
			if got, known := (Dog{Born: born}).AgeAt(here); got != want || !known {
				t.Fatalf("born %v, on %v: %v years, want %v", born, here, got, want)
			}
		}
	}
}

func TestStageAt(t *testing.T) {
	months := func(n int) time.Time { return Day(testNow).AddDate(0, -n, 0) }
	for _, c := range []struct {
		name string
		dog  Dog
		want LifeStage
	}{
		{"age not known", Dog{Weight: 10}, Adult},
		{"11 months", Dog{Weight: 10, Born: months(11)}, Puppy},
		{"12 months", Dog{Weight: 10, Born: months(12)}, Adult},
		{"12 months, will be large", Dog{Weight: 20, AdultWeight: 26, Born: months(12)}, Puppy},
		{"12 months, large already", Dog{Weight: 27, Born: months(12)}, Puppy},
		{"12 months, heavy for a small dog", Dog{Weight: 27, AdultWeight: 24, Born: months(12)}, Adult},
		{"12 months, 25 kg", Dog{Weight: 20, AdultWeight: 25, Born: months(12)}, Adult},
		{"17 months, will be large", Dog{Weight: 20, AdultWeight: 26, Born: months(17)}, Puppy},
		{"19 months, will be large", Dog{Weight: 20, AdultWeight: 26, Born: months(19)}, Adult},
		{"7 years", Dog{Weight: 10, Born: months(84)}, Adult},
		{"a day over 7 years", Dog{Weight: 10, Born: months(84).AddDate(0, 0, -1)}, Senior},
	} {
		if got := c.dog.StageAt(testNow); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestValidate(t *testing.T) {
	today := Day(testNow)
	for _, c := range []struct {
		want string // field and code; empty: right
		edit func(*Dog)
	}{
		{"", func(d *Dog) {}},
		{"", func(d *Dog) { *d = Dog{Name: "x", Weight: 0.3} }},
		{"", func(d *Dog) { *d = Dog{Name: "x", Weight: 120} }},
		{"name missing", func(d *Dog) { d.Name = " " }},
		{"name too-large", func(d *Dog) { d.Name = strings.Repeat("ü", 41) }},
		{"", func(d *Dog) { d.Name = strings.Repeat("ü", 40) }},
		{"weight zero", func(d *Dog) { d.Weight = 0 }},
		{"weight negative", func(d *Dog) { d.Weight = -19.6 }},
		{"weight too-small", func(d *Dog) { d.Weight = 0.29 }},
		{"weight too-large", func(d *Dog) { d.Weight = 4000 }},
		{"weight too-large", func(d *Dog) { d.Weight = nutrition.Kilograms(math.NaN()) }},
		{"weight too-large", func(d *Dog) { d.Weight = nutrition.Kilograms(math.Inf(1)) }},
		{"ideal negative", func(d *Dog) { d.Ideal = -1 }},
		{"ideal at-odds", func(d *Dog) { d.Ideal = 1.96 }},
		{"ideal at-odds", func(d *Dog) { d.Ideal = 60 }},
		{"", func(d *Dog) { d.Weight, d.Ideal, d.AdultWeight = 5, 28, 28 }},
		{"adult-weight too-large", func(d *Dog) { d.AdultWeight = 300 }},
		{"", func(d *Dog) { d.Born = today }},
		{"", func(d *Dog) { d.Born = today.Add(23 * time.Hour) }},
		{"born future", func(d *Dog) { d.Born = today.AddDate(0, 0, 1) }},
		{"", func(d *Dog) { d.Born = today.AddDate(-30, 0, 0) }},
		{"born too-large", func(d *Dog) { d.Born = today.AddDate(-30, 0, -1) }},
		{"condition negative", func(d *Dog) { d.Condition = -1 }},
		{"condition too-large", func(d *Dog) { d.Condition = 10 }},
		{"meals negative", func(d *Dog) { d.Meals = -1 }},
		{"meals too-large", func(d *Dog) { d.Meals = 7 }},
		{"", func(d *Dog) { d.Meals = 6 }},
		{"kcal negative", func(d *Dog) { d.Kcal = -1 }},
		{"kcal too-small", func(d *Dog) { d.Kcal = 100 }},
		{"kcal too-large", func(d *Dog) { d.Kcal = 12000 }},
		{"kcal too-large", func(d *Dog) { d.Kcal = nutrition.Kcal(math.NaN()) }},
		{"", func(d *Dog) { d.Kcal = 700 }},
		{"sex unknown", func(d *Dog) { d.Sex = "f" }},
		{"neutered unknown", func(d *Dog) { d.Neutered = "maybe" }},
		{"activity unknown", func(d *Dog) { d.Activity = "extreme" }},
		{"stage unknown", func(d *Dog) { d.Stage = "old" }},
		{"stage at-odds", func(d *Dog) { d.Stage = Pregnant }}, // spayed
		{"stage at-odds", func(d *Dog) { d.Sex, d.Neutered, d.Stage = Male, "", Nursing }},
		{"", func(d *Dog) { d.Neutered, d.Stage = No, Pregnant }},
	} {
		d := juniper()
		c.edit(&d)
		got := ""
		if err := d.Validate(testNow); err != nil {
			var f *FieldError
			if !errors.As(err, &f) {
				t.Fatalf("%v is no FieldError", err)
			}
			got = f.Field + " " + string(f.Code)
			if strings.Contains(err.Error(), "Juniper") {
				t.Errorf("%v tells a name", err)
			}
		}
		if got != c.want {
			t.Errorf("%+v: %q, want %q", d, got, c.want)
		}
	}
	for _, d := range []Dog{juniper(), bracken(), pip()} {
		if err := d.Validate(testNow); err != nil {
			t.Errorf("%s: %v", d.Name, err)
		}
	}
}

// TestBirthDateInTheHouseholdsZone: a dog born "today" in Auckland is not
// from the future because it is still yesterday in Greenwich.
func TestBirthDateInTheHouseholdsZone(t *testing.T) {
	now := time.Date(2026, 6, 1, 20, 0, 0, 0, time.UTC)
	d := Dog{Name: "x", Weight: 1, Born: time.Date(2026, 6, 2, 0, 0, 0, 0, time.UTC)}
	if d.Validate(now) == nil {
		t.Error("UTC: tomorrow passes")
	}
	if err := d.Validate(now.In(time.FixedZone("NZST", 12*60*60))); err != nil {
		t.Errorf("Auckland: %v", err)
	}
}
