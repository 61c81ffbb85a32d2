package read

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
)

// Doing is what is to be done about a statement.
type Doing string

// What can be done: answered or recorded; asked whether it was meant; asked
// which of some readings was; or nothing, since it was not understood.
const (
	Act     Doing = "act"
	Confirm Doing = "confirm"
	Offer   Doing = "offer"
	Nothing Doing = "none"
)

// How likely a reading has to be. A wrong answer to a question costs a glance,
// a wrong record may cost a dog its health, and what is missed of an emergency
// more. Chosen on the wordings of hands that were left out of training; what
// they lead to is told in README.md.
const (
	readsFrom   = 0.4
	clearBy     = 0.05 // before the next
	writesFrom  = 0.76
	partsFrom   = 0.998 // where a text says several things, and may be cut at the wrong place
	answersFrom = 0.97  // of the open question
	askedFrom   = 0.5   // to be asked about alone
	offeredFrom = 0.33
)

// UrgentFrom is how likely a text must be an emergency to be answered as one.
const UrgentFrom = 0.4

// Cost is what it costs to take a text for an intent that it is not.
type Cost byte

// The costs, as in language/README.md.
const (
	Reads Cost = iota
	Writes
	Reaches // deletes, or reaches other people
	Urgent
)

// CostOf is the cost of an intent.
func CostOf(intent string) Cost {
	switch {
	case language.In("intent:writes", intent):
		return Writes
	case language.In("intent:reaches", intent):
		return Reaches
	case strings.HasPrefix(intent, "urgent."):
		return Urgent
	}
	return Reads
}

// mustName is what has to be named before something is recorded: one of these.
var mustName = map[string][]string{
	"weight.log":    {"weight"},
	"batch.log":     {"recipe", "count", "amount"},
	"remind.add":    {"when", "time", "every"},
	"feedtimes.set": {"time", "meal"},
	"fed.other":     {"food", "dog"},
}

// enough reports that a statement names what a reading of it needs to be
// recorded. What is read as a weight names no second figure ("she weighs 36 kilos
// and is 11") and no pot; who "eats too fast" was not fed; what is to be taken back names none: "oops, no, 26.5"; and what a dog
// had is not what it is to get: "Juniper had 1080 kcal".
func enough(s *slots.Found, r Reading) bool {
	need := mustName[r.Intent]
	return (need == nil || slices.ContainsFunc(need, func(slot string) bool { return r.Slots[slot] != "" })) &&
		(r.Intent != "weight.log" || s.Weighs() && !language.Says("pot-weighs", s.Text) && !language.Says("a-month", r.Slots["when"])) &&
		(r.Intent != "fed.log" || !language.Says("eats-now", s.Text) || language.Says("had-eaten", s.Text)) &&
		(r.Intent != "kcal.set" || !language.Says("had-eaten", s.Text)) &&
		(r.Intent != "undo" || !strings.ContainsAny(s.Text, "0123456789"))
}

// doing decides by the likeliest reading, with what says the same to the open
// question, how much likelier it is than the next, what it would cost, and whether
// the statement names enough. It may be alone in its text, or one of several.
func doing(all []rank.Ranked, open string, enough, alone bool) Doing {
	best, next := all[0], all[1]
	for _, r := range all[1:] {
		if rank.SameAsAnswer(open, best.Intent, r.Intent) {
			best.P += r.P // "leave it": an answer, or what it says
		}
	}
	writes := span.Choose(alone, writesFrom, partsFrom)
	switch {
	case urgentIn(all) >= UrgentFrom && CostOf(best.Intent) == Urgent:
		return Act
	case best.P < offeredFrom:
		return Nothing
	}
	switch CostOf(best.Intent) {
	case Reads, Urgent:
		from := span.Choose(best.Intent == "health.signs", askedFrom, readsFrom) // a sign is noted
		if best.P >= from && best.P-next.P >= clearBy {
			return Act
		}
	case Writes:
		if answer := best.Intent == "answer"; answer && best.P >= answersFrom || !answer && best.P >= writes && enough {
			return Act
		}
		fallthrough
	case Reaches:
		if best.P >= askedFrom {
			return Confirm
		}
	}
	return Offer
}

// urgentIn is how likely a statement is an emergency.
func urgentIn(all []rank.Ranked) (p float64) {
	for _, r := range all {
		if CostOf(r.Intent) == Urgent {
			p += r.P
		}
	}
	return p
}

// fullLine is a sentence that says a reading in full.
type fullLine struct {
	sentence string
	slot     string // whose value has one of words; empty: there is no condition
	words    []string
}

var fullLines = sync.OnceValue(func() map[string][]fullLine {
	m := map[string][]fullLine{}
	for _, line := range language.Lines("full.txt") {
		intent, rest, _ := strings.Cut(line, ": ")
		sentence, condition, _ := strings.Cut(rest, " | ")
		slot, words, _ := strings.Cut(condition, "=")
		m[intent] = append(m[intent], fullLine{sentence, slot, strings.Fields(words)})
	}
	return m
})

// anOption is a part of a sentence that is left out where its slot is not named.
var anOption = regexp.MustCompile(`\[[^\]]*\]`)

var aSlot = regexp.MustCompile(`\{[a-z]+\}`)

// InFull says a reading in full, by a sentence that is understood exactly;
// empty where there is none with what the reading names.
func (r Reading) InFull() string {
	for _, l := range fullLines()[r.Intent] {
		if text, ok := l.fill(r.Slots); ok {
			return text
		}
	}
	return ""
}

func (l *fullLine) fill(slots map[string]string) (text string, ok bool) {
	if l.slot != "" && !l.holds(slots[l.slot]) {
		return "", false
	}
	ok = true
	sentence := anOption.ReplaceAllStringFunc(l.sentence, func(s string) string {
		if slots[aSlot.FindString(s)[1:len(aSlot.FindString(s))-1]] == "" {
			return ""
		}
		return s[1 : len(s)-1]
	})
	text = aSlot.ReplaceAllStringFunc(sentence, func(s string) string {
		v := slots[s[1:len(s)-1]]
		if s == "{factor}" {
			v = strings.TrimLeft(v, "+-") // which the sentence says in words
		}
		if v == "" {
			ok = false
		}
		return v
	})
	if strings.Contains(sentence, "{dog}'s") && SaysAll(strings.ToLower(slots["dog"])) {
		return "", false // nobody says "both's goal"
	}
	return text, ok
}

// holds reports that one of the words of a condition stands in a value, and none that is
// not to ("-put"), or that it begins with a sign.
func (l *fullLine) holds(value string) bool {
	if sign := l.words[0]; sign == "+" || sign == "-" {
		return strings.HasPrefix(value, sign)
	}
	has := func(lead string) bool {
		return slices.ContainsFunc(span.SplitWords(value), func(w span.Token) bool { return slices.Contains(l.words, lead+w.Text) })
	}
	return has("") && !has("-")
}
