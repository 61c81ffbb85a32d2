package span

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"bowlwright/nutrition"
)

// Code says why a text was not understood or not accepted.
type Code string

// Codes of problems with quantities and recipe lines.
const (
	NoAmount      Code = "no-amount"       // a food without an amount
	NoFood        Code = "no-food"         // an amount without a food
	UnknownFood   Code = "unknown-food"    // Finding.Nearest, if any, come near
	AmbiguousFood Code = "ambiguous-food"  // Finding.Choices are what it could be
	RefusedFood   Code = "refused-food"    // Finding.Refused: dogs must not eat it
	BadNumber     Code = "bad-number"      // no number, or one that cannot be read
	Negative      Code = "negative"        // below zero
	Zero          Code = "zero"            // of nothing
	TooMuch       Code = "too-much"        // more than a kitchen holds
	NoMeasure     Code = "no-measure"      // no source gives the weight of that measure of the food
	MixedUnits    Code = "mixed-units"     // "2 kg 500 lb"
	TwoAmounts    Code = "two-amounts"     // one food, two weights, or a range
	BadCadence    Code = "bad-cadence"     // how often is not clear
	BadBasis      Code = "bad-basis"       // per something that a dose is not reckoned by: "per 10 kg"
	NotWeight     Code = "not-weight"      // no body weight
	NotMass       Code = "not-mass"        // no weight of food
	NotEnergy     Code = "not-energy"      // no energy
	TooLong       Code = "too-long"        // a line or a paste that is too long
	Empty         Code = "empty"           // nothing there
	SaltOrElement Code = "salt-or-element" // "zinc gluconate 50 mg": of zinc, or of the salt? Part is the compound
	EachOrAll     Code = "each-or-all"     // "3 drops of 1000 IU": in each, or in all? Part is the form
	WhichE        Code = "which-e"         // "vitamin E 100 mg": natural, or synthetic?
	LabelOnly     Code = "label-only"      // "zinc 20 mg per 5 g": and how much of it?
	NoUnit        Code = "no-unit"         // "copper 2": of what
	WhichBasis    Code = "which-basis"     // a figure may be in dry matter or as fed
	NoMoisture    Code = "no-moisture"     // figures in dry matter, and nobody says how much water there is
	BareNumber    Code = "bare-number"     // "liver 50": grams or pieces; Part is the number
)

// Problem is a piece of text that was not understood or not accepted.
type Problem struct {
	Line    int               // from 1; 0 where there is but one
	Text    string            // as typed, cleaned, at most maxProblemRunes
	Code    Code              // why
	Part    string            // the part of the text that it is about
	Finding nutrition.Finding // of codes about foods
}

// MaxProblemRunes is how much of a text a Problem repeats.
const MaxProblemRunes = 200

// Error names the code; it repeats nothing that was typed.
func (p Problem) Error() string { return "read: " + string(p.Code) }

// NewProblem returns a Problem about the whole of a text.
func NewProblem(code Code, text string) Problem {
	text, _ = FirstRunes(text, 4*MaxProblemRunes)
	text, _ = FirstRunes(Clean(text), MaxProblemRunes)
	return Problem{Text: text, Code: code, Part: text}
}

// Fractions are the characters that stand for one.
var Fractions = map[rune]string{
	'½': "1/2", '¼': "1/4", '¾': "3/4", '⅓': "1/3", '⅔': "2/3", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
}

// Clean takes out of a text what nobody meant to type: control and
// formatting characters (the marks that turn the direction of text among
// them), emoji and other symbols. It writes compatibility forms (full-width
// digits, ligatures), the digits of other scripts, quotation marks and minus
// signs plainly, and joins thousands that a no-break space parts. Line breaks
// stay; tabs and other spaces become spaces. Cleaning a clean text changes
// nothing.
func Clean(s string) string {
	if isClean(s) {
		return s
	}
	s = norm.NFC.String(plainRunes(s))
	if isClean(s) {
		return s
	}
	return norm.NFC.String(plainRunes(s)) // what came of compatibility forms
}

// isClean reports that a text is of printable ASCII and line breaks alone.
func isClean(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return (r < ' ' || r >= 0x7f) && r != '\n' })
}

