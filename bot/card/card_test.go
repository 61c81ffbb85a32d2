package card

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bowlwright/planner"
)

// A topper's card has a tenth of a day, and says so; one for some days says that.
func TestCardOfStanding(t *testing.T) {
	turn, r := turnOf(t, lamb, planner.Units{})
	whole, err := Of(turn, r, Publication{})
	if err != nil {
		t.Fatal(err)
	}
	if said := whole.drawn.Amiss; len(said) != 1 || !strings.Contains(said[0], "Far too little calcium") {
		t.Errorf("the card of a recipe without calcium says %q", said)
	}
	r.Standing.Kind = planner.IsTopper
	topper, err := Of(turn, r, Publication{})
	if err != nil {
		t.Fatal(err)
	}
	for i, is := range topper.sums.sizes {
		if want := whole.sums.sizes[i].kcal / 10; math.Abs(float64(is.kcal-want)) > 1e-9 {
			t.Errorf("%v kg: %v kcal of a topper, want %v", is.weight, is.kcal, want)
		}
	}
	if said := strings.Join(topper.drawn.Under, "\n"); !strings.Contains(said, "topper") || !strings.Contains(said, "tenth") {
		t.Errorf("a topper's card says %q", said)
	}
	r.Standing.Kind = planner.ForSomeDays
	some, err := Of(turn, r, Publication{})
	if err != nil || !slices.ContainsFunc(some.page.Under, func(s string) bool { return strings.Contains(s, "some days only") }) {
		t.Errorf("%v, says %q", err, some.page.Under)
	}
}

// Supplements that are for one dog whatever its size give no amounts to a dog for
// which they would be many times too much, and say what they pass in others.
func TestCardOfMuch(t *testing.T) {
	c := cardOf(t, turkey+"\nvitamin D 3000 IU, daily", planner.Units{}, Publication{})
	if small, large := c.sums.sizes[0], c.sums.sizes[5]; small.fed || !large.fed {
		t.Errorf("3000 IU of vitamin D a day: a dog of 5 kg is fed: %v, one of 60 kg: %v", small.fed, large.fed)
	}
	complete := c.drawn.Blocks[slices.IndexFunc(c.drawn.Blocks, func(b block) bool { return b.Head == msg("card.complete") })]
	if !strings.Contains(strings.Join(complete.Paras, "\n"), "More vitamin D than a maximum allows") {
		t.Errorf("it says %q", complete.Paras)
	}
}

// A recipe that is called by an illness says that it is for no ill dog; one that is
// called by its heart does not.
func TestCardOfIllName(t *testing.T) {
	for name, says := range map[string]bool{"Turkey and heart": false, "Pancreatitis stew": true, "Kidney diet": false} {
		turn, r := turnOf(t, turkey, planner.Units{})
		r.Name = name // it has kidney in it
		c, err := Of(turn, r, Publication{})
		if err != nil || (len(c.page.Amiss) > 0) != says {
			t.Errorf("%s: %v, says %q", name, err, c.page.Amiss)
		}
	}
}
