package read

import (
	"errors"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// What rooms ask of the lists and patterns of the language, each by its name.
var (
	In       = language.In       // whether a word is one of a list
	Said     = language.Said     // whether a text is one of the phrases of a list
	SaidKind = language.SaidKind // of which kind of list it is a phrase
	Says     = language.Says     // whether a text has one of the patterns of a name
	Find     = language.Find     // what the first group of one of them holds
	Match    = language.Match    // what stands behind one of them, and what its named groups hold
	Pattern  = language.Pattern  // the only pattern of a name
	Without  = language.Without  // a text without what the patterns of a name find
)

// Patterns of said.txt whose place in a text counts.
var (
	askedDay = language.Pattern("asked-day")
	allDogs  = language.Pattern("all-dogs")
)

// BeginsQuestion reports that a text begins as a question does, whether a mark
// ends it or not: "how much do I thaw tonight". "has arthritis" tells.
func BeginsQuestion(s string) bool {
	first, rest := span.CutFirst(strings.ToLower(strings.TrimSpace(s)))
	next, _ := span.CutFirst(rest)
	return language.In("asking", first) && !(first == "has" && next != "" && !language.In("dog-pronouns", next) && tellsMore(strings.TrimRight(rest, " .!")))
}

// UndoNames are the words by which a wish to take something back says what: "carrots"
// of "undo the carrots as well".
func UndoNames(s string) (named []string) {
	for _, w := range span.SplitWords(s) {
		if !w.IsFigure() && len(w.Text) > 1 && !language.In("undo-own", w.Text) {
			named = append(named, w.Text)
		}
	}
	return named
}

// NamesAll reports that a text has words that begin like each of some: "weighing"
// and "weight".
func NamesAll(text string, words []string) bool {
	has := span.SplitWords(text)
	return !slices.ContainsFunc(words, func(w string) bool {
		least := max(len(w)-2, min(len(w), 4))
		return !slices.ContainsFunc(has, func(h span.Token) bool { return len(h.Text) >= least && strings.HasPrefix(h.Text, w[:least]) })
	})
}

// Orders reports that a text begins with a word for what is to be done, or is a
// sentence of its teller, and has no amount: "show the beef one" is no food.
func Orders(s string) bool {
	if strings.ContainsAny(s, "0123456789\n") {
		return false
	}
	words := span.SplitWords(s)
	ofTeller := func(w span.Token) bool { return w.Text == "i" || w.Text == "me" || w.Text == "you" || w.Text == "we" }
	return len(words) > 1 && language.In("orders", words[0].Text) || len(words) > 5 && slices.ContainsFunc(words, ofTeller)
}

// HasName reports that a text has a name, in full and with no letter more.
func HasName(s, name string) bool {
	return len(span.Mentions(s, []span.Named{{Name: name}})) > 0
}

// SaysGiven reports that a text says that something was given: "vitamin E
// given", "gave Juniper her fish oil". A question does not, nor what was not
// given, nor does what says how often.
func SaysGiven(s string) bool {
	low := strings.ToLower(s)
	gave := func(word string) bool { return strings.Contains(low, word) }
	verb := slices.ContainsFunc(language.List("gave"), gave) || language.Says("twice", s) && strings.Contains(low, "got ")
	return verb && len(s) <= 100 && !strings.ContainsAny(s, "?\n") && !asks(s) && !language.Says("not-given", s)
}

// GivenThing is what a text that SaysGiven says was given: "fish oil" of "gave
// Bracken his fish oil at 8:00".
func GivenThing(s string, n span.Names) string {
	if from, to, dogs := DogsNamed(s, n); len(dogs) > 0 {
		s = s[:from] + " " + s[to:]
	} else if dog, rest := dogIn(s, n); dog != "" { // "Saffis kelp"
		s = rest
	}
	s = language.Without("given-at", askedDay.ReplaceAllString(s, " "))
	words := strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",.!;:", r) })
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return language.In("gave-fill", strings.ToLower(w)) }), " ")
}

