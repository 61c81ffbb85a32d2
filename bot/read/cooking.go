package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// SaysOneOf reports that a text has a word of a list.
func SaysOneOf(s, list string) bool {
	return slices.ContainsFunc(span.SplitWords(s), func(w span.Token) bool { return language.In(list, w.Text) })
}

// SaysCooking reports that a text is about food that is cooked, dried, smoked or
// thawed in a microwave; not where it is said to be raw or off the bone.
func SaysCooking(s string) bool { return SaysOneOf(s, "cooking") && !SaysOneOf(s, "not-cooking") }

// CutWeights takes out of pasted lines what says of all of them that they are
// cooked weights, and reports whether any does: "all weighed cooked" on a line of
// its own, or in brackets after the name.
func CutWeights(text string) (rest string, cooked bool) {
	says := func(s string) bool {
		s = strings.Trim(s, "()*-•: .")
		if strings.ContainsAny(s, "0123456789") || !SaysOneOf(s, "raw-or-cooked") {
			return false
		}
		got, ok := Understand(s, span.Names{}, planner.Units{})
		cooked = cooked || ok && got.Intent == CookedLines
		return ok && (got.Intent == CookedLines || got.Intent == RawLines)
	}
	var kept []string
	for _, line := range strings.Split(text, "\n") {
		if before, after, ok := strings.Cut(line, "("); ok && says(after) {
			line = strings.TrimSpace(before)
			if line == "" {
				continue
			}
		} else if says(line) {
			continue
		}
		kept = append(kept, line)
	}
	return strings.Join(kept, "\n"), cooked
}

// LessCooking is a text without its words of cooking.
func LessCooking(s string) string {
	var kept []string
	for _, w := range strings.Fields(s) {
		if bare := span.SplitWords(w); len(bare) == 1 && language.In("cooking", bare[0].Text) {
			continue
		}
		kept = append(kept, w)
	}
	return strings.TrimRight(strings.Join(kept, " "), " ,;:-(")
}

// CutCalled cuts off the name that a recipe is given at the end of its text:
// "... 2 eggs. call it Sunday pot". It is empty where none is.
func CutCalled(text string) (rest, name string) {
	m := language.Pattern("call-it").FindStringSubmatchIndex(text)
	if m == nil {
		return text, ""
	}
	return text[:m[0]], text[m[2]:m[3]]
}

// NamesNothing reports that a line stands above a recipe and is no name of it: "my
// recipe:", "what I cook for her".
func NamesNothing(line string) bool {
	line = strings.Trim(line, "#:*-. \t")
	return language.In("above-recipe", strings.ToLower(line)) || language.Says("no-name", line)
}
