package span

import (
	"strings"
	"time"

	"bowlwright/planner"
)

// CalendarDay is a day, a month or a year as somebody says it. What is not said
// is 0.
type CalendarDay struct {
	Year, Month, Day int
	Unclear          bool // Day and month could be swapped: "3/4"
	Slash            bool // no more than two figures and a slash, which may be a part of something
}

// CalendarAt reads what the calendar names, and returns the token after it, or
// 0: "4 April 2026", "April 4", "4th of April", "March 2022", "April", "the
// 4th" without its article, "2026-04-04", "4.4.2026", "25/4", "2022".
func (l *Lexed) CalendarAt(i int) (c CalendarDay, end int) {
	if c.Month = int(MonthNames[l.Word(i)]); c.Month > 0 {
		c.Day, end = l.DayNumber(i + 1)
		end = max(end, i+1)
	} else if c.Day, end = l.DayNumber(i); end > 0 {
		at := l.After(end, "of")
		if c.Month = int(MonthNames[l.Word(at)]); c.Month > 0 {
			end = at + 1
		}
	}
	switch {
	case c.Month > 0:
		if year, to := l.yearAt(end); to > 0 {
			c.Year, end = year, to
		}
		return c, end
	case end > i+1: // "4th"
		return c, end
	}
	return l.figuresAt(i)
}

// DayNumber reads "3", "3rd".
func (l *Lexed) DayNumber(i int) (day, end int) {
	text := l.figures(i)
	if day = DigitsOf(text); len(text) > 2 || day < 1 || day > 31 {
		return 0, 0
	}
	if l.Any(i+1, "st", "nd", "rd", "th") && l.Tokens[i].End == l.Tokens[i+1].Start {
		return day, i + 2
	}
	return day, i + 1
}

// yearAt reads the year behind a month, a comma before it at most.
func (l *Lexed) yearAt(i int) (year, end int) {
	i = l.After(i, ",")
	text := l.figures(i)
	if year = DigitsOf(text); len(text) != 4 || year < 1900 {
		return 0, 0
	}
	return year, i + 1
}

// figuresAt reads what is told in figures alone. Points are day first; with
// slashes and hyphens day and month must tell themselves apart.
func (l *Lexed) figuresAt(i int) (c CalendarDay, end int) {
	n, mark, end := l.figureParts(i)
	switch last := len(n) - 1; {
	case len(n) == 0:
		return c, 0
	case n[0] >= 1000 && (len(n) > 1 || n[0] >= 1950):
		n = append(n, 0, 0)
		return CalendarDay{Year: n[0], Month: n[1], Day: n[2]}, end
	case len(n) == 2 && n[last] >= 1000:
		return CalendarDay{Year: n[1], Month: n[0]}, end
	case len(n) == 1, len(n) == 3 && n[last] < 10, mark == "-" && (len(n) < 3 || n[last] < 1000),
		mark != "." && (max(n[0], n[1]) > 31 || min(n[0], n[1]) > 12): // "80/20" is how lean a meat is
		return c, 0
	case len(n) == 2 && mark == ".":
		if !l.closedAt(end) || n[0] > 31 || n[1] > 12 {
			return c, 0 // "2.5", and "at 17.30."
		}
		end++
	}
	c = CalendarDay{Day: n[0], Month: n[1], Slash: len(n) == 2 && mark == "/"}
	if len(n) == 3 {
		if c.Year = n[2]; c.Year < 100 {
			c.Year += 2000
		}
	}
	if mark != "." {
		c.Unclear = c.Day <= 12 && c.Month <= 12 && c.Day != c.Month
		if c.Month > 12 {
			c.Day, c.Month = c.Month, c.Day
		}
	}
	return c, end
}

// figureParts are the figures that points, slashes or hyphens join at a token.
func (l *Lexed) figureParts(i int) (n []int, mark string, end int) {
	text, end := l.figures(i), i+1
	if text == "" {
		return nil, "", 0
	}
	texts := []string{text}
	if at := strings.IndexAny(text, "./"); at >= 0 {
		mark = text[at : at+1]
		texts = strings.Split(text, mark)
	}
	for mark != "." && mark != "/" && len(texts) < 3 && l.isHyphen(end) {
		if end, mark = end+1, "-"; l.Any(end-1, "-") {
			end++
		}
		texts = append(texts, l.Tokens[end-1].Text)
	}
	for _, t := range texts {
		n = append(n, DigitsOf(t))
		if n[len(n)-1] < 1 || len(texts) > 3 {
			return nil, "", 0
		}
	}
	return n, mark, end
}

// isHyphen reports that a hyphen with no space around it joins a number to the
// token before a place. Words of a sentence have no token for it.
func (l *Lexed) isHyphen(i int) bool {
	if l.Joined(i, "-") {
		i++
	} else if i >= len(l.Tokens) || l.Text[l.Tokens[i-1].End:l.Tokens[i].Start] != "-" {
		return false
	}
	return l.Tokens[i].Kind == NumberToken && !l.Tokens[i].Used
}

// closedAt reports that a point follows two figures with a point that makes a
// Day of them: "15.3.", "15.3. 10:00".
func (l *Lexed) closedAt(i int) bool {
	return l.Any(i, ".") && (l.Tokens[i-1].End == l.Tokens[i].Start && l.Joined(i, ".") || i+1 == len(l.Tokens) ||
		l.Tokens[i+1].Used || l.Any(i+1, "at") || l.Joined(i+2, ":"))
}

// Past is the last such day up to today: of a day without its year, and of a
// number, the one that was.
func (c CalendarDay) Past(today planner.Date) (planner.Date, bool) {
	if c.Day == 0 || c.Unclear {
		return planner.Date{}, false
	}
	for back := range 4 * 12 {
		d := planner.Date{Year: c.Year, Month: time.Month(c.Month), Day: c.Day}
		switch {
		case c.Year > 0:
		case c.Month > 0:
			d.Year = today.Year - back
		default:
			d = planner.DateOf(time.Date(today.Year, today.Month-time.Month(back), 1, 12, 0, 0, 0, time.UTC))
			d.Day = c.Day
		}
		if exists := d.Month >= 1 && d.Month <= 12 && d.Day <= daysIn(d.Year, d.Month); exists && (c.Year > 0 || !today.Before(d)) {
			return d, true
		}
	}
	return planner.Date{}, false
}
