package read

import (
	"strings"

	"bowlwright/bot/read/language"
)

// Claim returns the words by which a text claims that food treats or cures;
// empty where it claims nothing.
func Claim(text string) string {
	for _, said := range language.Pattern("clause-ends").Split(text, -1) {
		for _, s := range language.Sayings["claim"] {
			at := s.Is().FindStringIndex(said)
			if at != nil && !(language.Says("claim-denied", said[:at[0]]) && !language.Says("not-only", said)) {
				return strings.TrimSpace(said[at[0]:at[1]])
			}
		}
	}
	return ""
}

// OfOthersDogs reports that a text tells of dogs of others, and of none of the
// carer's own.
func OfOthersDogs(text string) bool {
	return language.Says("others-dogs", text) && !language.Says("own-dog", text)
}

// NotMadeFor returns the words by which a text says that something is for dogs
// that are ill, expecting or nursing, and unless pups are meant for growing ones;
// empty where it says so of none.
func NotMadeFor(text string, pups bool) string {
	names := []string{"not-well", "not-adult"}
	if pups {
		names = names[:1]
	}
	for _, said := range language.Pattern("clause-ends").Split(text, -1) {
		for _, name := range names {
			for _, s := range language.Sayings[name] {
				if at := s.Is().FindStringIndex(said); at != nil && !language.Says("claim-denied", said[:at[0]]) {
					return said[at[0]:at[1]]
				}
			}
		}
	}
	return ""
}
