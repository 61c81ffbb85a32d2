package foodline

import (
	"regexp"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// cutDry takes out of a figure the words that say "in dry matter".
func cutDry(s string) (rest string, dry bool) {
	return cutWords(s, language.Pattern("dry-figure"), " ")
}

func cutWords(s string, words *regexp.Regexp, by string) (rest string, dry bool) {
	if !words.MatchString(s) {
		return s, false
	}
	return strings.Trim(words.ReplaceAllString(s, by), " ,:"), true
}

// basisAlone reports that a part of a label says whether its figures are in dry
// matter, and nothing else.
func basisAlone(s string) (dry, alone bool) {
	if language.In("as-fed", strings.ToLower(strings.Trim(s, " ()[].,:"))) {
		return false, true
	}
	rest, dry := cutDry(s)
	return dry, dry && strings.Trim(rest, " ()[].,:") == ""
}

// saysAsFed reports that a figure ends in words for the food as it is fed.
func saysAsFed(s string) bool {
	words := strings.Fields(strings.ToLower(strings.NewReplacer("(", " ", ")", " ", "[", " ", "]", " ").Replace(s)))
	for i := range words {
		if language.In("as-fed", strings.Join(words[i:], " ")) {
			return true
		}
	}
	return false
}

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
		if n, end := nutrientAt(l.Lexed, 0); end > 0 && end == len(l.Tokens) {
			return n, true
		}
	}
	return 0, false
}

// asFed makes figures in dry matter into figures as fed. Where the moisture that this
// takes is not said it drops them, and reports false. Moisture itself is always of the
// food as fed.
//
//	as fed = in dry matter * (100 - moisture) / 100
func (out *Label) asFed() (all bool) {
	water, known := out.Per100[nutrition.Water]
	all = true
	for n, dry := range out.dry {
		switch {
		case !dry || n == nutrition.Water:
		case !known:
			delete(out.Per100, n)
			all = false
		default:
			out.Per100[n] *= (100 - water) / 100
		}
	}
	out.dry = nil
	return all
}

// ownBasis returns what one figure is for where it says so itself, in grams:
// "zinc 4000 mg/kg", "15 mg zinc per 5 g"; 0 where its weight is not known.
func (l *lexed) ownBasis(end int) (nutrition.Grams, bool) {
	at := l.After(end, "of")
	if _, to := nutrientAt(l.Lexed, at); to > 0 {
		at = to
	}
	if !l.Any(at, "per", "/") {
		return 0, false
	}
	var f fact
	switch to := l.perAt(at, &f); {
	case to > 0 && f.basis == perMass:
		return nutrition.Grams(f.per), true
	case to == 0 && l.Any(at, "/"): // "753 kJ / 180 kcal"
		return 0, false
	}
	return 0, true
}

// nutrientAfterBasis returns the nutrient that is named after a figure and what
// it is for: "4000 mg/kg zinc".
func (l *lexed) nutrientAfterBasis(end int) (nutrition.Nutrient, bool) {
	var f fact
	at := l.perAt(end, &f)
	if at == 0 {
		return 0, false
	}
	n, to := nutrientAt(l.Lexed, at)
	return n, to > 0
}

// LabText reads what a laboratory measured of something, as a label is read:
// "calcium 0.45 %, phosphorus 0.38 %, as fed, dry matter 31 %, from 2026-02-10",
// or a figure a line. The day is as typed. water, where it is not negative, is how
// much of it there is in 100 g where the text does not say; used tells that the
// figures rest on it.
func LabText(figures string, water float64) (l Label, day string, used bool, problems []span.Problem) {
	var kept []string
	plain := strings.NewReplacer(":", " ", "=", " ", "\t", " ", "|", " ")
	for _, part := range labelParts(span.Clean(figures)) {
		if head, rest, ok := strings.Cut(part, ":"); ok && span.HasLetter(rest) {
			if _, alone := basisAlone(head); alone { // of all figures
				kept, part = append(kept, head), rest
			}
		}
		part = plain.Replace(part)
		switch said, ok := labDate(part); {
		case ok:
			day = said
		case strings.TrimSpace(part) != "":
			kept = append(kept, strings.TrimSpace(part))
		}
	}
	const name = "own: " // of any name, which is not read
	read := func(more ...string) { l, problems = LabelText(name + strings.Join(append(kept, more...), "\n")) }
	read()
	if n := len(problems); n > 0 && problems[n-1].Code == span.NoMoisture && water >= 0 {
		used = true
		read("moisture " + span.Plain(water) + " %")
	}
	return l, day, used, problems
}

// labDate takes the day of a report, of 30 characters at most (our own choice):
// "from 2026-02-10", "dated 10 Feb 2026".
func labDate(s string) (day string, ok bool) {
	words := strings.Fields(strings.Trim(s, " .()"))
	begins := false
	for len(words) > 0 && language.In("lab-day", strings.ToLower(words[0])) {
		words, begins = words[1:], true
	}
	day, cut := span.FirstRunes(strings.Join(words, " "), 30)
	_, err := planner.ParseDate(day)
	dated := begins || len(words) == 3 && len(words[2]) == 4 && strings.HasPrefix(words[2], "20") // "12 Nov 2026"
	return day, !cut && (err == nil || dated && strings.ContainsAny(day, "0123456789") && !strings.ContainsAny(day, "%/"))
}
