package nutrition

import "testing"

// A cut with bone is never a boneless food, and bone meal is what was asked for
// only where meal was said.
func TestFindWithBone(t *testing.T) {
	table := Default()
	for _, c := range []struct{ typed, food, near string }{
		{"chicken wings with skin and bone", "chicken-wing", ""},
		{"chicken thigh bone in", "chicken-thigh-bone-in", ""},
		{"bone meal", "bone-meal", ""},
		{"rib bones", "", "lamb-rib"},
		{"chicken bones", "", "chicken-wing"},
		{"beef bones", "", "beef-back-rib"},
		{"beef marrow bone", "", ""},
	} {
		f := table.Find(c.typed)
		key := func(f *Food) string {
			if f == nil {
				return ""
			}
			return f.Key
		}
		near := ""
		if len(f.Nearest) > 0 {
			near = f.Nearest[0].Key
		}
		if key(f.Food) != c.food || near != c.near || len(f.Choices) > 0 {
			t.Errorf("%s: %q, near %q of %d, %d choices; want %q, near %q", c.typed, key(f.Food), near, len(f.Nearest), len(f.Choices), c.food, c.near)
		}
		for _, n := range f.Nearest {
			if n.Key == "bone-meal" || !n.Has(BoneIn) {
				t.Errorf("%s: near %s", c.typed, n.Key)
			}
		}
	}
}
