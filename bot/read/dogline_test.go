package read

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// noon is the moment at which ages are read in the tests.
var noon = time.Date(2026, 3, 31, 12, 0, 0, 0, time.UTC)

// describeDog prints what a line said of a dog.
func describeDog(d planner.Dog, problems []span.Problem) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %.4gkg", d.Name, float64(d.Weight))
	part := func(format string, x any, zero bool) {
		if !zero {
			fmt.Fprintf(&b, " "+format, x)
		}
	}
	part("ideal=%.4g", float64(d.Ideal), d.Ideal == 0)
	part("adult=%.4g", float64(d.AdultWeight), d.AdultWeight == 0)
	part("born=%s", d.Born.Format(time.DateOnly), d.Born.IsZero())
	part("about%s", "", !d.BornAbout)
	part("%s", d.Sex, d.Sex == "")
	part("neutered=%s", d.Neutered, d.Neutered == "")
	part("%s", d.Activity, d.Activity == "")
	part("%d/9", d.Condition, d.Condition == 0)
	part("%s", d.Stage, d.Stage == "")
	part("health=%q", d.Health, d.Health == "")
	part("no=%q", strings.Join(d.Excludes, ";"), len(d.Excludes) == 0)
	part("meals=%d", d.Meals, d.Meals == 0)
	part("kcal=%.0f", float64(d.Kcal), d.Kcal == 0)
	for _, p := range problems {
		fmt.Fprintf(&b, " !%s(%s)", p.Code, p.Part)
	}
	return b.String()
}

