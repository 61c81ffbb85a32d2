package bot

import (
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/talk"
)

// allAtOnce takes a first message that tells of a dog and of what it is fed: the
// dog is kept, and its recipe read.
func allAtOnce(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) > 0 || t.Talk.Kind != "" {
		return false
	}
	told, fed, ok := recipeWithin(t, s)
	return ok && dogs.KeepFirst(t, told) && recipes.TakePasted(t, fed)
}

// linesAside takes lines of a recipe in the middle of a question about something else,
// without the words that lead to them: "i do her 300 g beef mince, 100 g pasta". A name
// stays, and so does what has a figure of its own.
func linesAside(t *talk.Turn, s string) bool {
	if told, fed, ok := recipeWithin(t, s); ok && !strings.ContainsAny(told, ":0123456789") {
		s = fed
	}
	return recipes.PastedAside(t, s)
}

// recipeWithin cuts a text before the recipe that it tells: "i make 1 kg chicken
// thigh, 200 g hearts and 2 eggs".
func recipeWithin(t *talk.Turn, s string) (told, fed string, ok bool) {
	for _, at := range read.Pattern("amount-of-line").FindAllStringIndex(s, -1) {
		told, fed = s[:at[0]], untilQuestion(s[at[0]:])
		apart := strings.NewReplacer(", ", "\n", " and ", "\n").Replace(fed)
		for _, fed := range []string{fed, apart} { // apart, a food needs no amount
			named, begins := 0, false
			got := t.RecipeText(fed)
			for _, l := range got.Lines {
				named, begins = named+1, begins || strings.HasPrefix(fed, l.Text)
			}
			for _, p := range got.Problems {
				if asksWhich(p) {
					named, begins = named+1, begins || strings.HasPrefix(fed, p.Text)
				}
			}
			if begins && named >= 2 { // else a dog's weight
				return told, fed, true
			}
		}
	}
	return "", "", false
}

// asksWhich reports that a line names a food, though not which one, or one that is near
// to some: "beef mince 12 %".
func asksWhich(p span.Problem) bool {
	return len(p.Finding.Choices)+len(p.Finding.Nearest) > 0
}

// untilQuestion is a text without the question that ends it, or the words
// without an amount: "how much".
func untilQuestion(s string) string {
	s = strings.TrimSpace(s)
	if !strings.HasSuffix(s, "?") {
		if at := strings.LastIndex(s, ". "); at > 0 && !strings.ContainsAny(s[at:], "0123456789") {
			s = s[:at]
		}
		return strings.TrimRight(s, " .!")
	}
	if at := strings.LastIndexAny(s[:len(s)-1], ".!\n"); at > 0 {
		return strings.TrimRight(s[:at], " .!")
	}
	return ""
}
