package slots

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

var untilWords = map[string]string{"since": "since ", "until": "until ", "till": "until ", "til": "until ", "untill": "until "}

// findWhens finds the days, dates and spans from now that a text names.
func (s *Found) findWhens() {
	for i := 0; i < len(s.Tokens); i++ {
		lead, at := untilWords[s.Word(i)], i
		if lead != "" {
			at++
		}
		if at = min(at, len(s.Tokens)-1); s.Word(at) == "the" {
			at++
		}
		if v, end := s.whenAt(at); end > 0 {
			s.whens = append(s.whens, stretch{i, end, lead + v})
			i = end - 1
		}
	}
}

// whenAt reads the day that begins at a place.
func (s *Found) whenAt(i int) (value string, end int) {
	if i >= len(s.Tokens) || s.taken[i] {
		return "", 0
	}
	w, next := s.Word(i), s.Word(i+1)
	switch {
	case span.DayWords[w].Name != "":
		return s.withPart(span.DayWords[w].Name, i+1)
	case span.Weekends[w]:
		return s.withPart("weekend", i+1)
	case s.weekdayAt(i) != "":
		return s.withPart(s.weekdayAt(i), i+1)
	case w == "last" || w == "next" || w == "this":
		if day := s.weekdayAt(i + 1); day != "" {
			return w + " " + day, i + 2
		}
		if w == "this" && next == "night" {
			return "tonight", i + 2
		}
		if _, month := span.MonthNames[next]; month && w == "last" {
			return "last " + next, i + 2
		}
		if p := s.stretchNamed(next); p != "" {
			return w + " " + p, i + 2
		}
	case w == "in":
		if q := s.spanFrom(i + 1); q != nil {
			return "in " + q.text(), q.to
		}
	}
	if q := s.spanFrom(i); q != nil && s.Word(q.to) == "ago" {
		return q.text() + " ago", q.to + 1
	}
	return s.dateAt(i)
}

// stretchNamed is the part of the day, or the week or longer, that a word names.
func (s *Found) stretchNamed(w string) string {
	switch u := span.TimeUnits[w]; {
	case span.Weekends[w]:
		return "weekend"
	case u.Days >= span.DaysPerWeek && !strings.HasSuffix(w, "s"):
		return u.Name
	}
	return span.PartsOfDay[w].Name
}

// withPart is a day with the part of it that may follow.
func (s *Found) withPart(day string, end int) (string, int) {
	switch p := span.PartsOfDay[s.Word(end)].Name; {
	case p != "" && day == "today":
		return "this " + p, end + 1
	case p != "":
		return day + " " + p, end + 1
	case s.Word(end) == "am" && day != "today":
		return day + " morning", end + 1
	case s.Word(end) == "week" && language.In("weekday-names", day):
		return day + " week", end + 1
	}
	return day, end
}

// weekdayAt is the day of the week at a place, in full. "Sun" and "sat" are
// other words too.
func (s *Found) weekdayAt(i int) string {
	w := s.Word(i)
	day, ok := span.Weekdays[w]
	if !ok {
		day, ok = span.Weekdays[strings.TrimSuffix(w, "s")]
	}
	if !ok || s.taken[i] || (w == "sun" || w == "sat") && s.Any(i-1, "the", "in", "has", "he", "she") {
		return ""
	}
	return strings.ToLower(day.String())
}

// spanFrom is the span of time that begins at a place.
func (s *Found) spanFrom(i int) *quantity {
	for k := range s.quantities {
		if q := &s.quantities[k]; q.from == i && q.kind == bySpan {
			return q
		}
	}
	return nil
}

