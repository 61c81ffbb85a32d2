package adjust

import (
	"context"
	"math"
	"slices"
	"testing"

	"bowlwright/nutrition"
)

// TestBalanceChecksItsAnswers hands the check answers that the search does not
// find.
func TestBalanceChecksItsAnswers(t *testing.T) {
	req := Request{
		Mixture: mixtureOf(t, "turkey-thigh-skinless", 600, "beef-heart", 150, "chicken-liver", 50, "kale-cooked", 60, "eggshell-powder", 5),
		Profile: nutrition.ProfileByID("aafco-adult"),
		Allowed: []*nutrition.Food{nutrition.Default().Food("egg")},
	}
	md, problem := newModel(&req)
	if problem != "" {
		t.Fatal(problem)
	}
	same, _ := md.unchanged()
	found, ok := (&balancer{ctx: context.Background(), md: md}).answer(ThoroughAnswer, pushThorough, &same)
	if !ok || !md.holds(&found.Answer, &same) {
		t.Fatal("what is found does not hold")
	}
	try := func(name string, want bool, change func(grams []float64)) {
		grams := []float64{600, 150, 50, 60, 5, 0}
		change(grams)
		if a := md.build(ThoroughAnswer, grams); md.holds(&a, &same) != want {
			t.Errorf("%s: holds is not %v", name, want)
		}
	}
	const turkey, liver, kale, eggshell, egg = 0, 2, 3, 4, 5
	try("as it is", true, func([]float64) {})
	try("more energy", false, func(g []float64) { g[turkey] += 15 })
	try("less eggshell, so less calcium", false, func(g []float64) { g[eggshell] -= 2 })
	try("more eggs than a tenth", false, func(g []float64) { g[egg], g[turkey] = 90, 490 })
	try("less than half of the kale", false, func(g []float64) { g[kale] = 29 })
	try("not a number", false, func(g []float64) { g[liver] = math.NaN() })
}

// TestBalanceTellsWhatAsksForRoom has a fish that only gives way to another,
// which has the vitamin D that is asked for.
func TestBalanceTellsWhatAsksForRoom(t *testing.T) {
	p := &nutrition.Profile{ID: "made", Requirements: []nutrition.Requirement{{Subject: nutrition.Subject(nutrition.VitaminD), Min: 100, Max: math.NaN()}}}
	r := Balance(context.Background(), Request{
		Mixture: nutrition.Mixture{Items: []nutrition.Item{{Food: madeFish("plain", 100, nutrition.Exactly(0)), Grams: 1000}}}, Profile: p,
		Allowed: []*nutrition.Food{madeFish("rich", 100, nutrition.Exactly(40))}, Explain: true,
	})
	if r.Outcome != Met || len(r.Answers[0].Changes) != 2 {
		t.Fatalf("%+v", r)
	}
	for _, c := range r.Answers[0].Changes {
		// 100 IU are in 250 g of the rich one, which take the place of as much.
		if !c.Confirmed || c.Cause != (Demand{Subject: nutrition.Subject(nutrition.VitaminD)}) ||
			math.Abs(math.Abs(float64(c.Delta))-250) > 0.01 || math.Abs(float64(c.WithoutIt)) > 0.01 {
			t.Errorf("%+v", c)
		}
	}
}

func TestBalanceKeepsUsualShares(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 500, "turkey-heart", 80, "turkey-neck", 130, "chicken-liver", 130, "lamb-kidney", 20, "kale-cooked", 150)
	before := nutrition.SharesOf(m.Items)
	if off := before.Off(); !slices.ContainsFunc(off, func(o nutrition.OffBand) bool { return o.Band == nutrition.LiverBand && o.Verdict == nutrition.High }) {
		t.Fatalf("off before: %v", off)
	}
	// A profile that leaves the shares alone, and asks for the calcium of bone.
	p := &nutrition.Profile{ID: "made", Requirements: []nutrition.Requirement{{Subject: nutrition.Subject(nutrition.Calcium), Min: 1250, Max: math.NaN()}}}
	req := Request{Mixture: m, Profile: p, LetGo: map[int]bool{3: true, 5: true}}
	for _, bands := range []bool{false, true} {
		req.Bands = bands
		r := Balance(context.Background(), req)
		if len(r.Answers) == 0 {
			t.Fatal(r.Problem)
		}
		a := r.Answers[len(r.Answers)-1]
		off := 0
		for _, o := range nutrition.SharesOf(a.Mixture.Items).Off() {
			// Fish is not there and not allowed.
			if o.Band == nutrition.LiverBand || o.Band == nutrition.PlantBand || o.Band == nutrition.BoneBand || o.Band == nutrition.SecretingOrganBand {
				off++
			}
		}
		if bands != (off == 0) {
			t.Errorf("bands %v: off %+v", bands, nutrition.SharesOf(a.Mixture.Items).Off())
		}
		for _, g := range a.Gaps {
			if g.Band != "" && (!bands || math.Abs(g.Missing-g.Part*g.Limit) > 1e-12) {
				t.Errorf("bands %v: %+v", bands, g)
			}
		}
	}
}

// TestBalanceFollowsARaisedMinimum has a food with much protein and little
// arginine: FEDIAF asks for 0.01 g of it for each gram of protein above 50 g.
func TestBalanceFollowsARaisedMinimum(t *testing.T) {
	food := func(key string, arginine float64) *nutrition.Food {
		f := madeFish(key, 100, nutrition.Exactly(0))
		f.Per100[nutrition.Protein], f.Per100[nutrition.Arginine] = nutrition.Exactly(20), nutrition.Exactly(arginine)
		return f
	}
	p := &nutrition.Profile{ID: "fediaf-made", Requirements: []nutrition.Requirement{
		{Subject: nutrition.Subject(nutrition.Protein), Min: 50, Max: math.NaN()},
		{Subject: nutrition.Subject(nutrition.Arginine), Min: 1, Max: math.NaN()},
	}}
	r := Balance(context.Background(), Request{
		Mixture: nutrition.Mixture{Items: []nutrition.Item{{Food: food("poor", 0.15), Grams: 1000}}}, Profile: p, Allowed: []*nutrition.Food{food("rich", 0.35)},
	})
	if r.Outcome != Met || len(r.Answers[0].Items) != 2 {
		t.Fatal(r.Outcome, r.Problem)
	}
	// 1000 kcal with 200 g of protein need 1 + 0.01 x 150 = 2.5 g, between the
	// 1.5 g of the one food and the 3.5 g of the other: half of each.
	if g := float64(r.Answers[0].Items[1].New); math.Abs(g-500) > 0.01 {
		t.Errorf("%v g", g)
	}
}
