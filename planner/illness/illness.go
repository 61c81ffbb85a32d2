// Package illness reads in notes which conditions a dog has.
package illness

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"
	"unicode"

	"bowlwright/nutrition"
)

// The conditions, and medicines given for long, for which no automatic plan is
// made.
const (
	Kidney        = "kidney"
	Liver         = "liver"
	Pancreas      = "pancreas"
	Diabetes      = "diabetes"
	Heart         = "heart"
	BladderStones = "bladder-stones"
	Cancer        = "cancer"
	Allergy       = "allergy"
	Immune        = "immune"
	Hormones      = "hormones" // thyroid, adrenal glands
	Nerves        = "nerves"   // epilepsy and what is given for it
	Medicine      = "medicine" // another that is given for long
)

// In returns the codes of the conditions that a carer's notes name and
// for which no automatic plan is made, in the order above, each once; nil for
// none.
//
// A denial counts for what directly follows it: "no known kidney or liver
// trouble" names nothing. Nor does an organ that is well ("heart is fine") or
// eaten ("beef heart", "loves liver"). Every other mention counts: where a
// wording leaves it open In errs toward naming a condition, because a
// person can lift that, and nobody sees one that was missed. What it does not
// recognise it does not name.
func In(notes string) []string {
	if notes == "" {
		return nil
	}
	var found []string
	carry := false // a denial that goes on: "no kidney, liver or heart trouble"
	for _, clause := range clauses(notes) {
		var named []string
		named, carry = namedIn(clause, carry)
		found = append(found, named...)
	}
	slices.SortFunc(found, func(a, b string) int { return orderOf(a) - orderOf(b) })
	return slices.Compact(found)
}

var order = []string{Kidney, Liver, Pancreas, Diabetes, Heart, BladderStones, Cancer, Allergy, Immune, Hormones, Nerves, Medicine}

func orderOf(code string) int { return slices.Index(order, code) }

// turns puts a mark where a sentence turns, and one apostrophe for two.
var turns = strings.NewReplacer("’", "'", " but ", ";", " however ", ";", " except ", ";")

// clauses splits notes into clauses of words in lower case. A number, a dash
// or an apostrophe parts no words: "doesn't", "immune-mediated".
func clauses(notes string) [][]string {
	var all [][]string
	notes = turns.Replace(strings.ToLower(notes))
	for _, c := range strings.FieldsFunc(notes, func(r rune) bool { return strings.ContainsRune(",.;:!?()\n/&+", r) }) {
		words := strings.FieldsFunc(c, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' })
		if len(words) > 0 {
			all = append(all, words)
		}
	}
	return all
}

// namedIn returns what the words of a clause name. denied says that the
// clause before denied and left open what: organs without the word for what
// they do not have. on says the same of this clause.
func namedIn(words []string, denied bool) (found []string, on bool) {
	well := contains(words, "well") && !contains(words, "denials") && !contains(words, "troubles")
	denied = denied && startsWithTerm(words)
	for i, w := range words {
		switch code, organ := termAt(words, i); {
		case known.has("denials", w):
			denied, on = true, false
		case code != "":
			well := well || eaten(words, i)
			if !denied && !(organ && well) && !ruledOut(words[i:]) {
				found = append(found, code)
			}
			on = denied && organ
		case known.has("troubles", w):
			on = false
		case !known.has("passing", w):
			denied, on = false, false
		}
	}
	return found, on
}

// eaten reports that an organ is food.
func eaten(words []string, i int) bool {
	if i+1 < len(words) {
		next := words[i+1]
		if known.has("eaten-after", next) || known.has("troubles", next) {
			return known.has("eaten-after", next)
		}
	}
	before := i - 1
	if i > 1 && (words[before] == "and" || words[before] == "n" || words[before] == "an") && i == len(words)-1 { // "turkey and heart"
		before--
	}
	return before >= 0 && known.has("eaten-before", words[before])
}

// startsWithTerm reports that a clause goes on with a list of what is denied.
func startsWithTerm(words []string) bool {
	for i, w := range words {
		if code, _ := termAt(words, i); code != "" {
			return true
		}
		if w != "or" && w != "and" && w != "nor" {
			return false
		}
	}
	return false
}

// ruledOut reports that what a term begins is denied after it: "kidney
// disease ruled out".
func ruledOut(words []string) bool {
	for i := 1; i < len(words); i++ {
		switch w := words[i]; {
		case w == "ruled" && i+1 < len(words) && words[i+1] == "out", w == "negative":
			return true
		case !known.has("passing", w) && !known.has("troubles", w):
			return false
		}
	}
	return false
}

// contains reports that some of the words are on a list.
func contains(words []string, list string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return known.has(list, w) })
}

// termAt returns the condition that a word names where it stands, and whether
// it does so only as an organ.
func termAt(words []string, i int) (code string, organ bool) {
	w := words[i]
	next, last := "", ""
	if i+1 < len(words) {
		next = words[i+1]
	}
	if i > 0 {
		last = words[i-1]
	}
	switch {
	case w == "bladder" && last == "gall":
		return Liver, true
	case w == "bladder" && (next == "infection" || next == "infections"):
		return "", false
	case (w == "stones" || w == "stone") && (known.has("stone-eaters", last) || contains(words, "weights")):
		return "", false
	}
	equal := func(a, b string) bool { return a == b }
	if code := known.code("pair", w+"+"+next, equal); code != "" {
		return code, false
	}
	if code := known.code("organ", w, equal); code != "" {
		return code, true
	}
	return cmp.Or(known.code("word", w, equal), known.code("stem", w, strings.HasPrefix),
		known.code("end", w, strings.HasSuffix), known.code("slip", w, oneSlip)), false
}

//go:embed illness.txt
var text string

// known are the lists of illness.txt by name.
var known = readLexicon(text)

// lexicon is lists of words, each with the condition that it names, if any.
type lexicon map[string][]listed

type listed struct{ text, code string }

func readLexicon(text string) lexicon {
	lists := lexicon{}
	for line := range strings.Lines(text) {
		head, words, ok := strings.Cut(line, ":")
		if !ok || head[0] == '#' {
			continue
		}
		list, code, _ := strings.Cut(head, " ")
		for _, w := range strings.Fields(words) {
			lists[list] = append(lists[list], listed{w, code})
		}
	}
	return lists
}

// code returns the condition of the first of a list's words that is like another
// word; empty where none is.
func (l lexicon) code(list, w string, like func(w, text string) bool) string {
	for _, t := range l[list] {
		if like(w, t.text) {
			return t.code
		}
	}
	return ""
}

// has reports that a list has a word.
func (l lexicon) has(list, w string) bool {
	return slices.ContainsFunc(l[list], func(t listed) bool { return t.text == w })
}

// shortestMisspelt is how many letters a word has in which a slip is looked for
// (our own choice).
const shortestMisspelt = 6

// oneSlip reports that a word, if it is not short, is another but for one letter
// more, less or other, or two that changed places.
func oneSlip(a, b string) bool {
	return len(a) >= shortestMisspelt && (a == b || nutrition.OneError(a, b))
}
