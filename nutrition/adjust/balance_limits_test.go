package adjust

import (
	"context"
	"math"
	"slices"
	"testing"

	"bowlwright/nutrition"
)

// aDay is the basis of a dog of 19.6 kg that eats 1025 kcal.
var aDay = nutrition.Basis{PerDog: true, Weight: 19.6, Kcal: 1025}

// checkNotWorse checks every row of an answer against the mixture it is of.
func checkNotWorse(t *testing.T, name string, req *Request, a *Answer) {
	t.Helper()
	was, is := nutrition.Analyse(req.Mixture, req.Profile, req.Basis), nutrition.Analyse(a.Mixture, req.Profile, req.Basis)
	notEnough := 0
	for i := range is.Rows {
		w, r := &was.Rows[i], &is.Rows[i]
		if r.Verdict != nutrition.Enough {
			notEnough++
		}
		if w.Verdict != nutrition.Enough {
			notEnough--
		}
		if r.IsUnknown() && !w.IsUnknown() {
			continue // a food without a figure came in: nobody knows
		}
		if r.HasMin() && r.Low/r.Min < min(1, w.Low/w.Min)-2e-4 {
			t.Errorf("%s %s: %v from %v of %v to %v of %v", name, a.Kind, r.Requirement.Subject, w.Low, w.Min, r.Low, r.Min)
		}
		if r.HasMax() && r.Capped.High/r.Max > max(1, w.Capped.High/w.Max)+2e-4 {
			t.Errorf("%s %s: %v from %v to %v, at most %v", name, a.Kind, r.Requirement.Subject, w.Capped.High, r.Capped.High, r.Max)
		}
	}
	if notEnough > 0 {
		t.Errorf("%s %s: %d more rows are not enough", name, a.Kind, notEnough)
	}
}

// TestBalanceMakesNothingWorse has recipes without any calcium to speak of,
// where a little more of it is easily bought with copper and magnesium.
func TestBalanceMakesNothingWorse(t *testing.T) {
	for name, m := range map[string]nutrition.Mixture{
		"meat and eggs":    mixtureOf(t, "turkey-thigh-skinless", 500, "beef-heart", 150, "egg", 100),
		"meat and liver":   mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 50),
		"carrots and rice": mixtureOf(t, "carrot", 500, "rice-white-cooked", 100),
	} {
		for _, basis := range []nutrition.Basis{{}, aDay} {
			req := Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Basis: basis, Bands: true, Explain: true}
			r := Balance(context.Background(), req)
			if r.Outcome != Compromise || len(r.Answers) == 0 {
				t.Fatalf("%s: %s %s", name, r.Outcome, r.Problem)
			}
			for i := range r.Answers {
				a := &r.Answers[i]
				checkNotWorse(t, name, &req, a)
				if len(a.Gaps) == 0 || len(a.Closers.Steps) == 0 {
					t.Errorf("%s %s: gaps %v, closers %v", name, a.Kind, a.Gaps, a.Closers)
				}
				for _, it := range a.Items {
					t.Logf("%s %v %s: %s %.1f to %.1f", name, basis.PerDog, a.Kind, it.Food.Key, it.Old, it.New)
					if it.Food.Part == nutrition.Plant && it.Food.Key == "carrot" && it.New > it.Old+1e-3 {
						t.Errorf("%s %s: %s from %v to %v g", name, a.Kind, it.Food.Key, it.Old, it.New)
					}
				}
			}
		}
	}
}

func TestBalanceOfferingNothing(t *testing.T) {
	// A single food cannot change at the same energy.
	req := Request{Mixture: mixtureOf(t, "turkey-thigh-skinless", 500), Profile: nutrition.ProfileByID("aafco-adult"), Explain: true}
	r := Balance(context.Background(), req)
	if r.Outcome != Compromise || len(r.Answers) != 1 || len(r.Answers[0].Closers.Steps) == 0 {
		t.Fatalf("%s %s, %d answers", r.Outcome, r.Problem, len(r.Answers))
	}
	if it := r.Answers[0].Items[0]; math.Abs(float64(it.New-it.Old)) > 1e-3 {
		t.Errorf("%v is now %v", it.Old, it.New)
	}
	// Where every answer is turned down, the mixture itself is the answer.
	md, problem := newModel(&req)
	if problem != "" {
		t.Fatal(problem)
	}
	same, _ := md.unchanged()
	worse := md.build(GentleAnswer, []float64{500})
	worse.Analysis.Rows[0].Verdict = nutrition.Low
	if md.better(&same, &same) || md.better(&worse, &same) {
		t.Error("the same is better, or one row more that is low")
	}
	lacking := same
	lacking.Gaps = append([]Gap{{Demand: Demand{Subject: nutrition.Subject(nutrition.Zinc)}, Part: 0.01}}, same.Gaps...)
	if md.better(&lacking, &same) {
		t.Error("more of a gap is no worse")
	}
	less := same
	less.Gaps = slices.Clone(same.Gaps)
	for part, want := range map[float64]bool{0.009: false, 0.011: true} /* of calcium, which counts three times */ {
		if less.Gaps[0].Part = same.Gaps[0].Part - part; md.better(&less, &same) != want {
			t.Errorf("%v of a gap less: better is not %v", part, want)
		}
	}
}

