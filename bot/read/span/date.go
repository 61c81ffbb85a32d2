package span

import (
	"cmp"
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
		return planner.Date{}, NewProblem(NoDate, s)
	}
	return day, nil
}

// takeSpans takes the first day, the last day and how many days: "from 3 to
// 10 April", "starting Monday", "until 4 April", "for 10 days".
func (w *WhenReader) takeSpans() {
	for i := range w.Tokens {
		switch {
		case w.Any(i, "for"):
			w.takeFor(i)
		case w.Any(i, "until", "till", "til", "through", "thru", "to", "-", "–", "and"):
			first := max(0, i-1)
			for first > 0 && w.Any(first, "st", "nd", "rd", "th") {
				first--
			}
			from, until, end := w.sharedMonth(first)
			switch {
			case end > 0 && !w.Any(first-1, "at"): // "3 to 10 April" that no word leads
				w.From, w.Until = from, until
				w.Use(first, end)
			case !w.Any(i, "-", "–", "and") || w.Any(i, "-", "–") && w.isWeekday(i-1) && w.isWeekday(i+1): // "fri-sun"
				w.takeUntil(i)
			default:
				w.Code, w.Part = "", ""
			}
		case w.Any(i, "from", "starting", "beginning", "start", "between", "since"):
			w.takeFrom(i, w.After(i+1, "on", "from"))
		}
		if w.Code != "" {
			return
		}
	}
}

// takeUntil takes the last day behind a word that leads to it.
func (w *WhenReader) takeUntil(i int) {
	if d, end := w.dateFrom(i + 1); end > 0 {
		w.Until, w.toWeekday = d, w.isWeekday(end-1)
		w.Use(i, end)
	}
}

// longestOver is how many days lie at most between a day and one that is before it in
// the calendar (our own choice): "28 December to 3 January", and not "10 to 3 April".
const longestOver = 183

// inOrder has the last day be the one behind the first: a day of the week the next of
// its name ("friday to sunday", said on a Saturday), another that of the next year.
func (w *WhenReader) inOrder() {
	first := cmp.Or(w.From, w.On)
	if w.Until.IsZero() || !w.Until.Before(first) {
		return
	}
	if w.toWeekday {
		w.Until = w.Until.AddDays(DaysPerWeek)
		return
	}
	next := w.Until
	next.Year++
	if first.DaysTo(next) <= longestOver {
		w.Until = next
	} else if !w.From.IsZero() {
		w.Code, w.Part = BadSpan, w.Text
	}
}

// takeFor takes "for 10 days", "for a week"; the words end there, so that
// "for 3 days' food" is left alone.
func (w *WhenReader) takeFor(i int) {
	n, end := w.NumberAt(i + 1)
	days := n.Value * float64(TimeUnits[w.Word(end)].Days)
	if days == 0 {
		return
	}
	if days < 1 || days > 3660 || days != float64(int(days)) {
		w.Wrong(BadDate, i, end+1)
		return
	}
	w.Days = int(days)
	w.Use(i, end+1)
}

// takeFrom takes the first day, and the last where both share the month: "3
// to 10 April".
func (w *WhenReader) takeFrom(i, at int) {
	if from, until, end := w.sharedMonth(at); end > 0 {
		w.From, w.Until = from, until
		w.Use(i, end)
		return
	}
	d, end := w.dateFrom(at)
	if end == 0 {
		return
	}
	w.From = d
	w.Use(i, end)
	if w.Any(end, "to", "until", "till", "and", "-", "–", "through") {
		w.takeUntil(end)
	}
}

