package span

import (
	"strconv"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/planner"
)

// Clocks reads a text that is one time of day or several: "7:30", "0730",
// "7.30", "7:30 pm", "19:00", "7 and 18", "noon", "half past nine in
// the evening". They come in the order
// typed. The error is a Problem: BadTime, NoTime, UnclearTime, TooLong.
func Clocks(s string) ([]planner.Clock, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return nil, err
	}
	w := &WhenReader{Lexed: l}
	end := w.timesFrom(w.AfterAll(0, "at", "from", "between"))
	if w.Code != "" {
		return nil, Problem{Text: l.Text, Part: w.Part, Code: w.Code}
	}
	if len(w.Times) == 0 || end < len(l.Tokens) {
		return nil, NewProblem(NoTime, s)
	}
	return w.Times, nil
}

// takeTimes takes every time of day that is told as one: with a colon, with
// "am" or "pm", by name, or after "at".
func (w *WhenReader) takeTimes() {
	for i := 0; i < len(w.Tokens); i++ {
		lead := w.Any(i, "at", "@", "around")
		if w.Any(i, "like", "about") && i+2 <= len(w.Tokens) {
			_, end := w.ClockAt(i+1, true)
			lead = end == len(w.Tokens) // "saturday like 10"
		}
		if _, end := w.ClockAt(i, false); !lead && end == 0 && !w.hourAfterDay(i) {
			continue
		}
		if lead {
			if end := w.timesFrom(w.AfterAll(i+1, "like", "about", "around")); end > 0 {
				w.Use(i, end)
			}
		} else {
			w.timesFrom(i)
			w.UseAny(i-1, "from", "between", ",")
		}
		if w.Code != "" {
			return
		}
	}
}

// hourAfterDay reports that a bare number after a day is an hour: it ends the text
// after one that comes again ("every Monday 8"), or something is to be done then ("Sunday
// 10 to order meat"). So is one with its minutes beside how often ("7.30 every morning").
func (w *WhenReader) hourAfterDay(i int) bool {
	if text := w.figures(i); strings.IndexByte(text, '.') == len(text)-3 && len(text) > 3 && (w.Any(i+1, "every", "each") || w.Any(i-2, "every", "each")) {
		return true
	}
	_, day := Weekdays[w.Word(i-1)]
	todo := w.Any(i+1, "to") && i+2 < len(w.Tokens) && w.Tokens[i+2].Kind == WordToken && w.Tokens[i].Kind == NumberToken
	return i > 1 && i == len(w.Tokens)-1 && day && w.Any(i-2, "every", "each") || todo && (day || DayWords[w.Word(i-1)].Name != "")
}

// timesFrom takes the times that stand in a row: "7:30, 12 and 18:00". It
// returns the token behind them, 0 where there is none.
func (w *WhenReader) timesFrom(i int) (end int) {
	noon, moved := planner.At(12, 0), false
	for at := i; ; {
		c, to := w.ClockAt(at, true)
		if w.Code == UnclearTime && w.inRow(c, at, to) {
			w.Code, w.Part = "", ""
		}
		if to == 0 || w.Code != "" {
			return end
		}
		if n := len(w.Times); n > 0 && c < noon && (w.Times[n-1] == c || c < w.Times[n-1] && (moved || w.Times[n-1] <= noon) && w.Any(at-1, "and", "&", "+", ",") && w.Tokens[at].Text[0] != '0' && !w.Any(to-1, "am", "m")) {
			c, moved = c+noon, true // "7 and 7", "8 and 6"
		}
		w.Times = append(w.Times, c)
		w.Use(i, to)
		end = to
		at = w.AfterAll(to, ",", "and", "&", "+", "-", "to", "until", "till", "at")
		if _, next := w.ClockAt(at, true); next == 0 || at == to {
			return end
		}
	}
}

// inRow reports that the half of the day of a time follows from the times that it
// stands with: "half 7 and 6" are of the morning and of the evening.
func (w *WhenReader) inRow(c planner.Clock, from, to int) bool {
	if n := len(w.Times); n > 0 {
		return c <= w.Times[n-1] && w.Any(from-1, ",", "and", "&", "+")
	}
	at := w.AfterAll(to, ",", "and", "&", "+")
	next, end := w.ClockAt(at, true)
	return at > to && end > 0 && next <= c
}

