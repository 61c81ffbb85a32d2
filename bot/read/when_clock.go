package read

import (
	"strings"

	"bowlwright/planner"
)

// Clocks reads a text that is one time of day or several: "7:30", "0730",
// "7.30", "7:30 pm", "19:00", "7 and 18", "noon", "half past nine in
// the evening". They come in the order
// typed. The error is a Problem: BadTime, NoTime, UnclearTime, TooLong.
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

// takeTimes takes every time of day that is told as one: with a colon, with
// "am" or "pm", by name, or after "at".
func (w *whenReader) takeTimes() {
	for i := 0; i < len(w.tokens); i++ {
		lead := w.any(i, "at", "@", "around")
		if _, end := w.clockAt(i, false); !lead && end == 0 && !w.hourAfterDay(i) {
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

// hourAfterDay reports that a bare number ends the text after a day of the week
// that comes again: "every Monday 8".
func (w *whenReader) hourAfterDay(i int) bool {
	_, day := weekdays[w.word(i-1)]
	return i > 1 && i == len(w.tokens)-1 && day && w.any(i-2, "every", "each")
}

// timesFrom takes the times that stand in a row: "7:30, 12 and 18:00". It
// returns the token behind them, 0 where there is none.
func (w *whenReader) timesFrom(i int) (end int) {
	for at := i; ; {
		c, to := w.clockAt(at, true)
		if to == 0 || w.code != "" {
			return end
		}
		if n := len(w.Times); n > 0 && w.Times[n-1] == c && c < planner.At(12, 0) {
			c += planner.At(12, 0) // "7 and 7"
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
	}
	if c, end := w.spokenAt(i, bare); end > 0 {
		return c, end
	}
	switch {
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
		if w.any(end, "h") && digitsOf(w.word(end+1)) >= 0 && len(w.word(end+1)) == 2 && !w.any(end+2, "h") { // "7h30"
			minute, end, colon = digitsOf(w.tokens[end+1].text), end+2, true
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
	if w.any(end, "o'clock", "oclock", "h", "hrs") {
		end++
	}
	switch {
	case half == "am" && hour > 12:
		hour = -1
	case half != "" && hour >= 0:
		hour = w.inHalf(hour, half)
	}
	if hour < 0 || hour > 23 || minute < 0 || minute > 59 {
		w.wrong(BadTime, i, min(end, len(w.tokens)))
		return 0, end
	}
	return planner.At(hour, minute), end
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
		w.isWeekday(i) && w.word(i) != "sun" || w.saysAtHour(i)
}

// saysAtHour reports that a number before a token is an hour because of an "at"
// before it: "every day at 8 fish oil", but not "at 8 kg" or "at 8 weeks".
func (w *whenReader) saysAtHour(i int) bool {
	next := w.word(i)
	_, unit := unitWords[next]
	return !unit && w.any(i-2, "at", "@") && w.tokens[i].kind == wordToken && periodOf(next)+cadences[next].days == 0 &&
		monthNames[next] == 0 && !w.any(i, "st", "nd", "rd", "th", "percent", "meals", "meal", "times", "years", "year", "out")
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
