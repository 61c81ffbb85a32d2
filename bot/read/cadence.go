package read

import (
	"slices"
	"strings"
	"time"

	"bowlwright/planner"
)

// cadence is how often something is given; times is how often on each of its
// days.
type cadence struct {
	planner.Cadence
	times float64 // a day; 0 counts as 1
	named bool    // something was said of it
}

// Limits of what a cadence may be.
const (
	maxEveryDays  = 366
	maxTimesADay  = 6
	daysPerWeek   = 7
	daysPerMonth  = 30 // common practice; a reminder has no use for the calendar's months
	mostKcalBasis = 1000
)

// left reports that words or numbers are left that nothing was made of.
func (l *lexed) left() bool {
	return slices.ContainsFunc(l.tokens, func(t token) bool { return !t.used && t.kind != signToken })
}

// takeCadence finds how often a line says something is given and marks it as
// used. A single day of the week counts only after "on" or "every", unless
// the text is nothing but a cadence: alone.
func (l *lexed) takeCadence(alone bool) {
	for i := range l.tokens {
		c, end := l.cadenceAt(i, alone)
		if end == 0 {
			continue
		}
		if l.any(i-1, ",", "-") { // ", every 3 days"
			l.use(i-1, i)
		}
		switch {
		case l.cadence.named && c.Cadence.PerDay() == 1 && c.times <= 1: // "twice a week with every dinner"
			l.wrong(BadCadence, i, end)
		case l.cadence.named, !c.fits():
			l.wrong(BadCadence, i, end)
		}
		l.use(i, end)
		l.cadence = c
		l.cadence.named = true
	}
	for i := range l.tokens {
		if l.any(i, "every", "twice", "thrice", "biweekly", "once") {
			l.wrong(BadCadence, i, min(i+3, len(l.tokens)))
		}
	}
}

// fits reports that a cadence can be kept, and gives it its one form.
func (c *cadence) fits() bool {
	if c.EveryDays < 0 || c.EveryDays > maxEveryDays || c.PerWeek < 0 || c.PerWeek > daysPerWeek || c.times < 0 || c.times > maxTimesADay {
		return false
	}
	if c.EveryDays == 1 || c.PerWeek == daysPerWeek || len(c.Weekdays) == daysPerWeek {
		c.Cadence = planner.Cadence{}
	}
	if c.PerWeek == 1 {
		c.Cadence = planner.Cadence{EveryDays: daysPerWeek}
	}
	return true
}

// cadenceAt reads the cadence that begins at a token, and returns the token
// after it, or 0.
func (l *lexed) cadenceAt(i int, alone bool) (cadence, int) {
	switch w := l.word(i); w {
	case "":
		return cadence{}, 0
	case "every", "each":
		return l.everyAt(i + 1)
	case "evry", "evrey", "evey", "eveyr", "eevry", "everey", "evrery", "everyy", "eery", "evert":
		return l.everyAt(i + 1) // slips of "every", where days or weeks follow
	case "on", "only":
		if c, end := l.cadenceAt(i+1, true); end > 0 && (len(c.Weekdays) > 0 || l.any(i+1, "alternate", "every")) {
			return c, end
		}
		return cadence{}, 0
	case "daily", "nightly", "weekly", "fortnightly", "monthly":
		return everyDays(cadences[w].days), i + 1
	case "alternate":
		if l.any(i+1, "day", "days") {
			return everyDays(2), i + 2
		}
	case "once", "twice", "thrice":
		times := map[string]float64{"once": 1, "twice": 2, "thrice": 3}[w]
		return l.timesAt(i+1, times)
	case "a", "an", "per", "/":
		if p, ok := l.periodAt(i + 1); ok && (i > 0 || alone) {
			return everyDays(p), i + 2
		}
	case "weekdays", "weekends":
		if w == "weekends" {
			return cadence{Cadence: planner.Cadence{Weekdays: []time.Weekday{time.Sunday, time.Saturday}}}, i + 1
		}
		return cadence{Cadence: planner.Cadence{Weekdays: []time.Weekday{1, 2, 3, 4, 5}}}, i + 1
	}
	if c, end := l.weekdaysAt(i); end > 0 {
		if alone || len(c.Weekdays) > 1 || strings.HasSuffix(l.word(i), "days") {
			return c, end
		}
		return cadence{}, 0
	}
	return l.countedAt(i)
}

func everyDays(n int) cadence { return cadence{Cadence: planner.Cadence{EveryDays: n}} }

// periodAt reads "day", "week" and the like.
func (l *lexed) periodAt(i int) (int, bool) {
	p := periodOf(l.word(i))
	return p, p > 0
}

// countedAt reads "3 times a week", "3x/week", "2 × daily", "5 days a week".
func (l *lexed) countedAt(i int) (cadence, int) {
	n, end := l.numberAt(i)
	if end == 0 {
		return cadence{}, 0
	}
	switch {
	case l.any(end, "times", "time", "x", "×"):
		end++
	case l.any(end, "days", "nights") && (l.any(end+1, "a", "per", "/", "each", "every") && l.any(end+2, "week", "wk") || l.any(end+1, "weekly")):
		c, to := l.timesAt(end+1, n.value)
		return c, to
	default:
		return cadence{}, 0
	}
	return l.timesAt(end, n.value)
}

