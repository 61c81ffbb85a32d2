package foodline

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// brief writes a line down as the tables of these tests have it.
func brief(l Line) string {
	var b strings.Builder
	if d := l.Dose; d != nil {
		b.WriteString("dose " + d.Food)
		if d.Count > 0 {
			fmt.Fprintf(&b, " %g×%s", d.Count, d.Form)
		}
		if d.Grams > 0 {
			fmt.Fprintf(&b, " %.5gg", float64(d.Grams))
		}
		for _, a := range d.Amounts {
			fmt.Fprintf(&b, " %s=%.5g", a.Nutrient, a.Amount)
		}
		if d.Per1000 {
			b.WriteString(" per1000")
		}
		return b.String() + ", " + span.FormatCadence(d.Cadence)
	}
	fmt.Fprintf(&b, "%s %.6gg", l.Ingredient.Food, float64(l.Ingredient.Grams))
	for _, f := range l.Ingredient.Label {
		fmt.Fprintf(&b, " %s=%.5g/g", f.Nutrient, f.PerGram)
	}
	return b.String()
}

// briefText writes down all that a text gives, with a problem as its code and
// the part that it is about.
func briefText(text string) string {
	got := RecipeText(text, nutrition.Default())
	var parts []string
	for _, l := range got.Lines {
		parts = append(parts, brief(l))
	}
	for _, p := range got.Problems {
		parts = append(parts, string(p.Code)+": "+p.Part)
	}
	return strings.Join(parts, "; ")
}

func checkLines(t *testing.T, rows [][2]string) {
	t.Helper()
	for _, c := range rows {
		if got := briefText(c[0]); got != c[1] {
			t.Errorf("%q\n got %s\nwant %s", c[0], got, c[1])
		}
	}
}

// Weights of household measures are those of USDA SR26; an ounce is
// 28.349523125 g and a pound 453.59237 g (international agreement of 1959).
func TestLinesByWeight(t *testing.T) {
	checkLines(t, [][2]string{
		{"250 g turkey thigh, no skin", "turkey-thigh-skinless 250g"},
		{"250g turkey thigh", "turkey-thigh-skinless 250g"},
		{"TURKEY THIGH 250 G", "turkey-thigh-skinless 250g"},
		{"turkey thigh 250 g", "turkey-thigh-skinless 250g"},
		{"turkey thigh - 250g", "turkey-thigh-skinless 250g"},
		{"turkey thigh -250g", "turkey-thigh-skinless 250g"},
		{"turkey thigh: 0.25 kg", "turkey-thigh-skinless 250g"},
		{"turkey thigh = 250 g", "turkey-thigh-skinless 250g"},
		{"turkey thigh, 250 grams", "turkey-thigh-skinless 250g"},
		{"turkey thigh (250 g)", "turkey-thigh-skinless 250g"},
		{"250 g turkey thigh (no skin, boneless)", "turkey-thigh-skinless 250g"},
		{"- 250 grams of turkey thigh", "turkey-thigh-skinless 250g"},
		{"• 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"1. 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"2) 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"[x] 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"about 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"~250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"250 g (9 oz) turkey thigh", "turkey-thigh-skinless 250g"},
		{"250g/9oz turkey thigh", "turkey-thigh-skinless 250g"},
		{"9 oz ground lamb 85%", "lamb-ground 255.146g"},
		{"9oz. lamb mince", "lamb-ground 255.146g"},
		{"4 ounces of beef heart", "beef-heart 113.398g"},
		{"1/2 lb beef heart", "beef-heart 226.796g"},
		{"½lb beef heart", "beef-heart 226.796g"},
		{"half a pound of beef heart", "beef-heart 226.796g"},
		{"a quarter of a pound of beef heart", "beef-heart 113.398g"},
		{"quarter pound beef heart", "beef-heart 113.398g"},
		{"half a kilo of beef heart", "beef-heart 500g"},
		{"one and a half pounds of beef heart", "beef-heart 680.389g"},
		{"1 lb 4 oz beef heart", "beef-heart 566.99g"},
		{"1 lb and 4 oz beef heart", "beef-heart 566.99g"},
		{"2 kg 500 g beef heart", "beef-heart 2500g"},
		{"1½ lb beef heart", "beef-heart 680.389g"},
		{"1 1/2 lb beef heart", "beef-heart 680.389g"},
		{"1-1/2 lb beef heart", "beef-heart 680.389g"},
		{"1,5 kg beef heart", "beef-heart 1500g"},
		{"0,25 kg beef heart", "beef-heart 250g"},
		{".5 kg beef heart", "beef-heart 500g"},
		{"1,250 g beef heart", "beef-heart 1250g"},
		{"1,250 kg beef heart", "beef-heart 1250g"},
		{"1\u202f250 g beef heart", "beef-heart 1250g"},
		{"1.234,5 g beef heart", "beef-heart 1234.5g"},
		{"500 mg salt", "salt 0.5g"},
		{"2 x 250 g beef heart", "beef-heart 500g"},
		{"2×250g beef heart", "beef-heart 500g"},
		{"500g 80/20 ground beef", "beef-ground-80 500g"},
		{"500 g ground beef 80/20", "beef-ground-80 500g"},
		{"3 lbs ground beef 85", "beef-ground-85 1360.78g"},
		{"ground beef 85, 3 lbs", "beef-ground-85 1360.78g"},
		{"ground beef 85 3 lbs", "beef-ground-85 1360.78g"},
		{"500 g mince 80/20", "beef-ground-80 500g"},
		{"mince 80/20 500 g", "beef-ground-80 500g"},
		{"500 g ground beef, 85 % lean", "beef-ground-85 500g"},
		{"10% fat beef mince 500 g", "beef-ground-90 500g"},
		{"100 g cottage cheese, 2 % fat", "cottage-cheese 100g"},
		{"80 g pork leaf fat", "pork-leaf-fat 80g"},
		{"pork leaf fat 80 g", "pork-leaf-fat 80g"},
		{"light tuna in water 100 g", "tuna-canned-water 100g"},
		{"chicken leg quarter 250 g", "chicken-leg 250g"},
		{"chiken hart 100 g", "chicken-heart 100g"},
		{"kale, cooked 40g", "kale-cooked 40g"},
		{"cooked kale 40 g", "kale-cooked 40g"},
		{"raw courgette 50 g", "zucchini 50g"},
		{"400 g tin of pumpkin", "pumpkin-canned 400g"},
		{`250 g "turkey thigh, boneless, no skin"`, "turkey-thigh-skinless 250g"},
		{"250 g [turkey-thigh-skinless]", "turkey-thigh-skinless 250g"},
	})
}

