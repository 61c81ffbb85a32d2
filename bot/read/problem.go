package read

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"bowlwright/nutrition"
)

// Code says why a text was not understood or not accepted.
type Code string

// Codes of problems with quantities and recipe lines.
const (
	NoAmount      Code = "no-amount"      // a food without an amount
	UnknownFood   Code = "unknown-food"   // Finding.Nearest are the nearest names
	NoFood        Code = "no-food"        // an amount without a food
	AmbiguousFood Code = "ambiguous-food" // Finding.Choices are what it could be
	RefusedFood   Code = "refused-food"   // Finding.Refused: dogs must not eat it
	BadNumber     Code = "bad-number"     // no number, or one that cannot be read
	Negative      Code = "negative"       // below zero
	Zero          Code = "zero"           // of nothing
	TooMuch       Code = "too-much"       // more than a kitchen holds
	NoMeasure     Code = "no-measure"     // no source gives the weight of that measure of the food
	MixedUnits    Code = "mixed-units"    // "2 kg 500 lb"
	TwoAmounts    Code = "two-amounts"    // one food, two weights
	BadCadence    Code = "bad-cadence"    // how often is not clear
	NotWeight     Code = "not-weight"     // no body weight
	NotMass       Code = "not-mass"       // no weight of food
	NotEnergy     Code = "not-energy"     // no energy
	TooLong       Code = "too-long"       // a line or a paste that is too long
	Empty         Code = "empty"          // nothing there
)

// Problem is a piece of text that was not understood or not accepted.
type Problem struct {
	Line    int               // from 1; 0 where there is but one
	Text    string            // as typed, cleaned, at most maxProblemRunes
	Code    Code              // why
	Part    string            // the part of the text that it is about
	Finding nutrition.Finding // of codes about foods
}

// maxProblemRunes is how much of a text a Problem repeats.
const maxProblemRunes = 200

// Error names the code; it repeats nothing that was typed.
func (p Problem) Error() string { return "read: " + string(p.Code) }

// problem returns a Problem about a text of its own.
func problem(code Code, text string) Problem {
	text, _ = firstRunes(text, maxProblemRunes)
	return Problem{Text: text, Code: code, Part: text}
}

// fractions are the characters that stand for one.
var fractions = map[rune]string{
	'½': "1/2", '¼': "1/4", '¾': "3/4", '⅓': "1/3", '⅔': "2/3", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
}

// Clean takes out of a text what nobody meant to type: control and
// formatting characters (the marks that turn the direction of text among
// them), emoji and other symbols, and writes compatibility forms (full-width
// digits, ligatures) plainly. Line breaks stay; tabs become spaces. Cleaning
// a clean text changes nothing.
func Clean(s string) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, ""), "\r\n", "\n")
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		switch {
		case r == '\n':
			b.WriteByte('\n')
		case r == '\r' || r == '\u2028' || r == '\u2029':
			b.WriteByte('\n')
		case r == '\t' || unicode.Is(unicode.Zs, r):
			b.WriteByte(' ')
		case fractions[r] != "": // before it is taken apart: "1½" is not 11/2
			b.WriteRune(r)
		case r < 0x80 && r >= ' ' && r != 0x7f:
			b.WriteRune(r)
		case !dropped(r):
			b.WriteString(norm.NFKC.String(string(r)))
		}
	}
	return norm.NFC.String(strings.Map(func(r rune) rune {
		if r != '\n' && dropped(r) {
			return -1
		}
		return r
	}, b.String()))
}

// dropped reports that a character is no part of what was meant.
func dropped(r rune) bool {
	if r == '\n' || r == '°' || fractions[r] != "" {
		return false
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.So, unicode.Sk) && r > 0x7f || r < ' ' || r == 0x7f ||
		unicode.Is(unicode.Variation_Selector, r)
}