// ClockAt reads a time of day; a bare number counts where bare is set and
// nothing behind it makes it an amount or a date. What can only be meant for a
// time and is none is a problem.
func (w *WhenReader) ClockAt(i int, bare bool) (planner.Clock, int) {
	switch {
	case w.Any(i, "noon", "midday"):
		return planner.At(12, 0), i + 1
	case w.Any(i, "midnight"):
		return 0, i + 1
	}
	if c, end := w.spokenAt(i, bare); end > 0 {
		return c, end
	}
	text := w.figures(i)
	if text == "" {
		return 0, 0
	}
	hour, minute, end := -1, 0, i+1
	colon := w.Joined(i+1, ":") && w.Tokens[i+2].Kind == NumberToken
	whole, point := DigitsOf(text), strings.IndexByte(text, '.')
	switch {
	case colon:
		end = i + 3
		hour, minute = DigitsOf(text), DigitsOf(w.Tokens[i+2].Text)
		if len(w.Tokens[i+2].Text) != 2 {
			minute = -1
		}
		if w.Joined(end, ":") {
			end += 2 // seconds are nothing to a reminder
		}
	case point > 0 && len(text) == point+3: // "7.30"
		hour, minute = DigitsOf(text[:point]), DigitsOf(text[point+1:])
	case whole >= 0 && (len(text) == 4 || len(text) == 3): // "0730", "730"
		hour, minute = whole/100, whole%100
	case whole >= 0 && len(text) <= 2:
		hour = whole
		if w.Any(end, "h") && DigitsOf(w.Word(end+1)) >= 0 && len(w.Word(end+1)) == 2 && !w.Any(end+2, "h") { // "7h30"
			minute, end, colon = DigitsOf(w.Tokens[end+1].Text), end+2, true
		}
	}
	half, end := w.halfBeside(i, end, bare && !colon && len(text) <= 2)
	surely := colon || half != ""
	if hour < 0 && point > 0 && half != "" {
		return 0, 0 // "18.9 this evening" is a weight
	}
	if !surely && (!bare && (len(text) != 4 || text[0] != '0') || hour < 0 && whole >= 0 || !w.clockEnds(end)) {
		return 0, 0
	}
	end = w.After(end, "o'clock", "oclock", "h", "hrs")
	switch {
	case half == "am" && hour > 12:
		hour = -1
	case half != "" && hour >= 0:
		hour = w.inHalf(hour, half)
	}
	if hour < 0 || hour > 23 || minute < 0 || minute > 59 {
		w.Wrong(BadTime, i, min(end, len(w.Tokens)))
		return 0, end
	}
	return planner.At(hour, minute), end
}

// halfAt reads "am" or "pm", however it is written.
func (w *WhenReader) halfAt(i int) (string, int) {
	switch {
	case w.Any(i, "am", "pm"):
		return w.Word(i), i + 1
	case w.Any(i, "a", "p") && w.Any(i+1, ".") && w.Any(i+2, "m"):
		half := w.Word(i) + "m"
		if i += 3; w.Any(i, ".") {
			i++
		}
		return half, i
	}
	return "", i
}

// clockEnds reports that nothing follows that would make a bare number an
// amount or a date: "at 9" and "at 9 on Sundays", but not "at 9 % fat".
func (w *WhenReader) clockEnds(i int) bool {
	if i >= len(w.Tokens) || w.Tokens[i].Used {
		return true
	}
	t := &w.Tokens[i]
	return t.Kind == SignToken && !strings.ContainsAny(t.Text, "%/") || language.In("clock-ends", w.Word(i)) ||
		w.isWeekday(i) && w.Word(i) != "sun" || w.saysAtHour(i)
}

// saysAtHour reports that a number before a token is an hour because of an "at"
// before it: "every day at 8 fish oil", but not "at 8 kg" or "at 8 weeks".
func (w *WhenReader) saysAtHour(i int) bool {
	next := w.Word(i)
	_, unit := UnitWords[next]
	return !unit && w.Any(i-2, "at", "@") && w.Tokens[i].Kind == WordToken && PeriodOf(next)+Cadences[next].Days == 0 &&
		MonthNames[next] == 0 && !w.Any(i, "st", "nd", "rd", "th", "percent", "meals", "meal", "times", "years", "year", "out")
}

// DigitsOf is a text of digits alone as a number, -1 where it is none.
func DigitsOf(s string) int {
	if n, err := strconv.ParseUint(s, 10, 32); err == nil && len(s) <= 6 {
		return int(n)
	}
	return -1
}
