package nutrition

import (
	"slices"
	"testing"
)

// TestCosts: 1000 kcal of two foods and a capsule, against AAFCO's adult table:
// zinc at least 20 mg, copper 1.83, iron 10, vitamin E 12.5 IU. Without the
// heart zinc falls to 18, a loss of 20 % of the need; copper, of which 200 % of
// the need go, stays enough.
func TestCosts(t *testing.T) {
	heart := made("heart", map[Nutrient]Value{Zinc: Exactly(.8), Copper: Exactly(.732), Iron: Exactly(.5)})
	meat := made("meat", map[Nutrient]Value{Zinc: Exactly(3.6), Copper: Exactly(.5), Iron: Exactly(4), VitaminD: Exactly(30)})
	fish := made("fish", map[Nutrient]Value{DHA: Exactly(1), Choline: Unknown()})
	kelp := made("kelp-powder", map[Nutrient]Value{Iodine: Unknown()})
	kelp.Tags = Seaweed
	p := ProfileByID("aafco-adult")
	m := Mixture{
		Items:  []Item{{Food: heart, Grams: 500}, {Food: meat, Grams: 500}},
		Extras: []Extra{{Name: "vitamin E", Nutrient: VitaminE, PerDay: 100}, {Name: "iodine", Nutrient: Iodine, NotKnown: true}},
	}
	names := func(m Mixture, parts ...int) (all []string) {
		for _, c := range Costs(m, p, Basis{}, parts, 3) {
			all = append(all, c.With.Requirement.Subject.String())
		}
		return all
	}
	got := Costs(m, p, Basis{}, []int{0}, 3)
	if want := []string{"zinc", "copper", "iron"}; !slices.Equal(names(m, 0), want) {
		t.Fatalf("without the heart: %v, want %v", names(m, 0), want)
	}
	if c := got[0]; !c.Falls() || !closeTo(c.Loss, .2) || !closeTo(c.With.Mid, 22) || !closeTo(c.Without.Mid, 18) {
		t.Errorf("zinc: %+v", c)
	}
	if c := got[1]; c.Falls() || !closeTo(c.Loss, 2) || c.Without.Verdict != Enough {
		t.Errorf("copper: %+v", c)
	}
	if got := names(m, 2); !slices.Equal(got, []string{"vitamin-e"}) {
		t.Errorf("without vitamin E: %v", got)
	}
	if got := Costs(m, p, Basis{}, []int{3}, 3); len(got) != 1 || !got[0].Open || got[0].With.Requirement.Subject != Subject(Iodine) {
		t.Errorf("an iodine tablet of unknown strength: %+v", got)
	}
	// What is given for it comes first, though nobody knows how much it brings.
	if got := names(m, 2, 3); !slices.Equal(got, []string{"iodine", "vitamin-e"}) {
		t.Errorf("without vitamin E and iodine: %v", got)
	}
	// What no table needs is told of what brings most of it, and only EPA and DHA.
	m.Items = append(m.Items, Item{Food: fish, Grams: 10}, Item{Food: kelp, Grams: 1})
	if got := names(m, 2); !slices.Equal(got, []string{"epa+dha"}) {
		t.Errorf("without the fish: %v", got)
	}
	if got := names(m, 3); !slices.Equal(got, []string{"iodine"}) {
		t.Errorf("without the kelp: %v", got)
	}
	// The same food on two lines is left out on both.
	m.Items = []Item{{Food: heart, Grams: 250}, {Food: meat, Grams: 500}, {Food: heart, Grams: 250}}
	if got := Costs(m, p, Basis{}, []int{0, 2}, 1); len(got) != 1 || !got[0].Falls() || !closeTo(got[0].Without.Mid, 18) {
		t.Errorf("both lines of heart: %+v", got)
	}
	// Where another food has no figure, what is left is not known to be enough.
	m.Items[0].Food = made("rich", map[Nutrient]Value{Zinc: Exactly(9), Copper: Exactly(9)})
	m.Items[1].Food = made("open", map[Nutrient]Value{Zinc: Unknown(), Copper: Exactly(1)})
	m.Items = m.Items[:2]
	if got := Costs(m, p, Basis{}, []int{0}, 1); len(got) != 1 || !got[0].Doubt() || got[0].Falls() {
		t.Errorf("enough to not known: %+v", got)
	}
}
