package read

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// NoWeightBasis is the code of a food's energy that is by something else than
// weight: "380 kcal per cup".
const NoWeightBasis span.Code = "no-weight-basis"

// Switch is a transition as typed; what is not said is zero.
type Switch struct {
	Dog      string  // id
	Old      string  // what the old food is called, as typed
	Per100   float64 // kcal in 100 g of it
	Recipe   string  // id of the recipe that comes
	Rotation bool    // the rotation comes
	Days     int     // -1 where it is no number of days
	Start    planner.Date
}

// longestFood is how many characters of an old food's name are kept.
const longestFood = 40

// SwitchText reads a transition: "switch Juniper from kibble 380 kcal per 100 g
// to Turkey and heart over 10 days", "transition to the rotation in two weeks
// starting Monday", "start him on lamb tomorrow, he's on kibble now". now is the
// instant that days count from. The error is a Problem: UnknownRecipe, NoWeightBasis,
// NotEnergy, BadDate, PastDate, TooLong; what else was read stands beside it.
func SwitchText(s string, n span.Names, now time.Time) (Switch, error) {
	r := readSwitch(s, n, now)
	return r.Switch, r.trouble(s)
}

func readSwitch(s string, n span.Names, now time.Time) switchReader {
	r := switchReader{matcher: newLooseMatcher(s, n), now: now, from: -1, to: -1}
	if len(r.Tokens) > mostWords {
		r.Code = span.TooLong
		return r
	}
	for _, take := range []func(){r.takeEnergy, r.takeDays, r.takeStart, r.takePlaces, r.takeTarget, r.takeDog, r.takeOld} {
		take()
	}
	return r
}

// switchReader is a transition on its way.
type switchReader struct {
	matcher
	Switch
	now      time.Time
	from, to int // where "from" and "to" stand, -1 where they do not
	energy   int // where the energy of the old food stands, 0 where it does not
}

// takeEnergy takes the energy of the old food, wherever it stands.
func (r *switchReader) takeEnergy() {
	for i := range r.Tokens {
		per100, end, code := r.densityAt(i)
		if end == 0 {
			continue
		}
		if code != "" {
			r.wrong(code, i, end)
			return
		}
		r.Per100, r.energy = per100, i
		if i > 0 && language.In("energy-leads", r.Word(i-1)) {
			r.energy--
		}
		r.Use(r.energy, end)
		return
	}
}

// Density reads the energy of a food as its label says it, in kcal per 100 g:
// "380 kcal per 100 g", "3800 kcal/kg", "1590 kJ per 100 g", "380". The error
// is a Problem: NotEnergy, NoWeightBasis, TooLong.
func Density(s string) (per100 float64, err error) {
	m := newLooseMatcher(s, span.Names{})
	for i := range min(len(m.Tokens), mostWords) {
		per100, end, code := m.densityAt(i)
		switch {
		case end == 0 && m.Tokens[i].IsFigure() && len(m.Tokens) == 1 && m.Tokens[i].Num.Whole() >= 0:
			return m.Tokens[i].Num.Whole(), nil
		case code != "":
			m.wrong(code, i, end)
			return 0, m.trouble(s)
		case end > 0:
			return per100, nil
		}
	}
	return 0, span.NewProblem(span.NotEnergy, s)
}

// densityAt reads an energy by weight at a place: "380 kcal per 100 g". What
// it is by is 100 g where that is not said.
func (m *matcher) densityAt(at int) (per100 float64, end int, code span.Code) {
	if !m.Tokens[at].IsFigure() {
		return 0, 0, ""
	}
	x, end := m.Tokens[at].Num.Whole(), at+1
	unit := span.UnitWords[m.Word(end)]
	if unit.Kind != span.ByEnergy {
		return 0, 0, ""
	}
	end++
	if x < 0 {
		return 0, end, span.NotEnergy
	}
	x *= unit.Factor
	by := m.After(end, "per", "in", "a", "each", "for", "an")
	grams, next := m.basisAt(by)
	switch {
	case next > 0:
		return x * 100 / float64(grams), next, ""
	case m.Any(end, "per", "a", "each", "an"):
		return 0, by + 1, NoWeightBasis // per cup, per can
	case m.Any(end, "cup", "can"):
		return 0, end + 1, NoWeightBasis
	}
	return x, end, ""
}

// basisAt reads a weight that an energy is by: "100 g", "kg", "1 kg".
func (m *matcher) basisAt(at int) (nutrition.Grams, int) {
	n, next := m.numberAt(at)
	if next == 0 {
		n, next = 1, at
	}
	if u := span.UnitWords[m.Word(next)]; u.Kind == span.ByMass {
		return nutrition.Grams(n * u.Factor), next + 1
	}
	return 0, 0
}

// takeDays takes "over 10 days", "in two weeks".
func (r *switchReader) takeDays() {
	for i := range r.Tokens {
		days, end := r.daysAt(i)
		if end == 0 {
			continue
		}
		whole := days == float64(int(days)) && days > 0 && days <= mostDays
		r.Days = span.Choose(whole, int(days), -1)
		for r.Any(i-1, "like", "about", "around", "maybe", "roughly") { // "over like a week"
			i--
		}
		if r.Any(i-1, "over", "in", "within", "for", "during", "take", "taking") {
			i--
		}
		r.Use(i, end)
		return
	}
}

