package adjust

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bowlwright/nutrition"
)

// TestOneListMendsTogether adds all that a list says, and what its labels say,
// and analyses anew: all that it does not leave open is mended, nothing that was
// enough is short, and each step is there for something.
func TestOneListMendsTogether(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(8, 9))
	steps, lists := 0, 0
	for range sampled(300, 40) {
		m, p := randomMixture(rng), nutrition.ProfileByID([]string{"aafco-adult", "fediaf-adult-95", "nrc-adult"}[rng.IntN(3)])
		basis := nutrition.Basis{PerDog: rng.IntN(2) == 0, Weight: 20, Kcal: 1000}
		before := nutrition.Analyse(m, p, basis)
		list := MendTogether(before, m, p, nutrition.Default(), noPoultry)
		if len(list.Steps) == 0 {
			continue
		}
		lists++
		days := kitchenDays(&before)
		all := m
		all.Items, all.Extras = slices.Clone(m.Items), slices.Clone(m.Extras)
		for _, s := range list.Steps {
			steps++
			if s.ByLabel {
				all.Extras = append(all.Extras, nutrition.Extra{Nutrient: s.Nutrient, PerDay: s.PerDay * 1.001})
				continue
			}
			checkStep(t, &before, m, &s, days)
			if len(s.For) == 0 {
				t.Errorf("%v g %s is for nothing", s.Grams, s.Food.Key)
			}
			rest := s.Grams
			for i := range all.Items {
				if it := &all.Items[i]; it.Food == s.Food && rest < 0 { // of the same food twice, one may be too little
					less := max(rest, -it.Grams)
					it.Grams, rest = it.Grams+less, rest-less
				}
			}
			if rest > 0 {
				all.Items = append(all.Items, nutrition.Item{Food: s.Food, Grams: rest})
			}
		}
		after := nutrition.Analyse(all, p, basis)
		for i := range after.Rows {
			r := &after.Rows[i]
			subject := r.Requirement.Subject
			if short := missing(r); short >= little && subject != nutrition.Subject(nutrition.Chloride) && !slices.Contains(list.Open, subject) {
				t.Errorf("%v misses %v of its limit after all: %+v, at least %v, at most %v", subject, short, r.Value, r.Min, r.Max)
			}
		}
	}
	if lists < 20 || steps < 3*lists {
		t.Errorf("%d lists with %d steps", lists, steps)
	}
}

// checkStep holds a step to the bounds of its food and to the grid of a day.
func checkStep(t *testing.T, before *nutrition.Analysis, m nutrition.Mixture, s *Step, days float64) {
	t.Helper()
	rule, have := ruleOf(t, s.Food), float64(weightOf(m, s.Food))
	is := have + float64(s.Grams)
	switch {
	case noPoultry(s.Food) && s.Grams > 0:
		t.Errorf("%s is excluded", s.Food.Key)
	case !rule.onGrid(math.Abs(float64(s.Grams)) / days):
		t.Errorf("%s: %v g a day", s.Food.Key, float64(s.Grams)/days)
	case s.Grams > 0 && is > rule.most(s.Food, have, float64(before.Grams), before.Energy.Mid)+1e-6:
		t.Errorf("%s: %v g", s.Food.Key, is)
	case have == 0 && is/days < rule.least-1e-9:
		t.Errorf("%s: only %v g a day", s.Food.Key, is/days)
	}
}

// TestOneListByHand has turkey, heart and liver, which lack calcium: 1 g in 2.5
// of carbonate, so that three and a half or four bring what 1250 mg ask for.
func TestOneListByHand(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	m := mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 50, "cod-liver-oil", 20)
	list := MendTogether(nutrition.Analyse(m, p, nutrition.Basis{}), m, p, nutrition.Default(), nil)
	calcium, oil := 0.0, 0.0
	for _, s := range list.Steps {
		switch {
		case s.Food.Key == "calcium-carbonate" && slices.Contains(s.For, nutrition.Subject(nutrition.Calcium)):
			calcium = float64(s.Grams)
		case s.Food.Key == "cod-liver-oil":
			oil = float64(s.Grams)
			if !slices.Equal(s.For, []nutrition.Subject{nutrition.Subject(nutrition.VitaminD)}) {
				t.Errorf("less oil for %v", s.For)
			}
		}
	}
	if calcium < 3.5 || calcium > 5 || oil > -5 || len(list.Open) > 0 {
		t.Errorf("%v g of calcium carbonate, %v g of oil, open %v", calcium, oil, list.Open)
	}
}
