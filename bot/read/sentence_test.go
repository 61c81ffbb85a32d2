package read

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// quayside are the names of the demonstration household.
var quayside = span.Names{
	Dogs: []span.Named{{ID: "juniper", Name: "Juniper"}, {ID: "bracken", Name: "Bracken"}, {ID: "pip", Name: "Pip"}},
	Recipes: []span.Named{
		{ID: "turkey", Name: "Turkey and heart"}, {ID: "lamb", Name: "Lamb and mackerel"}, {ID: "rabbit", Name: "Rabbit and kale"},
	},
	Foods: []span.Named{{ID: "own1", Name: "Beef mix"}},
}

// show prints a sentence in the notation of testdata/sentences.txt.
func show(s Sentence, ok bool) string {
	if !ok {
		return "none"
	}
	var b strings.Builder
	b.WriteString(string(s.Intent))
	word := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, " %s=%s", key, value)
		}
	}
	quoted := func(key, value string) {
		if value != "" {
			fmt.Fprintf(&b, " %s=%q", key, value)
		}
	}
	number := func(key string, x float64) {
		if x != 0 {
			fmt.Fprintf(&b, " %s=%s", key, strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", x), "0"), "."))
		}
	}
	if s.Nutrient != 0 {
		word("nutrient", s.Nutrient.String())
	}
	if s.Against != 0 {
		word("against", s.Against.String())
	}
	word("dog", s.Dog)
	word("stage", s.Stage)
	quoted("measure", s.Measure)
	word("recipe", s.Recipe)
	word("other", s.Other)
	word("own", s.Own)
	quoted("food", s.Food)
	quoted("foods", strings.Join(s.FoodList, ";"))
	quoted("words", s.Words)
	number("kg", float64(s.Weight))
	word("activity", string(s.Activity))
	number("condition", float64(s.Condition))
	number("years", s.Years)
	if m := s.Money; m.Sum != "" {
		b.WriteString(" money=" + m.Sum + m.Currency)
		if m.Cents {
			b.WriteString("c")
		}
	}
	number("days", s.Days)
	number("g", float64(s.Grams))
	number("cooked", float64(s.Cooked))
	number("kcal", float64(s.Kcal))
	number("factor", s.Factor)
	number("count", s.Count)
	if s.Imperial {
		b.WriteString(" imperial")
	}
	return b.String()
}

// sameParts compares two notations whatever the order of their parts.
func sameParts(a, b string) bool {
	count := map[string]int{}
	for _, p := range notation(a) {
		count[p]++
	}
	for _, p := range notation(b) {
		count[p]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

// notation splits at the spaces that are not within quotes.
func notation(s string) []string {
	quoted := false
	return strings.FieldsFunc(s, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	})
}

func TestUnderstand(t *testing.T) {
	f, err := os.Open("testdata/sentences.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows := 0
	for in := bufio.NewScanner(f); in.Scan(); {
		text, want, ok := strings.Cut(in.Text(), " -> ")
		ok = ok && text[0] != '#'
		if !ok {
			continue
		}
		rows++
		if got := show(Understand(text, quayside, planner.Units{})); !sameParts(got, want) {
			t.Errorf("%s\n got %s\nwant %s", text, got, want)
		}
	}
	if rows < 150 {
		t.Errorf("only %d rows", rows)
	}
}

func BenchmarkUnderstand(b *testing.B) {
	texts := []string{
		"how much for Juniper?", "how many calories does a 30 lb dog, low activity need",
		"can Pip eat onions, leeks and garlic?", "scale the turkey one to 2 kg",
		"swap beef heart in turkey and heart for lamb heart", "what is the weather today", "how much for Junipr",
	}
	for _, text := range texts {
		b.Run(strings.ReplaceAll(text, " ", "_"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Understand(text, quayside, planner.Units{})
			}
		})
	}
}
