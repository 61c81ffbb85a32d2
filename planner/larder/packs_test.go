package larder

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Whatever is made, thawed, fed, given, thrown out, frozen again, counted, settled,
// weighed cooked and taken back: what went in is what is there and what is gone, to the gram, and
// never less than nothing; and settling meals changes nothing of what is there.
func TestPacksConserveMass(t *testing.T) {
	kinds := []planner.PackMoveKind{planner.PacksMade, planner.PacksThawed, planner.PacksUsed, planner.PacksGiven, planner.PacksThrown, planner.PacksCounted, planner.PacksBack, planner.PacksRest}
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 1))
		now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
		lots := []planner.Lot{{ID: "a", Recipe: "r1", Dog: "d1", Each: 1 + r.IntN(900), Kcal: 1 + nutrition.Kcal(r.IntN(1500))}, {ID: "b", Recipe: "r1", Each: 410, Kcal: 500}, {ID: "c", Recipe: "r2", Dog: "d2", Each: 85, Kcal: 99.5}}
		for i := range lots {
			lots[i].Moves = []planner.PackMove{{Kind: planner.PacksMade, Packs: r.IntN(12), At: now}}
		}
		type state struct {
			lots  []planner.Lot
			meals []Meal
		}
		var meals []Meal
		before := []state{{lots, meals}} // for undo
		for range 60 {
			now = now.Add(time.Duration(r.IntN(9)) * time.Hour)
			lots = slices.Clone(lots)
			l := &lots[r.IntN(len(lots))]
			switch n := r.IntN(15); {
			case n < len(kinds):
				l.Moves = append(slices.Clone(l.Moves), planner.PackMove{Kind: kinds[n], Packs: r.IntN(12), At: now})
			case n == len(kinds) && len(before) > 1:
				last := before[len(before)-1]
				lots, meals, before = last.lots, last.meals, before[:len(before)-1]
				continue
			case n == len(kinds)+1:
				was := sumsOf(StockOf(lots, meals))
				for id, fed := range Settle(lots, meals) {
					lots[slices.IndexFunc(lots, func(l planner.Lot) bool { return l.ID == id })].AddFed(fed)
				}
				meals = nil
				if is := sumsOf(StockOf(lots, meals)); !reflect.DeepEqual(was, is) {
					t.Fatalf("seed %d: settled, %v became %v", seed, was, is)
				}
			case n == len(kinds)+2:
				l.Weigh(1+r.IntN(900), 0.7)
			default:
				meals = append(slices.Clone(meals), Meal{now, []string{"d1", "d2", "d3"}[r.IntN(3)], []string{"r1", "r2"}[r.IntN(2)], nutrition.Kcal(r.IntN(900)), r.IntN(2) == 0})
			}
			before = append(before, state{lots, meals})
			for _, s := range StockOf(lots, meals) {
				in, there, open := s.Made+s.Found, s.Frozen*s.Lot.Each+s.Open, 0
				if gone := s.Fed + s.Given + s.Thrown; in != there+gone {
					t.Fatalf("seed %d: %d g in, %d there, %d gone: %+v", seed, in, there, gone, s)
				}
				if s.Frozen < 0 || s.Open < 0 || s.Fed < 0 || s.Given < 0 || s.Thrown < 0 || s.Short < 0 {
					t.Fatalf("seed %d: less than nothing: %+v", seed, s)
				}
				for _, o := range s.thawed {
					open += o.grams
				}
				if open != s.Open {
					t.Fatalf("seed %d: %d g thawed, of which %d by time", seed, s.Open, open)
				}
			}
		}
	}
}

// sumsOf are the figures of stocks that others see.
func sumsOf(all []Stock) (sums []Stock) {
	for _, s := range all {
		s.Lot, s.thawed = nil, nil
		sums = append(sums, s)
	}
	return sums
}

