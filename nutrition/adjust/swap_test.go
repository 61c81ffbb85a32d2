package adjust

import (
	"math"
	"slices"
	"testing"

	"bowlwright/nutrition"
)

func TestSwapGrams(t *testing.T) {
	m := twelve(t)
	for _, c := range []struct {
		index int
		keeps Keep
	}{
		{0, KeepEnergy}, // turkey thigh
		{1, KeepBone},   // chicken wing
		{2, KeepEnergy}, // beef heart
		{3, KeepWeight}, // chicken liver
		{4, KeepWeight}, // beef kidney
		{5, KeepEnergy}, // mackerel
		{8, KeepEnergy}, // spinach
	} {
		old := m.Items[c.index]
		options := Swaps(m, c.index, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{}, nutrition.Default(), nil, 100)
		if len(options) < 5 {
			t.Errorf("%s: %d options", old.Food.Key, len(options))
		}
		for _, o := range options {
			if o.Food.Key == old.Food.Key || o.Food.Part != old.Food.Part || o.Keeps != c.keeps {
				t.Errorf("%s for %s keeps %q", o.Food.Key, old.Food.Key, o.Keeps)
			}
			var was, is float64
			switch c.keeps {
			case KeepEnergy:
				was, is = old.Energy(), float64(o.Grams)*o.Food.Per100[nutrition.Energy].Mid/100
			case KeepWeight:
				was, is = float64(old.Grams), float64(o.Grams)
			case KeepBone:
				was, is = float64(old.Grams)*old.Food.Bone.Mid, float64(o.Grams)*o.Food.Bone.Mid
			}
			if math.Abs(was-is) > 1e-9*was {
				t.Errorf("%v g %s for %v g %s: %v of %s became %v", o.Grams, o.Food.Key, old.Grams, old.Food.Key, was, c.keeps, is)
			}
		}
	}
}

// The program itself proposes nothing that is unoffered, and no cooked meat
// for raw.
func TestNeverProposed(t *testing.T) {
	m, p := twelve(t), nutrition.ProfileByID("aafco-adult")
	a := nutrition.Analyse(m, p, nutrition.Basis{})
	var proposed []*nutrition.Food
	for i := range m.Items {
		for _, o := range Swaps(m, i, p, nutrition.Basis{}, nutrition.Default(), nil, 1000) {
			proposed = append(proposed, o.Food)
		}
	}
	for _, r := range Mend(a, m, p, nutrition.Default(), nil) {
		for _, o := range r.Options {
			proposed = append(proposed, o.Food)
		}
	}
	for _, s := range MendTogether(a, m, p, nutrition.Default(), nil).Steps {
		proposed = append(proposed, s.Food)
	}
	for _, f := range proposed {
		if f != nil && (f.Has(nutrition.Unoffered) || f.CookedMeat()) {
			t.Errorf("%s is proposed", f.Key)
		}
	}
	// A cooked meat is swapped for another.
	cooked := nutrition.Mixture{Items: []nutrition.Item{{Food: nutrition.Default().Food("chicken-breast-skinless-boiled"), Grams: 500}}}
	if o := Swaps(cooked, 0, p, nutrition.Basis{}, nutrition.Default(), nil, 1); len(o) == 0 || !o[0].Food.CookedMeat() {
		t.Errorf("for cooked chicken: %+v", o)
	}
}

func TestSwapsTellWhatChanges(t *testing.T) {
	m := twelve(t)
	worse := 0
	for _, c := range []struct {
		profile string
		index   int
	}{{"aafco-adult", 3}, {"fediaf-adult-95", 2}} {
		p := nutrition.ProfileByID(c.profile)
		before := nutrition.Analyse(m, p, nutrition.Basis{})
		options := Swaps(m, c.index, p, nutrition.Basis{}, nutrition.Default(), nil, 100)
		if !slices.IsSortedFunc(options, func(a, b Swap) int { return int(math.Copysign(1, a.Distance-b.Distance)) }) {
			t.Error("the options are not in order")
		}
		for _, o := range options {
			checkSwap(t, m, c.index, p, &before, o)
			worse += len(o.Worse)
		}
	}
	if worse == 0 {
		t.Error("no swap makes anything worse: the test tests nothing")
	}
}

// checkSwap makes the swap and analyses anew.
func checkSwap(t *testing.T, m nutrition.Mixture, index int, p *nutrition.Profile, before *nutrition.Analysis, o Swap) {
	t.Helper()
	m.Items = slices.Clone(m.Items)
	m.Items[index] = nutrition.Item{Food: o.Food, Grams: o.Grams}
	after := nutrition.Analyse(m, p, nutrition.Basis{})
	changed := 0
	for i := range after.Rows {
		// What was low and now lacks figures is no progress.
		if rank[after.Rows[i].Verdict] > rank[before.Rows[i].Verdict] || rank[after.Rows[i].Verdict] == 0 && rank[before.Rows[i].Verdict] > 0 {
			changed++
		}
	}
	if told := len(o.Better) + len(o.Worse); told != changed {
		t.Errorf("%s: %d verdicts change, %d told", o.Food.Key, changed, told)
	}
	if d := distance(before, &after); math.Abs(o.Distance-d) > 1e-9 {
		t.Errorf("%s: distance %v, want %v", o.Food.Key, o.Distance, d)
	}
	for _, c := range append(append(slices.Clone(o.Better), o.Worse...), o.Biggest...) {
		r := after.Row(c.Subject)
		if c.To != r.Verdict || c.From != before.Row(c.Subject).Verdict {
			t.Errorf("%s: %+v, the analysis has %v", o.Food.Key, c, r.Verdict)
		}
	}
}

