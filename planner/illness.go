package planner

import (
	"slices"
	"strings"
	"unicode"
)

// illnesses are the conditions for which no automatic plan is made, with the
// words and beginnings of words that name them in a carer's notes.
var illnesses = []struct {
	code  string
	words []string
}{
	{"kidney", []string{"kidney", "renal", "ckd", "nephr", "proteinuria"}},
	{"liver", []string{"liver", "hepat", "shunt"}},
	{"pancreas", []string{"pancrea", "epi"}},
	{"diabetes", []string{"diabet", "insulin"}},
	{"heart", []string{"heart", "cardi", "dcm", "mmvd", "murmur", "chf"}},
	{"bladder-stones", []string{"stone", "struvite", "oxalate", "urate", "cystine", "urolith", "bladder", "crystals"}},
	{"cancer", []string{"cancer", "tumor", "tumour", "lymphoma", "sarcoma", "carcinoma", "chemo", "mast"}},
	{"allergy", []string{"allerg", "elimination", "atop", "intoleran"}},
	{"immune", []string{"immun", "addison", "cushing", "lupus", "steroid", "prednis", "cyclosporin", "ciclosporin", "imha"}},
}

// exact words are matched whole: as a beginning they would match others
// ("epi" in "episode").
var exactWords = []string{"epi", "ckd", "dcm", "mmvd", "chf", "imha", "mast"}

// denials are words after which an illness in the same clause is denied.
var denials = []string{"no", "not", "never", "without", "none"}

// Illness returns the codes of the conditions that notes name and for which
// no automatic plan is made, in the order of the list; nil for none. A clause
// that denies ("no kidney trouble") names none. What it does not recognise it
// does not gate: the notes stay as typed for a person to read.
func Illness(notes string) []string {
	var found []string
	clauses := strings.FieldsFunc(strings.ToLower(notes), func(r rune) bool { return strings.ContainsRune(",.;!\n", r) })
	for _, clause := range clauses {
		for _, part := range strings.Split(clause, " but ") {
			words := strings.FieldsFunc(part, func(r rune) bool { return !unicode.IsLetter(r) })
			found = illnessIn(found, words)
		}
	}
	slices.SortFunc(found, func(a, b string) int { return illnessOrder(a) - illnessOrder(b) })
	return slices.Compact(found)
}

// illnessIn appends what the words of one clause name, up to a denial.
func illnessIn(found []string, words []string) []string {
	for _, w := range words {
		if slices.Contains(denials, w) {
			return found
		}
		for _, ill := range illnesses {
			if slices.ContainsFunc(ill.words, func(name string) bool {
				return w == name || strings.HasPrefix(w, name) && !slices.Contains(exactWords, name)
			}) {
				found = append(found, ill.code)
			}
		}
	}
	return found
}

func illnessOrder(code string) int {
	for i, ill := range illnesses {
		if ill.code == code {
			return i
		}
	}
	return len(illnesses)
}
