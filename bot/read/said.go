package read

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"bowlwright/planner"
)

// HasClock reports that a text has a time of day: "10:00".
func HasClock(s string) bool { return clockSaid.MatchString(s) }

var clockSaid = regexp.MustCompile(`\b\d{1,2}:\d{2}\b`)

// SaysSeveral reports that a text asks for something more than once: "undo the
// last two steps", "undo twice".
func SaysSeveral(s string) bool { return several.MatchString(s) }

var several = regexp.MustCompile(`(?i)\b(two|three|four|five|twice|both|several|steps|changes|[2-9]|[1-9][0-9])\b`)

// BeginsQuestion reports that a text begins as a question does, whether a mark
// ends it or not: "how much do I thaw tonight".
func BeginsQuestion(s string) bool {
	first, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(s)), " ")
	return asking[first]
}

var asking = setOf("how", "hows", "how's", "what", "whats", "what's", "when", "whens", "which", "who", "whos", "who's", "where", "why",
	"can", "could", "should", "shall", "does", "did", "is", "are", "was", "were", "has", "have")

// HasName reports that a text has a name, in full and with no letter more.
func HasName(s, name string) bool {
	at := regexp.MustCompile(`(?i)(^|[^\pL\pN])` + regexp.QuoteMeta(name) + `($|[^\pL\pN])`)
	return at.MatchString(s)
}

// PastDay returns the words of a text for a day that has passed, empty where
// there are none: "yesterday", "two days ago", "last Friday".
func PastDay(s string) string { return pastDaySaid.FindString(s) }

var pastDaySaid = regexp.MustCompile(`(?i)\b(yesterday|(last|two|three|\d+) (days?|weeks?) ago|last (week|month|monday|tuesday|wednesday|thursday|friday|saturday|sunday))\b`)

// SaysBone reports that the words for a food are about bones as such: "chicken
// bones".
func SaysBone(food string) bool { return boneSaid.MatchString(food) }

var boneSaid = regexp.MustCompile(`(?i)\bbones?$`)

// SaysFreezing reports that a text is about freezing: "can I refreeze it".
func SaysFreezing(s string) bool { return freezingSaid.MatchString(s) }

var freezingSaid = regexp.MustCompile(`(?i)\b(re-?)?(freez|froze)`)

// DoubtfulGrams returns a weight in which the point may stand for thousands,
// "1.200 g", empty where a text has none.
func DoubtfulGrams(s string) string {
	if m := doubtfulGrams.FindStringSubmatch(s); m != nil {
		return m[1]
	}
	return ""
}

var doubtfulGrams = regexp.MustCompile(`(?i)(?:^|[^\d.,])([1-9]\d{0,2}\.\d{3} ?(?:g|grams?|gr|gram))(?:$|[^\p{L}\d.])`)

// SaysGiven reports that a text says that something was given: "vitamin E
// given", "gave Juniper her fish oil". A question does not, nor what was not
// given, nor does what says how often.
func SaysGiven(s string) bool {
	low := strings.ToLower(s)
	verb := hasAny(low, givenVerbs) || SaysTwice(s) && strings.Contains(low, "got ")
	return verb && len(s) <= 100 && !strings.ContainsAny(s, "?\n") && !asks(s) && !strings.Contains(low, "every") && !notGiven.MatchString(s)
}

// SaysTwice reports that a text tells of something that was given two times over:
// "both of us gave vitamin E", "she got it twice".
func SaysTwice(s string) bool { return saysTwice.MatchString(s) }

var saysTwice = regexp.MustCompile(`(?i)\b(both of us|we['’]?(ve)? both|twice|two times|2 times|2x|double|doubled|(a )?second (dose|time|one)|two doses|2 doses)\b`)

// OfMedicine reports that words are about something to be given: "give her
// the drops", "benazepril 5 mg".
func OfMedicine(s string) bool { return ofMedicine.MatchString(s) }

var ofMedicine = regexp.MustCompile(`(?i)\b(give|giving)\b|\d ?(mg|mcg|ml|units?)\b|\b(tablet|pill|medicine|med|medication|drop|capsule|antibiotic)s?\b|\binsulin\b`)

// NamesCalcium reports that words name calcium or what is given for it.
func NamesCalcium(s string) bool { return namesCalcium.MatchString(s) }

var namesCalcium = regexp.MustCompile(`(?i)\b(calcium|egg ?shells?|bone ?meal)\b`)

// GivenThing is what a text that SaysGiven says was given: "fish oil" of "gave
// Bracken his fish oil at 8:00".
func GivenThing(s string, n Names) string {
	from, to, _ := DogsNamed(s, n)
	s = s[:from] + " " + s[to:]
	s = givenAt.ReplaceAllString(askedDay.ReplaceAllString(s, " "), " ")
	words := strings.FieldsFunc(s, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",.!;:", r) })
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return slices.Contains(givenFill, strings.ToLower(w)) }), " ")
}

