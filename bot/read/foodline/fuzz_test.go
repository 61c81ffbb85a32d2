package foodline

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// FuzzRecipeRoundTrip makes a recipe of bytes, prints it as lines and reads
// it again.
func FuzzRecipeRoundTrip(f *testing.F) {
	f.Add("Fuzz", []byte{1, 2, 3, 4, 5, 6, 7, 8}, false)
	f.Add("2 eggs:", []byte("turkey and heart, the whole of it, with everything"), true)
	f.Add("#", []byte{200, 0, 0, 0, 230, 9, 9, 9, 240, 1, 1, 1, 247, 200, 100, 50}, false)
	f.Fuzz(func(t *testing.T, name string, b []byte, ounces bool) {
		want := madeRecipe(b)
		want.Name = strings.TrimLeft(span.JoinFields(strings.ReplaceAll(span.Clean(name), "\n", " ")), "# ")
		want.Name, _ = span.FirstRunes(want.Name, 60)
		want.Name = strings.TrimSpace(want.Name)
		text := FormatLines(want, nutrition.Default(), planner.Units{Ounces: ounces})
		got := RecipeText(text, nutrition.Default())
		if len(got.Problems) > 0 {
			t.Fatalf("printed as\n%s\nproblems %v", text, got.Problems)
		}
		if r := untyped(got.Planner()); !sameRecipe(r, want) {
			t.Errorf("printed as\n%s\nread as %+v\nwant    %+v", text, r, want)
		}
	})
}

// source gives numbers made of bytes.
type source struct{ bytes []byte }

func (s *source) below(n int) int {
	if len(s.bytes) == 0 {
		return 0
	}
	x := int(s.bytes[0])
	s.bytes = s.bytes[1:]
	if n > 256 && len(s.bytes) > 0 {
		x = x<<8 + int(s.bytes[0])
		s.bytes = s.bytes[1:]
	}
	return x % n
}

// amount is any amount that a recipe may hold, round or not.
func (s *source) amount() float64 {
	return float64(s.below(30_000)+1) / []float64{1, 2, 4, 7, 10, 1000}[s.below(6)]
}

// madeRecipe makes a recipe of any bytes: every food of the table can be in
// it, with any weight, label and cadence, and every supplement as a dose of
// any kind that a line can say.
func madeRecipe(b []byte) planner.Recipe {
	s := &source{b}
	r := planner.Recipe{Days: []float64{0, 0, 1, 2, 7, 2.5}[s.below(6)]}
	foods := nutrition.Default().Foods()
	for len(s.bytes) > 0 && len(r.Ingredients)+len(r.Doses) < 30 {
		food := foods[s.below(len(foods)+1000)%len(foods)]
		if food.Has(nutrition.Supplement) && s.below(3) > 0 {
			r.Doses = append(r.Doses, madeDose(s, food))
			continue
		}
		in := planner.Ingredient{Food: food.Key, Grams: nutrition.Grams(s.amount())}
		for _, n := range madeNutrients(s) {
			in.Label = append(in.Label, planner.Fact{Nutrient: n, PerGram: s.amount() / 1000})
		}
		r.Ingredients = append(r.Ingredients, in)
	}
	return r
}

// madeNutrients are some nutrients, none twice.
func madeNutrients(s *source) (some []nutrition.Nutrient) {
	if s.below(3) > 0 {
		return nil
	}
	at := s.below(int(nutrition.NutrientCount))
	for range s.below(4) {
		some = append(some, nutrition.Nutrient(at))
		at = (at + 11) % int(nutrition.NutrientCount)
	}
	return some
}

func madeDose(s *source, food *nutrition.Food) planner.Dose {
	d := planner.Dose{Food: food.Key, Cadence: madeCadence(s), Per1000: s.below(3) == 0}
	if s.below(2) == 0 {
		d.Count, d.Form = float64(s.below(9)+1)/2, []string{"capsule", "tablet", "drop", "pump", "scoop", ""}[s.below(6)]
		if m, ok := food.MeasureOf(d.Form, ""); ok && d.Form != "" {
			d.Grams = m.Grams * nutrition.Grams(d.Count)
		}
	}
	for _, n := range madeNutrients(s) {
		d.Amounts = append(d.Amounts, planner.Amount{Nutrient: n, Amount: s.amount()})
	}
	if active, pure := activeOf(food); pure && s.below(3) == 0 {
		d.Amounts = []planner.Amount{{Nutrient: active, Amount: s.amount()}}
	}
	if s.below(3) == 0 || d.Count == 0 && len(d.Amounts) == 0 {
		d.Grams = nutrition.Grams(s.amount())
	}
	return d
}

func madeCadence(s *source) planner.Cadence {
	switch s.below(4) {
	case 1:
		return planner.Cadence{EveryDays: s.below(span.MaxEveryDays-1) + 2}
	case 2:
		return planner.Cadence{Weekdays: []time.Weekday{time.Monday, time.Weekday(2 + s.below(5))}}
	case 3:
		return planner.Cadence{PerWeek: s.below(5) + 2}
	}
	return planner.Cadence{}
}

// untyped drops how lines were typed, which printing does not keep.
func untyped(r planner.Recipe) planner.Recipe {
	for i := range r.Ingredients {
		r.Ingredients[i].Typed = ""
	}
	for i := range r.Doses {
		r.Doses[i].Typed = ""
	}
	return r
}

