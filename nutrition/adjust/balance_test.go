package adjust

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bowlwright/nutrition"
)

// randomRequest makes a request of the table's foods that is the same for a
// seed: 8 to 20 ingredients of a home-made recipe, up to 12 foods that may be
// added, a profile. Every fourth has what makes the simplex stall: the same
// food twice, round weights, a start that lies on a floor.
func randomRequest(seed uint64) Request {
	rnd := rand.New(rand.NewPCG(seed, 19))
	byPart := map[nutrition.Part][]*nutrition.Food{}
	var extras, all []*nutrition.Food
	for _, f := range nutrition.Default().Foods() {
		if !f.Per100[nutrition.Energy].Complete {
			continue
		}
		if f.Has(nutrition.Supplement) {
			extras = append(extras, f)
			continue
		}
		byPart[f.Part] = append(byPart[f.Part], f)
		all = append(all, f)
	}
	pick := func(fs []*nutrition.Food) *nutrition.Food { return fs[rnd.IntN(len(fs))] }
	degenerate := seed%4 == 0
	var m nutrition.Mixture
	add := func(f *nutrition.Food, low, high float64) {
		g := low + rnd.Float64()*(high-low)
		if degenerate {
			g = max(10, float64(int(g/10)*10))
		}
		m.Items = append(m.Items, nutrition.Item{Food: f, Grams: nutrition.Grams(g)})
	}
	add(pick(byPart[nutrition.Muscle]), 200, 700)
	add(pick(byPart[nutrition.MuscularOrgan]), 50, 200)
	add(pick(byPart[nutrition.Liver]), 15, 60)
	add(pick(byPart[nutrition.SecretingOrgan]), 15, 60)
	add(pick(byPart[nutrition.Fish]), 30, 120)
	add(pick(byPart[nutrition.Plant]), 20, 100)
	for n := 2 + rnd.IntN(13); n > 0; n-- {
		add(pick(all), 5, 120)
	}
	add(pick(extras), 0.5, 6)
	if degenerate {
		twice := m.Items[rnd.IntN(len(m.Items))]
		m.Items = append(m.Items, twice)
	}
	ps := nutrition.Profiles()
	req := Request{Mixture: m, Profile: ps[rnd.IntN(len(ps))], Bands: rnd.IntN(2) == 0}
	for n := rnd.IntN(13); n > 0; n-- {
		f := pick(all)
		if rnd.IntN(3) == 0 {
			f = pick(extras)
		}
		req.Allowed = append(req.Allowed, f)
	}
	if rnd.IntN(3) == 0 {
		req.Basis = nutrition.Basis{PerDog: true, Weight: nutrition.Kilograms(4 + rnd.Float64()*40), Kcal: nutrition.Kcal(300 + rnd.Float64()*1200)}
	}
	if rnd.IntN(3) == 0 {
		req.Locked = map[int]bool{rnd.IntN(len(m.Items)): true}
	}
	if rnd.IntN(3) == 0 {
		req.LetGo = map[int]bool{rnd.IntN(len(m.Items)): true}
	}
	return req
}

// turkeyAndHeart is a recipe of the demo world; its kelp has 600 ug of iodine a
// gram by its label.
func turkeyAndHeart(t testing.TB) nutrition.Mixture {
	m := mixtureOf(t, "turkey-thigh-skinless", 600, "turkey-heart", 180, "turkey-neck", 100, "lamb-liver", 30,
		"chicken-liver", 40, "lamb-kidney", 50, "mussel-cooked", 50, "oyster-eastern", 15, "sardine-tomato", 80, "egg", 50,
		"kale-cooked", 80, "wheat-germ-oil", 7, "kelp-powder", 1, "salt", 1, "eggshell-powder", 6)
	m.Items[12].Label = map[nutrition.Nutrient]float64{nutrition.Iodine: 600}
	m.Items[13].Grams = 1.5
	return m
}

