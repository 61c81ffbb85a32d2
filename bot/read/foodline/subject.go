package foodline

import (
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// subjectNames are names of figures that are made of several nutrients, and
// what a name means here that means less on a label: all of vitamin A.
var subjectNames = []struct {
	words   [][]string
	subject nutrition.Subject
}{
	{language.Phrases("subject:calcium-phosphorus"), nutrition.CalciumPhosphorus},
	{language.Phrases("subject:epa-dha"), nutrition.EPADHA},
	{language.Phrases("subject:vitamin-a"), nutrition.VitaminA},
}

// notAsked are nutrients whose names mean something else in a question.
var notAsked = map[string]bool{"energy": true, "water": true, "moisture": true, "ash": true, "la": true, "ala": true}

// SubjectAt reads the name of a nutrient that is asked for, or of a figure made
// of several. It returns the token after it, or 0.
func SubjectAt(l *span.Lexed, at int) (s nutrition.Subject, end int) {
	for _, n := range subjectNames {
		if end = l.LongestOf(at, n.words); end > 0 {
			return n.subject, end
		}
	}
	if notAsked[l.Word(at)] {
		return 0, 0
	}
	n, end := NutrientAt(l, at)
	return nutrition.Subject(n), end
}
