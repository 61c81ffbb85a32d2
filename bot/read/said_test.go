package read

import (
	"strings"
	"testing"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// TestDogsNamed finds the dogs that stand in a row.
func TestDogsNamed(t *testing.T) {
	for text, want := range map[string]string{
		"how much for Juniper and Bracken?": "Juniper and Bracken: d1 d2",
		"fed bracken, juniper":              "bracken, juniper: d2 d1",
		"fed both dogs":                     "both dogs: d1 d2",
		"Juniper weighs more than Bracken":  "Bracken: d2",
		"Juniper and Juniper":               "Juniper and Juniper: d1",
		"Junipers bowl":                     ": ",
		"how much":                          ": ",
		"İ and Juniper and Bracken":         "Juniper and Bracken: d1 d2",
	} {
		from, to, dogs := DogsNamed(text, treatNames)
		if got := text[from:to] + ": " + strings.Join(dogs, " "); got != want {
			t.Errorf("%q = %q, want %q", text, got, want)
		}
	}
}

// TestSpelled names those that are meant where a text leaves some out of all.
func TestSpelled(t *testing.T) {
	three := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Pip"}, {ID: "d2", Name: "Fern"}, {ID: "d3", Name: "Pip Junior"}}}
	for text, want := range map[string]string{
		"fed everyone but Fern":                  "fed Pip and Pip Junior",
		"all fed except for fern and Pip Junior": "Pip fed",
		"Everyone had breakfast but not fern":    "Pip and Pip Junior had breakfast",
		"all fed, pip didn't":                    "Fern and Pip Junior fed",
		"they all ate but pip left half":         "Fern and Pip Junior ate, pip left half",
		"everyone fed except pip who is sick":    "Fern and Pip Junior fed, pip is sick",
		"everyone ate but pip was sick later":    "everyone ate but pip was sick later",
		"everyone but pip was fed":               "Fern and Pip Junior was fed",
		"not all of them ate, pip didn't":        "not all of them ate, pip didn't",
		"all but the kale":                       "all but the kale",
		"skip all but Pip, Fern and Pip Junior":  "skip all but Pip, Fern and Pip Junior",
		"pause everything but Pip":               "pause everything but Pip",
		"brush Pip daily except at weekends":     "brush Pip Monday, Tuesday, Wednesday, Thursday and Friday",
		"gave the oil yesterday, not today":      "gave the oil yesterday",
		"gave the oil not yesterday but today":   "gave the oil today",
		"all of her dinner is gone, not pip":     "all of her dinner is gone, not pip",
	} {
		if got := Spelled(text, three); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{
		"pause everything but the oil until Friday": "pause everything until Friday, but oil",
		"all supplements given apart from Pip's":    "all supplements given, but Pip's",
		"pause everything except the tablets":       "pause everything except the tablets, but ",
	} {
		if rest, but := AllBut(text); rest+", but "+but != want {
			t.Errorf("%q: %q, %q, want %q", text, rest, but, want)
		}
	}
}

// TestSaid holds the small readers against what says so and what does not.
func TestSaid(t *testing.T) {
	for _, c := range []struct {
		name    string
		says    func(string) bool
		yes, no []string
	}{
		{"clock", func(s string) bool { return Says("clock", s) }, []string{"vet at 10:00", "25:70"}, []string{"10 am", "1:2:3 ratio 100:1"}},
		{"past", func(s string) bool { return Pattern("past-day").FindString(s) != "" }, []string{"vet yesterday", "Two days ago", "last Friday"}, []string{"Friday", "at last", "the last 2 days"}},
		{"doubtful", func(s string) bool { return Find("doubtful-grams", s) != "" }, []string{"1.200 g beef", "(2.500g)", "kcal in 1.000 grams"},
			[]string{"1.25 g", "0.250 g", "1.200 kg", "1.200 greens", "11.200.300 g"}},
		{"given", SaysGiven, []string{"vitamin E given", "Gave Juniper her oil", "Pip has had his capsule"},
			[]string{"how is it given?", "vitamin E every 3 days, given with food"}},
	} {
		for _, s := range c.yes {
			if !c.says(s) {
				t.Errorf("%s: %q does not say so", c.name, s)
			}
		}
		for _, s := range c.no {
			if c.says(s) {
				t.Errorf("%s: %q says so", c.name, s)
			}
		}
	}
}

func TestCourtesyOf(t *testing.T) {
	for text, want := range map[string]Courtesy{"Thank you!": Thanks, "ok, thanks": Thanks, "Good morning": Greeting, "hello": Greeting, "Yes please": YesOrNo, "OK": YesOrNo,
		"hello Juniper": NoCourtesy, "thanks, how much for Pip": NoCourtesy, "": NoCourtesy} {
		if got := CourtesyOf(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestSayings makes every pattern of said.txt ready: one that is malformed would stop
// the program when it is first asked for.
func TestSayings(t *testing.T) {
	for name, all := range language.Sayings {
		for _, s := range all {
			if s.Is().String() == "" {
				t.Errorf("%s is empty", name)
			}
		}
	}
}
