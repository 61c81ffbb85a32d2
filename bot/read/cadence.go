package read

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/planner"
)

// cadence is how often something is given; times above 1 is how often on
// each of its days.
type cadence struct {
	planner.Cadence
	times float64 // a day; 0 counts as 1
	named bool    // something was said of it
}

// maxEveryDays is the longest cadence.
const maxEveryDays = 366

var ordinals = map[string]int{
	"other": 2, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9, "tenth": 10,
}

const (
	countPattern   = `(\d{1,9}|one|two|three|four|five|six|seven|eight|nine|ten)`
	weekdayPattern = `(?:mon(?:day)?s?|tue(?:s(?:day)?)?s?|wed(?:nesday)?s?|thu(?:r(?:s(?:day)?)?)?s?|fri(?:day)?s?|sat(?:urday)?s?|sun(?:day)?s?)`
)

// The wordings of a cadence, tried in order.
var (
	everyN    = regexp.MustCompile(`(?i)\b(?:once )?(?:every|each) (?:` + countPattern + `|(other|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth)|(\d{1,9})(?:st|nd|rd|th)) ?(days?|weeks?)\b`)
	timesA    = regexp.MustCompile(`(?i)\b(?:(once|twice|thrice)|` + countPattern + ` ?(?:x|×|times)) ?(?:a|an|per|/|each|every)? ?(day|daily|week|weekly)\b`)
	onDays    = regexp.MustCompile(`(?i)(?:\b(?:on|every|each) )?\b` + weekdayPattern + `(?:(?: ?(?:,|/|&|\+|and|) ?)+` + weekdayPattern + `)*\b`)
	weekly    = regexp.MustCompile(`(?i)(?:\b(?:weekly|every week|each week|a week|per week)\b|/ ?week\b)`)
	daily     = regexp.MustCompile(`(?i)(?:\b(?:daily|every day|each day|a day|per day)\b|/ ?day\b)`)
	anyEvery  = regexp.MustCompile(`(?i)\b(?:every|each) \S+(?: \S+)?`)
	aDayWord  = regexp.MustCompile(`(?i)` + weekdayPattern)
	per1000RE = regexp.MustCompile(`(?i)(?:\b(?:per|for each|for every|each)|/) ?1[ ,.]?000 ?k?cals?\b`)
)

// CadenceText reads a text that says how often: "every 3 days", "every other
// day", "daily", "twice a week", "on Mondays and Thursdays", "weekly". The
// error is a Problem: Empty, BadCadence. More than once a day is no cadence
// of days.
func CadenceText(s string) (planner.Cadence, error) {
	text := strings.TrimSpace(strings.ReplaceAll(Clean(s), "\n", " "))
	if text == "" {
		return planner.Cadence{}, problem(Empty, s)
	}
	l := lex(text)
	l.takeCadence()
	if !l.cadence.named || l.code != "" || l.cadence.times > 1 || hasLetter(l.rest()) || strings.ContainsAny(l.rest(), "0123456789") {
		return planner.Cadence{}, problem(BadCadence, s)
	}
	return l.cadence.Cadence, nil
}

// takeCadence finds how often a line says something is given, and "per 1000
// kcal", and marks them as used.
func (l *lexed) takeCadence() {
	if !l.mayCadence() {
		return
	}
	if at := per1000RE.FindStringIndex(l.text); at != nil {
		l.per1000 = true
		l.useBytes(at[0], at[1])
	}
	for _, read := range []func(*lexed) bool{takeEveryN, takeTimes, takeWeekdays, takeWeekly, takeDaily} {
		if read(l) {
			l.cadence.named = true
			l.checkCadence()
			return
		}
	}
	if at := anyEvery.FindStringIndex(l.text); at != nil {
		l.code, l.part = BadCadence, l.text[at[0]:at[1]]
	}
}

// cadenceWords are words of which every wording of a cadence has one, apart
// from the days of the week.
var cadenceWords = map[string]bool{
	"every": true, "each": true, "day": true, "days": true, "daily": true, "week": true, "weeks": true, "weekly": true,
	"once": true, "twice": true, "thrice": true, "times": true, "kcal": true, "cal": true, "cals": true, "kcals": true,
}

