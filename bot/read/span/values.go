package span

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/planner"
)

// valueLine is a line of values.txt: what some words stand for.
type valueLine struct {
	kind, name string
	of         []string // its figures
	words      []string
}

var valueLines = func() (all []valueLine) {
	for _, line := range language.Lines("values.txt") {
		said, words, _ := strings.Cut(line, " = ")
		v := valueLine{words: strings.Fields(words)}
		for _, w := range v.words {
			if one, ok := strings.CutSuffix(w, "(s)"); ok {
				v.words = append(v.words, one, one+"s")
			}
		}
		fields := strings.Fields(said)
		if v.kind = fields[0]; len(fields) > 1 {
			v.name, v.of = fields[1], fields[2:]
		}
		all = append(all, v)
	}
	return all
}()

// valuesOf are the words of some kinds with what each stands for.
func valuesOf[T any](of func(v valueLine) T, kinds ...string) map[string]T {
	all := map[string]T{}
	for _, v := range valueLines {
		if slices.Contains(kinds, v.kind) {
			for _, w := range v.words {
				all[w] = of(v)
			}
		}
	}
	return all
}

// figure is a figure of a line: "28.35", "1/4.184", "14*453.59237".
func (v valueLine) figure() float64 {
	x := 1.0
	for _, part := range strings.Split(v.of[0], "*") {
		over, under, _ := strings.Cut(part, "/")
		top := language.Must(strconv.ParseFloat(over, 64))
		bottom := language.Must(strconv.ParseFloat(cmp.Or(under, "1"), 64))
		x *= top / bottom
	}
	return x
}

func (v valueLine) number() float64 { return valueLine{of: []string{v.name}}.figure() }
func (v valueLine) named() string   { return v.name }
func (v valueLine) is() bool        { return true }

// span is a stretch of time. Of minutes and hours the days are 0.
type span struct {
	Name string
	Days int
}

func (v valueLine) span() span { return span{v.name, int(v.figure())} }

// dayPart is a part of the day, or a meal, and what times beside it are.
type dayPart struct {
	Name string
	at   planner.Clock // where no time is named
	meal Meal
	half string // "am", "pm", and "night" where it lies in both
}

var (
	Figures     = valuesOf(valueLine.number, "number")         // "one", "twenty"
	NumberWords = valuesOf(valueLine.number, "number", "some") // these and "a", "half", "dozen"
	Multiples   = valuesOf(valueLine.number, "times")
	ordinals    = valuesOf(func(v valueLine) int { return int(v.number()) }, "ordinal")
	rowWords    = valuesOf(valueLine.is, "row")
	lastWords   = valuesOf(valueLine.is, "last")
	placeWords  = valuesOf(valueLine.is, "place")
	SizeWords   = valuesOf(func(v valueLine) string { return strings.ReplaceAll(v.name, "-", " ") }, "size")
	CutWords    = valuesOf(valueLine.named, "cut")
	Holders     = valuesOf(valueLine.is, "holder")
	TimeUnits   = valuesOf(valueLine.span, "span", "age")
	Periods     = valuesOf(func(v valueLine) int { return v.span().Days }, "span")
	Cadences    = valuesOf(valueLine.span, "cadence")
	Weekdays    = valuesOf(func(v valueLine) time.Weekday { return time.Weekday(v.figure()) }, "weekday")
	MonthNames  = valuesOf(func(v valueLine) time.Month { return time.Month(v.figure()) }, "month")
	DayWords    = valuesOf(valueLine.span, "day")
	Weekends    = valuesOf(valueLine.is, "period")
	PartsOfDay  = valuesOf(func(v valueLine) dayPart {
		return dayPart{Name: v.name, at: planner.At(int(v.figure()), 0), half: v.of[1]}
	}, "part")
	MealsByName = valuesOf(func(v valueLine) dayPart {
		return dayPart{Name: v.name, meal: Meal(strings.Trim(v.of[0], "-")), half: v.of[1]}
	}, "meal")
)

// PlaceOf is the place that a text gives one of a row of so many and says nothing else:
// "the 2nd one", "second", "number two", "the last one". It is 0 for any other, also a
// number alone.
func PlaceOf(text string, of int) int {
	l, n, bare, placed, last := Lex(text), 0, 0, false, false
	for i, t := range l.Tokens {
		switch w := l.Word(i); {
		case lastWords[w]:
			last = true
		case rowWords[w]:
			bare = max(bare, int(NumberWords[w])) // "number one", but "the second one"
		case placeWords[w], n > 0 && l.Any(i, "st", "nd", "rd", "th"):
			placed = true
		case n == 0 && ordinals[w] > 0:
			n, placed = ordinals[w], true
		case n == 0 && t.Kind == NumberToken:
			n = DigitsOf(t.Text)
		case n == 0 && NumberWords[w] > 1:
			n = int(NumberWords[w])
		default:
			return 0
		}
	}
	switch {
	case last && n == 0:
		return of
	case last || !placed:
		return 0
	}
	return cmp.Or(n, bare)
}

// HalfOf is the half of the day that a part of it or a meal lies in.
func HalfOf(w string) string {
	return Choose(DayWords[w].Name == "tonight", "night", cmp.Or(PartsOfDay[w].half, MealsByName[w].half))
}

// PeriodOf is how many days a word is that a cadence is told by, 0 for none:
// "every 2 weeks", "every night".
func PeriodOf(w string) int {
	if p := PartsOfDay[w].Name; p != "" && p != "bedtime" {
		return 1
	}
	return Periods[w]
}

// Share is a part of a whole where a text names it.
type Share struct {
	From, To int // bytes
	Share    float64
}

// Shares are the parts of a whole that a text names, in their order: "half", "a third",
// "30 %".
func Shares(s string) (all []Share) {
	for _, p := range language.Sayings["share"] {
		for _, m := range p.Is().FindAllStringSubmatchIndex(s, -1) {
			over, under, _ := strings.Cut(string(p.Is().ExpandString(nil, p.As, s, m)), "/")
			a, _ := strconv.ParseFloat(over, 64)
			b, _ := strconv.ParseFloat(under, 64)
			within := func(o Share) bool { return m[0] < o.To && o.From < m[1] } // "third" of "two thirds"
			if b > 0 && !slices.ContainsFunc(all, within) && !language.Says("half-past", s[m[0]:]) {
				all = append(all, Share{m[0], m[1], a / b})
			}
		}
	}
	slices.SortFunc(all, func(a, b Share) int { return a.From - b.From })
	return all
}
