package read

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// brief writes a line down as the table of TestLines has it.
func brief(l Line) string {
	if d := l.Dose; d != nil {
		s := d.Food
		if d.Count > 0 {
			s += fmt.Sprintf(" %g×%s", d.Count, d.Form)
		}
		if d.Grams > 0 {
			s += fmt.Sprintf(" %.4gg", float64(d.Grams))
		}
		for _, a := range d.Amounts {
			s += fmt.Sprintf(" %s=%.4g", a.Nutrient, a.Amount)
		}
		if d.Per1000 {
			s += " per1000"
		}
		return s + " " + FormatCadence(d.Cadence)
	}
	s := fmt.Sprintf("%s %.5gg", l.Ingredient.Food, float64(l.Ingredient.Grams))
	for _, f := range l.Ingredient.Label {
		s += fmt.Sprintf(" %s=%.4g/g", f.Nutrient, f.PerGram)
	}
	return s
}

// TestLines reads lines as people write them. Weights of household measures
// are those of USDA SR26; of powders common practice, no source.
func TestLines(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"250 g turkey thigh, no skin", "turkey-thigh-skinless 250g"},
		{"250g turkey thigh", "turkey-thigh-skinless 250g"},
		{"turkey thigh 250 g", "turkey-thigh-skinless 250g"},
		{"turkey thigh - 250g", "turkey-thigh-skinless 250g"},
		{"turkey thigh: 0.25 kg", "turkey-thigh-skinless 250g"},
		{"- 250 grams of turkey thigh", "turkey-thigh-skinless 250g"},
		{"• 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"1. 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"2) 250 g turkey thigh", "turkey-thigh-skinless 250g"},
		{"TURKEY THIGH 250 G", "turkey-thigh-skinless 250g"},
		{"9 oz ground lamb 85%", "lamb-ground 255.15g"},
		{"9oz. lamb mince", "lamb-ground 255.15g"},
		{"1/2 lb beef heart", "beef-heart 226.8g"},
		{"½ lb beef heart", "beef-heart 226.8g"},
		{"half a pound of beef heart", "beef-heart 226.8g"},
		{"1 lb 4 oz beef heart", "beef-heart 566.99g"},
		{"1½ lb beef heart", "beef-heart 680.39g"},
		{"1 1/2 lb beef heart", "beef-heart 680.39g"},
		{"1,5 kg beef heart", "beef-heart 1500g"},
		{"1,250 g beef heart", "beef-heart 1250g"},
		{"1,250 kg beef heart", "beef-heart 1250g"},
		{"chiken hart 100 g", "chicken-heart 100g"},
		{"2 eggs", "egg 100g"},
		{"egg x 2", "egg 100g"},
		{"2 x egg", "egg 100g"},
		{"two eggs", "egg 100g"},
		{"an egg", "egg 50g"},
		{"3 large eggs", "egg 150g"},
		{"3 small eggs", "egg 114g"},
		{"2 egg yolks", "egg-yolk 34g"},
		{"3 chicken hearts", "chicken-heart 18.3g"},
		{"1 tbsp olive oil", "olive-oil 13.5g"},
		{"2 tablespoons of olive oil", "olive-oil 27g"},
		{"1 tsp salmon oil", "salmon-oil 4.5g"},
		{"½ cup blueberries", "blueberry 74g"},
		{"kale, cooked 40g", "kale-cooked 40g"},
		{"cooked kale 40 g", "kale-cooked 40g"},
		{"courgette 50 g", "zucchini 50g"},
		{"1 tsp kelp powder (600 mcg iodine per g)", "kelp-powder 2.5g iodine=600/g"},
		{"kelp powder 2 g, 600 µg iodine/g", "kelp-powder 2g iodine=600/g"},
		{"kelp powder 2 g (iodine 600 ug/g)", "kelp-powder 2g iodine=600/g"},
		{"100 g beef heart (120 kcal per 100 g)", "beef-heart 100g energy=1.2/g"},
		{"eggshell powder 5 g", "eggshell-powder 5g"},
		{"1 tsp eggshell powder", "eggshell-powder 5g"},
		{"vitamin E 200 IU every 3 days", "vitamin-e vitamin-e=200 every 3 days"},
		{"vitamin E 200 IU every third day", "vitamin-e vitamin-e=200 every 3 days"},
		{"Vitamin E, 200 i.u., every other day", "vitamin-e vitamin-e=200 every 2 days"},
		{"vitamin E 100 mg daily", "vitamin-e vitamin-e=149 daily"},
		{"vitamin E acetate 100 mg daily", "vitamin-e vitamin-e=100 daily"},
		{"vitamin E capsule 400 IU twice a week", "vitamin-e 1×capsule vitamin-e=400 2 times a week"},
		{"2 capsules vitamin E 100 IU", "vitamin-e 2×capsule vitamin-e=200 daily"},
		{"1 fish oil capsule 1000 mg daily", "fish-oil-capsule 1×capsule 1g daily"},
		{"2 capsules fish oil a day", "fish-oil-capsule 2×capsule 2g daily"},
		{"1 capsule fish oil twice a day", "fish-oil-capsule 2×capsule 2g daily"},
		{"zinc 15 mg on Mondays and Thursdays", "zinc zinc=15 on Monday and Thursday"},
		{"vitamin D 100 IU per 1000 kcal daily", "vitamin-d vitamin-d=100 per1000 daily"},
		{"10 drops vitamin D 100 IU weekly", "vitamin-d 10×drop vitamin-d=1000 every 7 days"},
		{"250 g turkey thigh 🦃", "turkey-thigh-skinless 250g"},
		{"\u202e250 g turkey thigh\u202c", "turkey-thigh-skinless 250g"},
		{"２５０ g turkey thigh", "turkey-thigh-skinless 250g"},
	} {
		got := RecipeText(c.text, nutrition.Default())
		if len(got.Problems) > 0 || len(got.Lines) != 1 {
			t.Errorf("%q: %d lines, problems %v", c.text, len(got.Lines), got.Problems)
			continue
		}
		if s := brief(got.Lines[0]); s != c.want {
			t.Errorf("%q = %s, want %s", c.text, s, c.want)
		}
	}
}