// mayCadence reports whether a line can say how often something is given: it
// spares most lines the patterns.
func (l *lexed) mayCadence() bool {
	for _, t := range l.tokens {
		if cadenceWords[t.text] {
			return true
		}
		if len(t.text) >= 3 {
			switch t.text[:3] {
			case "mon", "tue", "wed", "thu", "fri", "sat", "sun":
				return true
			}
		}
	}
	return false
}

// checkCadence refuses what no reminder can keep.
func (l *lexed) checkCadence() {
	c := l.cadence
	if c.EveryDays < 0 || c.EveryDays > maxEveryDays || c.PerWeek < 0 || c.PerWeek > 7 || c.times > 10 {
		l.code, l.part = BadCadence, l.text
	}
	if c.EveryDays == 1 || c.PerWeek == 7 {
		l.cadence.Cadence = planner.Cadence{} // every day has one form
	}
}

func takeEveryN(l *lexed) bool {
	m := everyN.FindStringSubmatchIndex(l.text)
	if m == nil {
		return false
	}
	n := 0
	switch {
	case m[2] >= 0:
		n = smallNumber(l.text[m[2]:m[3]])
	case m[4] >= 0:
		n = ordinals[strings.ToLower(l.text[m[4]:m[5]])]
	default:
		n = smallNumber(l.text[m[6]:m[7]])
	}
	if strings.HasPrefix(strings.ToLower(l.text[m[8]:m[9]]), "week") {
		n *= 7
	}
	if n == 0 {
		n = -1
	}
	l.cadence.EveryDays = n
	l.useBytes(m[0], m[1])
	return true
}

// smallNumber reads digits or a spelled number.
func smallNumber(s string) int {
	if n, err := strconv.Atoi(s); err == nil {
		return n
	}
	return int(numberWords[strings.ToLower(s)])
}

func takeTimes(l *lexed) bool {
	m := timesA.FindStringSubmatchIndex(l.text)
	if m == nil {
		return false
	}
	n := 0
	if m[2] >= 0 {
		n = map[string]int{"once": 1, "twice": 2, "thrice": 3}[strings.ToLower(l.text[m[2]:m[3]])]
	} else {
		n = smallNumber(l.text[m[4]:m[5]])
	}
	if n == 0 {
		n = -1
	}
	if strings.HasPrefix(strings.ToLower(l.text[m[6]:m[7]]), "d") {
		l.cadence.times = float64(n)
		if n < 0 {
			l.cadence.EveryDays = n
		}
	} else {
		l.cadence.PerWeek = n
		if n == 1 {
			l.cadence.Cadence = planner.Cadence{EveryDays: 7}
		}
	}
	l.useBytes(m[0], m[1])
	return true
}

func takeWeekdays(l *lexed) bool {
	for _, at := range onDays.FindAllStringIndex(l.text, -1) {
		found := aDayWord.FindAllString(l.text[at[0]:at[1]], -1)
		marked := strings.ContainsAny(l.text[at[0]:at[1]], " ") || len(found) > 1
		if !marked && len(l.text) > at[1]-at[0] {
			continue // "sun" alone may be a part of a name
		}
		var days []time.Weekday
		for _, w := range found {
			days = append(days, weekday(w))
		}
		slices.Sort(days)
		l.cadence.Weekdays = slices.Compact(days)
		if len(l.cadence.Weekdays) == 7 {
			l.cadence.Weekdays = nil
		}
		l.useBytes(at[0], at[1])
		return true
	}
	return false
}

func weekday(w string) time.Weekday {
	w = strings.ToLower(w)
	for d := time.Sunday; d <= time.Saturday; d++ {
		if strings.HasPrefix(w, strings.ToLower(d.String()[:3])) {
			return d
		}
	}
	return time.Sunday
}

func takeWeekly(l *lexed) bool {
	at := weekly.FindStringIndex(l.text)
	if at == nil {
		return false
	}
	l.cadence.EveryDays = 7
	l.useBytes(at[0], at[1])
	return true
}

func takeDaily(l *lexed) bool {
	at := daily.FindStringIndex(l.text)
	if at == nil {
		return false
	}
	l.useBytes(at[0], at[1])
	return true
}
