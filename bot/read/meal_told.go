package read

import (
	"slices"
	"strings"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// MealTold is what a text tells of a dog's meal.
type MealTold struct {
	Dogs   []string // ids; none where none is named
	By     string   // who fed it, as typed, where that is said
	Recipe string   // id
	Grams  nutrition.Grams
	At     string // the time, as typed
	Text   string // without what is no part of it: "not a treat"
}

// ToldMeal reads what is told of a meal in words that say nothing else, of which a bare
// number is in the household's unit: "dan fed him 230 at half 5", "had brekkie, all gone".
func ToldMeal(s string, n span.Names, u planner.Units) (m MealTold, ok bool) {
	if IsQuestion(s) && !language.Says("had-meal", s) || strings.Contains(s, "\n") || len(s) > 120 || NamesBothMeals(s) {
		return m, false
	}
	rest := language.Without("meal-aside", s)
	m.Text = rest
	blank := func(from, to int) { rest = rest[:from] + " " + rest[to:] }
	from, to, dogs := DogsNamed(rest, n)
	if m.Dogs = dogs; len(dogs) > 0 {
		blank(from, to)
	}
	for _, r := range slices.Backward(span.Mentions(rest, n.Recipes)) {
		m.Recipe = r.ID
		blank(r.From, r.To)
	}
	if at := language.Pattern("told-at").FindStringIndex(rest); at != nil {
		m.At = strings.TrimSpace(rest[at[0]:at[1]])
		blank(at[0], at[1])
	}
	if by := language.Pattern("meal-by").FindStringSubmatchIndex(rest); by != nil {
		if w := strings.ToLower(rest[by[2]:by[3]]); !language.In("meal-says", w) && !language.In("no-doer", w) && !strings.HasSuffix(w, "ly") {
			m.By = rest[by[2]:by[3]]
		}
		if m.By != "" {
			blank(by[2], by[3])
		}
	}
	if mass := language.Pattern("told-mass").FindStringIndex(rest); mass != nil {
		told := strings.TrimSpace(rest[mass[0]:mass[1]])
		if m.Grams = MassIn(told); m.Grams == 0 {
			unit := " g"
			if u.Ounces {
				unit = " oz"
			}
			m.Text = strings.Replace(m.Text, told, told+unit, 1)
			m.Grams = MassIn(told + unit)
		}
		blank(mass[0], mass[1])
	}
	verb := false
	for _, w := range strings.FieldsFunc(strings.ToLower(rest), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !language.In("meal-says", w) {
			return m, false
		}
		verb = verb || language.In("meal-verbs", w)
	}
	share, part := PartEaten(m.Text)
	left := language.Says("meal-left-some", rest)
	if left && part { // "gave him 240 g, left half"
		m.Grams *= nutrition.Grams(share)
	}
	left = left || language.Says("only-that", rest)
	is := m.Grams > 0 || part || !left && (m.At != "" || language.Says("meal-meant", rest))
	return m, is && (verb || m.Grams > 0 && language.Says("was-meal", s)) && !language.Says("own-meal", s)
}
