package read

import (
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// Codes of problems with rotations and transitions.
const (
	UnknownRecipe span.Code = "unknown-recipe" // Part is no recipe of the household, or could be several
	UnknownDog    span.Code = "unknown-dog"    // Part is no dog of the household
	NotDays       span.Code = "not-days"       // Part is no number of days
)

// Order is a rotation as typed.
type Order struct {
	Turns  []OrderTurn
	Dogs   []string     // ids, in the order typed
	All    bool         // "for both", "for all dogs"
	Nobody bool         // "for my readers": no dog of the household
	New    bool         // "new rotation": beside the others
	Start  planner.Date // the first day; zero where none is said
}

// OrderTurn is a recipe of the household and how many days it runs, which is
// not checked here; 0 where that is not said.
type OrderTurn struct {
	Recipe string // id
	Days   int
}

// mostDays is more than any number of days that is accepted anywhere.
const mostDays = 1_000_000

// OrderText reads a rotation: "Turkey 4, Lamb 3", "4 days turkey then 3 days
// lamb for Juniper from Monday", "turkey x4 / lamb x3", "alternate turkey and
// lamb every 2 days". Recipes are named by some words of their names that no
// other recipe has. now is the instant that days count from. The error is a
// Problem: UnknownRecipe, UnknownDog, NotDays, BadDate, PastDate, Empty,
// TooLong.
func OrderText(s string, n span.Names, now time.Time) (Order, error) {
	o := orderReader{matcher: newLooseMatcher(s, n), now: now}
	if len(o.Tokens) > mostWords {
		return Order{}, span.NewProblem(span.TooLong, s)
	}
	for at := 0; at < len(o.Tokens) && o.Code == ""; {
		at = o.next(at)
	}
	if o.Code == "" {
		o.finish()
	}
	if err := o.trouble(s); err != nil {
		return Order{}, err
	}
	return o.Order, nil
}

// newLooseMatcher is a text of which the names may have a typing error.
func newLooseMatcher(s string, n span.Names) matcher {
	text, _ := span.FirstRunes(span.Clean(s), 2*span.MostRunes)
	m := newMatcher(text, n)
	m.loose = true
	return m
}

// wrong keeps the first problem.
func (m *matcher) wrong(code span.Code, at, end int) {
	if m.Code == "" {
		m.Code, m.Part = code, m.typed(at, min(end, len(m.Tokens)))
	}
}

// trouble is the Problem that was found in a text, nil for none.
func (m *matcher) trouble(s string) error {
	if m.Code == "" {
		return nil
	}
	p := span.NewProblem(m.Code, s)
	p.Part = span.Clean(m.Part)
	return p
}

// orderReader is a rotation on its way.
type orderReader struct {
	matcher
	Order
	now    time.Time
	days   int  // a number that stands before its recipe; 0 where none waits
	before bool // numbers stand before their recipes
	each   bool // one number is for every recipe
}

// next takes what stands at a place and returns where it goes on.
func (o *orderReader) next(at int) int {
	switch w := o.Word(at); {
	case w == "for" || w == "of":
		if end := o.takeDogs(at + 1); end > 0 {
			return end
		}
		if end := o.takeNobody(at + 1); end > 0 {
			return end
		}
		if w == "for" && at+1 < len(o.Tokens) && !o.Tokens[at+1].IsFigure() && !language.In("order-fillers", o.Word(at+1)) && span.NumberWords[o.Word(at+1)] == 0 {
			if _, end := o.recipeAt(at + 1); end == 0 {
				o.wrong(UnknownDog, at+1, o.unreadEnd(at+1))
			}
		}
	case w == "from" || w == "starting" || w == "beginning" || w == "start" || w == "begin" || w == "starts":
		if end := o.takeStart(at); end > at {
			return end
		}
	case w == "each" || w == "every" || w == "other":
		o.each = true
		return at + 1
	case w == "today" || w == "tomorrow":
		return o.takeStart(at - 1)
	case w == "new":
		o.New = true
	}
	if id, end := o.recipeAt(at); end > 0 {
		o.Turns = append(o.Turns, OrderTurn{Recipe: id, Days: o.days})
		o.days = 0
		return end
	}
	if r, ok := o.longest(o.dogs, at); ok {
		o.Dogs = span.AddNew(o.Dogs, r.id)
		return r.end
	}
	if days, end := o.daysIn(at); end > 0 {
		o.takeDays(days)
		return end
	}
	if !language.In("order-fillers", o.Word(at)) && o.Word(at) != "'s" {
		o.wrong(UnknownRecipe, at, o.unreadEnd(at))
	}
	return at + 1
}

// unreadEnd is where the words end that belong to one that is not understood:
// at the next number, mark or filler.
func (o *orderReader) unreadEnd(at int) int {
	end := at + 1
	for end < len(o.Tokens) && !o.Tokens[end].IsFigure() && !o.Tokens[end].Comma && !o.Tokens[end].Stop && !language.In("order-fillers", o.Word(end)) {
		end++
	}
	return end
}

// recipeAt returns the recipe that is named at a place, by the longest run of
// its words.
func (m *matcher) recipeAt(at int) (id string, end int) {
	for _, r := range m.recipesAt(at, true) {
		if r.id != "" && r.end > end {
			id, end = r.id, r.end
		}
	}
	for end > at+1 && language.In("joints", m.Word(end-1)) && m.Word(end-1) != "one" && m.Word(end-1) != "recipe" && m.Word(end-1) != "mix" {
		end-- // "turkey and" of "Turkey and heart" is the turkey
	}
	return id, end
}

// daysIn reads how many days: "4", "4 days", "x4", "a week", "four". What is
// no number of days is -1.
func (o *orderReader) daysIn(at int) (days, end int) {
	figure := o.Tokens[at].IsFigure()
	value, end := o.Tokens[at].Num.Whole(), at+1
	if !figure {
		value, end = o.numberAt(at)
	}
	unit := float64(span.Periods[o.Word(end)])
	if end == 0 || !figure && unit == 0 && (value < 1 || o.Word(at) == "a" || o.Word(at) == "an") {
		return 0, 0
	}
	if unit > 0 {
		value, end = value*unit, end+1
	}
	if value != float64(int(value)) || value <= 0 || value > mostDays {
		o.wrong(NotDays, at, end)
		return -1, end
	}
	return int(value), end
}

func (o *orderReader) takeDays(days int) {
	n := len(o.Turns)
	switch {
	case n == 0:
		o.days, o.before = days, true
	case o.before || o.Turns[n-1].Days != 0:
		o.days = days
	default:
		o.Turns[n-1].Days = days
	}
}

// takeDogs takes whom it is for: "Juniper and Pip", "both", "all dogs".
func (o *orderReader) takeDogs(at int) (end int) {
	for at < len(o.Tokens) {
		switch w := o.Word(at); {
		case w == "and" || w == "my" || w == "the" || w == "our":
		case w == "both" || w == "all" || w == "everyone" || w == "everybody":
			o.All = true
			end = at + 1
		case (w == "dogs" || w == "them" || w == "of") && o.All:
			end = at + 1
		default:
			r, ok := o.longest(o.dogs, at)
			if !ok {
				return end
			}
			o.Dogs = span.AddNew(o.Dogs, r.id)
			at, end = r.end, r.end
			continue
		}
		at++
	}
	return end
}

// takeNobody takes that it is for no dog of the household.
func (o *orderReader) takeNobody(at int) (end int) {
	for end := min(at+4, len(o.Tokens)); end > at; end-- {
		if language.In("order-nobody", strings.ToLower(o.typed(at, end))) {
			o.Nobody = true
			return end
		}
	}
	return 0
}

// takeStart takes the first day, from the word that leads it.
func (o *orderReader) takeStart(at int) (end int) {
	day, end, code := o.dateAfter(at, o.now)
	switch {
	case code != "":
		o.wrong(code, at, len(o.Tokens))
		return len(o.Tokens)
	case end == 0 && o.Word(at) == "from":
		o.wrong(span.BadDate, at, o.unreadEnd(at+1))
		return len(o.Tokens)
	case end == 0:
		return at
	}
	o.Start = day
	return end
}

// dateAfter reads the day that the words after a place say, the longest run
// of them; code is why what stands there is none, end is 0 where no day does.
func (m *matcher) dateAfter(at int, now time.Time) (day planner.Date, end int, code span.Code) {
	for end := min(len(m.Tokens), at+6); end > at+1; end-- {
		d, err := span.Date(m.typed(at+1, end), now)
		if err == nil {
			return d, end, ""
		}
		if p, ok := err.(span.Problem); ok && p.Code != span.NoDate {
			code = p.Code
		}
	}
	return planner.Date{}, 0, code
}

// finish gives a number that stands for every recipe to each, and finds what
// is left over.
func (o *orderReader) finish() {
	said, one := 0, o.days
	for _, t := range o.Turns {
		if t.Days != 0 {
			said, one = said+1, t.Days
		}
	}
	all := o.each || o.before && said == 1 && len(o.Turns) > 1 && o.days == 0
	if all && said <= 1 {
		for i := range o.Turns {
			o.Turns[i].Days = max(one, 1) // "every other day" is a day each
		}
		o.days = 0
	}
	switch {
	case len(o.Turns) == 0:
		o.wrong(span.Empty, 0, len(o.Tokens))
	case o.days != 0:
		o.wrong(UnknownRecipe, len(o.Tokens)-1, len(o.Tokens))
	}
}

// DayCount reads a number of days that is whole and not below zero: "4", "4
// days", "a week", "four".
func DayCount(s string) (int, bool) {
	o := orderReader{matcher: newLooseMatcher(s, span.Names{})}
	at := o.AfterAll(0, "for", "over", "x")
	if at >= len(o.Tokens) {
		return 0, false
	}
	if w := o.Tokens[at]; w.IsFigure() && w.Num.Whole() == 0 && at+1 == len(o.Tokens) {
		return 0, true
	}
	days, end := o.daysIn(at)
	return days, end == len(o.Tokens) && days > 0 && o.Code == ""
}

// DogsText reads a text that names nothing but dogs of the household:
// "Juniper and Pip", "both", "all dogs". all says that every dog is meant.
func DogsText(s string, n span.Names) (ids []string, all, ok bool) {
	o := orderReader{matcher: newLooseMatcher(s, n)}
	at := o.After(0, "for")
	end := o.takeDogs(at)
	return o.Dogs, o.All, end > at && end == len(o.Tokens)
}

// ForNobody reports that a text says no dog of the household: "for my readers".
func ForNobody(s string) bool {
	o := orderReader{matcher: newLooseMatcher(s, span.Names{})}
	return len(o.Tokens) > 0 && o.takeNobody(o.After(0, "for")) == len(o.Tokens)
}

// Exchange is two days of a rotation that are to change places, or a day on
// which another recipe is eaten.
type Exchange struct {
	Day    planner.Date
	With   planner.Date // zero where a recipe is named
	Recipe string       // id
}

// ExchangeText reads "Thu and Sat", "swap today with Friday", "Thursday:
// rabbit", "rabbit on Thursday". now is the instant that days count from.
func ExchangeText(s string, n span.Names, now time.Time) (Exchange, bool) {
	m := newLooseMatcher(s, n)
	var x Exchange
	for at := 0; at < len(m.Tokens); {
		if day, end, _ := m.dateAfter(at-1, now); end > 0 {
			switch {
			case x.Day.IsZero():
				x.Day = day
			case x.With.IsZero():
				x.With = day
			default:
				return Exchange{}, false
			}
			at = end
			continue
		}
		if id, end := m.recipeAt(at); end > 0 {
			if x.Recipe != "" {
				return Exchange{}, false
			}
			x.Recipe, at = id, end
			continue
		}
		if !language.In("exchange-fillers", m.Word(at)) && m.Word(at) != "'s" {
			return Exchange{}, false
		}
		at++
	}
	return x, !x.Day.IsZero() && x.With.IsZero() == (x.Recipe != "")
}
