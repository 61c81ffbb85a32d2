package read

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

func TestDueAnswer(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "Bracken"}}}
	now := time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)
	for text, want := range map[string]DueSaid{
		"fed":                         {Act: SaidFed},
		"Fed!":                        {Act: SaidFed},
		"yes, just fed her":           {Act: SaidFed},
		"all fed":                     {Act: SaidFed, All: true},
		"later":                       {Act: SaidLater},
		"not now":                     {Act: SaidLater},
		"later please":                {Act: SaidLater},
		"later, in 2 hours":           {Act: SaidLater, Minutes: 120},
		"in 2 hours":                  {Act: SaidLater, Minutes: 120},
		"remind me in 20 minutes":     {Act: SaidLater, Minutes: 20},
		"snooze Bracken":              {Act: SaidLater, Dogs: []string{"d2"}},
		"skip":                        {Act: SaidSkip},
		"skip Bracken":                {Act: SaidSkip, Dogs: []string{"d2"}},
		"skip Bracken's breakfast":    {Act: SaidSkip, Dogs: []string{"d2"}},
		"skip Bracken' breakfast":     {Act: SaidSkip, Dogs: []string{"d2"}},
		"Bracken didn’t eat":          {Act: SaidSkip, Dogs: []string{"d2"}},
		"skip the vitamin E":          {Act: SaidSkip, Thing: "vitamin e"},
		"Juniper vitamin E not given": {Act: SaidSkip, Dogs: []string{"d1"}, Thing: "vitamin e"},
		"given":                       {Act: SaidGiven},
		"done":                        {Act: SaidDone},
	} {
		got, ok := DueAnswer(text, names, now)
		if !ok || got.Act != want.Act || got.Thing != want.Thing || got.Minutes != want.Minutes || got.All != want.All || !slices.Equal(got.Dogs, want.Dogs) {
			t.Errorf("%q: %+v, %v; want %+v", text, got, ok, want)
		}
	}
	for _, text := range []string{"did anyone feed Juniper", "fed?", "has Juniper been fed", "remind me later to call", "in 3 weeks", "Juniper", "skip it, fed", "was it given", ""} {
		if got, ok := DueAnswer(text, names, now); ok && got.Thing == "" {
			t.Errorf("%q is taken for %+v", text, got)
		}
	}
}

// TestSaysGivenIsSaidOfAGift holds that neither a question nor its denial
// enters a dose.
func TestGivenThing(t *testing.T) {
	dogs := span.Names{Dogs: []span.Named{{ID: "1", Name: "Juniper"}, {ID: "2", Name: "Bracken"}}}
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

// TestGivenWhen tells when a dose was given; it is Friday 6 March, nine in the
// morning.
func TestGivenWhen(t *testing.T) {
	now := time.Date(2026, 3, 6, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"vitamin E given":                         "",
		"vitamin E given at 7:30":                 "2026-03-06 07:30",
		"gave her vitamin E yesterday":            "2026-03-05 07:00",
		"gave her vitamin E yesterday at 6:30 pm": "2026-03-05 18:30",
		"vitamin E given on Tuesday":              "2026-03-03 07:00",
		"vitamin E given at 23:00":                "ahead",
	} {
		at, day, ok := GivenWhen(text, now, 7*60)
		got := ""
		switch {
		case !ok:
			got = "ahead"
		case !at.IsZero():
			got = at.Format("2006-01-02 15:04")
		}
		if got != want || ok && !at.IsZero() && planner.DateOf(at) != day {
			t.Errorf("%q: %q on %v, want %q", text, got, day, want)
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

// FuzzSaid checks that no text breaks the readers of short answers, and that
// a time put in the place of its words is read as that time.
func FuzzSaid(f *testing.F) {
	for _, s := range []string{"skip Bracken's", "later in 2 hours", "she's spayed", "call at half past nine", "vet at eight", "ıünïper fed", "İda fed Juniper", "fed by ida", "4 years, spayed", "her poo is soft", "ca to p ratio"} {
		f.Add(s)
	}
	names := span.Names{Dogs: []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "İda"}}}
	now := time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, s string) {
		DueAnswer(s, names, now)
		DayAsked(s, now)
		DogFacts(s, names, planner.Units{}, now)
		BareFacts(s, planner.Units{}, now)
		DoneBy(s, names.Dogs)
		Clauses(s)
		StoolSaid(s)
		NutrientNamed(s)
		CourtesyOf(s)
		Treat(s, names)
		_, err := span.WhenText(s, now)
		var p span.Problem
		if !errors.As(err, &p) || p.Code != span.UnclearTime {
			return
		}
		am, pm, ok := span.Halves(p.Part)
		if ok && (am >= 12*60 || pm < 12*60) {
			t.Errorf("%q: %v and %v", p.Part, am, pm)
		}
	})
}

// Each wording of an answer is read as one, whatever stands between its words.
func TestDueWordings(t *testing.T) {
	texts := []string{}
	for phrase := range language.Kinds[string]("due") {
		words := strings.Fields(phrase)
		if slices.Contains(words, "minute") {
			continue // is a time, and taken as one first
		}
		texts = append(texts, phrase, strings.Join(words, ", "), strings.ToUpper(strings.Join(words, "\t")))
	}
	for act := range dueActs {
		texts = append(texts, act, strings.ToUpper(act)+"!")
	}
	for _, text := range texts {
		if _, ok := DueAnswer(text, span.Names{}, time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)); !ok && !asks(text) {
			t.Errorf("%q is not read", text)
		}
	}
}

// A bare time with a dog's name is no word on when it will be fed.
func TestBareTimeIsNotLater(t *testing.T) {
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	for text, want := range map[string]bool{"19:30": false, "Juniper 19:30": false, "Juniper ✔ 12:40": false, "at 19:30": true, "Juniper at 19:30": true} {
		if said, ok := DueAnswer(text, quayside, now); ok != want {
			t.Errorf("%q = %+v, %v", text, said, ok)
		}
	}
}

func TestIsForm(t *testing.T) {
	for word, want := range map[string]bool{"capsules": true, "Capsule": true, "tablet": true, "drops": true, "tsp": false, "oil": false, "": false} {
		if got := span.IsForm(word); got != want {
			t.Errorf("IsForm(%q) = %v", word, got)
		}
	}
}

func TestDoneBy(t *testing.T) {
	carers := []span.Named{{ID: "p1", Name: "Ines"}, {ID: "p2", Name: "Tomas"}}
	for _, c := range []struct{ text, id, rest string }{
		{"Tomas fed Juniper", "p2", "fed Juniper"},
		{"tomas has already fed juniper at 8:00", "p2", "fed juniper at 8:00"},
		{"Ines gave Juniper the fish oil.", "p1", "gave Juniper the fish oil"},
		{"Juniper was fed by Tomas", "p2", "Juniper was fed"},
		{"vitamin E given by Ines!", "p1", "vitamin E given"},
		{"Tomas says hello", "", ""},
		{"did Tomas fed Juniper?", "", ""},
		{"who was fed by Tomas?", "", ""},
		{"Tomasz fed Juniper", "", ""},
		{"stand by Tomas", "", ""},
		{"", "", ""},
	} {
		id, rest, ok := DoneBy(c.text, carers)
		if id != c.id || rest != c.rest || ok != (c.id != "") {
			t.Errorf("DoneBy(%q) = %q, %q, %v", c.text, id, rest, ok)
		}
	}
}
