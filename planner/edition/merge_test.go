package edition

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// written is a recipe of "food grams" lines; a food that begins with "+" is a
// supplement, its number the count.
func written(days float64, lines ...string) planner.Recipe {
	r := planner.Recipe{Days: days}
	for _, l := range lines {
		var food string
		var n float64
		fmt.Sscan(l, &food, &n)
		if name, dose := strings.CutPrefix(food, "+"); dose {
			r.Doses = append(r.Doses, planner.Dose{Food: name, Count: n, Form: "capsule"})
			continue
		}
		r.Ingredients = append(r.Ingredients, planner.Ingredient{Food: food, Grams: nutrition.Grams(n)})
	}
	return r
}

func linesOf(r planner.Recipe) (out []string) {
	for _, in := range r.Ingredients {
		out = append(out, fmt.Sprintf("%s %.4g", in.Food, in.Grams))
	}
	for _, d := range r.Doses {
		out = append(out, fmt.Sprintf("+%s %.4g", d.Food, d.Count))
	}
	return out
}

func TestMerge(t *testing.T) {
	was := []string{"turkey 500", "heart 200", "liver 40", "kale 60", "+oil 1"}
	for _, c := range []struct {
		name          string
		is, own, want []string
		changes       []Own
	}{
		{"nothing of one's own",
			[]string{"turkey 500", "heart 150", "liver 40", "+oil 2"}, was,
			[]string{"turkey 500", "heart 150", "liver 40", "+oil 2"}, nil},
		{"a swap whose line remains",
			[]string{"turkey 500", "heart 150", "liver 40", "kale 60", "+oil 1"}, []string{"turkey 500", "gizzard 210", "liver 40", "kale 60", "+oil 1"},
			[]string{"turkey 500", "gizzard 210", "liver 40", "kale 60", "+oil 1"}, []Own{{"heart", "gizzard", ""}}},
		{"a swap whose line is gone",
			[]string{"turkey 700", "liver 40", "kale 60", "+oil 1"}, []string{"turkey 500", "gizzard 210", "liver 40", "kale 60", "+oil 1"},
			[]string{"turkey 700", "liver 40", "kale 60", "+oil 1"}, []Own{{"heart", "gizzard", LineGone}}},
		{"what the reader put in comes from the author too",
			[]string{"turkey 500", "heart 100", "gizzard 90", "liver 40", "kale 60", "+oil 1"}, []string{"turkey 500", "gizzard 210", "liver 40", "kale 60", "+oil 1"},
			[]string{"turkey 500", "heart 100", "gizzard 90", "liver 40", "kale 60", "+oil 1"}, []Own{{"heart", "gizzard", NowInside}}},
		{"an amount, a food left out, one added, a dose",
			[]string{"turkey 450", "heart 250", "liver 40", "kale 60", "+oil 1"}, []string{"turkey 520", "heart 200", "liver 40", "carrot 30", "egg 50", "+oil 3"},
			[]string{"turkey 520", "heart 250", "liver 40", "carrot 30", "egg 50", "+oil 3"},
			[]Own{{"turkey", "turkey", ""}, {"kale", "carrot", ""}, {"oil", "oil", ""}, {"", "egg", ""}}},
		{"both left the same out",
			[]string{"turkey 500", "heart 200", "liver 40", "+oil 1"}, []string{"turkey 500", "heart 200", "liver 40", "+oil 1"},
			[]string{"turkey 500", "heart 200", "liver 40", "+oil 1"}, nil},
		{"the reader cooks double, and put the hearts down",
			[]string{"turkey 500", "heart 200", "liver 30", "kale 60", "+oil 1"}, []string{"turkey 1000", "heart 400", "liver 80", "+oil 1"},
			[]string{"turkey 1000", "heart 400", "liver 60", "+oil 1"}, []Own{{"kale", "", ""}}},
		{"the author writes it for half as much",
			[]string{"turkey 250", "heart 100", "liver 20", "kale 30", "+oil 1"}, []string{"turkey 500", "heart 150", "liver 40", "kale 60", "+oil 1"},
			[]string{"turkey 250", "heart 75", "liver 20", "kale 30", "+oil 1"}, []Own{{"heart", "heart", ""}}},
	} {
		got, changes := Merge(written(0, was...), written(0, c.is...), written(0, c.own...))
		sorted, want := slices.Sorted(slices.Values(linesOf(got))), slices.Sorted(slices.Values(c.want))
		if !slices.Equal(sorted, want) || !slices.Equal(changes, c.changes) {
			t.Errorf("%s: %v %v, want %v %v", c.name, linesOf(got), changes, c.want, c.changes)
		}
	}
}

