package read

import (
	"slices"
	"strings"
)

// lexed is a line on its way to be understood: what is taken as an amount, a
// fact or a cadence is marked as used, and the rest is the food.
type lexed struct {
	text      string
	tokens    []token
	amounts   []amount
	facts     []fact
	cadence   cadence
	per1000   bool
	batch     bool   // an amount is said to be in the whole batch
	form      string // "capsule", where a form is named
	note      string // "large", where a size is named
	each, all bool   // amounts are said to be of each piece, or of all together
	weighed   bool   // a mass is said to be that of the product, not of what is active in it
	synthetic bool   // of vitamin E
	natural   bool   // the same
	salt      *Salt  // the compound that is named; nil for none
	massOf    string // what of it a mass is: ofElement, ofSalt, or not said
	ignored   []string
	code      Code   // what is wrong with it
	part      string // and the part that is
}

// lineFillers are words that say nothing by themselves.
var lineFillers = setOf("of", "x", "about", "approx", "approximately", "ca", "circa", "roughly", "around", "plus", "each", "and", "with",
	"the", "per", "in", "all", "total", "give", "add", "some", "also", "at", "to", "for", "weighed")

// strengthWords say which form of a vitamin a label means.
var strengthWords = setOf("synthetic", "natural", "acetate", "tocopheryl", "dl", "alpha")

// mealTimes are when in the day something is given; the bowl has no use for
// it.
var mealTimes = [][]string{
	{"with", "food"}, {"with", "meals"}, {"with", "meal"}, {"with", "a", "meal"}, {"with", "dinner"}, {"with", "breakfast"}, {"with", "supper"},
	{"at", "dinner"}, {"at", "breakfast"}, {"at", "night"}, {"at", "bedtime"}, {"in", "the", "morning"}, {"in", "the", "evening"},
}

// lexLine splits a line and takes everything out of it but its food.
func lexLine(text string) *lexed {
	l := &lexed{text: text, tokens: lex(text, make([]token, 0, 16))}
	l.takeSalt()
	l.takePer1000()
	l.takeBatch()
	l.takeMeals()
	l.takeFacts()
	l.takeCadence(false)
	l.takeSaid()
	for i := range l.tokens {
		if l.any(i, "per") || l.any(i, "/") && (l.isUnit(i+1) || i > 0 && l.isNumber(i+1) && isStrength(l.word(i-1))) {
			l.wrong(BadBasis, i, min(i+3, len(l.tokens)))
		}
	}
	l.takeAmounts()
	return l
}

// isStrength reports that a word is a unit in which what is active is given.
func isStrength(w string) bool {
	u := unitWords[w]
	return u.kind == byActive || u.kind == byMass && u.factor < 1
}

func (l *lexed) isUnit(i int) bool { _, end := l.unitAt(i); return end > 0 }

// takeMeals notes and leaves out what is said of the time of day.
func (l *lexed) takeMeals() {
	for i := range l.tokens {
		if !l.any(i, "with", "at", "in") {
			continue
		}
		for _, words := range mealTimes {
			end := i
			for end-i < len(words) && l.word(end) == words[end-i] {
				end++
			}
			if end-i == len(words) {
				l.ignored = append(l.ignored, l.span(i, end))
				l.use(i, end)
			}
		}
	}
}

// takeSaid takes the words that say how an amount is meant.
func (l *lexed) takeSaid() {
	for i := range l.tokens {
		switch l.word(i) {
		case "each", "apiece":
			l.each = true
			l.use(i, i+1)
		case "total", "altogether", "together":
			l.all = true
			if l.any(i-1, "in") {
				l.use(i-1, i)
			}
			l.use(i, i+1)
		case "in":
			if l.any(i+1, "all") {
				l.all = true
				l.use(i, i+2)
			}
		case "weighed":
			l.weighed = true
			l.use(i, i+1)
		case "dl":
			if l.any(i+1, "-", "alpha") {
				l.synthetic = true
				l.use(i, i+1)
			}
		case "synthetic", "acetate":
			l.synthetic = true
			l.use(i, i+1)
		case "natural":
			l.natural = true
			l.use(i, i+1)
		case "alpha":
			if l.any(i-1, "-") && l.any(i-2, "d") {
				l.natural = true
				l.use(i-2, i)
			}
			if !l.any(i+1, "linolenic") && !l.any(i+2, "linolenic") {
				l.use(i, i+1)
			}
		}
	}
}

// food is what is left of a line when the amounts are out, as typed: the name
// of its food.
func (l *lexed) food() string {
	var b strings.Builder
	prev := -1 // the token that was written last
	from, to := l.foodSpan()
	for i := from; i < to; i++ {
		t := &l.tokens[i]
		if t.used || t.kind == signToken && t.text != "%" {
			continue
		}
		if prev >= 0 {
			gap := l.text[l.tokens[prev].end:t.start]
			if strings.ContainsAny(gap, "()") || slices.ContainsFunc(l.tokens[prev+1:i], func(t token) bool { return t.used }) {
				gap = " "
			}
			b.WriteString(gap)
		}
		b.WriteString(l.text[t.start:t.end])
		prev = i
	}
	return joinFields(b.String())
}

// foodSpan leaves out the words at both ends that say nothing.
func (l *lexed) foodSpan() (from, to int) {
	idle := func(i int) bool {
		t := &l.tokens[i]
		return t.used || t.kind == signToken && t.text != "%" || t.kind == wordToken && (lineFillers[t.text] || t.text == "a" || t.text == "an")
	}
	to = len(l.tokens)
	for from < to && idle(from) {
		from++
	}
	for to > from && idle(to-1) && !(to > 1 && l.joined(to-2, "-")) && !(l.any(to-1, "a") && l.any(to-2, "vitamin", "vit")) { // "bone-in", "vitamin A"
		to--
	}
	return from, to
}

// onlyQualifier reports that what is left of a text says more about a food
// before it: "bone in", "skinless", "no skin".
func (l *lexed) onlyQualifier() bool {
	tells := false
	for _, t := range l.tokens {
		if t.used || t.kind == signToken {
			continue
		}
		switch t.text {
		case "bone", "skin":
		case "in", "on", "off", "out":
			tells = true
		default:
			if !qualifiers[t.text] {
				return false
			}
			tells = true
		}
	}
	return tells
}

// key returns the key or the name that is typed in brackets or quotation
// marks, with whether it is a key.
func (l *lexed) name() (name string, isKey bool) {
	for _, t := range l.tokens {
		if t.kind == nameToken {
			return strings.TrimSpace(t.text[1 : len(t.text)-1]), t.text[0] == '['
		}
	}
	return "", false
}
