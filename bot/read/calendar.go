package read

import (
	"strings"
	"time"

	"bowlwright/planner"
)

// calendarDay is a day, a month or a year as somebody says it. What is not said
// is 0.
type calendarDay struct {
	year, month, day int
	unclear          bool // day and month could be swapped: "3/4"
	slash            bool // no more than two figures and a slash, which may be a part of something
}

// calendarAt reads what the calendar names, and returns the token after it, or
// 0: "4 April 2026", "April 4", "4th of April", "March 2022", "April", "the
// 4th" without its article, "2026-04-04", "4.4.2026", "25/4", "2022".
func (l *lexed) calendarAt(i int) (c calendarDay, end int) {
	if c.month = int(monthNames[l.word(i)]); c.month > 0 {
		c.day, end = l.dayNumber(i + 1)
		end = max(end, i+1)
	} else if c.day, end = l.dayNumber(i); end > 0 {
		at := end
		if l.any(at, "of") {
			at++
		}
		if c.month = int(monthNames[l.word(at)]); c.month > 0 {
			end = at + 1
		}
	}
	switch {
	case c.month > 0:
		if year, to := l.yearAt(end); to > 0 {
			c.year, end = year, to
		}
		return c, end
	case end > i+1: // "4th"
		return c, end
	}
	return l.figuresAt(i)
}

// dayNumber reads "3", "3rd".
func (l *lexed) dayNumber(i int) (day, end int) {
	if i >= len(l.tokens) || l.tokens[i].used || l.tokens[i].kind != numberToken || len(l.tokens[i].text) > 2 {
		return 0, 0
	}
	if day = digitsOf(l.tokens[i].text); day < 1 || day > 31 {
		return 0, 0
	}
	if l.any(i+1, "st", "nd", "rd", "th") && l.tokens[i].end == l.tokens[i+1].start {
		return day, i + 2
	}
	return day, i + 1
}

// yearAt reads the year behind a month, a comma before it at most.
func (l *lexed) yearAt(i int) (year, end int) {
	if l.any(i, ",") {
		i++
	}
	if i >= len(l.tokens) || l.tokens[i].used || l.tokens[i].kind != numberToken || len(l.tokens[i].text) != 4 {
		return 0, 0
	}
	if year = digitsOf(l.tokens[i].text); year < 1900 {
		return 0, 0
	}
	return year, i + 1
}

// figuresAt reads what is told in figures alone. Points are day first; with
// slashes and hyphens day and month must tell themselves apart.
func (l *lexed) figuresAt(i int) (c calendarDay, end int) {
	n, mark, end := l.figureParts(i)
	switch last := len(n) - 1; {
	case len(n) == 0:
		return c, 0
	case n[0] >= 1000 && (len(n) > 1 || n[0] >= 1950):
		n = append(n, 0, 0)
		return calendarDay{year: n[0], month: n[1], day: n[2]}, end
	case len(n) == 2 && n[last] >= 1000:
		return calendarDay{year: n[1], month: n[0]}, end
	case len(n) == 1, len(n) == 3 && n[last] < 10, mark == "-" && (len(n) < 3 || n[last] < 1000),
		mark != "." && (max(n[0], n[1]) > 31 || min(n[0], n[1]) > 12): // "80/20" is how lean a meat is
		return c, 0
	case len(n) == 2 && mark == ".":
		if !l.closedAt(end) || n[0] > 31 || n[1] > 12 {
			return c, 0 // "2.5", and "at 17.30."
		}
		end++
	}
	c = calendarDay{day: n[0], month: n[1], slash: len(n) == 2 && mark == "/"}
	if len(n) == 3 {
		if c.year = n[2]; c.year < 100 {
			c.year += 2000
		}
	}
	if mark != "." {
		c.unclear = c.day <= 12 && c.month <= 12 && c.day != c.month
		if c.month > 12 {
			c.day, c.month = c.month, c.day
		}
	}
	return c, end
}

// figureParts are the figures that points, slashes or hyphens join at a token.
func (l *lexed) figureParts(i int) (n []int, mark string, end int) {
	if i < 0 || i >= len(l.tokens) || l.tokens[i].used || l.tokens[i].kind != numberToken {
		return nil, "", 0
	}
	text, end := l.tokens[i].text, i+1
	texts := []string{text}
	if at := strings.IndexAny(text, "./"); at >= 0 {
		mark = text[at : at+1]
		texts = strings.Split(text, mark)
	}
	for mark != "." && mark != "/" && len(texts) < 3 && l.isHyphen(end) {
		if end, mark = end+1, "-"; l.any(end-1, "-") {
			end++
		}
		texts = append(texts, l.tokens[end-1].text)
	}
	for _, t := range texts {
		n = append(n, digitsOf(t))
		if n[len(n)-1] < 1 || len(texts) > 3 {
			return nil, "", 0
		}
	}
	return n, mark, end
}

// isHyphen reports that a hyphen with no space around it joins a number to the
// token before a place. Words of a sentence have no token for it.
func (l *lexed) isHyphen(i int) bool {
	if l.joined(i, "-") {
		i++
	} else if i >= len(l.tokens) || l.text[l.tokens[i-1].end:l.tokens[i].start] != "-" {
		return false
	}
	return l.tokens[i].kind == numberToken && !l.tokens[i].used
}

// closedAt reports that a point follows two figures with a point that makes a
// day of them: "15.3.", "15.3. 10:00".
func (l *lexed) closedAt(i int) bool {
	return l.any(i, ".") && (l.tokens[i-1].end == l.tokens[i].start && l.joined(i, ".") || i+1 == len(l.tokens) ||
		l.tokens[i+1].used || l.any(i+1, "at") || l.joined(i+2, ":"))
}

// past is the last such day up to today: of a day without its year, and of a
// number, the one that was.
func (c calendarDay) past(today planner.Date) (planner.Date, bool) {
	if c.day == 0 || c.unclear {
		return planner.Date{}, false
	}
	for back := range 4 * 12 {
		d := planner.Date{Year: c.year, Month: time.Month(c.month), Day: c.day}
		switch {
		case c.year > 0:
		case c.month > 0:
			d.Year = today.Year - back
		default:
			d = planner.DateOf(time.Date(today.Year, today.Month-time.Month(back), 1, 12, 0, 0, 0, time.UTC))
			d.Day = c.day
		}
		switch exists := d.Month >= 1 && d.Month <= 12 && d.Day <= daysIn(d.Year, d.Month); {
		case exists && (c.year > 0 || !today.Before(d)):
			return d, true
		case c.year > 0:
			return planner.Date{}, false
		}
	}
	return planner.Date{}, false
}
