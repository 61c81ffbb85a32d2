package card

import (
	"testing"
	"time"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

var cardDay = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

// Recipes that a card has to stand: plain, with little of some foods, with
// supplements of every kind, and with what somebody may type.
const (
	turkey = `# Turkey and heart
600 g turkey thigh, no skin
180 g turkey heart
100 g turkey neck, no skin, bone-in
30 g lamb liver
40 g chicken liver
50 g lamb kidney
50 g blue mussel, cooked
15 g Eastern oyster, wild
80 g sardine, canned in tomato sauce, with bone
50 g hen egg, raw, no shell
80 g kale, cooked
7 g wheat germ oil
1 g kelp powder (600 mcg iodine per g)
1.5 g table salt
6 g eggshell powder`
	lamb = `# Lamb and mackerel
500 g lamb, leg and shoulder, lean
90 g Atlantic mackerel
40 g lamb liver
50 g carrot, cooked
0.3 g kelp powder (600 mcg iodine per g)
vitamin E 60 IU per 1000 kcal, every 2 days
fish oil 2 capsules, every 3 days`
	typed = `# <b>Kaninchen & Grünkohl</b> à la Žofie, кролик 🐇
700 g rabbit, domesticated, boneless
60 g kale, cooked
30 g veal liver`
)

// turnOf is a turn in a household that has nothing but a recipe.
func turnOf(t testing.TB, text string, u planner.Units) (*talk.Turn, planner.Recipe) {
	t.Helper()
	foods := nutrition.Default()
	got := foodline.RecipeText(text, foods)
	if len(got.Problems) > 0 {
		t.Fatalf("%+v", got.Problems)
	}
	r := got.Planner()
	r.ID, r.Name = "r1", got.Name
	home := &planner.Household{ID: "h1", Units: u, Zone: "UTC", Recipes: []planner.Recipe{r}}
	return &talk.Turn{Home: home, Foods: foods, Event: talk.Event{At: cardDay}}, r
}

func cardOf(t testing.TB, text string, u planner.Units, p Publication) Card {
	t.Helper()
	turn, r := turnOf(t, text, u)
	if text == turkey {
		r.Method = "Mince the meat and organs coarsely, stir in the kale, the oil and the powders. Freeze in packs of a day."
		r.Notes = []planner.Note{{Food: r.Ingredients[12].Food, Text: "for iodine; weigh it to a tenth of a gram"}}
		r.Number, r.Since = 3, cardDay
	}
	c, err := Of(turn, r, p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
