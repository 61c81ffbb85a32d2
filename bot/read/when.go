package read

import (
	"strings"
	"time"

	"bowlwright/planner"
)

// Codes of problems with days and times.
const (
	BadTime  Code = "bad-time"  // no time that a clock shows
	BadDate  Code = "bad-date"  // no day of the calendar
	PastDate Code = "past-date" // a day that has passed
	BadSpan  Code = "bad-span"  // a last day before the first
	NoTime   Code = "no-time"   // a time was asked for and there is none
	NoDate   Code = "no-date"   // a day was asked for and there is none
)

// Meal is the meal that something is given with.
type Meal string

// The meals; empty is none.
const (
	FirstMeal Meal = "first"
	LastMeal  Meal = "last"
	EachMeal  Meal = "each"
)

// When is what a text says of days and times; what it does not say is zero.
type When struct {
	Repeats  bool            // Cadence says how often; its zero value is every day
	Cadence  planner.Cadence //
	Monthly  bool            // on MonthDay of each month; 0 where no day is named
	MonthDay int
	PerDay   int             // how often on each of its days, where that is said
	Times    []planner.Clock // in the order typed
	Meal     Meal            // with it, rather than at a time
	On       planner.Date    // a single day
	Weekday  bool            // On was named by its day of the week alone
	At       time.Time       // "in 2 hours"
	From     planner.Date    // the first day
	Until    planner.Date    // "until" or "to" a day
	Days     int             // "for 10 days"
	Note     string          // in brackets at the end: "(kennel)"
	Rest     string          // the other words, as typed
}

// Said reports that a text says anything of days or times.
func (w When) Said() bool {
	return w.Repeats || w.Monthly || len(w.Times) > 0 || w.Meal != "" || !w.On.IsZero() || !w.At.IsZero() ||
		!w.From.IsZero() || !w.Until.IsZero() || w.Days > 0
}

// WhenText takes out of a text what it says of days and times: "every 3 days
// at 07:30", "on Friday 10:00", "Sundays at 9", "from 3 to 10 April", "until
// Monday", "in 2 hours", "on Mon, Wed, Fri with breakfast", "monthly on the
// 1st", "for 10 days". A day without a year is the next of its name. now is
// the instant, in the household's zone, that such words count from. The error
// is a Problem: BadTime, BadDate, PastDate, AmbiguousDate, BadCadence, TooLong.
func WhenText(s string, now time.Time) (When, error) {
	text, cut := firstRunes(Clean(s), mostRunes)
	if cut {
		return When{}, problem(TooLong, text)
	}
	w := &whenReader{now: now, today: planner.DateOf(now)}
	if open := strings.LastIndexByte(text, '('); open >= 0 && strings.HasSuffix(text, ")") {
		w.Note, text = strings.TrimSpace(text[open+1:len(text)-1]), strings.TrimSpace(text[:open])
	}
	w.lexed = &lexed{text: text, tokens: lex(text, make([]token, 0, 24))}
	for _, take := range []func(){w.takeMeal, w.takeTimes, w.takeSpans, w.takeMonthly, w.takeDays, w.takeIn, w.takeRepeats, w.takePart} {
		if take(); w.code != "" {
			p := problem(w.code, text)
			p.Part = w.part
			return When{}, p
		}
	}
	w.Rest = w.unused()
	return w.When, nil
}

// Clocks reads a text that is one time of day or several: "7:30", "0730",
// "7.30", "7:30 pm", "19:00", "7 and 18", "noon". They come in the order
// typed. The error is a Problem: BadTime, NoTime, TooLong.
func Clocks(s string) ([]planner.Clock, error) {
	l, err := lexQuantity(s)
	if err != nil {
		return nil, err
	}
	w := &whenReader{lexed: l}
	at := 0
	for w.any(at, "at", "from", "between") {
		at++
	}
	end := w.timesFrom(at)
	if w.code != "" {
		return nil, Problem{Text: l.text, Part: w.part, Code: w.code}
	}
	if len(w.Times) == 0 || end < len(l.tokens) {
		return nil, problem(NoTime, s)
	}
	return w.Times, nil
}