// TestMergeHolds holds what is true of every merge, of recipes at random.
func TestMergeHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	random := func() planner.Recipe {
		var lines []string
		for _, food := range []string{"turkey", "heart", "liver", "kale", "egg", "carrot", "+oil", "+kelp", "+zinc"} {
			if rng.IntN(3) > 0 {
				lines = append(lines, fmt.Sprint(food, " ", 1+rng.IntN(4)))
			}
		}
		rng.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
		return written(float64(rng.IntN(3)), lines...)
	}
	same := func(a, b planner.Recipe) bool { return len(planner.Changes(a, b, false)) == 0 && a.Days == b.Days }
	for range 5000 {
		was, is, own := random(), random(), random()
		if got, changes := Merge(was, is, was); !same(got, is) || len(changes) > 0 {
			t.Fatalf("with nothing of one's own, %v to %v is %v %v", linesOf(was), linesOf(is), linesOf(got), changes)
		}
		if got, _ := Merge(was, was, own); !same(got, own) {
			t.Fatalf("a version that changes nothing: %v with %v is %v", linesOf(was), linesOf(own), linesOf(got))
		}
		got, changes := Merge(was, is, own)
		holdOnce(t, got)
		for _, c := range changes {
			has := func(food string) bool { return got.Uses(food) }
			if c.Lost == "" && (c.In != "" && !has(c.In) || c.In != c.Out && c.Out != "" && has(c.Out)) {
				t.Fatalf("%v is not in %v", c, linesOf(got))
			}
		}
		for _, c := range planner.Changes(is, got, false) { // what is not the author's is the reader's
			mine := func(o Own) bool { return o.Lost == "" && (o.In == c.Food || o.Out == c.Food) }
			if sizeOf(was, own) == 1 && !slices.ContainsFunc(changes, mine) {
				t.Fatalf("%v to %v with %v is %v: nobody changed %s", linesOf(was), linesOf(is), linesOf(own), linesOf(got), c.Food)
			}
		}
	}
}

// holdOnce fails where a food is in a recipe twice.
func holdOnce(t *testing.T, r planner.Recipe) {
	t.Helper()
	seen := map[string]bool{}
	for _, in := range r.Ingredients {
		if seen[in.Food] {
			t.Fatalf("%v has %s twice", linesOf(r), in.Food)
		}
		seen[in.Food] = true
	}
}

// TestKitchen compares a version that brings foods of its author's own with what
// a household made of it: called something else there, they are the same.
func TestKitchen(t *testing.T) {
	mix := nutrition.Food{Key: "own1", Name: "Barley mix", Kind: nutrition.OwnKind}
	author := planner.Household{Foods: []nutrition.Food{mix}, Recipes: []planner.Recipe{written(0, "turkey 500", "own1 80", "kale 60")}}
	v := Freeze(&author, author.Recipes, nil, nil)
	reader := planner.Household{}
	n := 6
	id := func(kind string) string { n++; return fmt.Sprint(kind, n) }
	own := Thaw(&reader, "t", 1, v, id)[0]
	reader.Foods[0].Name = "The mix"
	k := NewKitchen(&reader, "t", nil)
	is := k.Recipes(&v, 1)["1"]
	if got := OwnChanges(is, own); len(got) > 0 || len(k.Foods()) != 1 {
		t.Errorf("%v of %v and %v, with %d foods", got, linesOf(is), linesOf(own), len(k.Foods()))
	}
	next := v
	next.Recipes = []planner.Recipe{written(0, "turkey 500", "own1 90", "kale 60")}
	next.Recipes[0].Name, next.Recipes[0].ID = v.Recipes[0].Name, "7"
	if Follow(&next, &v); next.Recipes[0].ID != "1" || Same(&next, &v) || !Same(&v, &v) {
		t.Errorf("a version that follows: %+v", next.Recipes)
	}
}
