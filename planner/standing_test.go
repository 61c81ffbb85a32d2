package planner

import "testing"

// Going back brings back what was said then; what a recipe is not to be all of
// a dog's food for stays, where nothing was.
func TestGoBackStanding(t *testing.T) {
	checked := Standing{Kind: IsComplete, Table: "aafco-adult", CheckedBy: "Dr Ada Finn", CheckedAt: "March 2026"}
	topper, some := Standing{Kind: IsTopper}, Standing{Kind: ForSomeDays, CheckedBy: "Dr Ada Finn"}
	for _, c := range []struct {
		name           string
		then, is, want Standing
	}{
		{"complete then", checked, Standing{}, checked},
		{"complete then, a topper now", checked, topper, checked},
		{"nothing said then, a topper now", Standing{}, topper, topper},
		{"checked then, for some days now", Standing{CheckedBy: "Tomas"}, some, Standing{Kind: ForSomeDays, CheckedBy: "Tomas"}},
		{"nothing said then, complete now", Standing{}, checked, Standing{}},
	} {
		r := Recipe{Ingredients: lines("kale", 60), Standing: c.is, Number: 2}
		r.GoBack(Version{Number: 1, Ingredients: lines("kale", 50), Standing: c.then}, r.Since)
		if r.Standing != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, r.Standing, c.want)
		}
		if was, _ := r.Version(2); was.Standing != c.is {
			t.Errorf("%s: version 2 keeps %+v", c.name, was.Standing)
		}
	}
}
