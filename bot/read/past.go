package read

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// longestSpan is how many days a span of the past may have.
const longestSpan = 366

// PastSpan reads a span of days that has been, or has begun: "1 to 14 March",
// "the last 10 days", "since Monday", "yesterday", "last week". A date without
// a year is the last that was, a weekday the last of its name. Both days
// belong to the span. It reports false for anything else, a span that is to
// come and one of more than a year.
func PastSpan(text string, now time.Time) (from, until planner.Date, ok bool) {
	s := strings.Join(strings.Fields(strings.ToLower(span.Clean(text))), " ")
	s = strings.Trim(s, " .,!:;")
	if s == "" || len(s) > 80 {
		return from, until, false
	}
	from, until, ok = pastSpan(s, now)
	if !ok || until.Before(from) || from.DaysTo(until) > longestSpan || planner.DateOf(now).Before(until) {
		return planner.Date{}, planner.Date{}, false
	}
	return from, until, true
}

func pastSpan(s string, now time.Time) (from, until planner.Date, ok bool) {
	today := planner.DateOf(now)
	switch s {
	case "this week":
		return today.AddDays(-(int(now.Weekday()) + 6) % 7), today, true
	case "the weekend", "last weekend", "at the weekend", "on the weekend", "over the weekend", "this weekend":
		sunday := today.AddDays(-int(now.Weekday()))
		return sunday.AddDays(-1), sunday, true
	case "this month":
		return planner.Date{Year: today.Year, Month: today.Month, Day: 1}, today, true
	}
	if name, in := strings.CutPrefix(s, "in "); in && span.MonthNames[name] > 0 {
		month := span.MonthNames[name]
		from = planner.Date{Year: today.Year, Month: month, Day: 1}
		if today.Before(from) {
			from.Year--
		}
		until = planner.DateOf(time.Date(from.Year, month+1, 0, 12, 0, 0, 0, time.UTC))
		if today.Before(until) {
			until = today
		}
		return from, until, true
	}
	if m := language.Pattern("last-days").FindStringSubmatch(s); m != nil && m[0] != m[2] {
		if n, known := count(m[1]); known {
			return today.AddDays(1 - n*span.Periods[m[2]]), today, true
		}
	}
	for _, ends := range language.Sayings["span-ends"] {
		if m := ends.Is().FindStringSubmatch(s); m != nil {
			if from, until, ok = pastEnds(m[1], m[2], now); ok {
				return from, until, true
			}
		}
	}
	if m := language.Pattern("since-day").FindStringSubmatch(s); m != nil {
		from, ok = wasDay(m[1], now)
		return from, today, ok
	}
	from, ok = wasDay(s, now)
	return from, from, ok
}

// count reads a small number, in words too.
func count(s string) (int, bool) {
	n, err := span.Number(cmp.Or(s, "a"))
	return int(n), err == nil && n >= 1 && n <= longestSpan
}

// pastEnds reads the first day and the last; the first may be a number in the
// month of the last.
func pastEnds(a, b string, now time.Time) (from, until planner.Date, ok bool) {
	if until, ok = wasDay(b, now); !ok {
		return from, until, false
	}
	if m := language.Pattern("day-alone").FindStringSubmatch(a); m != nil {
		day, _ := strconv.Atoi(m[1]) // two digits
		month := until.Month
		if day > until.Day { // "28 to 3 April" begins in March
			month--
		}
		from = planner.DateOf(time.Date(until.Year, month, day, 12, 0, 0, 0, time.UTC))
		return from, until, from.Day == day
	}
	first, ok := pastDay(a, now)
	if from = first.Date; until.Before(from) {
		switch {
		case first.weekday:
			from = from.AddDays(-7)
		case first.yearless:
			from.Year--
		}
	}
	return from, until, ok && !first.ahead && !first.doubtful()
}

// wasDay reads a day that is not to come, and may not be meant as one that is.
func wasDay(s string, now time.Time) (planner.Date, bool) {
	d, ok := pastDay(s, now)
	return d.Date, ok && !d.ahead && !d.doubtful()
}

// DayThatWas reads words that are nothing but a day that was: "the 18th", "4 Nov".
func DayThatWas(s string, now time.Time) (planner.Date, bool) {
	return wasDay(strings.ToLower(strings.TrimSpace(s)), now)
}

