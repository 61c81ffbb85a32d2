package alarm

import (
	"bowlwright/bot/read/language"
	"regexp"
)

// Unfit returns the first food that dogs must not eat, or medicine, that a text
// names as one that is given; empty where it names none. "Ask your vet before a
// change of medicine" names none, and a hash is a dish.
func Unfit(text string) string {
	_, word := putIn(text, func(f found, word string) bool {
		return f.kind == kindFood || f.kind != kindThing && medicines[f.Key] && !genericMedicine[word]
	})
	return word
}

// PutsIn is a food that dogs must not eat and that a method or a note names, nil
// where there is none or each is denied: "no onion", "leave out the garlic". It
// mends slips of the finger.
func PutsIn(text string) *Danger {
	f, _ := putIn(text, func(f found, _ string) bool { return f.kind == kindFood })
	return f
}

// putIn is the first thing of some kind that a text names as one that is given,
// and its word.
func putIn(text string, is func(f found, word string) bool) (*Danger, string) {
	for _, said := range ClauseEnds.Split(text, -1) {
		for _, part := range addedTo.Split(said, -1) {
			h, _ := hear(part, nil)
			for _, thing := range h.things() {
				word := h.words[thing.start].Text
				if thing.Key != cookedBone && is(thing, word) && !leavesOut(part) {
					return &thing.Danger, word
				}
			}
		}
	}
	return nil, ""
}

// addedTo begins a part that what was left out before it does not go on in:
// "without salt, with onion".
var addedTo = regexp.MustCompile(`(?i), (?:and )?(?:then|with|add|plus|stir)\b`)

// genericMedicine are words for any medicine.
var genericMedicine = language.Set("any-medicine")

// ClauseEnds part what is said of several things.
var ClauseEnds = regexp.MustCompile(`[.!?;\n]+|,? but `)

var leavesOut = language.Says("leaves-out")
