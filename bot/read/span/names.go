package span

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/planner"
)

// Named is a dog, a recipe or an own food of the household.
type Named struct {
	ID, Name string
	Pup      bool // it is the only growing dog of several, and may be called "the puppy"
}

// All are its names, its own first.
func (n Named) All() []string {
	if n.Pup {
		return append([]string{n.Name}, language.List("puppy-names")...)
	}
	return []string{n.Name}
}

// Names are the names by which a household's sentences may speak of things.
type Names struct {
	Dogs, Recipes, Foods []Named
	Given                []Named // what a reminder has a dog be given, by the dog's id; of all dogs by none
}

// Name is a name of the household, split into words.
type Name struct {
	ID    string
	Words []Token
}

// SplitNames splits names. One without a letter or digit names nothing.
func SplitNames(named []Named) []Name {
	names := make([]Name, 0, len(named))
	for _, n := range named {
		for _, name := range n.All() {
			text, _ := FirstRunes(name, 80)
			if w := SplitWords(text); len(w) > 0 {
				names = append(names, Name{n.ID, w})
			}
		}
	}
	return names
}

// At is where a name that begins at a place ends, or 0.
func (n Name) At(words []Token, at int) int {
	end := at + len(n.Words)
	if end > len(words) || !slices.EqualFunc(n.Words, words[at:end], func(a, b Token) bool { return a.Text == b.Text }) {
		return 0
	}
	return end
}

// LongestAt is the longest of some names that begins at a place: its id and its
// end, which is 0 where there is none.
func LongestAt(names []Name, words []Token, at int) (id string, end int) {
	for _, n := range names {
		if to := n.At(words, at); to > end {
			id, end = n.ID, to
		}
	}
	return id, end
}

// PossessedAt is the name that is typed with an s and no apostrophe: "Pips
// dinner".
func PossessedAt(names []Name, words []Token, at int) (id string, end int) {
	for _, n := range names {
		last := len(n.Words) - 1
		if at+last >= len(words) || words[at+last].Text != n.Words[last].Text+"s" {
			continue
		}
		if begin := (Name{n.ID, n.Words[:last]}); last == 0 || begin.At(words, at) > 0 {
			return n.ID, at + last + 1
		}
	}
	return "", 0
}

// Mention is where a text names something, in bytes.
type Mention struct {
	ID       string
	From, To int
}

// Mentions are the names in a text, the longest at each place, each a word of its
// own.
func Mentions(text string, named []Named) (all []Mention) {
	words, names := SplitWords(text), SplitNames(named)
	for i := 0; i < len(words); i++ {
		if id, end := LongestAt(names, words, i); end > 0 {
			all = append(all, Mention{id, words[i].Start, words[end-1].End})
			i = end - 1
		}
	}
	return all
}

// AllNamed finds where a text means every dog; "both" of meals or days is none, and "for
// each" means them only where nothing follows of which it may be, or what dogs do.
func AllNamed(s string) [][]int {
	return slices.DeleteFunc(language.Pattern("all-dogs").FindAllStringIndex(s, -1), func(m []int) bool {
		is, rest := s[m[0]:m[1]], s[m[1]:]
		return is == "both" && language.Says("not-dogs", rest) || is == "each" && !language.Says("each-verb", rest) && (HasLetter(rest) || !strings.HasSuffix(s[:m[0]], "for "))
	})
}

// JoinsNames reports that only a comma or an "and" stands between two names.
func JoinsNames(between string) bool {
	switch strings.TrimSpace(between) {
	case ",", "and", "&", ", and", ",and", "+", "n", "'n", "'n'", "n'":
		return true
	}
	return false
}

// BindNames makes one word of each recipe's name in a text, and none of the calendar of a
// dog's that is one, so that no reader of days finds one in them: "fed Pip Sunday pot" is
// of no Sunday, nor "Friday left half" of a Friday where that is a dog. Apart takes them
// apart again.
func BindNames(text string, n Names) (bound string, apart func(string) string) {
	var pairs []string
	bind := func(m Mention, word string) {
		pairs = append(pairs, word, text[m.From:m.To])
		text = text[:m.From] + word + text[m.To:]
	}
	for _, m := range slices.Backward(Mentions(text, n.Recipes)) {
		bind(m, strings.ReplaceAll(text[m.From:m.To], " ", ""))
	}
	dated := slices.DeleteFunc(slices.Clone(n.Dogs), func(d Named) bool { return !inCalendar(d.Name) })
	for _, m := range slices.Backward(Mentions(text, dated)) {
		if !saysDate(text[:m.From], text[m.To:]) {
			bind(m, text[m.From:m.To]+text[m.From:m.To])
		}
	}
	return text, strings.NewReplacer(pairs...).Replace
}

// inCalendar reports that a name is that of a day or a month.
func inCalendar(name string) bool {
	_, day := Weekdays[Fold(name)]
	return day || MonthNames[Fold(name)] > 0
}

// saysDate reports that a word of the calendar between two texts is the date that it says,
// and not a name: "on Friday", "Friday evening", "April 4", "Monday Friday".
func saysDate(before, after string) bool {
	words, next := strings.Fields(before), Lex(after)
	last := Fold(strings.Join(words[max(len(words)-1, 0):], ""))
	if language.In("calendar-leads", last) || language.In("calendar-ends", next.Word(0)) || inCalendar(last) || inCalendar(next.Word(0)) {
		return true
	}
	_, end := next.DayNumber(0)
	return end > 0 && !next.IsUnit(end)
}

// Context is the moment in which a text was typed.
type Context struct {
	Names  Names
	Carers []Named // who else feeds
	Open   string  // the question that is open, named as in language/README.md; empty where none is
	Units  planner.Units
	Now    time.Time // in the household's zone
}