func TestLineProblems(t *testing.T) {
	for _, c := range []struct {
		text string
		want Code
	}{
		{"turkey", NoAmount},
		{"250 g", NoFood},
		{"0 g beef heart", Zero},
		{"-5 g beef heart", Negative},
		{"10 t of liver", TooMuch},
		{"2 kg 500 lb rice", MixedUnits},
		{"100 g beef heart 200 g", TwoAmounts},
		{"20 g raisins", RefusedFood},
		{"1 clove garlic", RefusedFood},
		{"30 g wombat fillet", UnknownFood},
		{"3 oz salmon", AmbiguousFood},
		{"a handful of parsley", NoMeasure},
		{"vitamin E every 0 days 200 IU", BadCadence},
		{"vitamin E 200 IU every 10000 days", BadCadence},
		{"100 ml beef heart", NoMeasure},
		{strings.Repeat("x", 400), TooLong},
	} {
		got := RecipeText(c.text, nutrition.Default())
		if len(got.Lines) != 0 || len(got.Problems) != 1 || got.Problems[0].Code != c.want {
			t.Errorf("%q: lines %d, problems %v; want %s", c.text, len(got.Lines), got.Problems, c.want)
		}
	}
}

func TestProblemWith(t *testing.T) {
	got := RecipeText("3 oz salmon", nutrition.Default())
	if len(got.Problems) != 1 || len(got.Problems[0].Finding.Choices) == 0 {
		t.Fatalf("no choices: %+v", got)
	}
	line, ok := got.Problems[0].With(got.Problems[0].Finding.Choices[0])
	if !ok || math.Abs(float64(line.Ingredient.Grams)-85.05) > 0.01 {
		t.Errorf("With = %+v, %v", line, ok)
	}
	if _, ok := RecipeText("turkey", nutrition.Default()).Problems[0].With(nutrition.Default().Food("turkey-ground")); ok {
		t.Error("a line without an amount was completed by a food")
	}
}