// dateAt reads a date as typed: "the 19th", "3 March", "14/6", "2026-03-08".
func (s *Found) dateAt(i int) (string, int) {
	c, end := s.CalendarAt(i)
	if end == 0 || slices.Contains(s.taken[i:end], true) {
		return "", 0
	}
	month := slices.IndexFunc(s.Tokens[i:end], func(t span.Token) bool { return span.MonthNames[t.Text] > 0 })
	year := span.Choose(c.Year > 0, strconv.Itoa(c.Year), "")
	lead := s.Any(i-1, "on", "since", "until", "till", "til", "from", "by", "in", "before")
	switch {
	case month >= 0 && c.Day == 0 && lead:
		return strings.TrimSpace(strings.ToLower(time.Month(c.Month).String()) + " " + year), end
	case c.Day == 0, (c.Slash || s.Word(end-1) == ".") && !lead, month > 0 && s.is(end, "calendar-ends"), month < 0 && c.Month == 0 && s.Any(end, "day", "time", "dose", "meal", "week", "one"):
		return "", 0
	case month >= 0:
		return strings.TrimSpace(strconv.Itoa(c.Day) + " " + s.Word(i+month) + " " + year), end
	}
	return s.Span(i, end), end
}

// when is the day, date or span that a text names, unless it names several.
func (s *Found) when(intent string) string {
	value := ""
	for i, w := range s.whens {
		if i > 0 && w.from == s.whens[i-1].to+1 && language.In("weekday-names", w.value) && s.Any(w.from-1, "and", ",", "+", "&", "or") {
			value += ", " + w.value
			continue
		}
		if value != "" && w.value != value || s.Word(w.to) == "and" && s.Any(w.to+1, "the", "day", "next") {
			return ""
		}
		value = w.value
	}
	if q := s.one(bySpan); value == "" && q != nil && intent == "later" && (q.unit == "minute" || q.unit == "hour") {
		return "in " + q.text()
	}
	return value
}

// every is how often: "day", "3 days", "monday, wednesday", "twice a day".
func (s *Found) every(string) string {
	for i := range s.Tokens {
		c, end := s.CadenceAt(i, false)
		if end == 0 || s.taken[i] || c.EveryDays < 1 && len(c.Weekdays)+c.PerWeek == 0 {
			continue
		}
		times, unit := c.Times, "day"
		switch {
		case len(c.Weekdays) > 0:
			var days []string
			for _, d := range c.Weekdays {
				days = append(days, strings.ToLower(d.String()))
			}
			return strings.Join(days, ", ")
		case c.PerWeek > 0:
			times, unit = float64(c.PerWeek), "week"
		case times <= 1:
			return inUnits(c.EveryDays)
		}
		return strings.Replace(span.Plain(times)+" times a "+unit, "2 times", "twice", 1)
	}
	return ""
}

// inUnits is every so many days in the largest unit: "week", "3 months".
func inUnits(days int) string {
	q := quantity{n: float64(days), unit: "day", kind: bySpan}
	switch {
	case days%30 == 0:
		q.n, q.unit = float64(days/30), "month"
	case days%span.DaysPerWeek == 0:
		q.n, q.unit = float64(days/span.DaysPerWeek), "week"
	}
	return strings.TrimPrefix(q.text(), "1 ")
}

// days is for how many days, of each recipe in a rotation.
func (s *Found) days(intent string) string {
	var all []string
	for _, q := range s.quantities {
		if per := span.Periods[q.unit]; q.kind == bySpan && per > 0 {
			all = append(all, span.Plain(q.n*float64(per)))
		} else if intent == "rotation.set" && q.kind == span.ByCount && q.n <= 14 {
			all = append(all, span.Plain(q.n))
		}
	}
	if intent == "rotation.set" && (len(all) < 2 || len(all) != max(2, len(s.recipes))) {
		return ""
	}
	if len(all) == 0 {
		for i := range s.Tokens {
			w := s.Word(i)
			switch {
			case w == "fortnight":
				return "14"
			case (w == "week" || w == "wk" || w == "month") && !s.Any(i-1, "next", "last", "per", "every", "each", "days", "times"):
				return strconv.Itoa(span.Periods[w])
			}
		}
	}
	if len(all) > 1 && intent != "rotation.set" {
		return ""
	}
	return strings.Join(all, ", ")
}

func (s *Found) meal(string) string {
	value := ""
	for i := range s.Tokens {
		w := s.Word(i)
		if m := span.MealsByName[w].Name; m != "" && !s.taken[i] {
			if value != "" && value != m {
				return ""
			}
			value = m
		}
	}
	return value
}

// clock is a time of day as typed. One up to twelve may be of the other half
// of the day.
type clock struct {
	at       planner.Clock
	doubtful bool
	from, to int
}