// AwaySpan reads the days on which a dog is or was elsewhere, among the words
// that say where: "at my sister's from Monday on", "with my mum until Sunday".
// Until a day and no more is from today on, unless the text tells of what is
// over; what is over is not read into what is under way.
func AwaySpan(text, words string, now time.Time) (from, until planner.Date, ok bool) {
	over, today := language.Says("had-been", text), planner.DateOf(now)
	all := strings.Fields(text) // "from 13 to 14 June both got kibble at my parents'"
	for i := range all {
		for end := len(all); end > i+2; end-- {
			if from, until, ok = PastSpan(strings.Join(all[i:end], " "), now); ok && from.Before(until) && (over || !until.Before(today)) {
				return from, until, true
			}
		}
	}
	for all := strings.Fields(words); len(all) > 0; all = all[1:] {
		if slices.Contains([]string{"until", "till", "til", "through"}, strings.ToLower(all[0])) {
			day, err := span.Date(strings.Join(all[1:], " "), now)
			return today, day, err == nil && !over && today.DaysTo(day) <= longestSpan
		}
		if from, until, ok = PastSpan(strings.Join(all, " "), now); ok {
			return from, until, over || !until.Before(today)
		}
	}
	if o, err := OtherFoodText(words, now); err == nil && !over && o.Named && !o.Until.IsZero() && !o.From.Before(today) && o.From.DaysTo(o.Until) <= longestSpan {
		return o.From, o.Until, true // to come: "from Friday to Sunday", "this weekend"
	}
	return from, until, false
}

// yearlessBack is how many days ago the last day of a date without a year may
// be for a weight to be of it (our own choice: beyond half a year the coming one is
// nearer).
const yearlessBack = 183

type wasSaid struct {
	planner.Date
	ahead    bool // it is to come
	yearless bool // a day of the calendar without its year
	weekday  bool // named by its day of the week
	back     int  // days from it to today
}

// doubtful reports that a day may as well be meant of the year to come.
func (d wasSaid) doubtful() bool { return d.yearless && d.back > yearlessBack }

// pastDay reads a day that was.
func pastDay(s string, now time.Time) (day wasSaid, ok bool) {
	today := planner.DateOf(now)
	if back, ok := daysBack(strings.TrimPrefix(s, "on ")); ok {
		return wasSaid{Date: today.AddDays(-back)}, true
	}
	s, before := strings.CutPrefix(s, "last ")
	s = strings.TrimPrefix(s, "on ")
	c, weekday, ok := calendarText(s)
	if d, was := c.Past(today); ok {
		day = wasSaid{Date: d, ahead: today.Before(d), yearless: c.Year == 0 && c.Month > 0, back: d.DaysTo(today)}
		if weekday == nil || day.doubtful() || was && d.Weekday() == *weekday {
			return day, was
		}
	}
	d, err := span.Date(s, now)
	day = wasSaid{Date: d, ahead: today.Before(d), weekday: weekdayNamed(s) && weekday == nil}
	if day.weekday && day.ahead && !language.Says("to-come", s) {
		day.Date, day.ahead = d.AddDays(-7), false
	}
	if before && day.weekday && day.Date == today { // "last Wednesday", said on one
		day.Date = d.AddDays(-7)
	}
	return day, err == nil // "tomorrow", "in 3 days", "next Sunday" are ahead
}

// daysBack is how many days ago a day was: "yesterday", "3 days ago".
func daysBack(s string) (days int, ok bool) {
	switch s {
	case "today", "this morning", "this evening", "tonight", "just now", "now":
		return 0, true
	case "yesterday", "yesterday morning", "yesterday evening", "last night":
		return 1, true
	case "the day before yesterday":
		return 2, true
	}
	n, unit, _ := strings.Cut(strings.TrimSuffix(s, " ago"), " ")
	back, ok := count(n)
	per := span.Periods[unit]
	return back * per, ok && per > 0 && per <= span.DaysPerWeek && strings.HasSuffix(s, " ago")
}

// calendarText reads a text that is nothing but a day of the calendar: "19
// April", "Sunday, 19 April", "the 20", "20."
func calendarText(s string) (c span.CalendarDay, weekday *time.Weekday, ok bool) {
	l := span.Lex(s)
	at := 0
	if l.Any(0, "the") {
		at = 1
	} else if day, ok := span.Weekdays[l.Word(0)]; ok && len(l.Tokens) > 1 { // "Sunday, 19 April"
		weekday = &day
		if at = 1; l.Any(1, ",") {
			at = 2
		}
	}
	c, end := l.CalendarAt(at)
	if end == 0 {
		if c.Day, end = l.DayNumber(at); !l.Any(0, "the") && !l.Any(end, ".") {
			return c, nil, false // a bare number is no day
		}
	}
	end = l.After(end, ".")
	return c, weekday, end > 0 && end == len(l.Tokens)
}

func weekdayNamed(s string) bool {
	return slices.ContainsFunc(strings.Fields(s), func(w string) bool {
		_, ok := span.Weekdays[strings.Trim(w, ",.")]
		return ok
	})
}

// FastSpan is from when on a dog goes without food, by a text that was told at an instant,
// and until when: from then on where no other time is named, and until the zero time
// where it is open.
func FastSpan(s string, told time.Time) (from, until time.Time) {
	if from = fastTime(language.Find("fast-from", s), told, told); from.IsZero() {
		from = told
	}
	if hours, err := strconv.Atoi(language.Find("fast-hours", s)); err == nil {
		return from, from.Add(time.Duration(hours) * time.Hour)
	}
	return from, fastTime(language.Find("fast-until", s), told, from)
}