// TestPaste reads a whole recipe: its name, comments, several foods on a line
// and a bad line that costs nothing else.
func TestPaste(t *testing.T) {
	got := RecipeText("Turkey and heart:\n\n# the meat\n250 g turkey thigh, no skin, 100 g beef heart\n20 g raisins\n2 eggs\n", nutrition.Default())
	if got.Name != "Turkey and heart" || len(got.Lines) != 3 || len(got.Problems) != 1 {
		t.Fatalf("%+v", got)
	}
	if got.Problems[0].Line != 5 || got.Lines[2].Number != 6 {
		t.Errorf("line numbers: problem %d, eggs %d", got.Problems[0].Line, got.Lines[2].Number)
	}
}

// TestLongPaste loses nothing silently: what is too much is a problem.
func TestLongPaste(t *testing.T) {
	const lines = 1500
	got := RecipeText(strings.Repeat("5 g kale\n", lines), nutrition.Default())
	if len(got.Lines)+len(got.Problems) != lines || len(got.Lines) == 0 {
		t.Errorf("%d lines and %d problems of %d", len(got.Lines), len(got.Problems), lines)
	}
}

func TestQuantities(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"250 g", 250}, {"0.25kg", 250}, {"1 lb 4 oz", 566.9904625}, {"½ lb", 226.796185}, {"2,5 kg", 2500}, {"1.234,5 g", 1234.5}, {"1,234.5 g", 1234.5},
	} {
		if got, err := Mass(c.text); err != nil || math.Abs(float64(got)-c.want) > 1e-9 {
			t.Errorf("Mass(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct {
		text   string
		pounds bool
		want   float64
	}{
		{"19.6 kg", false, 19.6}, {"19,6 kg", false, 19.6}, {"31.4", false, 31.4}, {"31.4", true, 14.2428}, {"42 lb 8 oz", false, 19.2777}, {"42lb", false, 19.0509},
		{"3 stone 2 lb", false, 19.9581},
	} {
		got, err := BodyWeight(c.text, planner.Units{Pounds: c.pounds})
		if err != nil || math.Abs(float64(got)-c.want) > 1e-3 {
			t.Errorf("BodyWeight(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for text, want := range map[string]float64{"900 kcal": 900, "900 calories": 900, "3.7 MJ": 884.32, "3700 kJ": 884.32} {
		if got, err := Energy(text); err != nil || math.Abs(float64(got)-want) > 0.01 {
			t.Errorf("Energy(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]float64{"1/2": 0.5, "½": 0.5, "1 ½": 1.5, "1½": 1.5, "1,5": 1.5, "two": 2, "a dozen": 12, "-3": -3} {
		if got, err := Number(text); err != nil || got != want {
			t.Errorf("Number(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "abc", "12 34", "1/0", "1e5", "80/20", "--3"} {
		if got, err := Number(bad); err == nil {
			t.Errorf("Number(%q) = %v", bad, got)
		}
	}
	var p Problem
	if _, err := BodyWeight("-3 kg", planner.Units{}); !errors.As(err, &p) || p.Code != Negative {
		t.Errorf("BodyWeight of a negative: %v", err)
	}
}

func TestCadenceText(t *testing.T) {
	for text, want := range map[string]string{
		"every 3 days": "every 3 days", "every third day": "every 3 days", "every 3rd day": "every 3 days", "every other day": "every 2 days",
		"daily": "daily", "every day": "daily", "every 1 day": "daily", "twice a week": "2 times a week", "3x/week": "3 times a week",
		"on Mondays and Thursdays": "on Monday and Thursday", "mon, wed, fri": "on Monday and Wednesday and Friday", "weekly": "every 7 days",
		"once a week": "every 7 days", "every 2 weeks": "every 14 days", "Every Three Days": "every 3 days",
	} {
		got, err := CadenceText(text)
		if err != nil || FormatCadence(got) != want {
			t.Errorf("CadenceText(%q) = %q, %v; want %q", text, FormatCadence(got), err, want)
		}
	}
	for _, bad := range []string{"", "every", "every 0 days", "every 10000 days", "sometimes", "twice a day", "8 times a week"} {
		if got, err := CadenceText(bad); err == nil {
			t.Errorf("CadenceText(%q) = %+v", bad, got)
		}
	}
}