func TestRuminantLiverBringsCopper(t *testing.T) {
	// Beef liver has twenty times the copper of chicken liver (USDA SR26 13325
	// and 05027): the recipe that lacked it has enough.
	m, p := twelve(t), nutrition.ProfileByID("aafco-adult")
	options := Swaps(m, 3, p, nutrition.Basis{}, nutrition.Default(), nil, 100)
	i := slices.IndexFunc(options, func(o Swap) bool { return o.Food.Key == "beef-liver" })
	if i < 0 || !slices.ContainsFunc(options[i].Better, func(c Change) bool {
		return c.Subject == nutrition.Subject(nutrition.Copper) && c.To == nutrition.Enough
	}) {
		t.Error("beef liver does not bring copper")
	}
	first := func(f *nutrition.Food) bool { return f.Key == options[0].Food.Key }
	if s := Swaps(m, 3, p, nutrition.Basis{}, nutrition.Default(), first, 1); len(s) != 1 || s[0].Food != options[1].Food {
		t.Errorf("with the first excluded: %+v", s)
	}
	if m.Items[3].Food.Key != "chicken-liver" {
		t.Error("the mixture was changed")
	}
}

// rank orders verdicts from met to missed.
var rank = map[nutrition.Verdict]int{nutrition.Enough: 0, nutrition.LikelyEnough: 0, nutrition.AboveLegal: 0, nutrition.NoLimit: 0, nutrition.NotKnown: 1, nutrition.Low: 2, nutrition.LikelyLow: 2, nutrition.High: 2, nutrition.LikelyHigh: 2}

// distance is what Swap.Distance is said to be, worked out again.
func distance(before, after *nutrition.Analysis) float64 {
	var d float64
	for i, was := range before.Rows {
		is := after.Rows[i]
		of := math.Max(was.Mid, was.Min)
		if !was.HasMin() && was.HasMax() {
			of = math.Max(was.Mid, was.Max)
		}
		if of > 0 {
			d += math.Min(1, math.Abs(is.Mid-was.Mid)/of)
		}
		if rank[is.Verdict] > rank[was.Verdict] {
			d++
		}
	}
	return d
}

func TestPlantsAreSwappedForTheirKind(t *testing.T) {
	for _, o := range Swaps(twelve(t), 10, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{}, nutrition.Default(), nil, 50) {
		if o.Food.Kind != "fruit" {
			t.Errorf("%s for blueberries", o.Food.Key)
		}
	}
}

func TestHardBoneReplacesHardBoneOnly(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	has := func(os []Swap, key string) bool {
		return slices.ContainsFunc(os, func(o Swap) bool { return o.Food.Key == key })
	}
	wing := Swaps(twelve(t), 1, p, nutrition.Basis{}, nutrition.Default(), nil, 50)
	if has(wing, "lamb-shank") || has(wing, "pork-spare-rib") || !has(wing, "rabbit-whole-dressed") || !has(wing, "duck-whole") {
		t.Error("a chicken wing is replaced by duck or rabbit, not by lamb or pork")
	}
	rib := Swaps(mixtureOf(t, "lamb-rib", 300, "lamb-stew", 600), 0, p, nutrition.Basis{}, nutrition.Default(), nil, 50)
	if !has(rib, "pork-spare-rib") || !has(rib, "chicken-wing") {
		t.Error("a lamb rib is replaced by pork or chicken")
	}
}

func TestSwapsOfWhatIsNotThere(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	for _, i := range []int{-1, 12, 99} {
		if s := Swaps(twelve(t), i, p, nutrition.Basis{}, nutrition.Default(), nil, 3); s != nil {
			t.Errorf("swapped item %d for %+v", i, s)
		}
	}
	if s := Swaps(twelve(t), 0, p, nutrition.Basis{}, nutrition.Default(), nil, -1); len(s) != 0 {
		t.Errorf("no options were asked for: %d", len(s))
	}
}

func TestSwapsFollowExclusions(t *testing.T) {
	exclude := func(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{"poultry", "beef"}) }
	for _, o := range Swaps(twelve(t), 2, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{}, nutrition.Default(), exclude, 50) {
		if s := o.Food.Species; s == "beef" || s == "veal" || o.Food.Has(nutrition.Poultry) {
			t.Errorf("offers %s", o.Food.Key)
		}
	}
}

func BenchmarkSwaps(b *testing.B) {
	m, p := twelve(b), nutrition.ProfileByID("aafco-adult")
	for b.Loop() {
		Swaps(m, 0, p, nutrition.Basis{}, nutrition.Default(), nil, 3)
	}
}

// A supplement takes the place of another only for the same thing, as much of that.
func TestCalciumIsSwappedForCalcium(t *testing.T) {
	list := nutrition.Default()
	m := nutrition.Mixture{Items: []nutrition.Item{{Food: list.Food("beef-heart"), Grams: 500}, {Food: list.Food("eggshell-powder"), Grams: 10}}}
	got := map[string]nutrition.Grams{}
	for _, o := range Swaps(m, 1, nutrition.ProfileByID("aafco-adult"), nutrition.Basis{}, list, nil, 1000) {
		got[o.Food.Key] = o.Grams
	}
	if len(got) != 2 || !(got["calcium-carbonate"] > 9 && got["calcium-carbonate"] < 10) || !(got["bone-meal"] > 13 && got["bone-meal"] < 15) {
		t.Errorf("for 10 g of eggshell: %v", got)
	}
}