func TestLinesByMeasure(t *testing.T) {
	checkLines(t, [][2]string{
		{"2 eggs", "egg 100g"},
		{"egg x 2", "egg 100g"},
		{"2 x eggs", "egg 100g"},
		{"2x egg", "egg 100g"},
		{"eggs: 2", "egg 100g"},
		{"two eggs", "egg 100g"},
		{"an egg", "egg 50g"},
		{"a dozen eggs", "egg 600g"},
		{"half a dozen eggs", "egg 300g"},
		{"3 large eggs", "egg 150g"},
		{"3 small eggs", "egg 114g"},
		{"1 extra large egg", "egg 56g"},
		{"2 egg yolks", "egg-yolk 34g"},
		{"1 hard-boiled egg", "egg-boiled 50g"},
		{"3 chicken hearts", "chicken-heart 18.3g"},
		{"2 chicken leg quarters", "chicken-leg 688g"},
		{"1 large carrot", "carrot 72g"},
		{"2 medium carrots, grated", "carrot 122g"},
		{"3 sprigs parsley", "parsley 3g"},
		{"1 tbsp olive oil", "olive-oil 13.5g"},
		{"2 tbsp. olive oil", "olive-oil 27g"},
		{"2 tablespoons of olive oil", "olive-oil 27g"},
		{"1 level tsp salmon oil", "salmon-oil 4.5g"},
		{"½ cup blueberries", "blueberry 74g"},
		{"a cup of blueberries", "blueberry 148g"},
		{"1 cup chopped kale", "kale 67g"},
		{"1 cup 2 tbsp olive oil", "olive-oil 243g"},
		{"2 tbsp ground flaxseed", "flaxseed 14g"},
		{"2 tbsp whole flaxseed", "flaxseed 20.6g"},
		{"8 fl oz goat milk", "goat-milk 244g"},
		// USDA's cup of goat milk is 244 g, and a cup 236.588 ml.
		{"100 ml goat milk", "goat-milk 103.133g"},
		{"2,5 dl goat milk", "goat-milk 257.832g"},
		{"1 can sardines in tomato sauce", "sardine-tomato 370g"},
		{"2 cans (120 g) sardines in tomato sauce", "sardine-tomato 240g"},
		{"2 (120 g) cans sardines in tomato sauce", "sardine-tomato 240g"},
		{"2 120 g cans sardines in tomato sauce", "sardine-tomato 240g"},
		// The source's can of 3.75 oz holds 92 g, drained.
		{"1 can (3.75 oz) sardines in oil", "sardine-oil 92g"},
		{"2 eggs (100 g)", "egg 100g"},
		{"2 eggs, 55 g each", "egg 110g"},
		{"2 turkey thighs, 500 g in all", "turkey-thigh-skinless 500g"},
		{"1 tsp eggshell powder", "eggshell-powder 5g"},
		{"kelp powder 1/4 tsp", "kelp-powder 0.625g"},
		{"1 egg a day", "egg 50g"},
		{"1 egg twice a day", "egg 100g"},
	})
}

