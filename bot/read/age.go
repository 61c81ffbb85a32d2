package read

import (
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// mostYears is beyond the age of any dog by far; what is older than a dog
// can be, but not absurd, is for planner.Dog.Validate to say.
const mostYears = 100

// Age reads an age ("4 years", "18 months", "4 and a half years") or a birth
// date ("born 2022-03-05", "5 March 2022", "05.03.2022", "March 2022") and
// returns the birth date at midnight UTC, and whether it is only about that
// day: worked out from an age, or the middle of the month or year that was
// named.
//
// Numbers with dots are day first; with slashes or hyphens and a year at the
// end, day and month must tell themselves apart. Errors are Problems: BadAge,
// NoAgeUnit, AmbiguousDate, FutureBirth.
func Age(s string, now time.Time) (born time.Time, about bool, err error) {
	text, _ := span.FirstRunes(s, span.MostRunes)
	if born, ok := turnsIn(text, now); ok {
		return born, true, nil
	}
	m := &matcher{Lexed: span.WordsOf(text)}
	fail := func(c span.Code) (time.Time, bool, error) {
		part := strings.Join(strings.Fields(text), " ")
		return time.Time{}, false, span.Problem{Text: part, Part: part, Code: c}
	}
	at := m.past("age-openers", 0)
	got, end := m.ageAt(at, now)
	if end == 0 && len(m.Tokens) == at+1 && m.Tokens[at].IsFigure() && m.Tokens[at].Num.Whole() < mostYears && m.Tokens[at].Num.Whole() > 0 {
		return fail(span.NoAgeUnit)
	}
	if end > 0 {
		end = m.past("age-closers", end)
	}
	switch {
	case end == 0 || end < len(m.Tokens):
		return fail(span.BadAge)
	case got.code != "":
		return fail(got.code)
	}
	return got.born, got.about, nil
}

// turnsIn reads "she'll be 6 in March": an age that a dog comes to in a month ahead.
func turnsIn(text string, now time.Time) (time.Time, bool) {
	m := language.Pattern("age-turns").FindStringSubmatch(text)
	if m == nil {
		return time.Time{}, false
	}
	years, err := span.Number(m[1])
	for year := now.Year(); err == nil && year <= now.Year()+1; year++ {
		born, _, err := Age(m[2]+" "+strconv.Itoa(year-int(years)), now)
		if turns := born.AddDate(int(years), 0, 0); err == nil && turns.After(now) {
			return born, true
		}
	}
	return time.Time{}, false
}

// birth is a birth date that was read, or why it is none.
type birth struct {
	born  time.Time
	about bool
	code  span.Code
}

// ageAt reads an age or a date, and returns its end or 0.
func (m *matcher) ageAt(at int, now time.Time) (birth, int) {
	if b, end := m.dateAt(at, now); end > 0 {
		return b, end
	}
	months, days, end := m.durationAt(at)
	if end == 0 || months == 0 && days <= 1 && m.Word(end-1) != "old" { // "an hour and half a day"
		return birth{}, 0
	}
	if months > mostYears*12 || days > mostYears*366 {
		return birth{code: span.TooOld}, end
	}
	whole := int(months)
	born := monthsBefore(now, whole).AddDate(0, 0, -int((months-float64(whole))*30.44+days+0.5))
	return birth{born: born, about: true}, end
}

// monthsBefore returns the date so many months before, at the end of a
// shorter month where the day does not exist in it.
func monthsBefore(now time.Time, months int) time.Time {
	y, mo, d := now.Date()
	first := time.Date(y, mo-time.Month(months), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(d, last)-1)
}

// lived are the months, or else the days, of a unit in which ages are told.
func lived(w string) (months, days float64) {
	switch u := span.TimeUnits[w]; {
	case u.Name == "year":
		return 12, 0
	case u.Name == "month" || w == "m":
		return 1, 0
	case w == "w":
		return 0, span.DaysPerWeek
	case w == "d" || u.Name == "fortnight": // "soft food for a fortnight"
		return 0, 0
	default:
		return 0, float64(u.Days)
	}
}

// durationAt reads "4 years", "4 years 3 months", "a year and a half",
// "18 month old".
func (m *matcher) durationAt(at int) (months, days float64, end int) {
	for {
		if end > 0 {
			at = m.After(end, "and")
		}
		n, next := m.numberAt(at)
		perMonths, perDays := lived(m.Word(next))
		if next == 0 || perMonths+perDays == 0 {
			return months, days, end
		}
		word := m.Word(next)
		end = next + 1
		if half, to := m.AndPart(end); half > 0 {
			n, end = n+half, to // "a year and a half"
		}
		months += n * perMonths
		days += n * perDays
		if word == "y" && m.Word(end) == "o" {
			end++ // "4 y/o"
		}
		end = m.After(end, "old")
	}
}

// dateAt reads a birth date, and returns its end or 0.
func (m *matcher) dateAt(at int, now time.Time) (birth, int) {
	c, end := m.CalendarAt(at)
	switch {
	case c.Year == 0, c.Month == 0 && span.TimeUnits[m.Word(end)].Days >= 30:
		return birth{}, 0
	case c.Unclear:
		return birth{code: span.AmbiguousDate}, end
	}
	return dateOf(c.Year, c.Month, c.Day, now), end
}

// dateOf makes a birth date; a month or day of 0 was not named.
func dateOf(year, month, day int, now time.Time) birth {
	about, named := day == 0, month
	switch {
	case month == 0:
		month, day = 7, 1
	case day == 0:
		day = 15
	}
	d := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if month > 12 || d.Day() != day {
		return birth{code: span.BadAge}
	}
	y, mo, today := now.Date()
	latest := time.Date(y, mo, today, 0, 0, 0, 0, time.UTC)
	sameMonth, sameYear := month == int(mo), named == 0
	if about && year == y && (sameMonth || sameYear) && d.After(latest) {
		d = latest // the month or year under way: not later than today
	}
	switch {
	case d.After(latest):
		return birth{code: span.FutureBirth}
	case y-year > mostYears:
		return birth{code: span.TooOld}
	}
	return birth{born: d, about: about}
}