// takeStart takes the first day: "starting Monday", "from Monday" after the
// recipe, "tomorrow".
func (r *switchReader) takeStart() {
	for i := range r.Tokens {
		w := r.Word(i)
		at := i
		switch w {
		case "starting", "beginning", "from", "start", "begin":
		case "today", "tomorrow":
			at = i - 1
		default:
			continue
		}
		day, end, code := r.dateAfter(at, r.now)
		switch {
		case end > 0:
			r.Start = day
			r.Use(max(at, 0), end)
			return
		case code != "" && w != "from":
			r.wrong(code, i, len(r.Tokens))
			return
		}
	}
}

// takePlaces finds where the old food and the new one are said.
func (r *switchReader) takePlaces() {
	for i := range r.Tokens {
		switch w := r.Word(i); {
		case r.Tokens[i].Used:
		case w == "from" && r.from < 0:
			r.from = i
		case w == "to" || w == "onto":
			r.to = i
		case w == "on" && r.to < 0 && !language.In("eats-leads", r.Word(i-1)): // "start him on lamb", but not "he's on lamb"
			if id, _ := r.recipeAt(r.past("owners", i+1)); id != "" {
				r.to = i
			}
		}
	}
}

// takeTarget takes the recipe or the rotation that comes, after "to".
func (r *switchReader) takeTarget() {
	if r.to < 0 {
		return
	}
	r.Use(r.to, r.to+1)
	at := r.past("owners", r.to+1)
	if r.Word(at) == "rotation" {
		r.Rotation = true
		r.Use(r.to, at+1)
		return
	}
	if id, end := r.recipeAt(at); end > 0 {
		r.Recipe = id
		r.Use(r.to, end)
		return
	}
	end := at
	for end < len(r.Tokens) && !r.Tokens[end].Used && r.Word(end) != "from" {
		end++
	}
	if end > at {
		r.wrong(UnknownRecipe, at, end)
	}
}

func (r *switchReader) takeDog() {
	for i := range r.Tokens {
		if r.Tokens[i].Used {
			continue
		}
		if d, ok := r.longest(r.dogs, i); ok {
			r.Dog = d.id
			from := i
			if r.Word(i-1) == "for" {
				from--
			}
			if r.Word(d.end) == "'s" {
				d.end++
			}
			r.Use(from, d.end)
			return
		}
	}
}

// takeOld takes what the old food is called: the words after "from" that
// nothing else is made of, else those before its energy, else bought food that
// is named anywhere.
func (r *switchReader) takeOld() {
	at, end := r.from+1, r.energy
	if r.from >= 0 {
		for at < len(r.Tokens) && (r.Tokens[at].Used || language.In("old-owners", r.Word(at))) {
			at++
		}
		for end = at; end < len(r.Tokens) && !r.Tokens[end].Used && !(r.Tokens[end].Comma && !r.Tokens[end].IsFigure()); end++ {
		}
	} else {
		for at = end; at > 0 && !r.Tokens[at-1].Used && !language.In("eats-leads", r.Word(at-1)) && !language.In("old-owners", r.Word(at-1)) && !(at < end && r.Tokens[at].Comma); at-- {
		}
	}
	// "kibble 380": a number behind the name is the energy on its label.
	if last := end - 1; r.Per100 == 0 && last > at && r.Tokens[last].IsFigure() && !r.Tokens[last-1].IsFigure() &&
		r.Tokens[last].Num.Whole() >= planner.LeastPer100 && r.Tokens[last].Num.Whole() <= planner.MostPer100 {
		r.Per100, end = r.Tokens[last].Num.Whole(), last
	}
	old, _ := span.FirstRunes(strings.Trim(r.typed(at, end), " ,;:()-"), longestFood)
	if span.HasLetter(old) {
		r.Old = old
		return
	}
	var left []string
	for i, w := range r.Tokens {
		if !r.Tokens[i].Used {
			left = append(left, w.Text)
		}
	}
	for _, f := range language.Sayings["fodder"] {
		if r.Old = f.Is().FindString(strings.Join(left, " ")); r.Old != "" {
			return
		}
	}
}

// IsSwitch reports that a text speaks of switching a dog to another food, so
// that SwitchText may read it.
func IsSwitch(s string, n span.Names) bool {
	r := readSwitch(s, n, time.Time{})
	has := func(most int, words ...string) bool {
		return slices.ContainsFunc(r.Tokens[:min(most, len(r.Tokens))], func(w span.Token) bool { return slices.Contains(words, w.Text) })
	}
	verb := has(4, "switch", "switching", "wean")
	switch {
	case has(4, "transition"):
		return true
	case verb || has(4, "move", "change"):
		return r.Recipe != "" || r.Rotation || verb && r.Dog != "" && r.to >= 0 && has(mostWords, "from")
	}
	return false
}
