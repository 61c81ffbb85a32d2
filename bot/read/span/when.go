package span

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
	Months   int             // of each n-th month; 0 is each
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

// NextAfter is the day on which what was done on one is due by how often it is said to be.
func (w When) NextAfter(last planner.Date) planner.Date {
	if !w.Monthly {
		return last.AddDays(w.Cadence.EveryDays)
	}
	of := planner.DateOf(time.Date(last.Year, last.Month+time.Month(max(w.Months, 1)), 1, 12, 0, 0, 0, time.UTC))
	of.Day = min(last.Day, daysIn(of.Year, of.Month))
	return of
}

// WhenText takes out of a text what it says of days and times: "every 3 days
// at 07:30", "on Friday 10:00", "Sundays at 9", "from 3 to 10 April", "until
// Monday", "in 2 hours", "on Mon, Wed, Fri with breakfast", "monthly on the
// 1st", "for 10 days". A day without a year is the next of its name. now is
// the instant, in the household's zone, that such words count from. The error
// is a Problem: BadTime, UnclearTime, BadDate, PastDate, AmbiguousDate, BadCadence, TooLong.
func WhenText(s string, now time.Time) (When, error) {
	text, cut := FirstRunes(Clean(s), MostRunes)
	if cut {
		return When{}, NewProblem(TooLong, text)
	}
	w := &WhenReader{now: now, today: planner.DateOf(now)}
	if open := strings.LastIndexByte(text, '('); open >= 0 && strings.HasSuffix(text, ")") {
		w.Note, text = strings.TrimSpace(text[open+1:len(text)-1]), strings.TrimSpace(text[:open])
	}
	w.Lexed = Lex(text)
	for _, take := range []func(){w.takeMeal, w.takeTimes, w.takeSpans, w.takeMonthly, w.takeEveryOther, w.takeDays, w.inOrder, w.takeIn, w.takeRepeats, w.takePart} {
		if take(); w.Code != "" {
			p := NewProblem(w.Code, text)
			p.Part = w.Part
			return When{}, p
		}
	}
	w.Rest = w.Unused()
	return w.When, nil
}

// WhenReader is a text on its way to a When.
type WhenReader struct {
	*Lexed
	When
	now       time.Time
	today     planner.Date
	toWeekday bool // Until was named by its day of the week alone
}

// takeMeal takes "with breakfast", "with her first meal", "at dinner",
// "with every meal".
func (w *WhenReader) takeMeal() {
	for i := range w.Tokens {
		if !w.Any(i, "with", "at", "before", "after") {
			continue
		}
		at, which := i+1, Meal("")
		for w.Any(at, "the", "her", "his", "their", "its", "a", "every", "each", "first", "morning", "last", "second", "evening") {
			switch w.Word(at) {
			case "every", "each":
				which = EachMeal
			case "first", "morning":
				which = FirstMeal
			case "last", "second", "evening":
				which = LastMeal
			}
			at++
		}
		meal := MealsByName[w.Word(at)].meal
		switch {
		case w.Any(at, "meals"):
			meal = EachMeal
		case w.Any(at, "meal", "food", "bowl"):
			meal = FirstMeal
		}
		if meal == "" {
			continue
		}
		if which == "" || which == EachMeal && MealsByName[w.Word(at)].meal != "" { // "with every dinner"
			which = meal
		}
		w.Meal = which
		w.Use(i, at+1)
		return
	}
}

// takeMonthly takes "monthly on the 1st", "on the 15th of each month", "every
// month", "every 3 months on the 1st".
func (w *WhenReader) takeMonthly() {
	for i := range w.Tokens {
		end := 0
		switch {
		case w.Any(i, "monthly"):
			end = i + 1
		case w.Any(i, "every", "each", "a", "per") && w.Any(i+1, "month"):
			end = i + 2
		case w.Any(i, "yearly", "annually"):
			w.Months, end = planner.MostMonths, i+1
		case w.Any(i, "every", "each") && w.Any(i+1, "year"):
			w.Months, end = planner.MostMonths, i+2
		case w.Any(i, "of") && w.Any(w.After(i+1, "the", "each", "every"), "month"):
			end = w.After(i+1, "the", "each", "every") + 1
		case w.Any(i, "every", "each"):
			n, to := w.NumberAt(i + 1)
			if to == 0 || !w.Any(to, "months", "month", "mths", "mth") || n.Value < 2 || n.Value > planner.MostMonths || n.Value != float64(int(n.Value)) {
				continue
			}
			w.Months, end = int(n.Value), to+1
			w.UseAny(i-1, "of")
		default:
			continue
		}
		w.UseAny(i-1, "once")
		w.Monthly = true
		w.Use(i, end)
	}
	if !w.Monthly {
		return
	}
	for i := range w.Tokens {
		n, end := w.nthAt(i)
		if end == 0 || w.Any(end, "of") && MonthNames[w.Word(end+1)] > 0 { // "on the 1st of October, then every 3 months"
			continue
		}
		from := i
		for w.Any(from-1, "on", "the", "day", "every", "each") {
			from--
		}
		w.MonthDay = n
		w.Use(from, end)
		return
	}
}