// By hand: 10 packs of 800 g and 1000 kcal; meals of 500 kcal take half a pack.
func TestStockCountsDown(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 3, day, hour, 0, 0, 0, time.UTC) }
	old := planner.Lot{Recipe: "r1", Dog: "d1", Each: 800, Kcal: 1000, UseBy: planner.Date{Year: 2026, Month: 6, Day: 2}, Moves: []planner.PackMove{{Kind: planner.PacksMade, Packs: 10, At: at(2, 10)}}}
	move := func(kind planner.PackMoveKind, n int, at time.Time) planner.PackMove {
		return planner.PackMove{Kind: kind, Packs: n, At: at}
	}
	meal := func(day, hour int, told bool) Meal { return Meal{at(day, hour), "d1", "r1", 500, told} }
	for name, c := range map[string]struct {
		moves  []planner.PackMove
		meals  []Meal
		frozen int
		open   int
		about  bool
		short  int
	}{
		"made":                             {nil, nil, 10, 0, false, 0},
		"a meal before it was made":        {nil, []Meal{meal(2, 8, true)}, 10, 0, false, 0},
		"half a pack fed":                  {nil, []Meal{meal(2, 18, true)}, 9, 400, false, 0},
		"two meals, one not answered":      {nil, []Meal{meal(2, 18, true), meal(3, 8, false)}, 9, 0, true, 0},
		"thawed, then fed":                 {[]planner.PackMove{move(planner.PacksThawed, 1, at(2, 20))}, []Meal{meal(3, 8, true)}, 9, 400, false, 0},
		"counted after a meal not told of": {[]planner.PackMove{move(planner.PacksCounted, 6, at(4, 9))}, []Meal{meal(3, 8, false)}, 6, 400, false, 0},
		"more given away than there are":   {[]planner.PackMove{move(planner.PacksGiven, 12, at(3, 8))}, nil, 0, 0, false, 2},
		"thrown out though it is thawed":   {[]planner.PackMove{move(planner.PacksThawed, 10, at(3, 8)), move(planner.PacksThrown, 2, at(3, 9))}, nil, 0, 6400, false, 0},
	} {
		lot := old
		lot.Moves = append(append([]planner.PackMove{}, old.Moves...), c.moves...)
		s := StockOf([]planner.Lot{lot}, c.meals)[0]
		if s.Frozen != c.frozen || s.Open != c.open || s.About != c.about || s.Short != c.short {
			t.Errorf("%s: %+v, want %+v", name, s, c)
		}
	}
	lot := old
	lot.Moves = append(slices.Clone(lot.Moves), move(planner.PacksThawed, 2, at(3, 20)))
	if s := StockOf([]planner.Lot{lot}, []Meal{meal(4, 8, true), meal(4, 18, true)})[0]; !s.OpenSince().Equal(at(3, 20)) {
		t.Errorf("thawed since %v", s.OpenSince())
	}
	if s := StockOf([]planner.Lot{old}, []Meal{meal(4, 8, true), meal(4, 18, true)})[0]; !s.OpenSince().IsZero() {
		t.Errorf("nothing is thawed, but since %v", s.OpenSince())
	}
	newer := old
	newer.UseBy = planner.Date{Year: 2026, Month: 7, Day: 2}
	if all := StockOf([]planner.Lot{newer, old}, []Meal{meal(3, 8, true)}); all[0].Frozen != 10 || all[1].Frozen != 9 {
		t.Errorf("not the oldest first: %+v", all)
	}
}

