package read

import (
	"testing"
	"time"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func TestToldOfDog(t *testing.T) {
	now := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		text      string
		name      string
		kg        float64
		years     int
		sex       planner.Sex
		neutered  planner.Answer
		activity  planner.Activity
		condition int
		meals     int
	}{
		{"hes a lab mix 5 yrs 27kg neutered", "", 27, 5, planner.Male, planner.Yes, "", 0, 0},
		{"i want to make food for my dog", "", 0, 0, "", "", "", 0, 0},
		{"her name is Biscuit, she's the sweetest little thing, a cavalier, about 8 kilos i think? she's five", "Biscuit", 8, 5, planner.Female, "", "", 0, 0},
		{"okay so i have a dog called rufus he weighs about thirty two kilos and he is seven years old", "Rufus", 32, 7, planner.Male, "", "", 0, 0},
		{"he is a neutered male comma a golden retriever period", "", 0, 0, planner.Male, planner.Yes, "", 0, 0},
		{"he have 24 kilo", "", 24, 0, planner.Male, "", "", 0, 0},
		{"have 3 year", "", 0, 3, "", "", "", 0, 0},
		{"he is man, not castrate", "", 0, 0, planner.Male, planner.No, "", 0, 0},
		{"we walk 2 hour every day", "", 0, 0, "", "", planner.ModerateCalm, 0, 0},
		{"is normal, not fat not thin", "", 0, 0, "", "", "", 5, 0},
		{"i'd say shes a little bit on the chubby side", "", 0, 0, planner.Female, "", "", 6, 0},
		{"2 time for day", "", 0, 0, "", "", "", 0, 2},
		{"shes called Poppy, 12 weeks old, 6.2kg, lab", "Poppy", 6.2, 0, planner.Female, "", "", 0, 0},
		{"hes 11, neutered", "", 0, 11, planner.Male, planner.Yes, "", 0, 0},
		{"Hi, I have Luna, a 4 year old spayed border collie, 18.5 kg, runs about 2 hours a day, 5/9, healthy, two meals a day, we live in Dublin", "Luna", 18.5, 4, planner.Female, planner.Yes, planner.ModerateBrisk, 5, 2},
		{"its for my dog Diesel, rottie 48kilos, 3yr old, entire male", "Diesel", 48, 3, planner.Male, planner.No, "", 0, 0},
		{"all very active, 3+ hours a day", "", 0, 0, "", "", planner.HighActivity, 0, 0},
	} {
		d := ToldOfDog(c.text, planner.Units{}, now)
		years := 0
		if !d.Born.IsZero() {
			years = int(now.Sub(d.Born).Hours() / 24 / 365)
		}
		if d.Name != c.name || float64(d.Weight) != c.kg || years != c.years || d.Sex != c.sex || d.Neutered != c.neutered || d.Activity != c.activity || d.Condition != c.condition || d.Meals != c.meals {
			t.Errorf("%q: %q %v kg, %d years, %s %s, %s, %d/9, %d meals", c.text, d.Name, d.Weight, years, d.Sex, d.Neutered, d.Activity, d.Condition, d.Meals)
		}
		if d.Health != "" {
			t.Errorf("%q: ill with %q", c.text, d.Health)
		}
	}
}

func TestSpokenGrams(t *testing.T) {
	for said, want := range map[string]nutrition.Grams{
		"five hundred grams of ground turkey": 500, "two hundred and fifty grams of beef heart": 250, "fifty grams of beef liver": 50,
		"ninety five grams of kale": 95, "ninety-five grams of kale": 95, "one hundred and ten grams kale": 110, "ten grams of kale": 10,
	} {
		r := foodline.RecipeText(said, nutrition.Default())
		if len(r.Lines) != 1 || r.Lines[0].Ingredient == nil || r.Lines[0].Ingredient.Grams != want {
			t.Errorf("%q: %+v, want %v g", said, r, want)
		}
	}
}

func TestSaysWell(t *testing.T) {
	for text, want := range map[string]bool{
		"no": true, "none": true, "no shes perfectly healthy thank goodness": true, "he is not sick": true, "no illnesses, had her first jabs": true, "no nothing": true,
		"no issues": true, "no but he has a lump": false, "no, apart from a bit of arthritis": false, "healthy, on thyroid meds": false, "kidney disease": false, "not eating well": false, "no, he coughs a lot": false, "not that i know": true,
	} {
		if SaysWell(text) != want {
			t.Errorf("%q: well %v, want %v", text, !want, want)
		}
	}
}

func TestDogsTold(t *testing.T) {
	now := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	dogs := DogsTold("i have 3 girls. Tess 24kg 4y intact bitch, Wren 22.5 kg 6 yrs spayed, and Fern 23 kg 2 years, pregnant", span.Names{}, planner.Units{}, now)
	if len(dogs) != 3 || dogs[0].Neutered != planner.No || dogs[1].Weight != 22.5 || dogs[2].Stage != planner.Pregnant {
		t.Errorf("got %+v", dogs)
	}
	if dogs := DogsTold("Beef 2 kg, Rice 1 kg", span.Names{}, planner.Units{}, now); dogs != nil {
		t.Errorf("foods are dogs: %+v", dogs)
	}
}

func TestScoreInWords(t *testing.T) {
	for text, want := range map[string]int{
		"quite thin to look at but thats normal for the breed": 3, "she's skinny but the vet says thats fine": 3, "thin, but that's normal for her": 3, "quite thin but normal for a whippet": 3,
		"a bit chubby but thats normal for a lab": 6, "slightly overweight but vet said ok": 6, "thin but normal": 3, "vet says she's a bit thin, but thats fine": 4, "shes slim but normal": 4,
		"normal": 5, "normal for a whippet": 5, "she was thin but normal now": 5, "not too thin, about right": 5, "not thin, normal for the breed": 5, "the vet says normal weight": 5, "normal, vet says thats fine": 5,
	} {
		if got := ScoreInWords(text); got != want {
			t.Errorf("%q: %d, want %d", text, got, want)
		}
	}
}
