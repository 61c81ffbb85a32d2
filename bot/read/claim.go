package read

import (
	"regexp"
	"strings"
)

// Claim returns the words by which a text claims that food treats or cures;
// empty where it claims nothing.
func Claim(text string) string {
	for _, said := range claimEnds.Split(text, -1) {
		for _, s := range sayings["claim"] {
			at := s.is.FindStringIndex(said)
			if at != nil && !(deniesClaim(said[:at[0]]) && !notOnly.MatchString(said)) {
				return strings.TrimSpace(said[at[0]:at[1]])
			}
		}
	}
	return ""
}

// What is asked where somebody types a text for others.
var (
	// AsksBack reports that what was typed is a question or holds off, and is no
	// text for others: "wait, who can see it?".
	AsksBack    = says("asks-back")
	namesOthers = says("others-dogs")
	namesOwn    = says("own-dog")
	leavesOut   = says("leaves-out")
)

// OfOthersDogs reports that a text tells of dogs of others, and of none of the
// carer's own.
func OfOthersDogs(text string) bool { return namesOthers(text) && !namesOwn(text) }

// NotMadeFor returns the words by which a text says that something is for dogs
// that are ill, expecting or nursing, and unless pups are meant for growing ones;
// empty where it says so of none.
func NotMadeFor(text string, pups bool) string {
	names := []string{"not-well", "not-adult"}
	if pups {
		names = names[:1]
	}
	for _, said := range claimEnds.Split(text, -1) {
		for _, name := range names {
			for _, s := range sayings[name] {
				if at := s.is.FindStringIndex(said); at != nil && !deniesClaim(said[:at[0]]) {
					return said[at[0]:at[1]]
				}
			}
		}
	}
	return ""
}

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
	for _, said := range claimEnds.Split(text, -1) {
		for _, part := range addedTo.Split(said, -1) {
			m := newMatcher(part, Names{})
			h := hearing{book: alarms()}
			h.take(&m)
			for _, thing := range h.things() {
				word := h.words[thing.start].text
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
var genericMedicine = listed("any-medicine")

var (
	claimEnds   = regexp.MustCompile(`[.!?;\n]+|,? but `)
	notOnly     = regexp.MustCompile(`(?i)\bnot (only|just|merely)\b`)
	deniesClaim = says("claim-denied")
)