// SaysTook reports that a text says that a dog had something, in words that say as well
// that it ate: "Bruno got zinc and kelp".
func SaysTook(s string) bool {
	return language.Says("took", s) && !IsQuestion(s) && !strings.Contains(s, "\n") && !language.Says("not-given", s)
}

// GivenParts parts what a text says was given, each part with the dogs that had it:
// "Bruno has zinc and kelp given, Saffi zinc too". A part that names none is of those of
// the part before it, the first of those after it.
func GivenParts(s string, n span.Names) (all []Had) {
	var ahead []string // named before what they had: "Bruno and Saffi got zinc"
	s = language.Pattern("clause-ends").ReplaceAllString(s, ", ")
	for _, part := range Clauses(language.Without("given-parts", language.Without("yesterday-too", s))) {
		dogs := DogsOf(part, n)
		switch last := len(all) - 1; {
		case GivenThing(part, n) != "":
			all, ahead = append(all, Had{Dogs: append(ahead, dogs...), What: part}), nil
		case last < 0:
			ahead = append(ahead, dogs...)
		default:
			all[last].Dogs = append(all[last].Dogs, dogs...)
		}
	}
	at := slices.IndexFunc(all, func(h Had) bool { return len(h.Dogs) > 0 })
	for i := range all {
		if at >= 0 && len(all[i].Dogs) == 0 {
			all[i].Dogs = all[max(at, i-1)].Dogs
		}
	}
	return all
}

// GivenWhen is when that was, the zero time where a text does not say. day is
// the day, and of a day before today fallback is the time where none is told.
// now is the time in the household's zone. It reports false where the time is
// still to come.
func GivenWhen(s string, now time.Time, fallback planner.Clock) (at time.Time, day planner.Date, ok bool) {
	day, _, _ = DayAsked(s, now)
	s = HalfTold(language.Without("clock-last", s), now)
	clock, told := fallback, false
	for _, text := range []string{askedDay.ReplaceAllString(s, " "), s} {
		if w, err := span.WhenText(text, now); !told && err == nil && len(w.Times) == 1 && (text != s || strings.ContainsAny(s, "0123456789")) {
			clock, told = w.Times[0], true
		}
	}
	today := planner.DateOf(now)
	if later := clock + planner.At(12, 0); told && clock < planner.At(12, 0) && !language.Says("half-of-day", s) && (day == today && later <= planner.ClockOf(now) || language.Says("evening-told", s)) {
		clock = later // "gave it at 7", told at 8 in the evening
	}
	if day == today && !told {
		return time.Time{}, day, true
	}
	at = planner.Instant(day, clock, now.Location())
	return at, day, !at.After(now)
}

// HalfTold is a text that tells of what has been with a time in figures of which it leaves
// the half of the day open: the last that has been, "fed at half 7".
func HalfTold(s string, now time.Time) string {
	var p span.Problem
	if _, err := span.WhenText(s, now); !errors.As(err, &p) || p.Code != span.UnclearTime {
		return s
	}
	half, evening, ok := span.Halves(p.Part)
	if !ok {
		return s
	}
	if evening <= planner.ClockOf(now) {
		half = evening
	}
	return span.WithClock(s, p.Part, half)
}

// Courtesy is what a text is that asks and tells nothing.
type Courtesy string

// The courtesies.
const (
	NoCourtesy Courtesy = ""
	Greeting   Courtesy = "greeting"
	Thanks     Courtesy = "thanks"
	YesOrNo    Courtesy = "yes-or-no"
)

// CourtesyOf reads "good morning", "thanks a lot", "ok".
func CourtesyOf(s string) Courtesy {
	return Courtesy(language.SaidKind("courtesy", strings.Join(dueWords(s), " ")))
}

// SexSaid is the sex of who a text speaks of as "him" or "her"; empty where it
// says neither, or both.
func SexSaid(s string) planner.Sex {
	switch her, him := language.Says("her", s), language.Says("him", s); {
	case her && !him:
		return planner.Female
	case him && !her:
		return planner.Male
	}
	return ""
}

