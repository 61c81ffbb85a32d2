package nutrition

import (
	"slices"
	"strings"
	"testing"
)

// An everyday name and the finding that its row of names.csv stands for.
type everydayName struct {
	name string
	kind string // "same", "ambiguous", "nearest" or "none"
	keys []string
}

func everydayNames() (names []everydayName) {
	records("names.csv", func(cell func(string) string) error {
		keys := strings.Fields(cell("means")[1:])
		kind := "nearest"
		switch {
		case len(keys) == 0:
			kind = "none"
		case cell("means")[0] == '=' && len(keys) == 1:
			kind = "same"
		case cell("means")[0] == '=':
			kind = "ambiguous"
		}
		for n := range strings.SplitSeq(cell("names"), "|") {
			names = append(names, everydayName{n, kind, keys})
		}
		return nil
	})
	return names
}

// right reports that a finding is what the name should lead to: the food, or
// all candidates in order; for one that is no food of the table, that none is
// taken without a question.
func (n everydayName) right(f Finding) bool {
	switch n.kind {
	case "same":
		return f.Food != nil && f.Food.Key == n.keys[0]
	case "ambiguous":
		return slices.Equal(keysOf(f.Choices), n.keys)
	}
	return f.Food == nil
}

func keysOf(foods []*Food) (keys []string) {
	for _, f := range foods {
		keys = append(keys, f.Key)
	}
	return keys
}

// written is a name as another would write it.
var written = map[string]func(string) string{
	"as it is":    func(s string) string { return s },
	"in capitals": strings.ToUpper,
	"turned round": func(s string) string {
		w := strings.Fields(strings.ReplaceAll(s, ",", ""))
		slices.Reverse(w)
		return strings.Join(w, " ")
	},
	"of a plural": func(s string) string {
		if strings.HasSuffix(s, "s") {
			return s
		}
		return s + "s"
	},
	"with a letter left out": func(s string) string { return slipIn(s, func(w string, i int) string { return w[:i] + w[i+1:] }) },
	"with a letter twice": func(s string) string {
		return slipIn(s, func(w string, i int) string { return w[:i] + w[i:i+1] + w[i:] })
	},
	"with two letters swapped": func(s string) string {
		return slipIn(s, func(w string, i int) string { return w[:i] + w[i+1:i+2] + w[i:i+1] + w[i+2:] })
	},
}

// slipIn makes a slip in the middle of the longest word of letters.
func slipIn(s string, slip func(w string, i int) string) string {
	longest := ""
	for _, w := range strings.FieldsFunc(s, func(r rune) bool { return r < 'a' || r > 'z' }) {
		if len(w) > len(longest) {
			longest = w
		}
	}
	if len(longest) < 5 {
		return s
	}
	return strings.Replace(s, longest, slip(longest, len(longest)/2), 1)
}

// Of the everyday names, 98 of a hundred that mean one food find it, 95 that
// mean several ask which, likeliest first, and none that means no food of the
// table is taken for one. Slips, plurals and the order of words leave most so.
func TestEverydayNames(t *testing.T) {
	whole := map[string]float64{"same": 0.98, "ambiguous": 0.95, "nearest": 1, "none": 1}
	slipped := map[string]float64{"same": 0.95, "ambiguous": 0.92, "nearest": 0.998, "none": 0.997}
	for how, write := range written {
		least := whole
		if how != "as it is" {
			least = slipped
		}
		all, right := map[string]int{}, map[string]int{}
		for _, n := range everydayNames() {
			all[n.kind]++
			if n.right(Default().Find(write(n.name))) {
				right[n.kind]++
			}
		}
		for kind, part := range least {
			if float64(right[kind]) < part*float64(all[kind]) {
				t.Errorf("%s: %d of %d names of kind %s are right, want %.1f %%", how, right[kind], all[kind], kind, 100*part)
			}
		}
		t.Logf("%s: %v of %v", how, right, all)
	}
}

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