func TestBalanceLeavesWhatIsMetAlone(t *testing.T) {
	m, p := turkeyAndHeart(t), nutrition.ProfileByID("aafco-adult")
	r := Balance(context.Background(), Request{Mixture: m, Profile: p, Explain: true})
	if r.Outcome != Met || len(r.Answers) != 1 {
		t.Fatalf("%s, %d answers", r.Outcome, len(r.Answers))
	}
	a := r.Answers[0]
	for i, it := range a.Items {
		if it.Old != it.New || it.Index != i || it.Old != m.Items[i].Grams {
			t.Errorf("%s: %v is now %v", it.Food.Key, it.Old, it.New)
		}
	}
	if len(a.Gaps) != 0 || len(a.Changes) != 0 || len(a.Items) != len(m.Items) {
		t.Errorf("gaps %v, changes %v", a.Gaps, a.Changes)
	}
}

// without takes an item out of a mixture.
func without(m nutrition.Mixture, key string) nutrition.Mixture {
	m.Items = slices.DeleteFunc(slices.Clone(m.Items), func(it nutrition.Item) bool { return it.Food.Key == key })
	return m
}

func TestBalanceMendsARecipe(t *testing.T) {
	full, p := turkeyAndHeart(t), nutrition.ProfileByID("aafco-adult")
	for _, gone := range []string{"eggshell-powder", "wheat-germ-oil", "salt", "mussel-cooked", "chicken-liver"} {
		t.Run(gone, func(t *testing.T) {
			m := without(full, gone)
			before := nutrition.Analyse(m, p, nutrition.Basis{})
			r := Balance(context.Background(), Request{
				Mixture: m, Profile: p, Allowed: []*nutrition.Food{nutrition.Default().Food(gone)}, Explain: true,
			})
			if r.Outcome != Met || len(r.Answers) != 1 {
				t.Fatalf("%s %s: %d answers", r.Outcome, r.Problem, len(r.Answers))
			}
			a := r.Answers[0]
			for _, row := range nutrition.Analyse(a.Mixture, p, nutrition.Basis{}).Rows {
				if row.Verdict != nutrition.Enough {
					t.Errorf("%v is %v: %+v of %v to %v", row.Requirement.Subject, row.Verdict, row.Value, row.Min, row.Max)
				}
			}
			// As near as whole grams bring it.
			if e := a.Analysis.Energy.Mid / before.Energy.Mid; math.Abs(e-1) > 0.01 {
				t.Errorf("energy is %v of what it was", e)
			}
			for i, it := range a.Items {
				changed := slices.ContainsFunc(a.Changes, func(c Reason) bool { return c.Item == i })
				if it.New != it.Old && !changed {
					t.Errorf("no reason for %s: %v is now %v", it.Food.Key, it.Old, it.New)
				}
			}
		})
	}
}

func TestBalanceAgainChangesNothing(t *testing.T) {
	for _, gone := range []string{"eggshell-powder", "wheat-germ-oil", "salt", "mussel-cooked", "chicken-liver"} {
		req := Request{Mixture: without(turkeyAndHeart(t), gone), Profile: nutrition.ProfileByID("aafco-adult"), Allowed: []*nutrition.Food{nutrition.Default().Food(gone)}}
		req.Mixture = Balance(context.Background(), req).Answers[0].Mixture
		r := Balance(context.Background(), req)
		if r.Outcome != Met {
			t.Errorf("%s: %s", gone, r.Outcome)
		}
		for _, it := range r.Answers[0].Items {
			if it.New != it.Old {
				t.Errorf("%s: %s: %v is now %v", gone, it.Food.Key, it.Old, it.New)
			}
		}
	}
}

func TestBalanceCannotMeet(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 50)
	r := Balance(context.Background(), Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Explain: true})
	if r.Outcome != Compromise || r.Problem != "" {
		t.Fatalf("%s %s", r.Outcome, r.Problem)
	}
	var parts []float64
	for _, a := range r.Answers {
		var whole float64
		for _, g := range a.Gaps {
			whole += g.Part
			if !(g.Missing > 0) || math.Abs(g.Missing/g.Limit-g.Part) > 1e-12 {
				t.Errorf("%s: gap %+v", a.Kind, g)
			}
		}
		parts = append(parts, whole)
		if a.Gaps[0].Subject != nutrition.Subject(nutrition.Calcium) || len(a.Closers.Steps) == 0 {
			t.Errorf("%s: gaps %v, closers %v", a.Kind, a.Gaps, a.Closers)
		}
	}
	// Nothing here has calcium: both answers leave it, and say so.
	if len(parts) == 2 && parts[1] > parts[0]+1e-6 {
		t.Errorf("the thorough answer leaves more than the gentle: %v", parts)
	}
}

