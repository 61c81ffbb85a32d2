package planner

import (
	"testing"

	"bowlwright/nutrition"
)

// Going back brings back what was said then; what a recipe is not to be all of
// a dog's food for stays, where nothing was.
func TestGoBackStanding(t *testing.T) {
	checked := Standing{Kind: IsComplete, Table: "aafco-adult", CheckedBy: "Dr Ada Finn", CheckedAt: "March 2026"}
	topper, some := Standing{Kind: IsTopper}, Standing{Kind: ForSomeDays, CheckedBy: "Dr Ada Finn"}
	for _, c := range []struct {
		name           string
		then, is, want Standing
	}{
		{"complete then", checked, Standing{}, checked},
		{"complete then, a topper now", checked, topper, checked},
		{"nothing said then, a topper now", Standing{}, topper, topper},
		{"checked then, for some days now", Standing{CheckedBy: "Tomas"}, some, Standing{Kind: ForSomeDays, CheckedBy: "Tomas"}},
		{"nothing said then, complete now", Standing{}, checked, Standing{}},
	} {
		r := Recipe{Ingredients: lines("kale", 60), Standing: c.is, Number: 2}
		r.GoBack(Version{Number: 1, Ingredients: lines("kale", 50), Standing: c.then}, r.Since)
		if r.Standing != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, r.Standing, c.want)
		}
		if was, _ := r.Version(2); was.Standing != c.is {
			t.Errorf("%s: version 2 keeps %+v", c.name, was.Standing)
		}
	}
}

// A topper is nobody's food of a day.
func TestTopperIsNoDaysFood(t *testing.T) {
	h := &Household{Dogs: []Dog{{ID: "d1", Recipe: "r1"}}, Recipes: []Recipe{{ID: "r1"}, {ID: "r2"}}}
	h.Rotations = []Rotation{{ID: "o1", Dogs: []string{"d1"}, Turns: []Turn{{"r1", 3}, {"r2", 3}}, Start: Date{2026, 3, 2}}}
	for _, c := range []struct {
		kind StandingKind
		want string
	}{{"", "r1"}, {ForSomeDays, "r1"}, {IsTopper, "r2"}} {
		h.Recipes[0].Standing.Kind = c.kind
		if id, _ := RecipeOn(h, "d1", Date{2026, 3, 2}); id != c.want {
			t.Errorf("%q: it eats %q", c.kind, id)
		}
	}
}

// Of a topper with 70 mg of zinc in 1000 kcal a day holds 7 for sure, and what the
// rest brings nobody knows. NRC 2006 has no maximum of zinc; FEDIAF's legal one is
// 56.8 mg where it is added (from memory), which a topper by itself would pass.
func TestOnTop(t *testing.T) {
	f := &nutrition.Food{Name: "powder", Kind: nutrition.OwnKind, Part: nutrition.Other}
	f.Per100[nutrition.Energy], f.Per100[nutrition.Zinc] = nutrition.Exactly(100), nutrition.Exactly(7)
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: f, Grams: 50}}}
	p := nutrition.ProfileByID("fediaf-adult-110")
	for _, c := range []struct {
		name    string
		m       nutrition.Mixture
		zinc    float64
		verdict nutrition.Verdict
	}{{"alone", m, 70, nutrition.High}, {"on top", OnTop(m), 7, nutrition.NotKnown}} {
		a := nutrition.Analyse(c.m, p, nutrition.Basis{})
		if r := a.Row(nutrition.Subject(nutrition.Zinc)); !alike(r.Low, c.zinc) || r.Verdict != c.verdict {
			t.Errorf("%s: %v mg zinc, %v", c.name, r.Low, r.Verdict)
		}
	}
}

func TestSameParts(t *testing.T) {
	of := func(turkey, kale nutrition.Grams, d Dose) *Recipe {
		return &Recipe{Ingredients: []Ingredient{{Food: "turkey", Grams: turkey}, {Food: "kale", Grams: kale, Typed: "kale"}}, Doses: []Dose{d}}
	}
	batch := func(mg float64) Dose {
		return Dose{Food: "zinc", Batch: true, Amounts: []Amount{{nutrition.Zinc, mg}}}
	}
	day := Dose{Food: "zinc", Amounts: []Amount{{nutrition.Zinc, 15}}}
	for _, c := range []struct {
		name string
		a, b *Recipe
		want bool
	}{
		{"the same", of(250, 50, day), of(250, 50, day), true},
		{"twice as much", of(250, 50, day), of(500, 100, day), true},
		{"twice as much, with what is stirred in", of(250, 50, batch(15)), of(500, 100, batch(30)), true},
		{"a gram of kale more", of(250, 50, day), of(250, 51, day), false},
		{"another food", of(250, 50, day), lamb(of(250, 50, day)), false},
		{"more stirred in", of(250, 50, batch(15)), of(250, 50, batch(16)), false},
		{"as much stirred into twice the food", of(250, 50, batch(15)), of(500, 100, batch(15)), false},
		{"nothing yet", of(0, 0, day), of(250, 50, day), false},
	} {
		if SameParts(c.a, c.b) != c.want || SameParts(c.b, c.a) != c.want {
			t.Errorf("%s: not %v", c.name, c.want)
		}
	}
}

func lamb(r *Recipe) *Recipe {
	r.Ingredients[0].Food = "lamb"
	return r
}