func TestLabels(t *testing.T) {
	checkLines(t, [][2]string{
		{"1 tsp kelp powder (600 mcg iodine per g)", "kelp-powder 2.5g iodine=600/g"},
		{"kelp powder 2 g, 600 µg iodine/g", "kelp-powder 2g iodine=600/g"},
		{"kelp powder 2 g (iodine 600 µg/g)", "kelp-powder 2g iodine=600/g"},
		{"kelp powder 2 g, 600 µg/g iodine", "kelp-powder 2g iodine=600/g"},
		{"kelp powder 2 g (0.06 % , iodine: 60 mg per 100 g)", "kelp-powder 2g iodine=600/g"},
		{"kelp powder 2 g iodine 1200 µg", "kelp-powder 2g iodine=600/g"},
		{"100 g beef heart (120 kcal per 100 g)", "beef-heart 100g energy=1.2/g"},
		{"100 g beef heart (502 kJ per 100 g)", "beef-heart 100g energy=1.1998/g"},
		{"100 g beef heart (120 kcal/100g, 17 g protein per 100 g)", "beef-heart 100g energy=1.2/g protein=0.17/g"},
		{"1 tsp salmon oil (810 mg EPA per tsp)", "salmon-oil 4.5g epa=0.18/g"},
		{"vitamin E oil 5 g (200 IU/g)", "vitamin-e 5g vitamin-e=200/g"},
		{"vitamin E 5 g weighed", "vitamin-e 5g"},
	})
}

// Conversions of vitamins E and D: USP units, as in nutrition/value.go.

func TestSeveralOnALine(t *testing.T) {
	checkLines(t, [][2]string{
		{"250 g turkey thigh, 100 g beef heart", "turkey-thigh-skinless 250g; beef-heart 100g"},
		{"250 g turkey thigh, no skin, 100 g kale, cooked and 2 eggs", "turkey-thigh-skinless 250g; kale-cooked 100g; egg 100g"},
		{"turkey thigh, no skin 250 g, kale, cooked 40 g", "turkey-thigh-skinless 250g; kale-cooked 40g"},
		{"250 g turkey thigh; 100 g beef heart; kale", "turkey-thigh-skinless 250g; beef-heart 100g; no-amount: kale"},
		{"turkey thigh 500 g + heart", "turkey-thigh-skinless 500g; no-amount: heart"},
		{"zinc 15 mg, copper 2 mg", "dose zinc zinc=15, daily; dose copper copper=2, daily"},
		{"fish oil 1000 mg, EPA 180 mg, DHA 120 mg", "fish-oil-capsule 1g epa=0.18/g dha=0.12/g"},
		{"1,5 kg beef heart, 2 eggs", "beef-heart 1500g; egg 100g"},
		{"500 g lamb, leg and shoulder, lean", "lamb-stew 500g"},
	})
}

func TestLineProblems(t *testing.T) {
	checkLines(t, [][2]string{
		{"turkey", "no-amount: turkey"},
		{"2. eggs", "no-amount: eggs"},
		{"vitamin E daily", "no-amount: vitamin E"},
		{"salt, pinch", "no-amount: salt, pinch"},
		{"250 g", "no-food: 250 g"},
		{"0 g beef heart", "zero: 0 g"},
		{"-5 g", "negative: -5 g"},
		{"beef heart: -5 g", "negative: -5 g"},
		{"−5 g beef heart", "negative: -5 g"},
		{"10 t of liver", "too-much: 10 t"},
		{"101 kg beef heart", "too-much: 101 kg"},
		{"60 x 2 kg beef heart", "too-much: 60 x 2 kg beef heart"},
		{"1" + strings.Repeat("0", 50) + " g beef heart", "too-much: 1" + strings.Repeat("0", 50) + " g"},
		{"1/0 g beef heart", "bad-number: 1/0 g"},
		{"1.2.3 g beef heart", "bad-number: 1.2.3 g"},
		{"2 500 g beef heart", "bad-number: 2 500 g"},
		{"2 kg 500 lb beef heart", "mixed-units: 2 kg 500 lb"},
		{"100 g beef heart 200 g", "two-amounts: 200 g"},
		{"250 g (12 oz) beef heart", "two-amounts: 12 oz"},
		{"2 turkey thighs (600 g)", "two-amounts: 600 g"},
		{"2-3 eggs", "two-amounts: 2-3"},
		{"100–150 g beef heart", "two-amounts: 100–150"},
		{"2 to 3 eggs", "two-amounts: 2 to 3"},
		{"20 g raisins", "refused-food: raisins"},
		{"raisins", "refused-food: raisins"},
		{"-3 g onion powder", "refused-food: onion powder"},
		{"30 g wombat fillet", "unknown-food: wombat fillet"},
		{"250 g [no-such-food]", "unknown-food: [no-such-food]"},
		{"3 oz salmon", "ambiguous-food: salmon"},
		{"a handful of parsley", "no-measure: a handful"},
		{"1 bunch parsley", "no-measure: 1 bunch"},
		{"100 ml beef heart", "no-measure: 100 ml"},
		{"3 pumps salmon oil", "no-measure: 3 pumps"},
		{"500 IU kelp powder", "no-measure: 500 IU"},
		{"vitamin E 200 IU every 0 days", "bad-cadence: every 0 days"},
		{"vitamin E 200 IU every 10000 days", "bad-cadence: every 10000 days"},
		{"vitamin E 200 IU every now and then", "bad-cadence: every now and"},
		{"vitamin E 200 IU twice a week daily", "bad-cadence: daily"},
		{"zinc 10 mg per kg body weight", "bad-basis: per kg body"},
		{"1 capsule vitamin E 400 IU per 10 kg", "bad-basis: per 10 kg"},
		{"1 capsule vitamin E 400 IU/10 kg", "bad-basis: /10 kg"},
		{"zinc 5 mg per 500 kcal", "bad-basis: per 500 kcal"},
	})
}

