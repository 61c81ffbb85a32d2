package span

import (
	"slices"
	"strings"
	"time"

	"bowlwright/planner"
)

// Named is a dog, a recipe or an own food of the household.
type Named struct{ ID, Name string }

// Names are the names by which a household's sentences may speak of things.
type Names struct{ Dogs, Recipes, Foods []Named }

// Name is a name of the household, split into words.
type Name struct {
	ID    string
	Words []Word
}

// SplitNames splits names. One without a letter or digit names nothing.
func SplitNames(named []Named) []Name {
	names := make([]Name, 0, len(named))
	for _, n := range named {
		text, _ := FirstRunes(n.Name, 80)
		if w := SplitWords(text); len(w) > 0 {
			names = append(names, Name{n.ID, w})
		}
	}
	return names
}

// At is where a name that begins at a place ends, or 0.
func (n Name) At(words []Word, at int) int {
	if at+len(n.Words) > len(words) {
		return 0
	}
	for i := range n.Words {
		if n.Words[i].Text != words[at+i].Text {
			return 0
		}
	}
	return at + len(n.Words)
}

// LongestAt is the longest of some names that begins at a place: its id and its
// end, which is 0 where there is none.
func LongestAt(names []Name, words []Word, at int) (id string, end int) {
	for _, n := range names {
		if to := n.At(words, at); to > end {
			id, end = n.ID, to
		}
	}
	return id, end
}

// PossessedAt is the name that is typed with an s and no apostrophe: "Pips
// dinner".
func PossessedAt(names []Name, words []Word, at int) (id string, end int) {
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

// BindNames makes one word of each of some names in a text, so that no reader of days finds
// one in them: "fed Pip Sunday pot" is of no Sunday. Apart takes them apart again.
func BindNames(text string, named []Named) (bound string, apart func(string) string) {
	var pairs []string
	all := Mentions(text, named)
	for _, m := range slices.Backward(all) {
		name := text[m.From:m.To]
		word := strings.ReplaceAll(name, " ", "")
		pairs = append(pairs, word, name)
		text = text[:m.From] + word + text[m.To:]
	}
	return text, strings.NewReplacer(pairs...).Replace
}

// Context is the moment in which a text was typed.
type Context struct {
	Names  Names
	Carers []Named  // who else feeds
	Own    []string // the household's own foods
	Open   string   // the question that is open, named as in language/README.md; empty where none is
	Units  planner.Units
	Now    time.Time // in the household's zone
}
