package read

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

func TestCompileRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"a b":                             "before the first intent",
		"intent x":                        "has no example",
		"intent x: y\n{nothing}":          "no slot",
		"intent x: y\n<nothing>":          "not defined",
		"intent x: y\na (b":               "no ')'",
		"intent x: y\na [b":               "no ']'",
		"intent x: y\na b)":               "unexpected",
		"intent x: y\n{dog":               "no '}'",
		"intent x: y\n{food}":             "fits anything",
		"intent x: y\n[a] {any}":          "fits anything",
		"intent x: y\na {food}\ndefine z": "defines nothing",
	} {
		if _, err := compile(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
}

// TestExamplesUnderstood checks that every intent has an example which means
// that intent, for the help shows them.
func TestExamplesUnderstood(t *testing.T) {
	seen := map[Intent]bool{}
	for _, e := range allExamples() {
		if s, ok := Understand(e.Text, quayside, planner.Units{}); !ok || s.Intent != e.Intent {
			t.Errorf("%q means %s, not %s", e.Text, show(s, ok), e.Intent)
		}
		if seen[e.Intent] {
			t.Errorf("two examples of %s", e.Intent)
		}
		seen[e.Intent] = true
	}
	for _, i := range declaredIntents(t) {
		if !seen[i] {
			t.Errorf("no example of %s", i)
		}
		delete(seen, i)
	}
	for i := range seen {
		t.Errorf("intent %q has no constant", i)
	}
}

// declaredIntents are the intents that have a constant.
func declaredIntents(t *testing.T) (all []Intent) {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	declares := regexp.MustCompile(`(?m)^\t\w+ +Intent = "([^"]+)"`)
	for _, file := range files {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range declares.FindAllStringSubmatch(string(source), -1) {
			all = append(all, Intent(m[1]))
		}
	}
	return all
}

// TestNames checks names that are hard to tell from the sentence.
func TestNames(t *testing.T) {
	n := span.Names{
		Dogs: []span.Named{{ID: "can", Name: "Can"}, {ID: "may", Name: "May"}, {ID: "how", Name: "How Much"}, {ID: "max", Name: "Max"}, {ID: "maxi", Name: "Max Power"}, {ID: "rene", Name: "René"},
			{ID: "chris", Name: "Chris"}, {ID: "moll1", Name: "Molly"}, {ID: "moll2", Name: "Molls"}, {ID: "emoji", Name: "🐶"}, {ID: "empty", Name: ""}, {ID: "please", Name: "Please"}, {ID: "turkey", Name: "Turkey"}, {ID: "scala", Name: "Scala"}},
		Recipes: []span.Named{{ID: "t1", Name: "Turkey and heart"}, {ID: "t2", Name: "Turkey and kale"}, {ID: "it", Name: "It"}, {ID: "liver", Name: "Liver"}},
	}
	for text, want := range map[string]string{
		"can Can eat grapes?":           `food.ask dog=can food="grapes"`,
		"how much for May":              "bowl.show dog=may",
		"can May eat kale":              `food.ask dog=may food="kale"`,
		"how much for How Much?":        "bowl.show dog=how",
		"how much for Max Power":        "bowl.show dog=maxi",
		"how much for Max":              "bowl.show dog=max",
		"how much for rene":             "bowl.show dog=rene",
		"how much for RENÉ":             "bowl.show dog=rene",
		"Chris' dinner":                 "bowl.show dog=chris",
		"Chris's dinner":                "bowl.show dog=chris",
		"how much for Mollz":            "none", // two dogs are as near
		"how much for scale":            "none", // a word of the language, not a name typed wrong
		"how much for scalla":           "bowl.show dog=scala",
		"how much for Please":           "bowl.show dog=please",
		"show the turkey one":           "none", // two recipes have it
		"show the heart one":            "recipe.show recipe=t1",
		"show turkey and kale":          "recipe.show recipe=t2",
		"how many kcal in the kale one": "recipe.show.energy recipe=t2",
		"can she eat liver":             `food.ask food="liver"`,
		"how much liver for Max":        "bowl.show dog=max recipe=liver",
	} {
		if got := show(Understand(text, n, planner.Units{})); !sameParts(got, want) {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
}

// TestNamesLikeFoods checks that a name which comes near a refused food is a
// name, and that one which is a food may be either.
func TestNamesLikeFoods(t *testing.T) {
	n := span.Names{
		Dogs:    []span.Named{{ID: "molly", Name: "Molly"}, {ID: "ginger", Name: "Ginger"}, {ID: "rio", Name: "Rio2"}},
		Recipes: []span.Named{{ID: "bony", Name: "Bony"}},
	}
	for text, want := range map[string]string{
		"is Bony complete for Molly":            "recipe.check dog=molly recipe=bony",
		"is Molly ok":                           "none",
		"Ginger ate Molly's dinner":             `fed.other.theirs dog=ginger other=molly`,
		"Ginger had Molly over":                 "none",
		"Ginger had Molly and a grape":          `urgent.ate dog=ginger food="grape"`,
		"Molly ate a grape":                     `urgent.ate dog=molly food="grape"`,
		"Molly!!":                               "dog.show dog=molly",
		"can dogs eat ginger":                   `food.ask food="ginger"`,
		"swap chicken heart for Molly":          `recipe.swap dog=molly food="chicken heart"`,
		"swap chicken heart in Bony for Ginger": `recipe.swap dog=ginger recipe=bony food="chicken heart"`,
		"how much for Rio2":                     "bowl.show dog=rio",
	} {
		if got := show(Understand(text, n, planner.Units{})); !sameParts(got, want) {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
}

func TestUnitsOfHousehold(t *testing.T) {
	got := show(Understand("Juniper weighs 43", quayside, planner.Units{Pounds: true}))
	if want := "weight.log dog=juniper kg=19.504 imperial"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// TestLongTexts checks that a text beyond the limit is no sentence, unless it
// brings news of something eaten, and that no text takes long.
func TestLongTexts(t *testing.T) {
	story := "help me I was in the kitchen for a minute and my dog ate chocolate. " + strings.Repeat("I do not know how much there was. ", 20)
	if got := show(Understand(story, quayside, planner.Units{})); got != `urgent.ate food="chocolate"` {
		t.Errorf("got %s", got)
	}
	for _, text := range []string{
		strings.Repeat("how much for Juniper ", 200), "how much for Juniper" + strings.Repeat("!", 600), strings.Repeat("a ", 10000), strings.Repeat("\u202e\u200f", 500) + "x",
		strings.Repeat("250 g turkey thigh\n", 40), "\x00\x01\xff\xfe",
	} {
		if s, ok := Understand(text, quayside, planner.Units{}); ok {
			t.Errorf("%.20q... was understood: %s", text, show(s, ok))
		}
	}
	if got := show(Understand("how much\u200b for\u202e Juniper 🐶?", quayside, planner.Units{})); got != "bowl.show dog=juniper" {
		t.Errorf("got %s", got)
	}
	if got := show(Understand("כמה אוכל", quayside, planner.Units{})); got != "none" {
		t.Errorf("got %s", got)
	}
}

func FuzzUnderstand(f *testing.F) {
	for _, e := range allExamples() {
		f.Add(e.Text)
	}
	f.Add("she ate a grape. can Pip’s 12,5 kg x2 ½ or and, the of 1/2 lb & 30% liver for Junipr")
	f.Add("ʼ how much ʼʼ for Junipr ʼ?") // a letter to Unicode, and an apostrophe
	f.Fuzz(func(t *testing.T, text string) {
		s, ok := Understand(text, quayside, planner.Units{})
		again, same := Understand(text, quayside, planner.Units{})
		if show(s, ok) != show(again, same) {
			t.Fatalf("%q: %s, then %s", text, show(s, ok), show(again, same))
		}
		if !ok && s.Intent != "" {
			t.Fatalf("%q: not understood, but %s", text, s.Intent)
		}
		for _, x := range []float64{float64(s.Weight), s.Days, float64(s.Grams), float64(s.Kcal), s.Factor, s.Count, s.Years} {
			if !(x >= 0) {
				t.Fatalf("%q: %s", text, show(s, ok))
			}
		}
		for _, food := range append([]string{s.Food}, s.FoodList...) {
			if utf8.ValidString(text) && food != "" && !strings.Contains(strings.Join(strings.Fields(text), " "), food) {
				t.Fatalf("%q: food %q was not typed", text, food)
			}
		}
	})
}

func BenchmarkUnderstandLong(b *testing.B) {
	text := strings.Repeat("she ate a ", 50)
	b.ReportAllocs()
	for b.Loop() {
		Understand(text, quayside, planner.Units{})
	}
}

func BenchmarkCompile(b *testing.B) {
	for b.Loop() {
		if _, err := compile(language.Text("sentences.txt")); err != nil {
			b.Fatal(err)
		}
	}
}

// example is a sentence of an intent, as it stands at the head of its wordings.
type example struct {
	Intent Intent
	Text   string
}

// allExamples returns one sentence an intent, in the order of the file. Their
// dogs and recipes are those of the demonstration household.
func allExamples() (all []example) {
	for _, head := range regexp.MustCompile(`(?m)^intent (\S+)(?: urgent)?: ([^#\n]+)`).FindAllStringSubmatch(language.Text("sentences.txt"), -1) {
		if intent := Intent(head[1]); !slices.ContainsFunc(all, func(e example) bool { return e.Intent == intent }) {
			all = append(all, example{intent, strings.TrimSpace(head[2])})
		}
	}
	return all
}