// SaysDog reports that words speak of a dog and are no name of one: "my dog",
// the "has" of "my dog has".
func SaysDog(s string) bool {
	words := strings.Fields(strings.ToLower(s))
	return len(words) > 0 && (dogNouns[words[len(words)-1]] || len(words) == 1 && language.In("fillers", words[0]))
}

// ToldOnly is a text without its greeting and the questions in it.
func ToldOnly(s string) string {
	var told []string
	for _, part := range sentenceEnd.FindAllString(s, -1) {
		for i, clause := range clauses.FindAllString(part, -1) {
			bare := strings.Trim(clause, " ,.!\n")
			if bare == "" || strings.HasSuffix(bare, "?") || BeginsQuestion(bare) || i == 0 && len(told) == 0 && language.In("courtesy:greeting", strings.ToLower(bare)) {
				continue
			}
			told = append(told, bare)
		}
	}
	return strings.Join(told, ", ")
}

// clauses are what commas part; that of a number is none: "21,4 kg".
var clauses = regexp.MustCompile(`(?:\d,\d|[^,])+,?|,`)

var sentenceEnd = regexp.MustCompile(`(?:[^.!?\n]|\.\d)+[.!?\n]*`)

// TellsOfSomebody reports that a text states what somebody does, did or will do,
// which asks for no reminder: "she gets a chew every night", "Jean is gonna feed
// them on Saturday". What is given as a medicine is something to be reminded of
// all the same.
func TellsOfSomebody(s string) bool {
	return !language.Says("medicine", s) && SaysOneOf(s, "tells-of-somebody")
}

var stoolWords = language.Kinds[planner.Stool]("stool")

// StoolSaid reads how a stool was: "soft", "her poo is fine today". Words such
// as "fine" count only beside one for the stool; a text that says more is
// none.
func StoolSaid(s string) (planner.Stool, bool) {
	if len(s) > 60 || strings.ContainsAny(s, "?\n") {
		return "", false
	}
	words := letterWords(s)
	var stool planner.Stool
	noun := false
	for _, w := range words {
		is := stoolWords[w]
		switch {
		case is != "" && (stool == "" || stool == is):
			stool = is
		case language.In("stool-nouns", w):
			noun = true
		case !language.In("stool-fillers", w):
			return "", false
		}
	}
	bare := len(words) == 1 && words[0] == string(stool) // as the buttons have it
	return stool, stool != "" && (noun || bare)
}

func letterWords(s string) []string {
	return strings.FieldsFunc(strings.ToLower(span.Clean(s)), func(r rune) bool { return !unicode.IsLetter(r) })
}

// StoolTold reads how the stool of a dog was that is being switched to another food, out
// of any words but a question: "sloppy poos twice today, do I stay on this step". ok is
// that a stool is told of; how it was is empty where that is not said, or said twice.
func StoolTold(s string) (stool planner.Stool, ok bool) {
	if stool, ok = StoolSaid(s); ok || BeginsQuestion(s) {
		return stool, ok
	}
	words, at := letterWords(ToldOnly(s)), -1
	for i, w := range words {
		if is := stoolWords[w]; is != "" && (is != planner.FirmStool || language.In("stool-firm", w)) && (i == 0 || !language.In("stool-denied", words[i-1])) {
			if at >= 0 && stool != is {
				stool = "?"
			} else if at < 0 {
				stool, at = is, i
			}
		}
		ok = ok || language.In("stool-nouns", w)
	}
	alone := !slices.ContainsFunc(words, func(w string) bool { return stoolWords[w] == "" && !language.In("stool-fillers", w) })
	if ok = (ok || at >= 0 && alone) && !slices.ContainsFunc(words, func(w string) bool { return language.In("stool-awaited", w) }); !ok || stool == "?" {
		return "", ok
	}
	return stool, ok
}

// AsksKept is whether a text asks if food that has gone off, or has stood out for
// long, may still be fed: "the mince smells funny, can she have it".
func AsksKept(s string) (gone, long bool) {
	if !language.Says("may-feed", s) || language.Says("of-body", s) {
		return false, false
	}
	return language.Says("spoiled", s), language.Says("stood", s)
}