func TestDogLine(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"dog Juniper 19.6 kg 4 years spayed moderate 5/9", "Juniper 19.6kg born=2022-03-31 about female neutered=yes moderate 5/9"},
		{"Juniper 19.6 kg 4 years spayed moderate 5/9", "Juniper 19.6kg born=2022-03-31 about female neutered=yes moderate 5/9"},
		{"Pip, 14 lb, 2y, male neutered, high activity, 4/9, 3 meals, no poultry, kidney disease",
			`Pip 6.35kg born=2024-03-31 about male neutered=yes high 4/9 health="kidney disease" no="poultry" meals=3`},
		{"Bracken is a 8 year old neutered male, weighs 34.8 kg, condition 7/9, low activity", "Bracken 34.8kg born=2018-03-31 about male neutered=yes low 7/9"},
		{"bella is a labrador, 5 years, 28 kg", "bella 28kg born=2021-03-31 about"},
		{"my spaniel Coco 14 kg", "Coco 14kg"},
		{"our lurcher is called Juniper, 19.6 kg", "Juniper 19.6kg"},
		{"Rex, golden retriever mix, 30 kg", "Rex 30kg"},
		{"dog Boxer 30 kg", "Boxer 30kg"},
		{"add a dog called Sir Barks 12,5 kg", "Sir Barks 12.5kg"},
		{"Lady of the Lake, 20 kg, female", "Lady of the Lake 20kg female"},
		{"dog Juniper 19.6", "Juniper 19.6kg"},
		{"Juniper 19.6 kg 7 out of 9, on metacam", `Juniper 19.6kg 7/9 health="metacam"`},
		{"dog Juniper 19.6 spayed", "Juniper 19.6kg female neutered=yes"},
		{"dog Juniper", "Juniper 0kg"},
		{"dog", " 0kg"},
		{"Moss 6 kg 14 weeks adult weight 30 kg", "Moss 6kg adult=30 born=2025-12-23 about"},
		{"Moss puppy 6 kg 14 weeks will weigh 30 kg", "Moss 6kg adult=30 born=2025-12-23 about"},
		{"Moss puppy 6 kg", "Moss 6kg !puppy-no-age(puppy)"},
		{"Fern 20 kg pregnant", "Fern 20kg pregnant"},
		{"Fern 20 kg, 6 weeks pregnant, 3 years", "Fern 20kg born=2023-03-31 about pregnant"},
		{"Fern 20 kg not pregnant", "Fern 20kg"},
		{"Fern 24 kg ideal weight 20 kg", "Fern 24kg ideal=20"},
		{"Fern 20 kg born 2022-03-05", "Fern 20kg born=2022-03-05"},
		{"Fern 20 kg born 5 March 2022 intact female", "Fern 20kg born=2022-03-05 female neutered=no"},
		{"Fern 20 kg unspayed", "Fern 20kg female neutered=no"},
		{"Fern 20 kg 900 kcal a day", "Fern 20kg kcal=900"},
		{"Fern 20 kg fed twice a day, very active", "Fern 20kg high meals=2"},
		{"Fern 20 kg 2 hours a day", "Fern 20kg moderate"},
		{"Fern 20 kg half an hour of walks a day", "Fern 20kg low"},
		{"Fern, 20 kg, no chicken or beef, without lamb", `Fern 20kg no="chicken;beef;lamb"`},
		{"Fern 20 kg no red meat 3 meals", `Fern 20kg no="red meat" meals=3`},
		{"Fern 20 kg allergic to chicken", `Fern 20kg health="allergic to chicken" no="chicken"`},
		{"Fern 20 kg chronic kidney disease, grade 2 heart murmur", `Fern 20kg health="chronic kidney disease, grade 2 heart murmur"`},
		{"Fern kidney disease 20 kg", `Fern 20kg health="kidney disease"`},
		{"Brave Heart 20 kg", "Brave Heart 20kg"},
		{"Fern 20 kg no kidney trouble", `Fern 20kg`},
		{"Fern 20 kg no liver", `Fern 20kg no="liver"`},
		{"Fern 20 kg health: had a stone out in 2024, fine since", `Fern 20kg health="had a stone out in 2024, fine since"`},
		{"Fern 42 lb 8 oz, bcs 6", "Fern 19.28kg 6/9"},
		{"Fern 3 stone 2 lb", "Fern 19.96kg"},

		{"Fern, terrier cross, 20 kg", "Fern 20kg"},
		{"Fern 20 kg purple", "Fern 20kg !not-placed(purple)"},
		{"Fern 20 kg no chiken", "Fern 20kg !unknown-food(chiken)"},
		{"Fern 4000 kg dog", "Fern 0kg !bad-weight(4000 kg)"},
		{"Fern 0 kg", "Fern 0kg !bad-weight(0 kg)"},
		{"Fern -5 kg", "Fern 0kg !bad-weight(-5 kg)"},
		{"Fern 20 kg 12/9", "Fern 20kg !bad-condition(12/9)"},
		{"Fern 20 kg condition 0", "Fern 20kg !bad-condition(condition 0)"},
		{"Fern 20 kg 3/5", "Fern 20kg !other-scale(3/5)"},
		{"Fern 20 kg 12 meals", "Fern 20kg !bad-meals(12 meals)"},
		{"Fern 20 kg born 2031-03-05", "Fern 20kg !future-birth(born 2031-03-05)"},
		{"Fern 20 kg born 03/05/2022", "Fern 20kg !ambiguous-date(born 03/05/2022)"},
		{"Fern 20 kg 45 years", "Fern 20kg born=1981-03-31 about !too-old(born)"},
		{"Fern 20 kg 450 years", "Fern 20kg !too-old(450 years)"},
		{"Fern 20 kg 21 kg", "Fern 20kg !not-placed(21 kg)"},
		{"Fern 20 kg male female", "Fern 20kg male !not-placed(female)"},
		{"", " 0kg"},
		{"🐶🐶", " 0kg"},
	} {
		if got := describeDog(DogLine(c.line, planner.Units{}, noon)); got != c.want {
			t.Errorf("%s\n got %s\nwant %s", c.line, got, c.want)
		}
	}
}

func TestDogLinePounds(t *testing.T) {
	d, problems := DogLine("Pip 14 spayed", planner.Units{Pounds: true}, noon)
	if got := describeDog(d, problems); got != "Pip 6.35kg female neutered=yes" {
		t.Error(got)
	}
}

