package nutrition

import (
	"bufio"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// outcome writes a finding as testdata/find.txt does.
func outcome(f Finding) string {
	keys := func(foods []*Food) string {
		var k []string
		for _, f := range foods {
			k = append(k, f.Key)
		}
		return strings.Join(k, " ")
	}
	s := "-"
	switch {
	case f.Food != nil:
		s = "= " + f.Food.Key
	case f.Refused != nil:
		s = "! " + f.Refused.Key
	case f.Choices != nil:
		s = "? " + keys(f.Choices)
	case f.Nearest != nil:
		s = "~ " + keys(f.Nearest)
	}
	if len(f.Ignored) > 0 {
		s += " [" + strings.Join(f.Ignored, ", ") + "]"
	}
	return s
}

func TestFind(t *testing.T) {
	file, err := os.Open("testdata/find.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows := 0
	for lines := bufio.NewScanner(file); lines.Scan(); {
		query, want, ok := strings.Cut(lines.Text(), " | ")
		if !ok {
			continue
		}
		rows++
		if got := outcome(Default().Find(query)); got != want {
			t.Errorf("%s: %s, want %s", query, got, want)
		}
	}
	if rows < 120 {
		t.Errorf("only %d rows", rows)
	}
}

func TestEveryNameFindsItself(t *testing.T) {
	for _, f := range Default().Foods() {
		for _, q := range []string{f.Name, strings.ToUpper(f.Name), "  " + f.Name + " ."} {
			if got := Default().Find(q); got.Food != f {
				t.Errorf("%q: %s, want %s", q, outcome(got), f.Key)
			}
		}
	}
}

// The words of a key, as a carer might type them, lead to the food or to
// choices with it among them; a few are ordinary words of another food.
func TestEveryKeyFindsItself(t *testing.T) {
	other := map[string]bool{}
	for _, keys := range []string{
		"sardine-oil", // is the pressed oil to everyone
		"duck-skin turkey-breast-skin turkey-breast-skin-roasted chicken-breast-skin-roasted chicken-leg-skin-roasted chicken-meat-skin-boiled " +
			"chicken-meat-skin-roasted chicken-thigh-skin-roasted duck-skin-roasted", // are skin
		"chicken-neck-skinless-boiled chicken-wing-roasted pork-spare-rib-braised turkey-neck-boiled chicken-drumstick-skinless-roasted " +
			"chicken-leg-skinless-boiled chicken-leg-skinless-roasted turkey-drumstick-skinless-roasted", // are cooked bone
		"lamb-new-zealand-lean salmon-chum spirulina", // are another of their kind
		"flatfish flatfish-cooked honeydew potato-boiled-in-skin tuna-canned-water tuna-canned-water-no-salt tuna-white-canned-water " +
			"lamb-stew-braised veal-stew-braised milk-whole-fortified yogurt-skim beef-ground-80-patty-grilled", // are words of the table's own
		"mackerel-canned laver lamb-rib-us lamb-shank-us tuna-canned-oil buttermilk cottage-cheese-lowfat mozzarella potato-baked peanut-butter butter stock-beef", // only come near
	} {
		for _, key := range strings.Fields(keys) {
			other[key] = true
		}
	}
	for _, f := range Default().Foods() {
		got := Default().Find(strings.ReplaceAll(f.Key, "-", " "))
		found := got.Food == f || slices.Contains(got.Choices, f)
		if found == other[f.Key] {
			t.Errorf("%s: %s", f.Key, outcome(got))
		}
		if strings.Contains(f.Key, "-") && Default().Find(f.Key).Food != f {
			t.Errorf("the key %s itself: %s", f.Key, outcome(Default().Find(f.Key)))
		}
	}
}

// One slip in a food's name never makes a refused food of it, and one in a
// refused food never an allowed one.
func TestSlipsNeverCrossOver(t *testing.T) {
	x, seen := Default().index(), map[string]bool{}
	for _, f := range Default().Foods() {
		for _, w := range split(nil, f.Name) {
			if seen[w.text] {
				continue
			}
			seen[w.text] = true
			for _, slip := range slips(w.text) {
				if x.known[cutPlural(slip)] || len(slip) > 6 {
					continue
				}
				if got := Default().Find(slip); got.Refused != nil && len(cutPlural(slip)) < 5 {
					t.Errorf("%q of %q is refused as %s", slip, f.Name, got.Refused.Name)
				}
			}
		}
	}
	for _, rules := range x.rules {
		for _, r := range rules {
			if len(r.words) > 1 || r.cooked {
				continue
			}
			for _, slip := range slips(r.words[0]) {
				if x.known[cutPlural(slip)] {
					continue // a word of its own: beer, beef
				}
				if got := Default().Find(slip); got.Food != nil || got.Choices != nil {
					t.Errorf("%q, a slip of %q: %s", slip, r.words[0], outcome(got))
				}
			}
		}
	}
}

// slips returns a word with each letter left out, doubled, swapped with the
// next or hit one key off.
func slips(w string) (out []string) {
	for i := range len(w) {
		out = append(out, w[:i]+w[i+1:], w[:i]+w[i:i+1]+w[i:])
		if i+1 < len(w) {
			out = append(out, w[:i]+w[i+1:i+2]+w[i:i+1]+w[i+2:])
		}
		for c := 'a'; c <= 'z'; c++ {
			out = append(out, w[:i]+string(c)+w[i+1:])
		}
	}
	return out
}

// A known word is never taken for another.
func TestKnownWordsStay(t *testing.T) {
	x := Default().index()
	for _, s := range x.spellings {
		words := []word{{text: s.text}}
		if x.mend(words); words[0].text != s.text {
			t.Errorf("%q becomes %q", s.text, words[0].text)
		}
	}
}

func TestSplit(t *testing.T) {
	tests := []struct {
		text string
		want []string
	}{
		{"Berries, potatoes & radishes", []string{"berry", "potato", "radish"}},
		{"leaves boxes swiss asparagus olives", []string{"leaf", "box", "swiss", "asparagus", "olive"}},
		{"Lamb's hearts'", []string{"lamb", "heart"}},
		{"crème brûlée", []string{"creme", "brulee"}},
		{"85%lean 1,5kg", []string{"#85%", "lean", "#1.5", "kg"}},
		{"80 / 20", []string{"#80%"}},
		{"5 percent", []string{"#5%"}},
	}
	for _, tt := range tests {
		var got []string
		for _, w := range split(nil, tt.text) {
			s := w.text
			if s == "" {
				if s = fmt.Sprintf("#%v", w.number); w.percent {
					s += "%"
				}
			}
			got = append(got, s)
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("%q: %q, want %q", tt.text, got, tt.want)
		}
	}
}

func TestErrorsBetween(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"heart", "heart", 0}, {"heart", "hart", 1}, {"heart", "haert", 1}, {"heart", "heard", 1}, {"hart", "haert", 1},
		{"liver", "lvier", 1}, {"livers", "lvier", 2}, {"chicken", "chiken", 1}, {"chciken", "chiken", 1}, {"chicken", "kitchen", 4},
		{"venison", "venision", 1}, {"ca", "abc", 3}, {"a", "", 1}, {"", "", 0}, {"abcdefghijklmnopqrstuvwx", "bcdefghijklmnopqrstuvwx", 1},
	} {
		for limit := range 5 {
			for _, got := range []int{errorsBetween(c.a, c.b, limit), errorsBetween(c.b, c.a, limit)} {
				if c.want <= limit && got != c.want || c.want > limit && got <= limit {
					t.Errorf("errorsBetween(%q, %q, %d) = %d, want %d", c.a, c.b, limit, got, c.want)
				}
			}
		}
	}
}