// noPoultry is a dog's exclusion.
func noPoultry(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{"poultry"}) }

func TestBalanceWithTooMuchExcluded(t *testing.T) {
	m := mixtureOf(t, "chicken-wing", 600, "chicken-heart", 300, "beef-liver", 100, "pork-leg-lean", 100, "spinach-cooked", 50, "herring-atlantic", 30)
	r := Balance(context.Background(), Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Basis: aDay, Bands: true, Exclude: noPoultry})
	if r.Outcome != NotComputed || r.Problem != TooMuchExcluded || len(r.Answers) > 0 {
		t.Errorf("%s %s, %d answers", r.Outcome, r.Problem, len(r.Answers))
	}
	// Where organs, eggs and fish are left, they would be more than there may be.
	m = mixtureOf(t, "turkey-thigh-skinless", 300, "beef-heart", 150, "beef-liver", 50, "egg", 100, "rice-white-cooked", 200, "sardine-tomato", 60)
	r = Balance(context.Background(), Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Bands: true, Exclude: noPoultry})
	if r.Problem != TooMuchExcluded || len(r.Answers) > 0 {
		t.Errorf("no meat: %s %s", r.Outcome, r.Problem)
	}
	// Where only plants are left, there is nothing to make it good with either.
	m = mixtureOf(t, "chicken-wing", 100, "rice-white-cooked", 600)
	r = Balance(context.Background(), Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Bands: true, Exclude: noPoultry})
	if r.Problem != TooMuchExcluded || len(r.Answers) > 0 {
		t.Errorf("only plants: %s %s", r.Outcome, r.Problem)
	}
}

func TestBalanceGrowsFoodsWithinLimits(t *testing.T) {
	for name, m := range map[string]nutrition.Mixture{
		"a wing":  mixtureOf(t, "chicken-wing", 200, "beef-heart", 200, "beef-liver", 60, "pork-leg-lean", 300, "spinach-cooked", 50, "herring-atlantic", 60),
		"a heart": mixtureOf(t, "chicken-heart", 200, "pork-leg-lean", 250, "beef-kidney", 60, "lamb-liver", 40, "carrot", 60, "egg", 100),
	} {
		req := Request{Mixture: m, Profile: nutrition.ProfileByID("aafco-adult"), Bands: true, Exclude: noPoultry, Explain: true,
			Allowed: []*nutrition.Food{nutrition.Default().Food("kale-cooked"), nutrition.Default().Food("mussel-cooked"), nutrition.Default().Food("eggshell-powder")}}
		r := Balance(context.Background(), req)
		if len(r.Answers) == 0 {
			t.Errorf("%s: %s %s", name, r.Outcome, r.Problem)
		}
		was := nutrition.Analyse(m, req.Profile, req.Basis)
		for _, a := range r.Answers {
			if e := a.Analysis.Energy.Mid / was.Energy.Mid; math.Abs(e-1) > 0.01 {
				t.Errorf("%s %s: energy is %v of what it was", name, a.Kind, e)
			}
			if w := a.Analysis.Grams / was.Grams; w > 1.25*(1+1e-6) {
				t.Errorf("%s %s: weight is %v of what it was", name, a.Kind, w)
			}
			for _, it := range a.Items {
				t.Logf("%s %s: %s %.1f to %.1f", name, a.Kind, it.Food.Key, it.Old, it.New)
				if most := max(3*it.Old, was.Grams/4); it.Food.Part != nutrition.Muscle && it.New > most*(1+1e-5) {
					t.Errorf("%s %s: %s from %v to %v g", name, a.Kind, it.Food.Key, it.Old, it.New)
				}
				if noPoultry(it.Food) && it.New != 0 {
					t.Errorf("%s %s: %s: %v", name, a.Kind, it.Food.Key, it.New)
				}
			}
			if now, most := a.Analysis.Shares[nutrition.Plant].Mid, max(0.105, was.Shares[nutrition.Plant].Mid+1e-4); now > most {
				t.Errorf("%s %s: %v plants", name, a.Kind, now)
			}
		}
	}
}
