package read

import (
	"slices"
	"testing"
	"time"
)

func TestDueAnswer(t *testing.T) {
	names := Names{Dogs: []Named{{"d1", "Juniper"}, {"d2", "Bracken"}}}
	now := time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)
	for text, want := range map[string]DueSaid{
		"fed":                         {Act: SaidFed},
		"Fed!":                        {Act: SaidFed},
		"yes, just fed her":           {Act: SaidFed},
		"later":                       {Act: SaidLater},
		"not now":                     {Act: SaidLater},
		"later please":                {Act: SaidLater},
		"later, in 2 hours":           {Act: SaidLater, Minutes: 120},
		"remind me in 20 minutes":     {Act: SaidLater, Minutes: 20},
		"snooze Bracken":              {Act: SaidLater, Dogs: []string{"d2"}},
		"skip":                        {Act: SaidSkip},
		"skip Bracken":                {Act: SaidSkip, Dogs: []string{"d2"}},
		"skip Bracken's breakfast":    {Act: SaidSkip, Dogs: []string{"d2"}},
		"Bracken didn’t eat":          {Act: SaidSkip, Dogs: []string{"d2"}},
		"skip the vitamin E":          {Act: SaidSkip, Thing: "vitamin e"},
		"Juniper vitamin E not given": {Act: SaidSkip, Dogs: []string{"d1"}, Thing: "vitamin e"},
		"given":                       {Act: SaidGiven},
		"done":                        {Act: SaidDone},
	} {
		got, ok := DueAnswer(text, names, now)
		if !ok || got.Act != want.Act || got.Thing != want.Thing || got.Minutes != want.Minutes || !slices.Equal(got.Dogs, want.Dogs) {
			t.Errorf("%q: %+v, %v; want %+v", text, got, ok, want)
		}
	}
	for _, text := range []string{"did anyone feed Juniper", "fed?", "has Juniper been fed", "remind me later to call", "in 2 hours", "Juniper", "skip it, fed", "was it given", ""} {
		if got, ok := DueAnswer(text, names, now); ok && got.Thing == "" {
			t.Errorf("%q is taken for %+v", text, got)
		}
	}
}

// TestSaysGivenIsSaidOfAGift holds that neither a question nor its denial
// enters a dose.
func TestGivenThing(t *testing.T) {
	dogs := Names{Dogs: []Named{{ID: "1", Name: "Juniper"}, {ID: "2", Name: "Bracken"}}}
	for text, want := range map[string]string{
		"fish oil given":                             "fish oil",
		"gave Bracken his fish oil at 8:00":          "fish oil",
		"Juniper has had her vitamin E this morning": "vitamin E",
		"I gave both dogs the fish oil, just now":    "fish oil",
		"given": "",
	} {
		if got := GivenThing(text, dogs); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestSaysGivenIsSaidOfAGift(t *testing.T) {
	for text, want := range map[string]bool{
		"vitamin E given": true, "gave Juniper her fish oil": true, "Juniper has had her fish oil": true, "has had her fish oil": true,
		"was the vitamin E given": false, "has Juniper had her fish oil": false, "vitamin E not given": false, "she hasn't had her vitamin E": false,
	} {
		if got := SaysGiven(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