func sameRecipe(a, b planner.Recipe) bool {
	return reflect.DeepEqual(a, b)
}

// FuzzRecipeText reads anything: no line is lost, and what was read, printed
// and read again is the same.
func FuzzRecipeText(f *testing.F) {
	for _, s := range []string{
		"250 g turkey thigh\n2 eggs\nx", "½ lb beef heart, 3 eggs and 5 g salt", "a:\n# b\n1 2 3 4", "vitamin E 200 IU every 3 days", "\u202e١٢ g كبد",
		"1 tsp kelp powder (600 mcg iodine per g)", "10 drops vitamin D 100 IU weekly", "2 kg 500 lb rice 🐕", "2 (3.75 oz) cans sardines in oil; x + y",
		"kelp tablet 150 mcg iodine twice daily per 1000 kcal", "for 3 days\n2 x 3 eggs, 5 g each", "1tsp Aelp owder\n0mCg iodine per1C", "Aelp owder00g iodine per1C", "1t iodine per1C", `5 g "a" [egg] (b`, "zinc 1/3 mg/10 kg and a half",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := RecipeText(s, nutrition.Default())
		checkNothingLost(t, s, got)
		for _, l := range got.Lines {
			if (l.Ingredient == nil) == (l.Dose == nil) || l.Text == "" {
				t.Errorf("%q: neither or both: %+v", s, l)
			}
			if in := l.Ingredient; in != nil && !(in.Grams > 0 && in.Grams <= span.MostOfAFood) {
				t.Errorf("%q: %v g", s, in.Grams)
			}
		}
		for _, p := range got.Problems {
			if p.Code == "" || p.Line == 0 || strings.TrimSpace(p.Text) == "" || span.Clean(p.Text) != p.Text {
				t.Errorf("%q: problem %+v", s, p)
			}
		}
		r := untyped(got.Planner())
		text := FormatLines(r, nutrition.Default(), planner.Units{})
		again := RecipeText(text, nutrition.Default())
		if len(again.Problems) > 0 || !reflect.DeepEqual(untyped(again.Planner()), r) {
			t.Errorf("%q\nread    %+v\nprinted %q\nread    %+v\nproblems %v", s, r, text, again.Planner(), again.Problems)
		}
	})
}

// checkNothingLost wants every line that is not blank to be a line, a
// problem, a comment, a heading, the name or the days; from the first that is
// too long the rest is.
func checkNothingLost(t *testing.T, s string, got Recipe) {
	seen := map[int]bool{}
	end := 1 << 30
	for _, l := range got.Lines {
		seen[l.Number] = true
	}
	for _, p := range got.Problems {
		seen[p.Line] = true
		if p.Code == span.TooLong && p.Line < end {
			end = p.Line
		}
	}
	days, name := got.Days > 0, got.Name != ""
	for i, raw := range strings.Split(span.Clean(s), "\n") {
		line := trimBullet(raw, true)
		switch {
		case line == "" || strings.HasPrefix(line, "#") || strings.HasSuffix(line, ":") || seen[i+1] || i+1 > end:
		case days && daysOf("only-days", line) > 0:
			days = false
		case name && strings.HasPrefix(strings.ToLower(line), "recipe:"):
			name = false
		default:
			t.Errorf("line %d of %q is lost", i+1, s)
		}
	}
}

// FuzzClean cleans anything; a clean text stays as it is.
func FuzzClean(f *testing.F) {
	f.Add("１½ ﬁsh \u202e\u00a0١٢٣ 😀")
	f.Add("1\u00a0000\u00a0000 ²½")
	f.Fuzz(func(t *testing.T, s string) {
		once := span.Clean(s)
		if twice := span.Clean(once); twice != once {
			t.Errorf("%q cleaned to %q and again to %q", s, once, twice)
		}
	})
}

const twelveLines = `Turkey and heart:
500 g turkey thigh, no skin
1/2 lb beef heart
2 eggs
60 g chicken liver
40 g beef kidney
kale, cooked 40g
120 g sardines in tomato sauce
1 tsp kelp powder (600 mcg iodine per g)
30 g blueberries
1 tbsp olive oil
eggshell powder 5 g
vitamin E 200 IU every 3 days
`

// BenchmarkRecipe12Lines reads a recipe of twelve lines.
func BenchmarkRecipe12Lines(b *testing.B) {
	t := nutrition.Default()
	if got := RecipeText(twelveLines, t); len(got.Lines) != 12 {
		b.Fatalf("%d lines, problems %v", len(got.Lines), got.Problems)
	}
	b.ReportAllocs()
	for b.Loop() {
		RecipeText(twelveLines, t)
	}
}

// BenchmarkFormat12Lines prints it.
func BenchmarkFormat12Lines(b *testing.B) {
	t := nutrition.Default()
	r := RecipeText(twelveLines, t).Planner()
	b.ReportAllocs()
	for b.Loop() {
		FormatLines(r, t, planner.Units{})
	}
}

// BenchmarkRecipeWorst reads a paste of the longest lines that take most
// splitting.
func BenchmarkRecipeWorst(b *testing.B) {
	text := strings.Repeat(strings.Repeat("5 g kale, ", 28)+"\n", 33)
	b.ReportAllocs()
	for b.Loop() {
		RecipeText(text, nutrition.Default())
	}
}