func TestBalanceHasNoAnswer(t *testing.T) {
	m, p := turkeyAndHeart(t), nutrition.ProfileByID("aafco-adult")
	m = without(m, "salt")
	all := map[int]bool{}
	for i := range m.Items {
		all[i] = true
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	for name, c := range map[string]struct {
		ctx  context.Context
		req  Request
		want Problem
	}{
		"no profile":     {context.Background(), Request{Mixture: m}, NoProfile},
		"nothing":        {context.Background(), Request{Profile: p}, NoEnergy},
		"no food":        {context.Background(), Request{Mixture: nutrition.Mixture{Items: []nutrition.Item{{Grams: 5}}}, Profile: p}, NoEnergy},
		"all locked":     {context.Background(), Request{Mixture: m, Profile: p, Locked: all}, NothingFree},
		"all excluded":   {context.Background(), Request{Mixture: m, Profile: p, Exclude: func(*nutrition.Food) bool { return true }}, NoEnergy},
		"context at end": {ended, Request{Mixture: m, Profile: p}, Stopped},
	} {
		r := Balance(c.ctx, c.req)
		if r.Outcome != NotComputed || r.Problem != c.want || r.Answers != nil {
			t.Errorf("%s: %s %q, %d answers", name, r.Outcome, r.Problem, len(r.Answers))
		}
	}
}

func TestBalanceTakesOutWhatIsExcluded(t *testing.T) {
	m, p := turkeyAndHeart(t), nutrition.ProfileByID("aafco-adult")
	liver := func(f *nutrition.Food) bool { return f.Part == nutrition.Liver || f.Key == "beef-liver" }
	r := Balance(context.Background(), Request{
		Mixture: m, Profile: p, Exclude: liver, Explain: true,
		Allowed: []*nutrition.Food{nutrition.Default().Food("beef-liver"), nutrition.Default().Food("carrot")},
	})
	if len(r.Answers) == 0 {
		t.Fatal(r.Outcome, r.Problem)
	}
	for _, a := range r.Answers {
		told := 0
		for i, it := range a.Items {
			if liver(it.Food) && (it.New != 0 || it.Index < 0) {
				t.Errorf("%s: %s: %v", a.Kind, it.Food.Key, it.New)
			}
			if slices.ContainsFunc(a.Changes, func(c Reason) bool { return c.Item == i && c.Excluded }) {
				told++
			}
		}
		if told != 2 {
			t.Errorf("%s: %d of 2 told as excluded", a.Kind, told)
		}
		if e := a.Analysis.Energy.Mid / nutrition.Analyse(m, p, nutrition.Basis{}).Energy.Mid; math.Abs(e-1) > 0.01 {
			t.Errorf("%s: energy is %v of what it was", a.Kind, e)
		}
	}
}

func TestBalanceProposesNothingUnsafe(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 50, "kelp-powder", 1)
	var unsafe []*nutrition.Food
	for _, f := range nutrition.Default().Foods() {
		if f.Bone.Kind == nutrition.MammalBone || f.Has(nutrition.Seaweed) || !f.Per100[nutrition.Energy].Complete {
			unsafe = append(unsafe, f)
		}
	}
	if len(unsafe) < 5 {
		t.Fatalf("only %d foods to try", len(unsafe))
	}
	r := Balance(context.Background(), Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-growth"), Allowed: unsafe})
	for _, a := range r.Answers {
		for _, it := range a.Items {
			if it.Index < 0 || it.Food.Has(nutrition.Seaweed) && it.New > it.Old {
				t.Errorf("%s: %s: %v is now %v", a.Kind, it.Food.Key, it.Old, it.New)
			}
		}
	}
	if len(r.Answers) == 0 {
		t.Error(r.Outcome, r.Problem)
	}
}
