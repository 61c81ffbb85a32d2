package foodline

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// lexed is a line on its way to be understood: what is taken as an amount, a
// fact or a cadence is marked as used, and the rest is the food.
type lexed struct {
	*span.Lexed
	Amounts   []span.Amount
	facts     []fact
	per1000   bool
	batch     bool   // an amount is said to be in the whole batch
	form      string // "capsule", where a form is named
	note      string // "large", where a size is named
	each, all bool   // Amounts are said to be of each piece, or of all together
	weighed   bool   // a mass is said to be that of the product, not of what is active in it
	synthetic bool   // of vitamin E
	natural   bool   // the same
	salt      *Salt  // the compound that is named; nil for none
	massOf    string // what of it a mass is: ofElement, ofSalt, or not said
	ignored   []string
}

// plainLine is a line in tokens, of which nothing is taken yet.
func plainLine(text string) *lexed { return &lexed{Lexed: span.Lex(text)} }

// ReadLine splits a line and takes everything out of it but its food.
func ReadLine(text string) *lexed {
	l := plainLine(text)
	l.takeSalt()
	l.takePer1000()
	l.takeBatch()
	l.takeMeals()
	l.takeFacts()
	l.TakeCadence(false)
	l.takeSaid()
	for i := range l.Tokens {
		if l.Any(i, "per") || l.Any(i, "/") && (l.IsUnit(i+1) || i > 0 && l.IsNumber(i+1) && isStrength(l.Word(i-1))) {
			l.Wrong(span.BadBasis, i, min(i+3, len(l.Tokens)))
		}
	}
	l.takeAmounts()
	return l
}

// isStrength reports that a word is a unit in which what is active is given.
func isStrength(w string) bool {
	u := span.UnitWords[w]
	return u.Kind == span.ByActive || u.Kind == span.ByMass && u.Factor < 1
}

// takeMeals notes and leaves out what is said of the time of day, of which the bowl has
// no use.
func (l *lexed) takeMeals() {
	for i := range l.Tokens {
		if end := l.LongestOf(i, language.Phrases("meal-times")); end > 0 {
			l.ignored = append(l.ignored, l.Span(i, end))
			l.Use(i, end)
		}
	}
}

// takeSaid takes the words that say how an amount is meant.
func (l *lexed) takeSaid() {
	for i := range l.Tokens {
		said := func(what *bool) {
			*what = true
			l.Use(i, i+1)
		}
		switch l.Word(i) {
		case "each", "apiece":
			said(&l.each)
		case "total", "altogether", "together":
			said(&l.all)
			l.UseAny(i-1, "in")
		case "in":
			if l.Any(i+1, "all") {
				l.all = true
				l.Use(i, i+2)
			}
		case "weighed":
			said(&l.weighed)
		case "dl":
			if l.Any(i+1, "-", "alpha") {
				said(&l.synthetic)
			}
		case "synthetic", "acetate":
			said(&l.synthetic)
		case "natural":
			said(&l.natural)
		case "alpha":
			if l.Any(i-1, "-") && l.Any(i-2, "d") {
				l.natural = true
				l.Use(i-2, i)
			}
			if !l.Any(i+1, "linolenic") && !l.Any(i+2, "linolenic") {
				l.Use(i, i+1)
			}
		}
	}
}

// Food is what is left of a line when the amounts are out, as typed: the name
// of its food.
func (l *lexed) Food() string {
	var b strings.Builder
	prev := -1 // the token that was written last
	from, to := l.foodSpan()
	for i := from; i < to; i++ {
		t := &l.Tokens[i]
		if t.Used || t.Kind == span.SignToken && t.Text != "%" {
			continue
		}
		if prev >= 0 {
			gap := l.Text[l.Tokens[prev].End:t.Start]
			if strings.ContainsAny(gap, "()") || slices.ContainsFunc(l.Tokens[prev+1:i], func(t span.Token) bool { return t.Used }) {
				gap = " "
			}
			b.WriteString(gap)
		}
		b.WriteString(l.Text[t.Start:t.End])
		prev = i
	}
	return span.JoinFields(b.String())
}