func TestAge(t *testing.T) {
	for _, c := range []struct {
		text, born string
		about      bool
	}{
		{"4 years", "2022-03-31", true},
		{"4y", "2022-03-31", true},
		{"4 yo", "2022-03-31", true},
		{"4 y/o", "2022-03-31", true},
		{"4-year-old", "2022-03-31", true},
		{"she is about 4 years old", "2022-03-31", true},
		{"four", "", false},
		{"18 months", "2024-09-30", true},
		{"1 month", "2026-02-28", true},
		{"10 weeks", "2026-01-20", true},
		{"4 and a half years", "2021-09-30", true},
		{"4½ years", "2021-09-30", true},
		{"4.5 years", "2021-09-30", true},
		{"4,5 years", "2021-09-30", true},
		{"a year and a half", "2024-09-30", true},
		{"half a year", "2025-09-30", true},
		{"2 years 3 months", "2023-12-31", true},
		{"2 years and 3 months", "2023-12-31", true},
		{"2y 3m", "2023-12-31", true},
		{"two years", "2024-03-31", true},
		{"born 2022-03-05", "2022-03-05", false},
		{"2022/03/05", "2022-03-05", false},
		{"5 March 2022", "2022-03-05", false},
		{"5th of March 2022", "2022-03-05", false},
		{"March 5, 2022", "2022-03-05", false},
		{"Mar 5th 2022", "2022-03-05", false},
		{"05.03.2022", "2022-03-05", false},
		{"5.3.2022", "2022-03-05", false},
		{"25/03/2022", "2022-03-25", false},
		{"03/25/2022", "2022-03-25", false},
		{"5/5/2022", "2022-05-05", false},
		{"March 2022", "2022-03-15", true},
		{"2022-03", "2022-03-15", true},
		{"03/2022", "2022-03-15", true},
		{"born in 2022", "2022-07-01", true},
		{"March 2026", "2026-03-15", true},
		{"2026", "2026-03-31", true},
		{"born 29 Feb 2024", "2024-02-29", false},
	} {
		born, about, err := Age(c.text, noon)
		got := ""
		if err == nil {
			got = born.Format(time.DateOnly)
		}
		if got != c.born || about != c.about {
			t.Errorf("%s: got %s %v (%v), want %s %v", c.text, got, about, err, c.born, c.about)
		}
		if err == nil && born != born.UTC().Truncate(24*time.Hour) {
			t.Errorf("%s: %v is not midnight UTC", c.text, born)
		}
	}
}

func TestAgeRefuses(t *testing.T) {
	for text, want := range map[string]span.Code{
		"": span.BadAge, "old": span.BadAge, "4": span.NoAgeUnit, "about 4": span.NoAgeUnit, "03/05/2022": span.AmbiguousDate, "03-05-2022": span.AmbiguousDate,
		"2031-01-01": span.FutureBirth, "April 2026": span.FutureBirth, "1 April 2026": span.FutureBirth, "31 Feb 2022": span.BadAge, "2022-13-01": span.BadAge,
		"0 years": span.BadAge, "-4 years": span.BadAge, "400 years": span.TooOld, "born 1850": span.BadAge, "5 March": span.BadAge, "4 years of chicken": span.BadAge,
		"99999999999999999999 years": span.TooOld, "4 kg": span.BadAge,
	} {
		_, _, err := Age(text, noon)
		if p, ok := err.(span.Problem); !ok || p.Code != want {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
}

// TestAgeLocalDay checks that an age counts from the day it is where the
// carer is, not in UTC.
func TestAgeLocalDay(t *testing.T) {
	zone, err := time.LoadLocation("Pacific/Auckland")
	if err != nil {
		t.Fatal(err)
	}
	evening := time.Date(2026, 3, 30, 20, 0, 0, 0, time.UTC).In(zone) // 31 March there
	if born, _, err := Age("2 years", evening); err != nil || born.Format(time.DateOnly) != "2024-03-31" {
		t.Error(born, err)
	}
}

func FuzzDogLine(f *testing.F) {
	f.Add("dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	f.Add("Pip, 14 lb, 2y, no poultry, kidney disease, born 5.3.2022, 12/9")
	f.Fuzz(func(t *testing.T, s string) {
		d, problems := DogLine(s, planner.Units{}, noon)
		again, more := DogLine(s, planner.Units{}, noon)
		if describeDog(d, problems) != describeDog(again, more) {
			t.Fatal("not the same twice")
		}
		if len(problems) == 0 && d.Name != "" && d.Weight != 0 {
			if err := d.Validate(noon); err != nil {
				t.Fatalf("%q: %v", s, err)
			}
		}
	})
}

func BenchmarkDogLine(b *testing.B) {
	for _, line := range []string{
		"dog Juniper 19.6 kg 4 years spayed moderate 5/9",
		"Pip, 14 lb, 2y, male neutered, high activity, 4/9, 3 meals, no poultry, kidney disease",
		"x " + strings.Repeat("a ", 240),
		"x 5 kg " + strings.Repeat("wobble ", 60),
		"x 5 kg no b" + strings.Repeat(" or b", 95),
	} {
		b.Run(line[:10], func(b *testing.B) {
			for b.Loop() {
				DogLine(line, planner.Units{}, noon)
			}
		})
	}
}
