package portions

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

var (
	metric   = planner.Units{}
	imperial = planner.Units{Ounces: true}
)

// toUnits returns an amount in units of the scale, and fails where it is not
// a whole number of them.
func toUnits(t *testing.T, g nutrition.Grams, u planner.Units) int {
	t.Helper()
	x := float64(g / unit(u))
	if math.Abs(x-math.Round(x)) > 1e-6 {
		t.Fatalf("%v is no whole number of units", g)
	}
	return int(math.Round(x))
}

func TestRoundParts(t *testing.T) {
	for _, c := range []struct {
		parts, want []nutrition.Grams
		whole       nutrition.Grams
	}{
		{nil, nil, 0},
		{[]nutrition.Grams{0}, []nutrition.Grams{0}, 0},
		{[]nutrition.Grams{12.4}, []nutrition.Grams{12}, 12},
		{[]nutrition.Grams{52.4}, []nutrition.Grams{50}, 50},
		{[]nutrition.Grams{49.6}, []nutrition.Grams{50}, 50},
		{[]nutrition.Grams{12.4, 12.4}, []nutrition.Grams{13, 12}, 25},
		{[]nutrition.Grams{101, 101, 101}, []nutrition.Grams{105, 100, 100}, 305},
		{[]nutrition.Grams{237, 61, 33, 19}, []nutrition.Grams{240, 60, 32, 18}, 350},
		// 63 g would be told as 65: 3 g can neither be 0 nor 5.
		{[]nutrition.Grams{60, 3}, []nutrition.Grams{60, 3}, 63},
		{[]nutrition.Grams{60, 0.6}, []nutrition.Grams{60, 1}, 61},
		{[]nutrition.Grams{61, 30, 0}, []nutrition.Grams{60, 30, 0}, 90},
		{[]nutrition.Grams{-5, 10, nutrition.Grams(math.NaN())}, []nutrition.Grams{0, 10, 0}, 10},
	} {
		got, whole := RoundParts(c.parts, metric)
		if len(got) != len(c.want) || whole != c.whole {
			t.Errorf("%v: %v of %v, want %v of %v", c.parts, got, whole, c.want, c.whole)
			continue
		}
		sum := nutrition.Grams(0)
		for i := range got {
			sum += got[i]
			if got[i] != c.want[i] && c.parts[i] != c.parts[(i+1)%len(got)] {
				t.Errorf("%v: %v, want %v", c.parts, got, c.want)
				break
			}
		}
		if sum != whole {
			t.Errorf("%v: %v add up to %v, not %v", c.parts, got, sum, whole)
		}
	}
}

func TestRoundPartsInOunces(t *testing.T) {
	oz := func(x ...float64) (g []nutrition.Grams) {
		for _, x := range x {
			g = append(g, nutrition.Grams(x)*nutrition.GramsPerOunce)
		}
		return g
	}
	got, whole := RoundParts(oz(8.24, 2.14, 1.33), imperial)
	for i, want := range []int{83, 21, 13} {
		if toUnits(t, got[i], imperial) != want {
			t.Errorf("%v oz, want %v tenths", got[i].Ounces(), want)
		}
	}
	if toUnits(t, whole, imperial) != 117 {
		t.Errorf("whole %v oz", whole.Ounces())
	}
}

// randomParts are the parts of a recipe: a few large, some small.
func randomParts(r *rand.Rand) []nutrition.Grams {
	parts := make([]nutrition.Grams, 1+r.IntN(14))
	for i := range parts {
		switch r.IntN(3) {
		case 0:
			parts[i] = nutrition.Grams(1 + 19*r.Float64())
		case 1:
			parts[i] = nutrition.Grams(10 + 60*r.Float64())
		default:
			parts[i] = nutrition.Grams(40 + 400*r.Float64())
		}
	}
	return parts
}

// TestRoundPartsHolds what RoundParts promises, on random recipes.
func TestRoundPartsHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	loose := 0
	for range 20000 {
		parts := randomParts(r)
		for _, u := range []planner.Units{metric, imperial} {
			got, whole := RoundParts(parts, u)
			sum, exact, fine := 0, 0.0, 0
			for i, g := range got {
				n, x := toUnits(t, g, u), float64(parts[i]/unit(u))
				sum += n
				exact += x
				s := ScaleStep(x, u)
				if s == 1 {
					fine++
				}
				if n%s != 0 || !u.Ounces && n > 50 && n%5 != 0 || n <= 0 && x >= 0.5 {
					t.Fatalf("%v in %+v: part %d is %d units of %v", parts, u, i, n, x)
				}
				if move := math.Abs(float64(n) - x); move > max(float64(s), x/10)+1e-9 {
					t.Fatalf("%v in %+v: part %d moved from %v to %d", parts, u, i, x, n)
				}
			}
			if sum != toUnits(t, whole, u) {
				t.Fatalf("%v in %+v: %v add up to %d, not %v", parts, u, got, sum, whole)
			}
			if s := ScaleStep(exact, u); sum%s != 0 || math.Abs(float64(sum)-exact) > float64(s)/2+1e-9 {
				loose++
				if u.Ounces || fine == 0 || math.Abs(float64(sum)-exact) > 2.5+float64(fine)/2 || reachable(parts, roundTo5(exact)) {
					t.Fatalf("%v in %+v: whole %d of %v", parts, u, sum, exact)
				}
			}
		}
	}
	t.Logf("the whole gave way in %d of 40000", loose)
}

func roundTo5(x float64) int { return int(math.Round(x/5)) * 5 }