func TestFindRefusal(t *testing.T) {
	if r := FindRefusal("some raisins"); r == nil || r.Key != "grape" || r.Name != "raisin" {
		t.Errorf("raisins: %+v", r)
	}
	if r := FindRefusal("carrot"); r != nil {
		t.Errorf("carrot: %+v", r)
	}
	named := map[string]bool{}
	for _, rules := range Default().index().rules {
		for _, r := range rules {
			named[r.Key] = true
			if r.Name == "" {
				t.Errorf("%v has no name", r.words)
			}
		}
	}
	for _, k := range RefusalKeys {
		if !named[k] {
			t.Errorf("nothing is refused as %s", k)
		}
	}
}

var awkward = []string{
	"", " ", "\x00\x01\x02", "%", "%%%", "5%", "80/20", "/", "-", "--", "a-b", strings.Repeat("chicken ", 1300), strings.Repeat("x", 10000),
	strings.Repeat("%", 10000), strings.Repeat("1/", 5000), "\u202echicken heart\u202c", "🍗 chicken heart 🍖", "\xff\xfe chicken", "قلب الدجاج", "鶏のハツ",
	"1,5,5.5.", "99999999999999999999999999999%", "chicken" + strings.Repeat("\u0301", 300), "no", "without", "no no no", "the of a", "lean", "omega",
}

func TestFindAwkward(t *testing.T) {
	for _, q := range awkward {
		f := Default().Find(q)
		checkFinding(t, q, f)
	}
	for _, q := range []string{"\u202echicken heart\u202c", "🍗 chicken heart 🍖", "chicken\u200bheart", "chicken\theart\n"} {
		if got := Default().Find(q); got.Food != Default().Food("chicken-heart") {
			t.Errorf("%q: %s", q, outcome(got))
		}
	}
}

func checkFinding(t *testing.T, q string, f Finding) {
	t.Helper()
	set := 0
	for _, is := range []bool{f.Food != nil, len(f.Choices) > 0, len(f.Nearest) > 0, f.Refused != nil} {
		if is {
			set++
		}
	}
	if set > 1 || len(f.Choices) == 1 || len(f.Choices) > 5 || len(f.Nearest) > 3 {
		t.Errorf("%.50q: %s", q, outcome(f))
	}
	for _, w := range f.Ignored {
		if !strings.Contains(q, w) && !strings.HasSuffix(w, "%") || !utf8.ValidString(w) && utf8.ValidString(q) {
			t.Errorf("%.50q ignored %q, which was not typed", q, w)
		}
	}
}

func FuzzFind(f *testing.F) {
	for _, q := range awkward {
		f.Add(q)
	}
	for _, food := range Default().Foods() {
		f.Add(food.Name)
	}
	f.Add("beef mince 12% fat with onion, no skin")
	f.Fuzz(func(t *testing.T, q string) { checkFinding(t, q, Default().Find(q)) })
}

func BenchmarkFindExact(b *testing.B) {
	t := Default()
	for b.Loop() {
		t.Find("turkey thigh, no skin")
	}
}

func BenchmarkFindTypo(b *testing.B) {
	t := Default()
	for b.Loop() {
		t.Find("chiken hart")
	}
}

func BenchmarkFindNothing(b *testing.B) {
	t := Default()
	for b.Loop() {
		t.Find("wagyu sirloin stek")
	}
}

// What a word may be a slip of does not depend on the order of a map.
func TestIndexIsAlwaysTheSame(t *testing.T) {
	first := newIndex(Default().foods)
	for range 4 {
		if again := newIndex(Default().foods); !slices.Equal(first.spellings, again.spellings) {
			t.Fatal("the known words differ from one index to the next")
		}
	}
}