// GivenWhen is when that was, the zero time where a text does not say. day is
// the day, and of a day before today fallback is the time where none is told.
// now is the time in the household's zone. It reports false where the time is
// still to come.
func GivenWhen(s string, now time.Time, fallback planner.Clock) (at time.Time, day planner.Date, ok bool) {
	day, _, _ = DayAsked(s, now)
	clock, told := fallback, false
	if w, err := WhenText(askedDay.ReplaceAllString(s, " "), now); err == nil && len(w.Times) == 1 {
		clock, told = w.Times[0], true
	}
	today := planner.DateOf(now)
	if day == today && !told {
		return time.Time{}, day, true
	}
	at = planner.Instant(day, clock, now.Location())
	return at, day, !at.After(now)
}

// givenFill are the words around it.
var givenFill = strings.Fields("gave given give has have had got get i we her his its their the some a was were been is just now already too to ok done yes")

var givenAt = regexp.MustCompile(`(?i)\b(at|around) (noon|\d{1,2}([:.]?\d\d)? ?(am|pm)?)\b`)

var notGiven = regexp.MustCompile(`(?i)\b(not|never|n['’]?t) (been )?(given|gave|had|got)\b|\bhas(n['’]?t| not) had\b`)

var givenVerbs = []string{"given", "gave", "has had", "had her", "had his", "got her", "got his"}

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
	words := strings.Join(dueWords(s), " ")
	switch {
	case greetings[words]:
		return Greeting
	case thanks[words]:
		return Thanks
	case answers[words]:
		return YesOrNo
	}
	return NoCourtesy
}

var (
	greetings = setOf("hi", "hello", "hey", "hiya", "hi there", "hello there", "good morning", "good evening", "good afternoon", "morning", "evening", "hi bowlwright", "hello bowlwright")
	thanks    = setOf("thanks", "thank you", "thx", "ta", "cheers", "great", "perfect", "nice", "super", "cool", "brilliant", "awesome", "lovely", "wonderful", "ok thanks",
		"thanks a lot", "many thanks", "thank you very much", "thank you so much", "great thanks", "perfect thanks", "ok thank you", "no thanks", "well done")
	answers = setOf("ok", "okay", "yes", "yes please", "yep", "yeah", "no", "nope", "sure", "alright", "fine", "good", "right")
)

// SexSaid is the sex of who a text speaks of as "him" or "her"; empty where it
// says neither, or both.
func SexSaid(s string) (sex planner.Sex) {
	for _, w := range splitWords(s) {
		now := planner.Sex("")
		switch w.text {
		case "he", "him", "his", "hes", "he's":
			now = planner.Male
		case "she", "her", "hers", "shes", "she's":
			now = planner.Female
		}
		if now != "" && sex != "" && now != sex {
			return ""
		}
		sex = cmp.Or(now, sex)
	}
	return sex
}

// OfOneself reports that a text begins by telling of who writes: "I am allergic".
func OfOneself(s string) bool { return ofOneself.MatchString(s) }

var ofOneself = regexp.MustCompile(`(?i)^(i['’]?m|i am|i was|we are|we['’]re)\b`)

// SaysDog reports that words speak of a dog and are no name of one: "my dog",
// the "has" of "my dog has".
func SaysDog(s string) bool {
	words := strings.Fields(strings.ToLower(s))
	return len(words) > 0 && (dogNouns[words[len(words)-1]] || len(words) == 1 && fillers[words[0]])
}

// ToldOnly is a text without its greeting and the questions in it.
func ToldOnly(s string) string {
	var told []string
	for _, part := range sentenceEnd.FindAllString(s, -1) {
		for i, clause := range strings.SplitAfter(part, ",") {
			bare := strings.Trim(clause, " ,.!\n")
			if bare == "" || strings.HasSuffix(bare, "?") || asking[strings.ToLower(strings.SplitN(bare, " ", 2)[0])] || i == 0 && len(told) == 0 && greetings[strings.ToLower(bare)] {
				continue
			}
			told = append(told, bare)
		}
	}
	return strings.Join(told, ", ")
}

var sentenceEnd = regexp.MustCompile(`(?:[^.!?\n]|\.\d)+[.!?\n]*`)

// HasBeen reports that a text tells of what was given, which asks for no
// reminder: "got vitamin E on Tuesday and Friday".
func HasBeen(s string) bool {
	return slices.ContainsFunc(strings.Fields(strings.ToLower(s)), func(w string) bool { return hasBeen[w] })
}

var hasBeen = setOf("got", "had", "gave", "received")

// TellsOfSomebody reports that a text states what somebody does, did or will do,
// which asks for no reminder: "she gets a chew every night", "Jean is gonna feed
// them on Saturday". What is given as a medicine is something to be reminded of
// all the same.
func TellsOfSomebody(s string) bool {
	return !OfMedicine(s) && slices.ContainsFunc(splitWords(s), func(w word) bool { return tellsOfSomebody[w.text] })
}

var tellsOfSomebody = setOf("she", "he", "they", "shes", "hes", "theyre", "were", "was", "is", "are", "am", "im", "says", "said", "feeds", "fed", "gets", "uses", "eats",
	"goes", "comes", "does", "did", "has", "gonna", "gonnae", "going", "will", "ll", "wont", "would", "while")