// fastTime is the next time after an instant that some words told at another name: of an
// hour without its half of the day that by day, and after dinner the end of the day.
func fastTime(words string, told, after time.Time) time.Time {
	w, err := span.WhenText("at "+words, told)
	if w.Meal == span.LastMeal {
		w.Times = []planner.Clock{0}
	}
	if err != nil || len(w.Times) != 1 {
		return time.Time{}
	}
	at, step := planner.Instant(cmp.Or(w.On, planner.DateOf(told)), w.Times[0], told.Location()).In(told.Location()), 24*time.Hour
	if w.Times[0] > 0 && w.Times[0] < planner.At(12, 0) && !language.Says("half-said", words) {
		step /= 2
	}
	for !at.After(after) || step < 24*time.Hour && at.Hour() < 6 {
		at = at.Add(step)
	}
	return at
}

// MealTold is what a text tells of a dog's meal.
type MealTold struct {
	Dogs   []string // ids; none where none is named
	By     string   // who fed it, as typed, where that is said
	Recipe string   // id
	Grams  nutrition.Grams
	At     string // the time, as typed
	Text   string // without what is no part of it: "not a treat"
}

// ToldMeal reads what is told of a meal in words that say nothing else, of which a bare
// number is in the household's unit: "dan fed him 230 at half 5", "had brekkie, all gone".
func ToldMeal(s string, n span.Names, u planner.Units) (m MealTold, ok bool) {
	if IsQuestion(s) && !language.Says("had-meal", s) || strings.Contains(s, "\n") || len(s) > 120 || NamesBothMeals(s) {
		return m, false
	}
	rest := language.Without("meal-aside", s)
	m.Text = rest
	blank := func(from, to int) { rest = rest[:from] + " " + rest[to:] }
	from, to, dogs := DogsNamed(rest, n)
	if m.Dogs = dogs; len(dogs) > 0 {
		blank(from, to)
	}
	for _, r := range slices.Backward(recipesIn(rest, n.Recipes)) {
		m.Recipe = r.ID
		blank(r.From, r.To)
	}
	if at := language.Pattern("told-at").FindStringIndex(rest); at != nil {
		m.At = strings.TrimSpace(rest[at[0]:at[1]])
		blank(at[0], at[1])
	}
	for _, by := range slices.Backward(language.Pattern("meal-by").FindAllStringSubmatchIndex(rest, -1)) {
		if w := strings.ToLower(rest[by[2]:by[3]]); !language.In("meal-says", w) && !language.In("no-doer", w) && !strings.HasSuffix(w, "ly") {
			m.By = rest[by[2]:by[3]]
			blank(by[2], by[3])
		}
	}
	if mass := language.Pattern("told-mass").FindStringIndex(rest); mass != nil {
		told := strings.TrimSpace(rest[mass[0]:mass[1]])
		if m.Grams = MassIn(told); m.Grams == 0 {
			unit := span.Choose(u.Ounces, " oz", " g")
			m.Text = strings.Replace(m.Text, told, told+unit, 1)
			m.Grams = MassIn(told + unit)
		}
		blank(mass[0], mass[1])
	}
	verb := false
	for _, w := range strings.FieldsFunc(strings.ToLower(rest), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if !language.In("meal-says", w) {
			return m, false
		}
		verb = verb || language.In("meal-verbs", w)
	}
	share, part := PartEaten(m.Text)
	left := language.Says("meal-left-some", rest)
	if left && part { // "gave him 240 g, left half"
		m.Grams *= nutrition.Grams(share)
	}
	left = left || language.Says("only-that", rest)
	is := m.Grams > 0 || part || !left && (m.At != "" || m.Recipe != "" || language.Says("meal-meant", rest))
	return m, is && (verb || m.Grams > 0 && language.Says("was-meal", s)) && !language.Says("own-meal", s)
}

// recipesIn are the recipes that a text names, also by the last words of a name where those
// are no food and end no other.
func recipesIn(text string, all []span.Named) []span.Mention {
	named := slices.Clone(all)
	for _, r := range all {
		_, rest, _ := strings.Cut(r.Name, " ")
		for ; rest != ""; _, rest, _ = strings.Cut(rest, " ") {
			ends := func(o span.Named) bool { return o.ID != r.ID && strings.HasSuffix(" "+o.Name, " "+rest) }
			if words := strings.Fields(rest); !slices.ContainsFunc(all, ends) && !Excludable(words[len(words)-1]) {
				named = append(named, span.Named{ID: r.ID, Name: rest})
			}
		}
	}
	return span.Mentions(text, named)
}
