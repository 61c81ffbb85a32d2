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
// is a Problem: BadTime, UnclearTime, BadDate, PastDate, AmbiguousDate, BadCadence, TooLong.
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
	for _, take := range []func(){w.takeMeal, w.takeTimes, w.takeSpans, w.takeMonthly, w.takeEveryOther, w.takeDays, w.takeIn, w.takeRepeats, w.takePart} {
		if take(); w.code != "" {
			p := problem(w.code, text)
			p.Part = w.part
			return When{}, p
		}
	}
	w.Rest = w.unused()
	return w.When, nil
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
		meal := mealsByName[w.word(at)].meal
		switch {
		case w.any(at, "meals"):
			meal = EachMeal
		case w.any(at, "meal", "food", "bowl"):
			meal = FirstMeal
		}
		if meal == "" {
			continue
		}
		if which == "" || which == EachMeal && mealsByName[w.word(at)].meal != "" { // "with every dinner"
			which = meal
		}
		w.Meal = which
		w.use(i, at+1)
		return
	}
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
		case w.any(i, "of") && w.any(i+1, "month"):
			end = i + 2
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
		for w.any(from-1, "on", "the", "day", "every", "each") {
			from--
		}
		w.MonthDay = n
		w.use(from, end)
		return
	}
}

// takeEveryOther takes "every other Sunday", "every second Friday": every 14
// days from the next of that name on.
func (w *whenReader) takeEveryOther() {
	for i := range w.tokens {
		if !w.any(i, "every", "each") || !w.any(i+1, "other", "second", "2nd", "alternate") || !w.isWeekday(i+2) {
			continue
		}
		w.Repeats, w.Cadence = true, planner.Cadence{EveryDays: 2 * daysPerWeek}
		w.On = w.weekday(i+2, false)
		w.use(i, i+3)
		return
	}
}

// nthAt reads a day of the month: "1st", "the 15", "the first".
func (w *whenReader) nthAt(i int) (int, int) {
	// "the second bag" is no day: a word counts where nothing follows that it
	// could belong to.
	last := i+1 >= len(w.tokens) || w.tokens[i+1].used
	if i > 0 && i < len(w.tokens) && last && !w.tokens[i].used && (w.any(i-1, "on", "the") || i+1 < len(w.tokens) && w.tokens[i+1].text == "of") {
		if n := ordinals[w.word(i)]; n > 0 {
			return n, i + 1
		}
	}
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
		if w.any(i+1, "half") && w.any(i+2, "an", "a") {
			n, end = number{value: 0.5}, i+3
		}
		if end == 0 || n.value <= 0 || n.value > 10_000 {
			continue
		}
		switch u := spans[w.word(end)]; {
		case u.name == "minute":
			w.At = w.now.Add(time.Duration(n.value * float64(time.Minute)))
		case u.name == "hour" || w.any(end, "h"):
			w.At = w.now.Add(time.Duration(n.value * float64(time.Hour)))
		case u.days > 0:
			w.On = w.today.AddDays(int(n.value * float64(u.days)))
		default:
			continue
		}
		w.use(i, end+1)
		return
	}
}

// takePart takes "in the morning", "tomorrow evening", "every night", "every
// morning and evening".
func (w *whenReader) takePart() {
	last := -2 // the part of the day before
	for i := range w.tokens {
		t := &w.tokens[i]
		c, tonight := partsOfDay[t.text].at, dayWords[t.text].name == "tonight"
		if tonight {
			c = partsOfDay["evening"].at
		}
		if c == 0 || t.kind != wordToken {
			continue
		}
		from := i
		for w.any(from-1, "in", "the", "this", "at") {
			from--
		}
		also := last == i-2 && w.any(i-1, "and", "&", "+", ",")
		if also {
			from = i - 1
		}
		if !t.used && from == i && (i == 0 || !w.tokens[i-1].used) {
			continue // "the night watch": no time of day by itself
		}
		switch {
		case also:
			w.Times, last = append(w.Times, c), i
		case len(w.Times) == 0 && w.Meal == "" && w.At.IsZero():
			w.Times, last = []planner.Clock{c}, i
		}
		w.use(from, i+1)
		if tonight || w.any(from, "this") {
			w.On = w.today
		}
		if (t.text == "mornings" || t.text == "evenings") && !w.Repeats && !w.Monthly && w.On.IsZero() {
			w.Repeats = true // every day
		}
	}
}