// plainRunes writes each character plainly, or leaves it out.
func plainRunes(s string) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, ""), "\r\n", "\n")
	var b strings.Builder
	b.Grow(len(s))
	for i, r := range s {
		switch {
		case r == '\n' || r >= ' ' && r < 0x7f:
			b.WriteByte(byte(r))
		case r == '\r' || r == '\u2028' || r == '\u2029' || r == '\v' || r == '\f' || r == '\u0085':
			b.WriteByte('\n')
		case unicode.Is(unicode.Zs, r) && partsThousands(s, i, utf8.RuneLen(r)):
		case r == '\t' || unicode.Is(unicode.Zs, r):
			b.WriteByte(' ')
		case plainSigns[r] != 0:
			b.WriteByte(plainSigns[r])
		case Fractions[r] != "": // before it is taken apart: "1½" is not 11/2
			b.WriteRune(r)
		case unicode.Is(unicode.Nd, r):
			b.WriteByte(digit(r))
		case !dropped(r) || r >= 0x3371 && r <= 0x33df: // units in one character, as "㎏"
			b.WriteString(norm.NFKC.String(string(r)))
		}
	}
	return b.String()
}

// plainSigns are characters that are typed for a plainer one.
var plainSigns = map[rune]byte{
	'−': '-', '‐': '-', '‑': '-', '⁄': '/', '∕': '/', '“': '"', '”': '"', '„': '"', '‟': '"', '‘': '\'', '’': '\'', 'ʼ': '\'',
	'٫': '.', '٬': ',', '✕': 'x', '✖': 'x', '⨯': 'x',
}

// digit is the ASCII digit of a digit of another script. The digits of a
// script lie side by side.
func digit(r rune) byte {
	n := byte(0)
	for n < 9 && unicode.Is(unicode.Nd, r-rune(n)-1) {
		n++
	}
	if n == 9 && unicode.Is(unicode.Nd, r-10) { // blocks of digits one after another
		return norm.NFKC.String(string(r))[0]
	}
	return '0' + n
}

// partsThousands reports that the space at a byte stands within a number:
// "1 250" with a no-break or a thin space. A plain space is not enough.
func partsThousands(s string, at, size int) bool {
	return at > 0 && IsASCIIDigit(s[at-1]) && size > 1 && threeDigits.MatchString(s[at+size:])
}

var threeDigits = regexp.MustCompile(`^\d{3}(?:\D|$)`)

// dropped reports that a character is no part of what was meant: control,
// format, private use, symbols such as emoji, and raised digits.
func dropped(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.So, unicode.Sk, unicode.Variation_Selector) ||
		unicode.Is(unicode.No, r)
}

// ways are the answers to problems that a word more would settle.
var ways = map[Code][]string{
	SaltOrElement: {OfElement, OfSalt},
	EachOrAll:     {"each", "in all"},
	WhichE:        {"natural", "synthetic"},
}

// Ways returns the words of which one settles the problem, none where it takes
// more than a word.
func (p Problem) Ways() []string { return ways[p.Code] }

// Saying returns the line with one of the words that settle it.
func (p Problem) Saying(way string) string { return p.Text + ", " + way }

// WayOf returns the way that a typed answer means: "each drop", "the salt".
func (p Problem) WayOf(typed string) (string, bool) {
	said := strings.Fields(strings.ToLower(strings.Trim(typed, " .!")))
	if len(said) == 0 || len(said) > 4 {
		return "", false
	}
	for _, way := range p.Ways() {
		words := strings.Fields(way)
		last := words[len(words)-1] // "salt" of "of the salt"
		for _, w := range said {
			if w == last || way == OfElement && (w == "element" || w == "elemental") || way == "in all" && (w == "total" || w == "together") || way == "each" && w == "per" {
				return way, true
			}
		}
	}
	return "", false
}

// What a line says that a mass is of.
const (
	OfElement = "elemental"
	OfSalt    = "of the salt"
)

// Codes of problems with dogs, ages and places.
const (
	UnknownPlace  Code = "unknown-place"  // no zone, city or country with one zone
	BadAge        Code = "bad-age"        // no age and no date
	NoAgeUnit     Code = "no-age-unit"    // a bare number: years, months or weeks?
	AmbiguousDate Code = "ambiguous-date" // day and month could be swapped
	FutureBirth   Code = "future-birth"   // born after today
	TooOld        Code = "too-old"        // older than any dog
	NotPlaced     Code = "not-placed"     // words that say nothing known of a dog
	BadWeight     Code = "bad-weight"     // no weight that a dog has
	BadCondition  Code = "bad-condition"  // no score from 1 to 9
	OtherScale    Code = "other-scale"    // a body condition score of another scale than 9
	BadMeals      Code = "bad-meals"      // more meals a day than a dog gets
	PuppyNoAge    Code = "puppy-no-age"   // a puppy or an old dog, of which the age is needed
)
