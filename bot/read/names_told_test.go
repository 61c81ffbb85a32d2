package read

import (
	"slices"
	"testing"

	"bowlwright/bot/read/span"
)

// TestNewNames holds that the names of new dogs are found in words of all kinds, and
// that nothing else is a name. None of these stands in the wordings.
func TestNewNames(t *testing.T) {
	known := span.Names{Dogs: []span.Named{{ID: "1", Name: "Saffi"}}}
	right, all := 0, 0
	for text, want := range map[string][]string{
		"this is about our spaniel, Marble, who is nine and weighs 15 kg":                   {"Marble"},
		"my boyfriend's dog quill moved in, hes a 12 kilo mongrel":                          {"quill"},
		"new one in the house. Bodil, f, 7 mths, 18kg":                                      {"Bodil"},
		"Saffi has a sister now she is called wisp, 10 weeks":                               {"wisp"},
		"terrier 8 kg 11 years name Frits":                                                  {"Frits"},
		"we took in two strays, Ludo about 20 kg and Mab about 14":                          {"Ludo", "Mab"},
		"I look after ottoline for my neighbour, shes a 6 kg dachshund":                     {"ottoline"},
		"hi im jan and my dogs are tuppence and half crown":                                 {"tuppence", "half crown"},
		"Dear Sirs, our elderly Labrador bitch Honour has been put on home food":            {"Honour"},
		"got a whippet, zephyr, 13 kilo neuterd":                                            {"zephyr"},
		"can you put in Kasper as well? he is saffis pup, 4 months, 9 kg":                   {"Kasper"},
		"the vet says my dog needs to lose weight, shes a 6 year old collie, 27 kg":         nil,
		"hello there, can you tell me how this works please":                                nil,
		"I live in Galway and would like to cook for my dog":                                nil,
		"Saffi is spayed and 4 years old":                                                   nil,
		"whats the best meat for a labrador":                                                nil,
		"got a puppy yesterday, 9 weeks, cocker spaniel, black, 3.1 kg":                     nil,
		"good evening. My daughter Ruth gave me this. I have an old dog with a bad stomach": nil,
	} {
		var got []string
		for _, n := range NewNames(text, known, false) {
			got = append(got, n.Name)
		}
		all++
		if slices.Equal(got, want) {
			right++
		} else {
			t.Logf("%q: names %q, want %q", text, got, want)
		}
	}
	if right < 12 {
		t.Errorf("the names of %d of %d texts are found", right, all)
	}
}
