package larder

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// By hand: thigh 6.50 a kg, 24 eggs (50 g each, USDA SR26 01123) for 5.00, a tin
// of 92 g 1.20 (USDA SR26 15088). 2 kg of thigh are 13.00, 300 g of egg are 6
// eggs, 1.25, a tin is 1.20. A third of 10.00 is 3.33, two thirds are 6.67.
func TestCostByHand(t *testing.T) {
	table := nutrition.Default()
	h := &planner.Household{Prices: []planner.Price{
		{Purchase: planner.Purchase{Food: "turkey-thigh-skinless", Grams: 1000}, Minor: 650},
		{Purchase: planner.Purchase{Food: "egg", N: 24, Unit: "piece"}, Minor: 500},
		{Purchase: planner.Purchase{Food: "sardine-oil", N: 1, Unit: "can"}, Minor: 120},
		{Purchase: planner.Purchase{Food: "fish-oil-capsule", N: 60, Unit: "capsule"}, Minor: 1000}}}
	of := func(food string, g nutrition.Grams, n float64, unit string) planner.Purchase {
		return planner.Purchase{Food: food, Grams: g, N: n, Unit: unit}
	}
	all := []planner.Purchase{of("egg", 300, 0, ""), of("turkey-thigh-skinless", 2000, 0, ""), of("sardine-oil", 92, 1, "can"), of("beef-heart", 500, 0, ""), of("fish-oil-capsule", 0, 20, "capsule")}
	c := CostOf(all, 1, h, table)
	if c.Minor != 125+1300+120+333 || len(c.Unknown) != 1 || c.Unknown[0] != "beef-heart" || c.Lines[0].Food != "turkey-thigh-skinless" {
		t.Errorf("%+v", c)
	}
	if c := CostOf([]planner.Purchase{of("fish-oil-capsule", 0, 40, "capsule")}, 1, h, table); c.Minor != 667 {
		t.Errorf("two thirds of 10.00: %d", c.Minor)
	}
	if c := CostOf([]planner.Purchase{of("fish-oil-capsule", 0, 3, "capsule")}, 100, h, table); c.Minor != 1 {
		t.Errorf("half a penny is rounded to %d", c.Minor)
	}
	h.SetPrice(planner.Price{Purchase: of("zinc", 0, 60, "capsule"), Minor: 900})
	if c := CostOf([]planner.Purchase{of("zinc", 20, 0, "")}, 1, h, table); len(c.Unknown) != 1 {
		t.Errorf("a price by the capsule of nobody knows how many grams: %+v", c)
	}
	h.Prices[0].Grams = 0
	if c := CostOf(all[1:2], 1, h, table); len(c.Unknown) != 1 {
		t.Errorf("a price per nothing: %+v", c)
	}
}

// However many small lines: the sum is that of the exact lines, rounded once.
func TestCostSumsExactly(t *testing.T) {
	table := nutrition.Default()
	r := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		h, exact := &planner.Household{}, new(big.Rat)
		var all []planner.Purchase
		for _, f := range table.Foods()[:30] {
			p := planner.Price{Purchase: planner.Purchase{Food: f.Key, Grams: nutrition.Grams(1 + r.IntN(1000))}, Minor: 1 + r.Int64N(3000)}
			g := 1 + r.Int64N(5000)
			h.Prices, all = append(h.Prices, p), append(all, planner.Purchase{Food: f.Key, Grams: nutrition.Grams(g)})
			exact.Add(exact, big.NewRat(p.Minor*g, int64(p.Grams)*7))
		}
		c := CostOf(all, 7, h, table)
		off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(c.Minor))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 || len(c.Lines) != 30 {
			t.Fatalf("%d, exactly %s", c.Minor, exact.FloatString(3))
		}
	}
}

func TestDearer(t *testing.T) {
	table := nutrition.Default()
	kilo := planner.Price{Purchase: planner.Purchase{Food: "egg", Grams: 1000}, Minor: 500}
	dozen := planner.Price{Purchase: planner.Purchase{Food: "egg", N: 12, Unit: "piece"}, Minor: 300} // 600 g
	if times, ok := Dearer(&kilo, &dozen, table); !ok || times != 1 {
		t.Errorf("500 for 1000 g against 300 for 600 g: %v", times)
	}
	if _, ok := Dearer(&kilo, &planner.Price{Purchase: planner.Purchase{Food: "zinc", N: 60, Unit: "capsule"}, Minor: 300}, table); ok {
		t.Error("what cannot be weighed was compared")
	}
}
