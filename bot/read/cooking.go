package read

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"
)

//go:embed language/cooking.txt
var cookingText string

// cookingWords are the words of cooking.txt by their kind.
var cookingWords = sync.OnceValue(func() map[string]map[string]bool {
	kinds := map[string]map[string]bool{}
	for line := range strings.Lines(cookingText) {
		words := strings.Fields(line)
		if len(words) < 2 || words[0] == "#" {
			continue
		}
		if kinds[words[0]] == nil {
			kinds[words[0]] = map[string]bool{}
		}
		for _, w := range words[1:] {
			kinds[words[0]][w] = true
		}
	}
	return kinds
})

// plainWords are the words of a text in small letters: "don't" is dont.
func plainWords(s string) []string {
	s = strings.NewReplacer("'", "", "’", "").Replace(strings.ToLower(s))
	return strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
}

func saysOneOf(s, kind string) bool {
	return slices.ContainsFunc(plainWords(s), func(w string) bool { return cookingWords()[kind][w] })
}

// SaysCooking reports that a text is about food that is cooked, dried, smoked or
// thawed in a microwave; not where it is said to be raw or off the bone.
func SaysCooking(s string) bool { return saysOneOf(s, "cook") && !saysOneOf(s, "-cook") }

// SaysBoneCut reports that a text names a cut with bone in it.
func SaysBoneCut(s string) bool { return saysOneOf(s, "bone") }

// SaysTheFood reports that a text speaks of food without naming it: "it".
func SaysTheFood(s string) bool { return saysOneOf(s, "it") }

// LessCooking is a text without its words of cooking.
func LessCooking(s string) string {
	var kept []string
	for _, w := range strings.Fields(s) {
		if bare := plainWords(w); len(bare) == 1 && cookingWords()["cook"][bare[0]] {
			continue
		}
		kept = append(kept, w)
	}
	return strings.TrimRight(strings.Join(kept, " "), " ,;:-(")
}