// whenReader is a text on its way to a When.
type whenReader struct {
	*lexed
	When
	now   time.Time
	today planner.Date
}

// unused is what is left of the text, without the marks at its ends.
func (w *whenReader) unused() string {
	var parts []string
	for i := 0; i < len(w.tokens); {
		if w.tokens[i].used {
			i++
			continue
		}
		end := i
		for end < len(w.tokens) && !w.tokens[end].used {
			end++
		}
		if part := strings.Trim(w.span(i, end), " ,;:.-"); part != "" {
			parts = append(parts, part)
		}
		i = end
	}
	return joinFields(strings.Join(parts, " "))
}

// whenMeals are the meals by their names.
var whenMeals = map[string]Meal{
	"breakfast": FirstMeal, "dinner": LastMeal, "supper": LastMeal, "meals": EachMeal,
	"meal": FirstMeal, "food": FirstMeal, "bowl": FirstMeal,
}

// takeMeal takes "with breakfast", "with her first meal", "at dinner",
// "with every meal".
func (w *whenReader) takeMeal() {
	for i := range w.tokens {
		if !w.any(i, "with", "at", "before", "after") {
			continue
		}
		at, which := i+1, Meal("")
		for w.any(at, "the", "her", "his", "their", "its", "a", "every", "each", "first", "morning", "last", "second", "evening") {
			switch w.word(at) {
			case "every", "each":
				which = EachMeal
			case "first", "morning":
				which = FirstMeal
			case "last", "second", "evening":
				which = LastMeal
			}
			at++
		}
		meal, ok := whenMeals[w.word(at)]
		if !ok {
			continue
		}
		if which == "" || which == EachMeal && w.any(at, "breakfast", "dinner", "supper") { // "with every dinner"
			which = meal
		}
		w.Meal = which
		w.use(i, at+1)
		return
	}
}

// takeTimes takes every time of day that is told as one: with a colon, with
// "am" or "pm", by name, or after "at".
func (w *whenReader) takeTimes() {
	for i := 0; i < len(w.tokens); i++ {
		lead := w.any(i, "at", "@", "around")
		if _, end := w.clockAt(i, false); !lead && end == 0 {
			continue
		}
		if lead {
			if end := w.timesFrom(i + 1); end > 0 {
				w.use(i, end)
			}
		} else {
			w.timesFrom(i)
			if i > 0 && (w.any(i-1, "from", "between") || w.any(i-1, ",")) {
				w.use(i-1, i)
			}
		}
		if w.code != "" {
			return
		}
	}
}

// timesFrom takes the times that stand in a row: "7:30, 12 and 18:00". It
// returns the token behind them, 0 where there is none.
func (w *whenReader) timesFrom(i int) (end int) {
	for at := i; ; {
		c, to := w.clockAt(at, true)
		if to == 0 || w.code != "" {
			return end
		}
		w.Times = append(w.Times, c)
		w.use(i, to)
		end = to
		for at = to; w.any(at, ",", "and", "&", "+", "-", "to", "until", "till"); {
			at++
		}
		if _, next := w.clockAt(at, true); next == 0 || at == to {
			return end
		}
	}
}