// reachable reports that grams can be rounded to a sum without moving any by
// more than its step or, where that is more, a tenth of itself.
func reachable(parts []nutrition.Grams, sum int) bool {
	low, high, coarse, up := 0, 0, 0, 0
	for _, g := range parts {
		x := float64(g)
		if x < 50 {
			low += max(int(math.Ceil(x-max(1, x/10))), 1)
			high += min(int(x+max(1, x/10)), 50)
			continue
		}
		coarse += int(x/5) * 5
		up++
	}
	for k := range up + 1 {
		if rest := sum - coarse - 5*k; low <= rest && rest <= high {
			return true
		}
	}
	return false
}

// TestRoundPartsKeepsSmall holds the calcium of a pot of 1917 g of which a dog gets 470 g:
// 8 g of 1917 are 1.96 g of 470, and not 1 g so that the green beans may be 49 g.
func TestRoundPartsKeepsSmall(t *testing.T) {
	got, whole := RoundParts([]nutrition.Grams{245.4, 98.2, 73.6, 49.1, 1.96}, metric)
	if want := []nutrition.Grams{245, 100, 75, 48, 2}; !slices.Equal(got, want) || whole != 470 {
		t.Errorf("%v in %v, want %v", got, whole, want)
	}
}

// TestRoundPartsIsBest compares with all ways to round few parts: none that
// holds the same sum has a smaller greatest move beyond what is its own, or as small a
// one and a smaller sum of squares.
func TestRoundPartsIsBest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 1500 {
		parts := randomParts(r)[:1]
		for len(parts) < 4 {
			parts = append(parts, randomParts(r)[0])
		}
		got, _ := RoundParts(parts, metric)
		want, sum := 0.0, 0
		for i, g := range got {
			n := toUnits(t, g, metric)
			sum += n
			want += moveCost(float64(parts[i]), n)
		}
		best := bruteForce(parts, sum)
		if want > best*(1+1e-9)+1e-9 && sum%5 == 0 {
			t.Fatalf("%v: %v costs %v, there is one for %v", parts, got, want, best)
		}
	}
}

// moveCost is what the comment of RoundParts says, written out again.
func moveCost(x float64, n int) float64 {
	step := 1.0
	if x >= 50 {
		step = 5
	}
	d := float64(n) - x
	c := d * d / x
	if over := math.Abs(d) - max(step, x/20); over > 0 {
		c += 1e6 * over
	}
	if over := math.Abs(d) - max(step, x/10); over > 0 {
		c += 1e12 * over
	}
	return c
}

// bruteForce returns the least cost of parts that add up to a sum.
func bruteForce(parts []nutrition.Grams, sum int) float64 {
	if len(parts) == 0 {
		if sum == 0 {
			return 0
		}
		return math.Inf(1)
	}
	x := float64(parts[0])
	step, best := 1, math.Inf(1)
	if x >= 50 {
		step = 5
	}
	for n := max(int(x)/step*step-4*step, 1); n <= int(x)+5*step; n += step {
		if step == 5 && math.Abs(float64(n)-x) >= 5 && float64(n) != x || step == 1 && n > 50 || n%step != 0 {
			continue
		}
		best = min(best, moveCost(x, n)+bruteForce(parts[1:], sum-n))
	}
	return best
}

func TestSplitMeals(t *testing.T) {
	for _, c := range []struct {
		days  []int
		meals int
		want  [][]int
	}{
		{[]int{95}, 2, [][]int{{48, 47}}},
		{[]int{105}, 2, [][]int{{55, 50}}},
		{[]int{100}, 2, [][]int{{50, 50}}},
		{[]int{7, 95}, 2, [][]int{{4, 3}, {47, 48}}}, // the second row's odd gram goes to the other meal
		{[]int{155}, 3, [][]int{{55, 50, 50}}},
		{[]int{145}, 3, [][]int{{49, 48, 48}}},
		{[]int{1}, 2, [][]int{{1, 0}}},
		{[]int{300}, 1, [][]int{{300}}},
		{[]int{9, 7, 105}, 2, [][]int{{4, 5}, {3, 4}, {55, 50}}}, // coarse steps first: 62 + 59
		{nil, 2, [][]int{}},
	} {
		got := splitMeals(c.days, c.meals, metric)
		if !slices.EqualFunc(got, c.want, slices.Equal[[]int]) {
			t.Errorf("%v in %d: %v, want %v", c.days, c.meals, got, c.want)
		}
	}
}

func TestSplitMealsHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 20000 {
		u := planner.Units{Ounces: r.IntN(2) == 0}
		days, _ := roundUnits(randomParts(r), u)
		meals := 1 + r.IntN(planner.MostMeals)
		totals := make([]int, meals)
		widest, whole := 0, 0
		for i, row := range splitMeals(days, meals, u) {
			sum, s := 0, 1
			for m, n := range row {
				sum += n
				totals[m] += n
				s = max(s, ScaleStep(float64(n), u))
			}
			if !u.Ounces && slices.Max(row) > 50 {
				s = 5
			}
			spread := slices.Max(row) - slices.Min(row)
			if sum != days[i] || spread > s || s == 5 && slices.ContainsFunc(row, func(n int) bool { return n > 50 && n%5 != 0 }) {
				t.Fatalf("%d in %d: %v", days[i], meals, row)
			}
			widest = max(widest, spread)
			whole += days[i]
		}
		if got := slices.Max(totals) - slices.Min(totals); got > max(widest, 1) {
			t.Fatalf("%v: meals of %v", days, totals)
		}
		sum := 0
		for _, n := range totals {
			sum += n
		}
		if sum != whole {
			t.Fatalf("meals of %v, day of %d", totals, whole)
		}
	}
}
