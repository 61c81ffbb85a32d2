package larder

import (
	"fmt"
	"math"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

var shopDay = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

// quayside has two dogs of 500 and 1000 kcal on two recipes that share turkey
// thigh, four days of one and three of the other.
func quayside() *planner.Household {
	mix := func(id string, foods ...planner.Ingredient) planner.Recipe {
		return planner.Recipe{ID: id, Name: id, Ingredients: foods}
	}
	return &planner.Household{
		Zone: "UTC",
		Dogs: []planner.Dog{
			{ID: "d1", Name: "Pip", Weight: 10, Kcal: 500, Born: shopDay.AddDate(-4, 0, 0), Healthy: true},
			{ID: "d2", Name: "Juniper", Weight: 25, Kcal: 1000, Born: shopDay.AddDate(-4, 0, 0), Healthy: true}},
		Recipes: []planner.Recipe{
			mix("r1", planner.Ingredient{Food: "turkey-thigh-skinless", Grams: 600}, planner.Ingredient{Food: "egg", Grams: 100}),
			mix("r2", planner.Ingredient{Food: "turkey-thigh-skinless", Grams: 300}, planner.Ingredient{Food: "sardine-oil", Grams: 92})},
		Rotations: []planner.Rotation{{Dogs: []string{"d1", "d2"}, Start: planner.DateOf(shopDay), Turns: []planner.Turn{{Recipe: "r1", Days: 4}, {Recipe: "r2", Days: 3}}}},
	}
}

func kcalIn(t *testing.T, n Needs) (sum float64) {
	t.Helper()
	for _, p := range n.All {
		f := nutrition.Default().Food(p.Food)
		sum += float64(p.Grams) / 100 * f.Per100[nutrition.Energy].Mid
	}
	return sum
}

// What is bought, with what comes out of packs, is what the dogs eat: 1500 kcal a
// day, whatever the recipes; and each food is on the list once.
func TestNeedsAreWhatIsEaten(t *testing.T) {
	h, table := quayside(), nutrition.Default()
	from := planner.DateOf(shopDay)
	n := NeedsOf(h, table, shopDay, Span{From: from, Days: 14}, nil)
	if got := kcalIn(t, n); math.Abs(got-14*1500) > 1 || len(n.All) != 3 {
		t.Errorf("%v kcal in %+v, want 21000 in 3 foods", got, n.All)
	}
	if n := NeedsOf(h, table, shopDay, Span{From: from, Days: 14, Of: "r2"}, nil); math.Abs(kcalIn(t, n)-6*1500) > 1 {
		t.Errorf("of one recipe: %v kcal", kcalIn(t, n))
	}
	packs := []Stock{
		{Lot: &planner.Lot{Recipe: "r1", Dog: "d1", Each: 400, Kcal: 500}, Frozen: 20}, // 8 of them are eaten in 8 days
		{Lot: &planner.Lot{Recipe: "r1", Each: 400, Kcal: 400}, Frozen: 5}}             // for either
	n = NeedsOf(h, table, shopDay, Span{From: from, Days: 14}, packs)
	if got := kcalIn(t, n); math.Abs(got-(14*1500-8*500-5*400)) > 1 || math.Abs(n.Packs-13) > 1e-9 {
		t.Errorf("%v kcal beside %v packs", got, n.Packs)
	}
	h.Pauses = []planner.Pause{{Dog: "d2", From: from, Until: from.AddDays(10)}}
	if got := kcalIn(t, NeedsOf(h, table, shopDay, Span{From: from, Days: 14}, nil)); math.Abs(got-(14*500+4*1000)) > 1 {
		t.Errorf("with a dog in a kennel: %v kcal", got)
	}
	h.Pauses, h.Dogs[1].Died = nil, shopDay
	if got := kcalIn(t, NeedsOf(h, table, shopDay, Span{From: from, Days: 14}, nil)); math.Abs(got-14*500) > 1 {
		t.Errorf("without a dog that died: %v kcal", got)
	}
	h.Dogs[0].Kcal, h.Dogs[0].Weight = 0, 0
	if n := NeedsOf(h, table, shopDay, Span{From: from, Days: 14}, nil); len(n.Waiting) != 1 || len(n.All) != 0 {
		t.Errorf("of a dog without an amount: %+v", n)
	}
}

// Capsules on two days a week for 14 days are 4, of 3 in stock; the recipe's own
// of the same food is not counted beside them.
func TestNeedsOfSupplements(t *testing.T) {
	h, table := quayside(), nutrition.Default()
	h.Recipes[0].Doses = []planner.Dose{{Food: "fish-oil-capsule", Count: 2, Form: "capsule"}, {Food: "kelp-powder", Grams: 2, Batch: true}}
	h.Reminders = []planner.Reminder{{ID: "m1", Kind: planner.SupplementReminder, Dog: "d1", Dose: &planner.Dose{Food: "fish-oil-capsule", Count: 1, Form: "capsule"},
		Schedule: planner.FromCadence(planner.Cadence{Weekdays: []time.Weekday{time.Monday, time.Thursday}}, planner.DateOf(shopDay), []planner.Clock{planner.At(8, 0)}), Stock: &planner.Stock{Left: 3}}}
	n := NeedsOf(h, table, shopDay, Span{From: planner.DateOf(shopDay), Days: 14}, nil)
	want := map[string]float64{"fish-oil-capsule": 8*2 + 1}
	for _, p := range n.All {
		if w := want[p.Food]; w > 0 && (p.N != w || p.Unit != "capsule") {
			t.Errorf("%+v, want %v", p, w)
		}
		delete(want, p.Food)
	}
	grams := map[string]nutrition.Grams{}
	for _, p := range n.All {
		grams[p.Food] = p.Grams
	}
	if kelp := grams["egg"] / 100 * 2; len(want) > 0 || !(kelp > 0) || math.Abs(float64(grams["kelp-powder"]-kelp)) > 1e-6 {
		t.Errorf("%+v", n.All)
	}
}

// By hand: 1001 g are 1.1 kg, 12 g and a trace are 13, 949 g of egg are 19 of 50 g.
func TestSoldIsEnough(t *testing.T) {
	table := nutrition.Default()
	for _, c := range []struct {
		p     planner.Purchase
		grams nutrition.Grams
		n     float64
	}{
		{planner.Purchase{Food: "beef-heart", Grams: 1001}, 1100, 0}, {planner.Purchase{Food: "beef-heart", Grams: 1000.0000001}, 1000, 0},
		{planner.Purchase{Food: "kelp-powder", Grams: 12.1}, 13, 0}, {planner.Purchase{Food: "beef-heart", Grams: 61}, 65, 0},
		{planner.Purchase{Food: "egg", Grams: 949}, 950, 19}, {planner.Purchase{Food: "fish-oil-capsule", N: 16.5, Unit: "capsule"}, 0, 17},
	} {
		if got := Sold(c.p, table); got.Grams != c.grams || got.N != c.n {
			t.Errorf("%+v is sold as %+v", c.p, got)
		}
	}
}

// 3 kg at home on Monday: what Pip and Juniper eat of it until Friday is off it.
func TestAtHomeRunsDown(t *testing.T) {
	h, table := quayside(), nutrition.Default()
	from := planner.DateOf(shopDay)
	aDay := NeedsOf(h, table, shopDay, Span{From: from, Days: 1}, nil).All[0].Grams
	h.AtHome = []planner.AtHome{{Purchase: planner.Purchase{Food: "turkey-thigh-skinless", Grams: 3 * aDay}, Since: from}}
	for days, left := range map[int]nutrition.Grams{0: 3 * aDay, 2: aDay, 4: 0} {
		var got nutrition.Grams
		for _, a := range LeftAtHome(h, table, shopDay, from.AddDays(days)) {
			got += a.Grams
		}
		if math.Abs(float64(got-left)) > 0.01 {
			t.Errorf("after %d days %v, want %v", days, got, left)
		}
	}
	n := Needs{All: []planner.Purchase{{Food: "turkey-thigh-skinless", Grams: 100}}}
	if used := n.Without([]planner.AtHome{{Purchase: planner.Purchase{Food: "turkey-thigh-skinless", Grams: 300}, Since: from}}); len(n.All) != 0 || used[0].Grams != 100 {
		t.Errorf("%+v, used %+v", n.All, used)
	}
}

// A new list keeps what was written by hand, and ticks only of the same days;
// no line has a number that one of an older list had.
func TestListMadeAgain(t *testing.T) {
	table := nutrition.Default()
	n := Needs{All: []planner.Purchase{{Food: "egg", Grams: 500}, {Food: "beef-heart", Grams: 400}, {Food: "kelp-powder", Grams: 9}}}
	of := planner.ShopList{From: planner.DateOf(shopDay), Days: 7}
	old := NewShopList(n, table, nil, of)
	if old.Lines[0].Food != "beef-heart" || old.Lines[2].Aisle != planner.ByPost {
		t.Errorf("not by aisle: %+v", old.Lines)
	}
	old.Add(planner.ShopLine{Text: "bin bags", Aisle: planner.OnHand})
	for i := range old.Lines {
		old.Lines[i].Got = "Ines"
	}
	old.Line(old.Last).Got = ""
	for _, c := range []struct{ days, ticked int }{{7, 3}, {8, 0}} {
		of.Days = c.days
		l := NewShopList(n, table, old, of)
		ticked := 0
		for _, s := range l.Lines {
			if s.Got != "" {
				ticked++
			}
			if old.Line(s.ID) != nil {
				t.Errorf("line %d is of both lists", s.ID)
			}
		}
		if ticked != c.ticked || l.Lines[3].Text != "bin bags" {
			t.Errorf("%d days: %+v", c.days, l.Lines)
		}
	}
}

// BenchmarkShopList is 6 dogs, 10 recipes of 10 foods, 30 days.
func BenchmarkShopList(b *testing.B) {
	table := nutrition.Default()
	h := &planner.Household{Zone: "Europe/London"}
	foods := table.Foods()
	for i := range 10 {
		r := planner.Recipe{ID: fmt.Sprint("r", i), Name: fmt.Sprint("Mix ", i)}
		for k := range 10 {
			r.Ingredients = append(r.Ingredients, planner.Ingredient{Food: foods[(i*7+k*11)%120].Key, Grams: 100})
		}
		h.Recipes = append(h.Recipes, r)
	}
	for i := range 6 {
		d := planner.Dog{ID: fmt.Sprint("d", i), Weight: 20, Kcal: 900, Born: shopDay.AddDate(-4, 0, 0), Healthy: true}
		rot := planner.Rotation{ID: fmt.Sprint("o", i), Dogs: []string{d.ID}, Start: planner.DateOf(shopDay)}
		for k := range 10 {
			rot.Turns = append(rot.Turns, planner.Turn{Recipe: fmt.Sprint("r", (i+k)%10), Days: 1 + k%3})
		}
		h.Dogs, h.Rotations = append(h.Dogs, d), append(h.Rotations, rot)
	}
	for b.Loop() {
		n := NeedsOf(h, table, shopDay, Span{From: planner.DateOf(shopDay), Days: 30}, nil)
		if l := NewShopList(n, table, nil, planner.ShopList{}); len(l.Lines) < 30 {
			b.Fatal(len(l.Lines))
		}
	}
}