// clockAt reads a time of day; a bare number counts where bare is set and
// nothing behind it makes it an amount or a date. What can only be meant for a
// time and is none is a problem.
func (w *whenReader) clockAt(i int, bare bool) (planner.Clock, int) {
	switch {
	case w.any(i, "noon", "midday"):
		return planner.At(12, 0), i + 1
	case w.any(i, "midnight"):
		return 0, i + 1
	case bare && spokenHours[w.word(i)] > 0:
		return w.spokenHour(i)
	case i >= len(w.tokens) || w.tokens[i].used || w.tokens[i].kind != numberToken:
		return 0, 0
	}
	text := w.tokens[i].text
	hour, minute, end := -1, 0, i+1
	colon := w.joined(i+1, ":") && w.tokens[i+2].kind == numberToken
	whole, point := digitsOf(text), strings.IndexByte(text, '.')
	switch {
	case colon:
		end = i + 3
		hour, minute = digitsOf(text), digitsOf(w.tokens[i+2].text)
		if len(w.tokens[i+2].text) != 2 {
			minute = -1
		}
		if w.joined(end, ":") {
			end += 2 // seconds are nothing to a reminder
		}
	case point > 0 && len(text) == point+3: // "7.30"
		hour, minute = digitsOf(text[:point]), digitsOf(text[point+1:])
	case whole >= 0 && (len(text) == 4 || len(text) == 3): // "0730", "730"
		hour, minute = whole/100, whole%100
	case whole >= 0 && len(text) <= 2:
		hour = whole
	}
	half, end := w.halfAt(end)
	surely := colon || half != ""
	if !surely && (!bare && (len(text) != 4 || text[0] != '0') || hour < 0 && whole >= 0 || !w.clockEnds(end)) {
		return 0, 0
	}
	if w.any(end, "o'clock", "oclock", "h", "hrs") {
		end++
	}
	switch {
	case half == "pm" && hour < 12:
		hour += 12
	case half == "am" && hour == 12:
		hour = 0
	case half == "am" && hour > 12:
		hour = -1
	}
	if hour < 0 || hour > 23 || minute < 0 || minute > 59 {
		w.wrong(BadTime, i, min(end, len(w.tokens)))
		return 0, end
	}
	return planner.At(hour, minute), end
}

// spokenHours are the hours as words.
var spokenHours = map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "eleven": 11, "twelve": 12}

// spokenHour reads "nine" and "nine pm" where nothing follows that would
// make it an amount.
func (w *whenReader) spokenHour(i int) (planner.Clock, int) {
	hour := spokenHours[w.word(i)]
	half, end := w.halfAt(i + 1)
	if !w.clockEnds(end) {
		return 0, 0
	}
	if w.any(end, "o'clock", "oclock") {
		end++
	}
	if half != "" {
		hour %= 12
	}
	if half == "pm" {
		hour += 12
	}
	return planner.At(hour, 0), end
}

// halfAt reads "am" or "pm", however it is written.
func (w *whenReader) halfAt(i int) (string, int) {
	switch {
	case w.any(i, "am", "pm"):
		return w.word(i), i + 1
	case w.any(i, "a", "p") && w.any(i+1, ".") && w.any(i+2, "m"):
		half := w.word(i) + "m"
		if i += 3; w.any(i, ".") {
			i++
		}
		return half, i
	}
	return "", i
}

// clockEnds reports that nothing follows that would make a bare number an
// amount or a date: "at 9" and "at 9 on Sundays", but not "at 9 % fat".
func (w *whenReader) clockEnds(i int) bool {
	if i >= len(w.tokens) || w.tokens[i].used {
		return true
	}
	t := &w.tokens[i]
	return t.kind == signToken && !strings.ContainsAny(t.text, "%/") ||
		w.any(i, "and", "on", "every", "each", "from", "until", "till", "to", "for", "daily", "in", "with", "o'clock", "oclock", "h", "hrs",
			"today", "tomorrow", "starting", "tonight", "next", "this", "the", "weekly", "monthly", "twice", "once") ||
		w.isWeekday(i) && w.word(i) != "sun"
}

// digitsOf is a text of digits alone as a number, -1 where it is none.
func digitsOf(s string) int {
	n := 0
	for i := range len(s) {
		if !isASCIIDigit(s[i]) || i > 5 {
			return -1
		}
		n = 10*n + int(s[i]-'0')
	}
	if s == "" {
		return -1
	}
	return n
}

