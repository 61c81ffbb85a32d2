package span

import (
	"strings"

	"bowlwright/planner"
)

// UnclearTime is the code of a time in words that may be of the morning or of
// the evening: "at eight". Part is the words.
const UnclearTime Code = "unclear-time"

// HourWords is the hour of a clock that a word says, 0 for none.
func HourWords(w string) int {
	if n := Figures[w]; n <= 12 {
		return int(n)
	}
	return 0
}

// spokenMinutes are the minutes that are said before "past" and "to".
var spokenMinutes = map[string]int{"half": 30, "quarter": 15, "five": 5, "ten": 10, "twenty": 20, "5": 5, "10": 10, "20": 20, "25": 25}

// LeastBareHour is the first hour that is a time without "at" before it: "one
// in the morning" is rather a capsule.
const LeastBareHour = 5

// spokenAt reads a time that is told in words: "half past nine", "quarter to
// 8", "seven thirty", "nine in the evening", "eight o'clock". A bare hour
// counts where bare is set and nothing behind it makes it an amount. Which
// half of the day is meant is told by "am" and "pm" or a part of the day beside
// it; a time up to twelve without them is a problem, and
// returned as that of the morning.
func (w *WhenReader) spokenAt(i int, bare bool) (planner.Clock, int) {
	if i >= len(w.Tokens) || w.Tokens[i].Used {
		return 0, 0
	}
	from := i
	minute, sign, at := w.minutesAt(i)
	hour, end := w.hourAt(at)
	switch {
	case end == 0 || sign == 0 && HourWords(w.Word(at)) == 0:
		return 0, 0
	case sign == 0:
		if m := int(Figures[w.Word(end)]); m >= 10 && m%5 == 0 && m < 60 && w.timeEnds(end+1) {
			minute, end, sign = m, end+1, 1 // "seven thirty"
		}
	}
	if w.Any(end, "o'clock", "oclock") {
		end++
		bare = true
	}
	half, end := w.halfBeside(i, end, sign != 0 || bare)
	if sign == 0 && !bare && (half == "" || hour < LeastBareHour) || !w.clockEnds(end) {
		return 0, 0
	}
	minutes := w.inHalf(hour, half)*60 + minute
	if sign < 0 {
		minutes -= 2 * minute
	}
	if half == "" && hour <= 12 {
		for w.Any(from-1, "at", "@", "around") {
			from--
		}
		w.Wrong(UnclearTime, from, end)
	}
	return planner.Clock((minutes + 24*60) % (24 * 60)), end
}

// timeEnds reports that a time ends before a token, or that this tells its half of the
// day: "five thirty at night".
func (w *WhenReader) timeEnds(i int) bool {
	half, _ := w.halfBeside(i, i, false)
	return half != "" || w.clockEnds(i)
}

// minutesAt reads "half past", "a quarter to", "ten past": sign is -1 for what
// is yet to go, and 0 where none are said. "Ten to seven" is rather from ten to
// seven, but after "at".
func (w *WhenReader) minutesAt(i int) (minute, sign, end int) {
	at := w.After(i, "a")
	minute, ok := spokenMinutes[w.Word(at)]
	if !ok {
		return 0, 0, i
	}
	at = w.After(at+1, "minutes", "min")
	if hour, end := w.hourAt(at); minute == 30 && end > 0 && w.timeEnds(end) && (hour >= LeastBareHour || w.Any(i-1, "at", "@", "around")) {
		return minute, 1, at // "half seven" is half past in English
	}
	led := minute == 15 || minute >= 20 || w.Any(i-1, "at", "@", "around")
	switch {
	case w.Any(at, "past", "after"):
		return minute, 1, at + 1
	case w.Any(at, "to", "before") && minute != 30 && led:
		return minute, -1, at + 1
	}
	return 0, 0, i
}

// hourAt reads an hour, as a word or in figures; end is 0 where there is none.
func (w *WhenReader) hourAt(i int) (hour, end int) {
	if h := HourWords(w.Word(i)); h > 0 {
		return h, i + 1
	}
	if h := DigitsOf(w.figures(i)); h >= 1 && h <= 23 && len(w.Tokens[i].Text) <= 2 {
		return h, i + 1
	}
	return 0, 0
}

// inHalf is an hour of the clock's face in a half of the day.
func (w *WhenReader) inHalf(hour int, half string) int {
	switch {
	case half == "am" && hour == 12:
		return 0
	case half == "night" && (hour == 12 || hour < 5):
		return hour % 12
	case (half == "pm" || half == "night") && hour < 12:
		return hour + 12
	}
	return hour
}

// halfBeside reads which half of the day a time between two tokens is of:
// "am", "in the evening", "at night" and "tonight" behind it, and where before
// is set "tomorrow evening at" in front of it. What tells the day as well is
// left for it.
func (w *WhenReader) halfBeside(from, end int, before bool) (string, int) {
	if half, to := w.halfAt(end); half != "" {
		return half, to
	}
	switch {
	case w.Any(end, "in") && w.Any(end+1, "the") && HalfOf(w.Word(end+2)) != "":
		return HalfOf(w.Word(end + 2)), end + 3
	case w.Any(end, "at") && w.Any(end+1, "night"):
		return "night", end + 2
	case w.Any(end, "tonight"):
		return "night", end
	case w.Any(end, "this", "tomorrow", "yesterday", "every", "each"):
		if half := HalfOf(w.Word(end + 1)); half != "" {
			return half, end
		}
	}
	for before && w.Any(from-1, "at", "@", "around", ",") {
		from--
	}
	if before && from > 0 {
		return HalfOf(w.Tokens[from-1].Text), end // taken already where it is a meal
	}
	return "", end
}

// Halves are the two times that words of an UnclearTime can mean.
func Halves(part string) (morning, evening planner.Clock, ok bool) {
	am, err := Clocks(part + " am")
	pm, err2 := Clocks(part + " pm")
	if err != nil || err2 != nil || len(am) != 1 || len(pm) != 1 {
		return 0, 0, false
	}
	return am[0], pm[0], true
}

// WithClock is a text with a time in figures in the place of the words of an
// UnclearTime.
func WithClock(text, part string, c planner.Clock) string {
	at := strings.LastIndex(text, part)
	if at < 0 {
		return text
	}
	clock := c.String()
	if first, _ := CutFirst(part); strings.EqualFold(first, "at") || first == "@" || strings.EqualFold(first, "around") {
		clock = "at " + clock
	}
	return text[:at] + clock + text[at+len(part):]
}

// HalfSaid reads which of the two times of an UnclearTime an answer means:
// "evening", "pm", "8 pm", "20:00".
func HalfSaid(answer, part string) (planner.Clock, bool) {
	for _, s := range []string{answer, part + " " + answer, part + " in the " + answer} {
		if c, err := Clocks(s); err == nil && len(c) == 1 {
			return c[0], true
		}
	}
	return 0, false
}
