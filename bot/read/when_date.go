package read

import (
	"strings"
	"time"

	"bowlwright/planner"
)

// Date reads a text that is one day: "today", "Friday", "4 April", "April 4",
// "2026-04-04", "the 4th", "in 3 days". now is the instant that it counts
// from. The error is a Problem: NoDate, BadDate, PastDate, AmbiguousDate,
// TooLong.
func Date(s string, now time.Time) (planner.Date, error) {
	w, err := WhenText(s, now)
	if err != nil {
		return planner.Date{}, err
	}
	days := 0
	var day planner.Date
	for _, d := range []planner.Date{w.On, w.From, w.Until} {
		if !d.IsZero() {
			day, days = d, days+1
		}
	}
	if w.Days > 0 {
		day, days = planner.DateOf(now).AddDays(w.Days), days+1
	}
	if days != 1 || w.Rest != "" || w.Repeats || w.Monthly || len(w.Times) > 0 {
		return planner.Date{}, problem(NoDate, s)
	}
	return day, nil
}

// takeSpans takes the first day, the last day and how many days: "from 3 to
// 10 April", "starting Monday", "until 4 April", "for 10 days".
func (w *whenReader) takeSpans() {
	for i := range w.tokens {
		switch {
		case w.any(i, "for"):
			w.takeFor(i)
		case w.any(i, "until", "till", "til", "through", "thru", "to"):
			if d, end := w.dateFrom(i + 1); end > 0 {
				w.Until = d
				w.use(i, end)
			}
		case w.any(i, "from", "starting", "beginning", "start", "between", "since"):
			at := i + 1
			if w.any(at, "on", "from") {
				at++
			}
			w.takeFrom(i, at)
		}
		if w.code != "" {
			return
		}
	}
	w.bareSpan()
	if !w.From.IsZero() && !w.Until.IsZero() && w.Until.Before(w.From) {
		w.code, w.part = BadSpan, w.text
	}
}

// takeFor takes "for 10 days", "for a week"; the words end there, so that
// "for 3 days' food" is left alone.
func (w *whenReader) takeFor(i int) {
	n, end := w.numberAt(i + 1)
	if end == 0 && w.any(i+1, "a", "an", "one") {
		n, end = number{value: 1}, i+2
	}
	if end == 0 {
		return
	}
	days := n.value * float64(spans[w.word(end)].days)
	if days == 0 {
		return
	}
	if days < 1 || days > 3660 || days != float64(int(days)) {
		w.wrong(BadDate, i, end+1)
		return
	}
	w.Days = int(days)
	w.use(i, end+1)
}

// takeFrom takes the first day, and the last where both share the month: "3
// to 10 April".
func (w *whenReader) takeFrom(i, at int) {
	if from, until, end := w.sharedMonth(at); end > 0 {
		w.From, w.Until = from, until
		w.use(i, end)
		return
	}
	d, end := w.dateFrom(at)
	if end == 0 {
		return
	}
	w.From = d
	w.use(i, end)
	if w.any(end, "to", "until", "till", "and", "-", "through") {
		if until, to := w.dateFrom(end + 1); to > 0 {
			if until.Before(d) && !w.yearTyped(end+1, to) {
				until.Year++ // "from 28 December to 3 January"
			}
			w.Until = until
			w.use(end, to)
		}
	}
}

// yearTyped reports that a year stands among some words.
func (w *whenReader) yearTyped(from, to int) bool {
	for i := from; i < to; i++ {
		if n := w.tokens[i].num.value; w.tokens[i].kind == numberToken && n >= 1000 || strings.Count(w.tokens[i].text, ".") == 2 {
			return true
		}
	}
	return false
}

// sharedMonth reads "3 to 10 April" and "3-10 April".
func (w *whenReader) sharedMonth(i int) (from, until planner.Date, end int) {
	first, at := w.dayNumber(i)
	if at == 0 || !w.any(at, "to", "-", "until", "till", "and", "through") {
		return from, until, 0
	}
	until, end = w.dateFrom(at + 1)
	if end == 0 {
		return from, until, 0
	}
	from = planner.Date{Year: until.Year, Month: until.Month, Day: first}
	if first > until.Day { // "28 to 3 April" begins in March
		from = planner.DateOf(time.Date(until.Year, until.Month-1, first, 12, 0, 0, 0, time.UTC))
	}
	return from, until, end
}

// bareSpan takes "3-10 April" and "3 to 10 April" that no word leads.
func (w *whenReader) bareSpan() {
	if !w.From.IsZero() || !w.Until.IsZero() {
		return
	}
	for i := range w.tokens {
		if from, until, end := w.sharedMonth(i); end > 0 {
			w.From, w.Until = from, until
			w.use(i, end)
			return
		}
		w.code, w.part = "", ""
	}
}

// takeDays takes a single day: "on Friday", "tomorrow", "4 April". A day of
// the week that is repeated ("Fridays", "every Friday") or is one of several
// is left for how often.
func (w *whenReader) takeDays() {
	for i := range w.tokens {
		at := i
		for w.any(at, "on", "due", "by") {
			at++
		}
		if w.repeated(at) {
			continue
		}
		weekday := w.isWeekday(at)
		d, end := w.dateFrom(at)
		if w.code != "" {
			return
		}
		if end == 0 {
			continue
		}
		w.On, w.Weekday = d, weekday
		w.use(i, end)
		if len(w.Times) == 0 && end == len(w.tokens)-1 { // "vet Friday 10"
			w.timesFrom(end)
		}
		return
	}
}