// timesAt reads what follows "twice" or "3 times": "a week", "daily", "every
// 3 days", "in 10 days".
func (l *lexed) timesAt(i int, times float64) (cadence, int) {
	c, end := cadence{}, 0
	switch {
	case l.any(i, "daily", "nightly", "weekly", "fortnightly", "monthly"):
		c, end = everyDays(cadences[l.word(i)].days), i+1
	case l.any(i, "every", "each"):
		c, end = l.everyAt(i + 1)
	case l.any(i, "a", "an", "per", "/", "in"):
		at := i + 1
		if l.any(i, "in") && l.any(at, "a", "every") {
			at++
		}
		if p, ok := l.periodAt(at); ok {
			c, end = everyDays(p), at+1
		} else if l.any(i, "in") {
			c, end = l.everyAt(at)
		}
	default:
		if p, ok := l.periodAt(i); ok && times > 1 {
			c, end = everyDays(p), i+1 // "3x week"
		}
	}
	if end == 0 {
		return cadence{}, 0
	}
	return c.inEach(times), end
}

// inEach returns the cadence that is kept so many times in each of its
// stretches of time.
func (c cadence) inEach(n float64) cadence {
	switch {
	case n == 1 || c.EveryDays < 0:
	case n != float64(int(n)) || n < 1 || len(c.Weekdays) > 0:
		c.EveryDays = -1
	case c.EveryDays == 1:
		c.times = n
	case c.EveryDays == daysPerWeek:
		c.Cadence = planner.Cadence{PerWeek: int(min(n, 1000))}
	case c.EveryDays%int(n) == 0: // "twice a fortnight" is every week
		c.EveryDays /= int(n)
	default:
		c.EveryDays = -1
	}
	return c
}

// everyAt reads what follows "every": "3 days", "third day", "other week",
// "Monday and Thursday", "day".
func (l *lexed) everyAt(i int) (cadence, int) {
	if p, ok := l.periodAt(i); ok {
		return everyDays(p), i + 1
	}
	if c, end := l.weekdaysAt(i); end > 0 {
		return c, end
	}
	n := ordinals[l.word(i)]
	if l.any(i, "other", "alternate") {
		n = 2
	}
	if n > 1 {
		if p, ok := l.periodAt(i + 1); ok {
			return everyDays(n * p), i + 2
		}
		return cadence{}, 0
	}
	times, end := l.numberAt(i)
	if end == 0 {
		return cadence{}, 0
	}
	if l.any(end, "st", "nd", "rd", "th") {
		end++
	}
	p, ok := l.periodAt(end)
	if !ok {
		return cadence{}, 0
	}
	days := times.value * float64(p)
	if days < 1 || days > maxEveryDays || days != float64(int(days)) {
		return everyDays(-1), end + 1
	}
	return everyDays(int(days)), end + 1
}

// weekdaysAt reads days of the week: "Mondays and Thursdays", "mon wed fri",
// "Mon/Wed/Fri".
func (l *lexed) weekdaysAt(i int) (cadence, int) {
	var days []time.Weekday
	end := 0
	for at := i; ; {
		d, ok := weekdays[l.word(at)]
		if !ok {
			break
		}
		days = append(days, d)
		at++
		end = at
		for l.any(at, ",", "/", "&", "+", "and", ".") {
			at++
		}
		if !l.isWeekday(at) {
			break
		}
	}
	slices.Sort(days)
	return cadence{Cadence: planner.Cadence{Weekdays: slices.Compact(days)}}, end
}

func (l *lexed) isWeekday(i int) bool {
	_, ok := weekdays[l.word(i)]
	return ok
}

// takeBatch finds "per batch" and "in the whole recipe" and marks it as used.
func (l *lexed) takeBatch() {
	for i := range l.tokens {
		if !l.any(i, "per", "/", "in", "into", "for", "to") {
			continue
		}
		at := i + 1
		for l.any(at, "the", "a", "this", "each", "whole", "entire", "full", "one") {
			at++
		}
		if l.any(at, "batch", "recipe", "pot") {
			l.batch = true
			l.use(i, at+1)
		}
	}
}

// SaysHowOften reports that a line says how often a supplement is given, or in
// how much food it is.
func SaysHowOften(line string) bool {
	l := lexLine(line)
	return l.cadence.named || l.per1000 || l.batch
}

// takePer1000 finds "per 1000 kcal" and marks it as used. Another basis of a
// dose ("per 10 kg") is a problem: it must not be taken for the whole dose.
func (l *lexed) takePer1000() {
	for i := range l.tokens {
		at := 0
		switch {
		case l.any(i, "per", "/"):
			at = i + 1
		case l.any(i, "for") && l.any(i+1, "each", "every"):
			at = i + 2
		default:
			continue
		}
		n, end := l.numberAt(at)
		if end == 0 && l.any(at, "mcal", "thousand") {
			n, end = number{value: mostKcalBasis}, at
			if l.any(at, "mcal") {
				l.per1000 = true
				l.use(i, at+1)
				continue
			}
			end = at + 1
		}
		if u, to := l.unitAt(end); end > 0 && to > 0 && u.kind == byEnergy {
			if u.in(n) != mostKcalBasis {
				l.wrong(BadBasis, i, to)
			}
			l.per1000 = true
			l.use(i, to)
		}
	}
}