// Amount is the amount that a line says, as typed: of several the one that is weighed. A
// number of pieces is one only where they count.
func (l *lexed) Amount(pieces bool) string {
	all := append(l.of(span.ByMass), l.Amounts...)
	if len(all) == 0 || !pieces && (all[0].Kind == span.ByCount || all[0].Kind == span.ByForm) {
		return ""
	}
	return l.Span(all[0].From, all[0].To)
}

// foodSpan leaves out the words at both ends that say nothing.
func (l *lexed) foodSpan() (from, to int) {
	idle := func(i int) bool {
		t := &l.Tokens[i]
		return t.Used || t.Kind == span.SignToken && t.Text != "%" || t.Kind == span.WordToken && (language.In("line-fillers", t.Text) || t.Text == "a" || t.Text == "an")
	}
	to = len(l.Tokens)
	for from < to && idle(from) {
		from++
	}
	for to > from && idle(to-1) && !(to > 1 && l.Joined(to-2, "-")) && !(l.Any(to-1, "a") && l.Any(to-2, "vitamin", "vit")) { // "bone-in", "vitamin A"
		to--
	}
	return from, to
}

// onlyQualifier reports that what is left of a text says more about a food
// before it: "bone in", "skinless", "no skin".
func (l *lexed) onlyQualifier() bool {
	tells := false
	for _, t := range l.Tokens {
		if t.Used || t.Kind == span.SignToken {
			continue
		}
		switch t.Text {
		case "bone", "skin":
		case "in", "on", "off", "out":
			tells = true
		default:
			if !language.In("qualifiers", t.Text) {
				return false
			}
			tells = true
		}
	}
	return tells
}

// name returns the key or the name that is typed in brackets or quotation
// marks, with whether it is a key.
func (l *lexed) name() (name string, isKey bool) {
	for _, t := range l.Tokens {
		if t.Kind == span.NameToken {
			return strings.TrimSpace(t.Text[1 : len(t.Text)-1]), t.Text[0] == '['
		}
	}
	return "", false
}

// takeBatch finds "per batch" and "in the whole recipe" and marks it as used.
func (l *lexed) takeBatch() {
	for i := range l.Tokens {
		if !l.Any(i, "per", "/", "in", "into", "for", "to") {
			continue
		}
		at := l.AfterAll(i+1, "the", "a", "this", "each", "whole", "entire", "full", "one")
		if l.Any(at, "batch", "recipe", "pot") {
			l.batch = true
			l.Use(i, at+1)
		}
	}
}

// SaysHowOften reports that a line says how often a supplement is given, or in
// how much food it is.
func SaysHowOften(line string) bool {
	l := ReadLine(line)
	return l.Often.Named || l.per1000 || l.batch
}

// takePer1000 finds "per 1000 kcal" and marks it as used. Another basis of a
// dose ("per 10 kg") is a problem: it must not be taken for the whole dose.
func (l *lexed) takePer1000() {
	for i := range l.Tokens {
		at := 0
		switch {
		case l.Any(i, "per", "/"):
			at = i + 1
		case l.Any(i, "for") && l.Any(i+1, "each", "every"):
			at = i + 2
		default:
			continue
		}
		if l.Any(at, "mcal") {
			l.per1000 = true
			l.Use(i, at+1)
			continue
		}
		n, end := l.NumberAt(at)
		if end == 0 && l.Any(at, "thousand") {
			n, end = span.Numeral{Value: span.MostKcalBasis}, at+1
		}
		if u, to := l.UnitAt(end); end > 0 && to > 0 && u.Kind == span.ByEnergy {
			if u.In(n) != span.MostKcalBasis {
				l.Wrong(span.BadBasis, i, to)
			}
			l.per1000 = true
			l.Use(i, to)
		}
	}
}
