package read

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// TestDogLineLife checks what a line says of a dog's stage of life, its days
// and its health; what is understood stays beside what is not.
func TestDogLineLife(t *testing.T) {
	now := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	for line, want := range map[string]string{
		"Willow 12 kg 3 years pregnant female":               "Willow 12 kg, born 2023-06, pregnant",
		"Willow 12 kg 4 years 8 weeks pregnant":              "Willow 12 kg, born 2022-06, pregnant",
		"Willow 12 kg, 2 months pregnant, 4 years":           "Willow 12 kg, born 2022-06, pregnant",
		"Willow 12 kg 8 weeks pregnant":                      "Willow 12 kg, pregnant",
		"Willow 12 kg 4 years, nursing 5 pups":               "Willow 12 kg, born 2022-06, nursing",
		"Willow 12 kg pregnant with 6 puppies":               "Willow 12 kg, pregnant",
		"Willow 12 kg, 30 min a day":                         "Willow 12 kg, low",
		"Willow 12 kg, 30 minutes, 5/9":                      "Willow 12 kg, low, 5/9",
		"Willow 12 kg, 45 min walk a day":                    "Willow 12 kg, low",
		"Willow 12 kg, 45 min walks twice a day":             "Willow 12 kg, moderate",
		"Willow 12 kg, 60 min walk daily, 3 meals a day":     "Willow 12 kg, moderate, 3 meals",
		"Willow 12 kg, 200 minutes of running a day":         "Willow 12 kg, high",
		"Willow 12 kg spayed, overweight, low":               "Willow 12 kg, low; bad-condition overweight",
		"Willow a bit overweight 12 kg 2 years":              "Willow 12 kg, born 2024-06; bad-condition a bit overweight",
		"Willow 12 kg, overweight 7/9":                       "Willow 12 kg, 7/9",
		"Willow 12 kg, cushings, 2 years":                    "Willow 12 kg, born 2024-06, health cushings",
		"Willow 12 kg, Addison's, low":                       "Willow 12 kg, low, health Addison's",
		"my dog is called Willow, she is 2 and weighs 12 kg": "Willow 12 kg, born 2024-06",
		"Willow, 12 kg, aged 2, female":                      "Willow 12 kg, born 2024-06",
		"Willow is 2, 12 kg":                                 "Willow 12 kg, born 2024-06",
		"Willow is 12":                                       "Willow 12 kg",
		"Willow is 5/9, 12 kg":                               "Willow 12 kg, 5/9",
		"Rio2 12 kg 2 years":                                 "Rio2 12 kg, born 2024-06",
		"Rio 12 2 years":                                     "Rio 12 kg, born 2024-06",
		"Fat Tony 12 kg":                                     "Fat Tony 12 kg",
		"Willow purple 12 kg, blue, low":                     "Willow purple 12 kg, low; not-placed blue",
		"Willow 0 kg 2 years low":                            "Willow 0 kg, born 2024-06, low; bad-weight 0 kg",
	} {
		d, problems := DogLine(line, planner.Units{}, now)
		if got := dogSummary(d, problems); got != want {
			t.Errorf("%s\n got %s\nwant %s", line, got, want)
		}
	}
}

func dogSummary(d planner.Dog, problems []span.Problem) string {
	parts := []string{fmt.Sprintf("%s %g kg", d.Name, float64(d.Weight))}
	add := func(said bool, part string) {
		if said {
			parts = append(parts, part)
		}
	}
	add(!d.Born.IsZero(), "born "+d.Born.Format("2006-01"))
	add(d.Stage != "", string(d.Stage))
	add(d.Activity != "", string(d.Activity))
	add(d.Condition != 0, fmt.Sprintf("%d/9", d.Condition))
	add(d.Meals != 0, fmt.Sprintf("%d meals", d.Meals))
	add(d.Health != "", "health "+d.Health)
	s := strings.Join(parts, ", ")
	for _, p := range problems {
		s += "; " + string(p.Code) + " " + p.Part
	}
	return s
}