// takeMonthly takes "monthly on the 1st", "on the 15th of each month", "every
// month".
func (w *whenReader) takeMonthly() {
	for i := range w.tokens {
		end := 0
		switch {
		case w.any(i, "monthly"):
			end = i + 1
		case w.any(i, "every", "each", "a", "per") && w.any(i+1, "month"):
			end = i + 2
		case w.any(i, "of") && w.any(i+1, "the", "each", "every") && w.any(i+2, "month"):
			end = i + 3
		default:
			continue
		}
		if w.any(i-1, "once") {
			w.use(i-1, i)
		}
		w.Monthly = true
		w.use(i, end)
	}
	if !w.Monthly {
		return
	}
	for i := range w.tokens {
		n, end := w.nthAt(i)
		if end == 0 {
			continue
		}
		from := i
		for w.any(from-1, "on", "the", "day") {
			from--
		}
		w.MonthDay = n
		w.use(from, end)
		return
	}
}

// nthAt reads a day of the month in figures: "1st", "the 15".
func (w *whenReader) nthAt(i int) (int, int) {
	if i < 0 || i >= len(w.tokens) || w.tokens[i].used || w.tokens[i].kind != numberToken {
		return 0, 0
	}
	n, end := digitsOf(w.tokens[i].text), i+1
	if n < 1 || n > 31 {
		return 0, 0
	}
	if w.any(end, "st", "nd", "rd", "th") {
		return n, end + 1
	}
	if w.any(i-1, "the", "day") || w.any(i-1, "on") && (end >= len(w.tokens) || w.tokens[end].used) {
		return n, end
	}
	return 0, 0
}

// takeRepeats takes how often: "every 3 days", "Sundays", "twice a week".
func (w *whenReader) takeRepeats() {
	w.takeCadence(false)
	if w.code != "" || !w.cadence.named {
		return
	}
	w.Repeats, w.Cadence, w.PerDay = true, w.cadence.Cadence, int(w.cadence.times)
}

// takeIn takes "in 2 hours", "in 30 minutes", "in a week".
func (w *whenReader) takeIn() {
	for i := range w.tokens {
		if !w.any(i, "in") || w.any(i-1, "once", "twice", "thrice", "times", "time", "x") { // "twice in 10 days"
			continue
		}
		n, end := w.numberAt(i + 1)
		if end == 0 && w.any(i+1, "a", "an", "one") {
			n, end = number{value: 1}, i+2
		}
		if end == 0 || n.value <= 0 || n.value > 10_000 {
			continue
		}
		day := 24 * time.Hour
		each := map[string]time.Duration{"minute": time.Minute, "minutes": time.Minute, "min": time.Minute, "mins": time.Minute,
			"hour": time.Hour, "hours": time.Hour, "hrs": time.Hour, "h": time.Hour,
			"day": day, "days": day, "week": 7 * day, "weeks": 7 * day, "fortnight": 14 * day, "month": 30 * day, "months": 30 * day}[w.word(end)]
		switch {
		case each == 0:
			continue
		case each < day:
			w.At = w.now.Add(time.Duration(n.value * float64(each)))
		default:
			w.On = w.today.AddDays(int(n.value * float64(each/day)))
		}
		w.use(i, end+1)
		return
	}
}

// dayParts are the times that a part of the day stands for where no time is
// named (common practice, no source); the answer says the time.
var dayParts = map[string]planner.Clock{
	"morning": planner.At(8, 0), "mornings": planner.At(8, 0), "afternoon": planner.At(15, 0), "evening": planner.At(19, 0),
	"evenings": planner.At(19, 0), "tonight": planner.At(19, 0), "night": planner.At(21, 0), "bedtime": planner.At(21, 0),
}

// takePart takes "in the morning", "tomorrow evening", "every night".
func (w *whenReader) takePart() {
	for i := range w.tokens {
		t := &w.tokens[i]
		c, ok := dayParts[t.text]
		if !ok || t.kind != wordToken {
			continue
		}
		from := i
		for w.any(from-1, "in", "the", "this", "at") {
			from--
		}
		if !t.used && from == i && (i == 0 || !w.tokens[i-1].used) {
			continue // "the night watch": no time of day by itself
		}
		if len(w.Times) == 0 && w.Meal == "" && w.At.IsZero() {
			w.Times = []planner.Clock{c}
		}
		w.use(from, i+1)
		if t.text == "tonight" || w.any(from, "this") {
			w.On = w.today
		}
	}
}