// repeated reports that a day of the week stands at a place and is not a
// single day.
func (w *whenReader) repeated(i int) bool {
	if !w.isWeekday(i) {
		return false
	}
	c, _ := w.weekdaysAt(i)
	return len(c.Weekdays) > 1 || strings.HasSuffix(w.word(i), "days") || w.any(i-1, "every", "each", "other", "only", "alternate", "second", "third") ||
		w.isWeekday(i-1) || w.any(i-1, ",", "and", "&", "/", "+") && w.isWeekday(i-2) ||
		i > 1 && w.any(i-1, "on") && w.any(i-2, "week", "weekly")
}

// dateFrom reads the day that begins at a token, and returns the token behind
// it, 0 where none begins there.
func (w *whenReader) dateFrom(i int) (planner.Date, int) {
	if w.any(i, "the") {
		i++
	}
	switch {
	case dayWords[w.word(i)].name != "" && dayWords[w.word(i)].days >= 0:
		return w.today.AddDays(dayWords[w.word(i)].days), i + 1
	case w.any(i, "day") && w.any(i+1, "after") && w.any(i+2, "tomorrow"):
		return w.today.AddDays(2), i + 3
	case w.any(i, "next") && w.any(i+1, "week"):
		return w.today.AddDays(daysPerWeek), i + 2
	case w.any(i, "next", "this", "coming") && w.isWeekday(i+1):
		return w.weekday(i+1, w.any(i, "next")), i + 2
	case w.isWeekday(i) && !strings.HasSuffix(w.word(i), "days") && w.plausibleDay(i):
		if d, end := w.dateFrom(w.skipComma(i + 1)); end > 0 && !w.isWeekday(w.skipComma(i+1)) && d.Weekday() == weekdays[w.word(i)] {
			return d, end // "Friday 3 April"
		}
		return w.weekday(i, false), i + 1
	case w.any(i, "end") && w.any(i+1, "of"):
		if m := monthNames[w.word(i+2)]; m > 0 {
			return w.yearless(m, daysIn(w.today.Year, m)), i + 3
		}
	}
	return w.coming(i)
}

// plausibleDay keeps "sat" and "sun" in other senses out: they count where
// something of time stands before or behind them, or they begin the text.
func (w *whenReader) plausibleDay(i int) bool {
	if !w.any(i, "sat", "sun", "mon", "wed") {
		return true
	}
	return i == 0 || w.any(i-1, "on", "until", "till", "to", "from", "next", "this", "by", "starting", ",") || w.tokens[i-1].used ||
		i+1 < len(w.tokens) && (w.tokens[i+1].used || w.any(i+1, "at")) || i+1 == len(w.tokens)
}

func (w *whenReader) skipComma(i int) int {
	if w.any(i, ",") {
		return i + 1
	}
	return i
}

// weekday is the next day of the week named at a token: today where that is
// one, unless only a later one can be meant.
func (w *whenReader) weekday(i int, later bool) planner.Date {
	n := (int(weekdays[w.word(i)]) - int(w.today.Weekday()) + daysPerWeek) % daysPerWeek
	if n == 0 && (later || i > 0 && w.any(i-1, "until", "till", "til", "to")) {
		n = daysPerWeek
	}
	return w.today.AddDays(n)
}

// coming reads a day of the calendar that is to come: the next of its name.
func (w *whenReader) coming(i int) (planner.Date, int) {
	c, end := w.calendarAt(i)
	switch m := time.Month(c.month); {
	case c.day == 0:
		return planner.Date{}, 0
	case c.slash && i > 0 && !w.any(i-1, "on", "until", "till", "to", "from", "starting", "-") && max(c.day, c.month) <= 12:
		return planner.Date{}, 0 // "1/2 capsule"
	case c.unclear:
		w.wrong(AmbiguousDate, i, end)
		return planner.Date{}, end
	case c.year > 0:
		return w.named(i, c.year, c.month, c.day, end)
	case m == 0: // "the 4th"
		d := planner.Date{Year: w.today.Year, Month: w.today.Month, Day: c.day}
		if d.Before(w.today) {
			d = planner.DateOf(time.Date(d.Year, d.Month+1, c.day, 12, 0, 0, 0, time.UTC))
		}
		return d, end
	case m > 12 || c.day > daysIn(2024, m): // a leap year has every day
		w.wrong(BadDate, i, end)
		return planner.Date{}, end
	default:
		return w.yearless(m, c.day), end
	}
}

// yearless is the next such day, from today on.
func (w *whenReader) yearless(m time.Month, day int) planner.Date {
	for year := w.today.Year; ; year++ {
		d := planner.Date{Year: year, Month: m, Day: day}
		if day <= daysIn(year, m) && !d.Before(w.today) || year > w.today.Year+8 {
			return d
		}
	}
}

// named is a day with its year; it must exist and not have passed.
func (w *whenReader) named(i, year, month, day, end int) (planner.Date, int) {
	d := planner.Date{Year: year, Month: time.Month(month), Day: day}
	switch {
	case month < 1 || month > 12 || day < 1 || day > daysIn(year, d.Month) || year > w.today.Year+50:
		w.wrong(BadDate, i, min(end, len(w.tokens)))
	case d.Before(w.today):
		w.wrong(PastDate, i, min(end, len(w.tokens)))
	}
	return d, end
}

func daysIn(year int, m time.Month) int {
	return time.Date(year, m+1, 0, 12, 0, 0, 0, time.UTC).Day()
}
