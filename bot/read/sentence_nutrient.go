package read

import (
	"bowlwright/bot/read/foodline"
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

// nutrientAt reads the name of a nutrient, or of a figure made of several. It
// returns its end, or 0.
func (m *matcher) nutrientAt(at int) (s nutrition.Subject, end int) {
	for _, n := range subjectNames {
		if end := m.longestOf(at, n.words); end > 0 {
			return n.subject, end
		}
	}
	if notAsked[m.at(at)] {
		return 0, 0
	}
	n, end := foodline.NutrientAt(m.line(), at)
	return nutrition.Subject(n), end
}

// NutrientNamed returns the nutrient whose name is all that a text says.
func NutrientNamed(text string) (nutrition.Subject, bool) {
	m := matcher{text: text, words: span.SplitWords(text)}
	s, end := m.nutrientAt(0)
	return s, end > 0 && end == len(m.words)
}
