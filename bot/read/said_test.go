package read

import (
	"strings"
	"testing"

	"bowlwright/bot/read/language"
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
		"fed everyone but Bracken":          "everyone but Bracken: d1",
		"all except for juniper were fed":   "all except for juniper: d2",
		"fed both, not Juniper":             "both, not Juniper: d2",
		"all but the kale":                  ": ",
		"İ and Juniper and Bracken":         "Juniper and Bracken: d1 d2",
	} {
		from, to, dogs := DogsNamed(text, treatNames)
		if got := text[from:to] + ": " + strings.Join(dogs, " "); got != want {
			t.Errorf("%q = %q, want %q", text, got, want)
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