// Against every number of packs of every weight.
func TestPackUpLeavesLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 400 {
		total, want := 1+r.IntN(20000), 1+r.IntN(2500)
		got := PackUp(total, nutrition.Grams(want))
		if got.Packs*got.Each+got.Rest != total || got.Rest < 0 {
			t.Fatalf("%d g in %d: %+v do not add up", total, want, got)
		}
		aPack := float64(want)
		for n := 2; aPack > MostPack; n++ {
			aPack = float64(want) / float64(n)
		}
		s := 1
		if aPack >= 50 {
			s = 5
		}
		least := total
		for each := s; each <= MostPack; each += s {
			for n := 1; n*each <= total; n++ {
				if math.Abs(float64(each)-aPack) <= max(float64(s), aPack*0.02) {
					least = min(least, total-n*each)
				}
			}
		}
		if got.Rest != least {
			t.Fatalf("%d g in packs of about %v: %+v leaves %d, the least is %d", total, aPack, got, got.Rest, least)
		}
	}
}

// USDA Table of Cooking Yields for Meat and Poultry, 2012, by cut; from memory.
func TestYieldsOfCutsAreUsual(t *testing.T) {
	table := nutrition.Default()
	for key, yield := range map[string]float64{
		"beef-ground-80": 0.72, "beef-chuck": 0.66, "beef-liver": 0.78, "pork-shoulder-lean": 0.68, "pork-loin": 0.75,
		"lamb-leg": 0.72, "lamb-liver": 0.8, "turkey-ground": 0.76, "chicken-thigh-skinless": 0.72, "chicken-breast-skinless": 0.75,
	} {
		if table.Food(key) == nil {
			t.Errorf("no %s", key)
			continue
		}
		if y := UsualYield(planner.Recipe{Ingredients: []planner.Ingredient{{Food: key, Grams: 700}}}, table); !y.Has(yield) {
			t.Errorf("%s: %v is outside %v", key, yield, y)
		}
	}
	y := UsualYield(planner.Recipe{Ingredients: []planner.Ingredient{{Food: "turkey-ground", Grams: 1000}, {Food: "rice-white-dry", Grams: 1000}}}, table)
	if math.Abs(y.Low-1.375) > 1e-9 || math.Abs(y.High-2.075) > 1e-9 {
		t.Errorf("half meat, half dry rice: %v", y)
	}
}

// By hand: 950 g are 19 hen eggs of 50 g (USDA SR26 01123, large), a can of
// sardines in oil is 92 g (USDA SR26 15088).
func TestCountedIsWhatOneBuys(t *testing.T) {
	for _, c := range []struct {
		food  string
		grams nutrition.Grams
		want  planner.Purchase
	}{
		{"egg", 950, planner.Purchase{Food: "egg", Grams: 950, N: 19, Unit: "piece"}},
		{"egg", 954, planner.Purchase{Food: "egg", Grams: 950, N: 19, Unit: "piece"}}, // a tenth of one more
		{"sardine-oil", 184, planner.Purchase{Food: "sardine-oil", Grams: 184, N: 2, Unit: "can"}},
		{"turkey-ground", 500, planner.Purchase{Food: "turkey-ground", Grams: 500}},
	} {
		if got := Sold(planner.Purchase{Food: c.food, Grams: c.grams}, nutrition.Default()); got != c.want {
			t.Errorf("%+v, want %+v", got, c.want)
		}
	}
}

// A plan of packs for a month of six dogs, and the stock after three months of two.
func BenchmarkPackPlan(b *testing.B) {
	for b.Loop() {
		for dog := range 6 {
			PackUp(30*(400+50*dog), nutrition.Grams(400+50*dog))
		}
	}
}

func BenchmarkStockOf(b *testing.B) {
	at := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	var lots []planner.Lot
	for i := range 12 {
		lots = append(lots, planner.Lot{Recipe: "r1", Dog: []string{"d1", "d2"}[i%2], Each: 410, Kcal: 500, Moves: []planner.PackMove{{Kind: planner.PacksMade, Packs: 30, At: at}}})
	}
	var meals []Meal
	for i := range 360 {
		meals = append(meals, Meal{at.Add(time.Duration(i) * 6 * time.Hour), []string{"d1", "d2"}[i%2], "r1", 250, true})
	}
	for b.Loop() {
		StockOf(lots, meals)
	}
}