// sharedMonth reads "3 to 10 April", "3-10 April" and "April 3-10".
func (w *WhenReader) sharedMonth(i int) (from, until planner.Date, end int) {
	if MonthNames[w.Word(i)] > 0 {
		i++
	}
	month := MonthNames[w.Word(i-1)]
	first, at := w.DayNumber(i)
	if at == 0 || !w.Any(at, "to", "-", "–", "until", "till", "and", "through") {
		return from, until, 0
	}
	if last, to := w.DayNumber(at + 1); to > 0 && month > 0 && w.clockEnds(to) {
		w.Use(i-1, i)
		return w.yearless(month, first), w.yearless(month, last), to
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

// takeDays takes a single day: "on Friday", "tomorrow", "4 April". A day of
// the week that is repeated ("Fridays", "every Friday") or is one of several
// is left for how often.
func (w *WhenReader) takeDays() {
	for i := range w.Tokens {
		at := i
		for w.Any(at, "on", "due", "by", "over") || w.Any(at, "at") && w.Any(at+2, "weekend") {
			at++
		}
		if w.repeated(at) {
			continue
		}
		weekday := w.isWeekday(at)
		d, end := w.dateFrom(at)
		if w.Code != "" {
			return
		}
		if end == 0 {
			continue
		}
		w.On, w.Weekday = d, weekday
		if w.Any(end-1, "weekend") {
			w.Days = (DaysPerWeek-int(d.Weekday()))%DaysPerWeek + 1
		}
		w.Use(i, end)
		if len(w.Times) == 0 && end == len(w.Tokens)-1 { // "vet Friday 10"
			w.timesFrom(end)
		}
		return
	}
}

// repeated reports that a day of the week stands at a place and is not a
// single day.
func (w *WhenReader) repeated(i int) bool {
	if !w.isWeekday(i) {
		return false
	}
	c, _ := w.weekdaysAt(i)
	return len(c.Weekdays) > 1 || strings.HasSuffix(w.Word(i), "days") || w.Any(i-1, "every", "each", "other", "only", "alternate", "second", "third") ||
		w.isWeekday(i-1) || w.Any(i-1, ",", "and", "&", "/", "+") && w.isWeekday(i-2) ||
		i > 1 && w.Any(i-1, "on") && w.Any(i-2, "week", "weekly")
}

// dateFrom reads the day that begins at a token, and returns the token behind
// it, 0 where none begins there.
func (w *WhenReader) dateFrom(i int) (planner.Date, int) {
	i = w.After(i, "the")
	switch {
	case DayWords[w.Word(i)].Name != "" && DayWords[w.Word(i)].Days >= 0:
		return w.today.AddDays(DayWords[w.Word(i)].Days), i + 1
	case w.Any(i, "day") && w.Any(i+1, "after") && w.Any(i+2, "tomorrow"):
		return w.today.AddDays(2), i + 3
	case w.Any(i, "next") && w.Any(i+1, "week"):
		return w.today.AddDays(DaysPerWeek), i + 2
	case w.Any(i, "next", "this", "coming") && w.Any(i+1, "weekend"):
		return w.saturday(w.Any(i, "next")), i + 2
	case w.Any(i, "weekend") && w.Any(i-2, "on", "at", "over", "for", "until", "till", "from", "after"): // "over the weekend"
		return w.saturday(false), i + 1
	case w.Any(i, "next", "this", "coming") && w.isWeekday(i+1):
		return w.weekday(i+1, w.Any(i, "next")), i + 2
	case w.isWeekday(i) && !strings.HasSuffix(w.Word(i), "days") && w.plausibleDay(i):
		if d, end := w.dateFrom(w.After(i+1, ",")); end > 0 && !w.isWeekday(w.After(i+1, ",")) && d.Weekday() == Weekdays[w.Word(i)] {
			return d, end // "Friday 3 April"
		}
		return w.weekday(i, false), i + 1
	case w.Any(i, "end") && w.Any(i+1, "of"):
		if m := MonthNames[w.Word(i+2)]; m > 0 {
			return w.yearless(m, daysIn(w.today.Year, m)), i + 3
		}
	}
	return w.coming(i)
}

// plausibleDay keeps "sat" and "sun" in other senses out: they count where
// something of time stands before or behind them, or they begin the text.
func (w *WhenReader) plausibleDay(i int) bool {
	if !w.Any(i, "sat", "sun", "mon", "wed") {
		return true
	}
	return i == 0 || w.Any(i-1, "on", "until", "till", "to", "from", "next", "this", "by", "starting", ",") || w.Tokens[i-1].Used ||
		i+1 < len(w.Tokens) && (w.Tokens[i+1].Used || w.Any(i+1, "at")) || i+1 == len(w.Tokens)
}

// weekday is the next day of the week named at a token: today where that is
// one, unless only a later one can be meant.
func (w *WhenReader) weekday(i int, later bool) planner.Date {
	n := (int(Weekdays[w.Word(i)]) - int(w.today.Weekday()) + DaysPerWeek) % DaysPerWeek
	if n == 0 && (later || i > 0 && w.Any(i-1, "until", "till", "til", "to")) {
		n = DaysPerWeek
	}
	return w.today.AddDays(n)
}

// saturday is the first day of this weekend, today where that is its Sunday, or of the
// one after it.
func (w *WhenReader) saturday(next bool) planner.Date {
	d := w.today
	if d.Weekday() != time.Sunday {
		d = d.AddDays(int(time.Saturday - d.Weekday()))
	}
	if next {
		d = d.AddDays(DaysPerWeek - int(d.Weekday()+1)%DaysPerWeek)
	}
	return d
}

// coming reads a day of the calendar that is to come: the next of its name.
func (w *WhenReader) coming(i int) (planner.Date, int) {
	c, end := w.CalendarAt(i)
	switch m := time.Month(c.Month); {
	case c.Day == 0:
		return planner.Date{}, 0
	case c.Slash && i > 0 && !w.Any(i-1, "on", "until", "till", "to", "from", "starting", "-") && max(c.Day, c.Month) <= 12:
		return planner.Date{}, 0 // "1/2 capsule"
	case c.Unclear:
		w.Wrong(AmbiguousDate, i, end)
		return planner.Date{}, end
	case c.Year > 0:
		return w.named(i, c.Year, c.Month, c.Day, end)
	case m == 0: // "the 4th"
		d := planner.Date{Year: w.today.Year, Month: w.today.Month, Day: c.Day}
		if d.Before(w.today) {
			d = planner.DateOf(time.Date(d.Year, d.Month+1, c.Day, 12, 0, 0, 0, time.UTC))
		}
		return d, end
	case m > 12 || c.Day > daysIn(2024, m): // a leap year has every day
		w.Wrong(BadDate, i, end)
		return planner.Date{}, end
	default:
		return w.yearless(m, c.Day), end
	}
}

// yearless is the next such day, from today on.
func (w *WhenReader) yearless(m time.Month, day int) planner.Date {
	for year := w.today.Year; ; year++ {
		d := planner.Date{Year: year, Month: m, Day: day}
		if day <= daysIn(year, m) && !d.Before(w.today) || year > w.today.Year+8 {
			return d
		}
	}
}

// named is a day with its year; it must exist and not have passed.
func (w *WhenReader) named(i, year, month, day, end int) (planner.Date, int) {
	d := planner.Date{Year: year, Month: time.Month(month), Day: day}
	switch {
	case month < 1 || month > 12 || day < 1 || day > daysIn(year, d.Month) || year > w.today.Year+50:
		w.Wrong(BadDate, i, min(end, len(w.Tokens)))
	case d.Before(w.today):
		w.Wrong(PastDate, i, min(end, len(w.Tokens)))
	}
	return d, end
}

func daysIn(year int, m time.Month) int {
	return time.Date(year, m+1, 0, 12, 0, 0, 0, time.UTC).Day()
}
