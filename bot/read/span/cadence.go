package span

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/planner"
)

// cadence is how often something is given; times is how often on each of its
// days.
type cadence struct {
	planner.Cadence
	Times float64 // a day; 0 counts as 1
	Named bool    // something was said of it
}

// Limits of what a cadence may be.
const (
	MaxEveryDays  = 366
	maxTimesADay  = 6
	DaysPerWeek   = 7
	MostKcalBasis = 1000
)

// Left reports that words or numbers are left that nothing was made of.
func (l *Lexed) Left() bool {
	return slices.ContainsFunc(l.Tokens, func(t Token) bool { return !t.Used && t.Kind != SignToken })
}

// TakeCadence finds how often a line says something is given and marks it as
// used. A single day of the week counts only after "on" or "every", unless
// the text is nothing but a cadence: alone.
func (l *Lexed) TakeCadence(alone bool) {
	for i := range l.Tokens {
		c, end := l.CadenceAt(i, alone)
		if end == 0 {
			continue
		}
		l.UseAny(i-1, ",", "-") // ", every 3 days"
		if l.Often.Named || !c.fits() {
			l.Wrong(BadCadence, i, end)
		}
		l.Use(i, end)
		l.Often = c
		l.Often.Named = true
	}
	for i := range l.Tokens {
		if l.Any(i, "every", "twice", "thrice", "biweekly", "once") {
			l.Wrong(BadCadence, i, min(i+3, len(l.Tokens)))
		}
	}
}

// fits reports that a cadence can be kept, and gives it its one form.
func (c *cadence) fits() bool {
	if c.EveryDays < 0 || c.EveryDays > MaxEveryDays || c.PerWeek < 0 || c.PerWeek > DaysPerWeek || c.Times < 0 || c.Times > maxTimesADay {
		return false
	}
	if c.EveryDays == 1 || c.PerWeek == DaysPerWeek || len(c.Weekdays) == DaysPerWeek {
		c.Cadence = planner.Cadence{}
	}
	return true
}

// CadenceAt reads the cadence that begins at a token, and returns the token
// after it, or 0.
func (l *Lexed) CadenceAt(i int, alone bool) (cadence, int) {
	switch w := l.Word(i); w {
	case "":
		return cadence{}, 0
	case "every", "each", "evry", "evrey", "evey", "eveyr", "eevry", "everey", "evrery", "everyy", "eery", "evert": // and slips, where days or weeks follow
		return l.everyAt(i + 1)
	case "on", "only":
		if c, end := l.CadenceAt(i+1, true); end > 0 && (len(c.Weekdays) > 0 || l.Any(i+1, "alternate", "every")) {
			return c, end
		}
		return cadence{}, 0
	case "daily", "nightly", "weekly", "fortnightly", "monthly":
		return everyDays(Cadences[w].Days), i + 1
	case "alternate":
		if l.Any(i+1, "day", "days") {
			return everyDays(2), i + 2
		}
	case "once", "twice", "thrice":
		times := map[string]float64{"once": 1, "twice": 2, "thrice": 3}[w]
		return l.timesAt(i+1, times)
	case "a", "an", "per", "/":
		if p := PeriodOf(l.Word(i + 1)); p > 0 && (i > 0 || alone) {
			return everyDays(p), i + 2
		}
	case "weekdays", "weekends":
		return cadence{Cadence: planner.Cadence{Weekdays: weekParts[w]}}, i + 1
	}
	if c, end := l.weekdaysAt(i); end > 0 {
		if alone || len(c.Weekdays) > 1 || strings.HasSuffix(l.Word(i), "days") {
			return c, end
		}
		return cadence{}, 0
	}
	return l.countedAt(i)
}

var weekParts = map[string][]time.Weekday{
	"weekday": {1, 2, 3, 4, 5}, "weekdays": {1, 2, 3, 4, 5}, "workday": {1, 2, 3, 4, 5},
	"weekend": {time.Sunday, time.Saturday}, "weekends": {time.Sunday, time.Saturday},
}

func everyDays(n int) cadence { return cadence{Cadence: planner.Cadence{EveryDays: n}} }