// takeEveryOther takes "every other Sunday", "every second Friday": every 14
// days from the next of that name on.
func (w *WhenReader) takeEveryOther() {
	for i := range w.Tokens {
		if !w.Any(i, "every", "each") || !w.Any(i+1, "other", "second", "2nd", "alternate") || !w.isWeekday(i+2) {
			continue
		}
		w.Repeats, w.Cadence = true, planner.Cadence{EveryDays: 2 * DaysPerWeek}
		w.On = w.weekday(i+2, false)
		w.Use(i, i+3)
		return
	}
}

// nthAt reads a day of the month: "1st", "the 15", "the first".
func (w *WhenReader) nthAt(i int) (int, int) {
	// "the second bag" is no day: a word counts where nothing follows that it
	// could belong to.
	last := i+1 >= len(w.Tokens) || w.Tokens[i+1].Used
	if n := ordinals[w.Word(i)]; n > 0 && last && (w.Any(i-1, "on", "the") || i+1 < len(w.Tokens) && w.Tokens[i+1].Text == "of") {
		return n, i + 1
	}
	n, end := DigitsOf(w.figures(i)), i+1
	if n < 1 || n > 31 {
		return 0, 0
	}
	if w.Any(end, "st", "nd", "rd", "th") {
		return n, end + 1
	}
	if w.Any(i-1, "the", "day") || w.Any(i-1, "on") && (end >= len(w.Tokens) || w.Tokens[end].Used) {
		return n, end
	}
	return 0, 0
}

// takeRepeats takes how often: "every 3 days", "Sundays", "twice a week".
func (w *WhenReader) takeRepeats() {
	if w.TakeCadence(false); w.Code == "" && w.Often.Named {
		w.Repeats, w.Cadence, w.PerDay = true, w.Often.Cadence, int(w.Often.Times)
	}
}

// takeIn takes "in 2 hours", "in 30 minutes", "in a week".
func (w *WhenReader) takeIn() {
	for i := range w.Tokens {
		if !w.Any(i, "in") || w.Any(i-1, "once", "twice", "thrice", "times", "time", "x") { // "twice in 10 days"
			continue
		}
		n, end := w.NumberAt(i + 1)
		if n.Value <= 0 || n.Value > 10_000 {
			continue
		}
		switch u := TimeUnits[w.Word(end)]; {
		case u.Name == "minute":
			w.At = w.now.Add(time.Duration(n.Value * float64(time.Minute)))
		case u.Name == "hour" || w.Any(end, "h"):
			w.At = w.now.Add(time.Duration(n.Value * float64(time.Hour)))
		case u.Days > 0:
			w.On = w.today.AddDays(int(n.Value * float64(u.Days)))
		default:
			continue
		}
		w.Use(i, end+1)
		return
	}
}

// takePart takes "in the morning", "tomorrow evening", "every night", "every
// morning and evening".
func (w *WhenReader) takePart() {
	last := -2 // the part of the day before
	for i := range w.Tokens {
		t := &w.Tokens[i]
		c, tonight := PartsOfDay[t.Text].at, DayWords[t.Text].Name == "tonight"
		if tonight {
			c = PartsOfDay["evening"].at
		}
		if c == 0 || t.Kind != WordToken {
			continue
		}
		from := i
		for w.Any(from-1, "in", "the", "this", "at") {
			from--
		}
		also := last == i-2 && w.Any(i-1, "and", "&", "+", ",")
		if also {
			from = i - 1
		}
		if !t.Used && from == i && (i == 0 || !w.Tokens[i-1].Used) {
			continue // "the night watch": no time of day by itself
		}
		switch {
		case also:
			w.Times, last = append(w.Times, c), i
		case len(w.Times) == 0 && w.Meal == "" && w.At.IsZero():
			w.Times, last = []planner.Clock{c}, i
		}
		w.Use(from, i+1)
		if tonight || w.Any(from, "this") {
			w.On = w.today
		}
		if (t.Text == "mornings" || t.Text == "evenings") && !w.Repeats && !w.Monthly && w.On.IsZero() {
			w.Repeats = true // every day
		}
	}
}
