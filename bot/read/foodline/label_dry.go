package foodline

import (
	"regexp"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/nutrition"
)

// dryWords say that a figure is for the food without its water. The two letters
// alone are often part of a name, so they count in capitals or behind a measure.
var dryWords = regexp.MustCompile(`(?i)[(\[]?\b(?:(?:on|in|of|as|per)\s+(?:a\s+)?)?(?:dry[ -]?matter|dry[ -](?:basis|weight))(?:\s+basis)?\b[)\]]?|(?-i:\(DM\)|\bDM\b)|\b((?:kg|g|%)\s+)dm\b`)

// cutDry takes out of a text the words that say "in dry matter".
func cutDry(s string) (rest string, dry bool) {
	if !dryWords.MatchString(s) {
		return s, false
	}
	rest = dryWords.ReplaceAllString(s, "$1")
	return strings.Trim(rest, " ,:"), true
}

// basisAlone reports that a part of a label says whether its figures are in dry
// matter, and nothing else.
func basisAlone(s string) (dry, alone bool) {
	if asFedWords[strings.ToLower(strings.Trim(s, " ()[].,:"))] {
		return false, true
	}
	rest, dry := cutDry(s)
	return dry, dry && strings.Trim(rest, " ()[].,:") == ""
}

var asFedWords = language.Set("as-fed")

// takeDryShare takes "dry matter 25 %", which says how much water there is.
func (out *Label) takeDryShare(s string) bool {
	l := plainLine(s)
	f, end := l.shareAt(0, 100)
	if end == 0 || end != len(l.Tokens) || !strings.ContainsAny(s, "%p") || f.n <= 0 || f.n > 100 {
		return false
	}
	out.Per100[nutrition.Water] = 100 - f.n
	return true
}

// openFigure reads "zinc unknown".
func openFigure(s string) (nutrition.Nutrient, bool) {
	s = strings.TrimSpace(s)
	for _, open := range []string{"?", "unknown", "not known"} {
		name, ok := strings.CutSuffix(strings.ToLower(s), open)
		if !ok {
			continue
		}
		l := plainLine(name)
		if n, end := NutrientAt(l.Lexed, 0); end > 0 && end == len(l.Tokens) {
			return n, true
		}
	}
	return 0, false
}

// asFed makes figures in dry matter into figures as fed, and reports false where
// the moisture that this takes is not said. Moisture itself is always of the
// food as fed.
//
//	as fed = in dry matter * (100 - moisture) / 100
func (out *Label) asFed() bool {
	water, known := out.Per100[nutrition.Water]
	for n, dry := range out.dry {
		switch {
		case !dry || n == nutrition.Water:
		case !known:
			return false
		default:
			out.Per100[n] *= (100 - water) / 100
		}
	}
	out.dry = nil
	return true
}