// countedAt reads "3 times a week", "3x/week", "2 × daily", "5 days a week".
func (l *Lexed) countedAt(i int) (cadence, int) {
	n, end := l.NumberAt(i)
	ofWeek := l.Any(end, "days", "nights") && (l.Any(end+1, "a", "per", "/", "each", "every") && l.Any(end+2, "week", "wk") || l.Any(end+1, "weekly"))
	if end == 0 || !ofWeek && !l.Any(end, "times", "time", "x", "×") {
		return cadence{}, 0
	}
	return l.timesAt(end+1, n.Value)
}

// timesAt reads what follows "twice" or "3 times": "a week", "daily", "every
// 3 days", "in 10 days".
func (l *Lexed) timesAt(i int, times float64) (cadence, int) {
	c, end := cadence{}, 0
	switch {
	case l.Any(i, "daily", "nightly", "weekly", "fortnightly", "monthly"):
		c, end = everyDays(Cadences[l.Word(i)].Days), i+1
	case l.Any(i, "every", "each"):
		c, end = l.everyAt(i + 1)
	case l.Any(i, "a", "an", "per", "/", "in"):
		at := i + 1
		if l.Any(i, "in") && l.Any(at, "a", "every") {
			at++
		}
		if p := PeriodOf(l.Word(at)); p > 0 {
			c, end = everyDays(p), at+1
		} else if l.Any(i, "in") {
			c, end = l.everyAt(at)
		}
	default:
		if p := PeriodOf(l.Word(i)); p > 0 && times > 1 {
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
		c.Times = n
	case c.EveryDays == DaysPerWeek:
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
func (l *Lexed) everyAt(i int) (cadence, int) {
	if p := PeriodOf(l.Word(i)); p > 0 {
		return everyDays(p), i + 1
	}
	if days := weekParts[l.Word(i)]; days != nil {
		return cadence{Cadence: planner.Cadence{Weekdays: days}}, i + 1
	}
	if c, end := l.weekdaysAt(i); end > 0 {
		return c, end
	}
	n := Choose(l.Any(i, "other", "alternate"), 2, ordinals[l.Word(i)])
	if n > 1 {
		if p := PeriodOf(l.Word(i + 1)); p > 0 {
			return everyDays(n * p), i + 2
		}
		return cadence{}, 0
	}
	times, end := l.NumberAt(i)
	if end == 0 {
		return cadence{}, 0
	}
	end = l.After(end, "st", "nd", "rd", "th")
	if most, to := l.NumberAt(end + 1); to > 0 && l.Any(end, "-", "to", "or") && most.Value > times.Value { // "every 2-3 days": never too soon
		times, end = most, to
	}
	p := PeriodOf(l.Word(end))
	if p == 0 {
		return cadence{}, 0
	}
	days := times.Value * float64(p)
	if days < 1 || days > MaxEveryDays || days != float64(int(days)) {
		return everyDays(-1), end + 1
	}
	return everyDays(int(days)), end + 1
}

// weekdaysAt reads days of the week: "Mondays and Thursdays", "mon wed fri",
// "Mon/Wed/Fri".
func (l *Lexed) weekdaysAt(i int) (cadence, int) {
	var days []time.Weekday
	end := 0
	for at := i; l.isWeekday(at); at = l.AfterAll(end, ",", "/", "&", "+", "and", ".") {
		days = append(days, Weekdays[l.Word(at)])
		end = at + 1
	}
	slices.Sort(days)
	return cadence{Cadence: planner.Cadence{Weekdays: slices.Compact(days)}}, end
}

func (l *Lexed) isWeekday(i int) bool {
	_, ok := Weekdays[l.Word(i)]
	return ok
}

// FormatCadence prints a cadence so that it is read back as it was.
func FormatCadence(c planner.Cadence) string {
	switch {
	case c.EveryDays > 1:
		return "every " + strconv.Itoa(c.EveryDays) + " days"
	case len(c.Weekdays) > 0:
		days := make([]string, 0, len(c.Weekdays))
		for _, d := range c.Weekdays {
			days = append(days, d.String())
		}
		return "on " + strings.Join(days, " and ")
	case c.PerWeek > 0:
		return strconv.Itoa(c.PerWeek) + " times a week"
	}
	return "daily"
}