func TestUnusualCharacters(t *testing.T) {
	checkLines(t, [][2]string{
		{"250 g turkey thigh 🦃", "turkey-thigh-skinless 250g"},
		{"🦴 250 g beef heart 🥩", "beef-heart 250g"},
		{"\u202e250 g turkey thigh\u202c", "turkey-thigh-skinless 250g"},
		{"250\u00a0g\u200b turkey\tthigh\x00", "turkey-thigh-skinless 250g"},
		{"２５０ｇ turkey thigh", "turkey-thigh-skinless 250g"},
		{"٢٥٠ g turkey thigh", "turkey-thigh-skinless 250g"},
		{"250 ㎎ salt", "salt 0.25g"},
		{"", ""},
		{" \r\n\t\n", ""},
		{"🐕", ""},
		{"---", ""},
	})
}

func TestProblemWith(t *testing.T) {
	table := nutrition.Default()
	p := RecipeText("\n3 oz salmon", table).Problems[0]
	if !slices.Contains(p.Finding.Choices, table.Food("salmon-pink")) && len(p.Finding.Choices) < 2 {
		t.Fatalf("choices of salmon: %+v", p.Finding)
	}
	line, ok := With(p, table.Food("salmon-pink"))
	if !ok || line.Number != 2 || brief(line) != "salmon-pink 85.0486g" {
		t.Errorf("With = %+v, %v", line, ok)
	}
	if _, ok := With(RecipeText("turkey", table).Problems[0], table.Food("turkey-ground")); ok {
		t.Error("a line without an amount was completed by a food")
	}
	if _, ok := With(RecipeText("5 g raisins", table).Problems[0], table.Food("blueberry")); ok {
		t.Error("a refused food was replaced")
	}
	if line, ok := With(RecipeText("200 g", table).Problems[0], table.Food("beef-heart")); !ok || brief(line) != "beef-heart 200g" {
		t.Errorf("an amount completed by a food: %+v, %v", line, ok)
	}
}

// TestMeasureIsNamed says which household measure was taken and what was
// ignored.
func TestMeasureIsNamed(t *testing.T) {
	got := RecipeText("2 eggs\n9 oz organic lamb mince 85%", nutrition.Default())
	m := got.Lines[0].Measure
	if m == nil || m.Unit != "piece" || m.Note != "large" || m.Source == "" || got.Lines[0].Count != 2 {
		t.Errorf("eggs: %+v × %v", m, got.Lines[0].Count)
	}
	if want := []string{"organic", "85%"}; got.Lines[1].Measure != nil || !slices.Equal(got.Lines[1].Ignored, want) {
		t.Errorf("lamb: %+v, ignored %q", got.Lines[1].Measure, got.Lines[1].Ignored)
	}
}

// TestSlipsOfEvery reads a cadence whose first word has a slip: left unread it
// would make a single reminder of a series.
func TestSlipsOfEvery(t *testing.T) {
	for _, s := range []string{"vitamin E 200 IU evry 3 days", "vitamin E 200 IU evrey 3 days", "vitamin E 200 IU everey third day"} {
		if got, want := briefText(s), briefText("vitamin E 200 IU every 3 days"); got != want {
			t.Errorf("%q = %s, want %s", s, got, want)
		}
		w, err := span.WhenText(s, time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC))
		if err != nil || !w.Repeats || w.Cadence.EveryDays != 3 {
			t.Errorf("%q = %+v, %v", s, w, err)
		}
	}
	if w, err := span.WhenText("the eery sound on Friday 10:00", time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)); err != nil || w.Repeats {
		t.Errorf("%+v, %v", w, err)
	}
}
