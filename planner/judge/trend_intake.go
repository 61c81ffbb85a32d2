package judge

import (
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Standard errors of a day's food, as shares of it: how much logged food, food
// that was only planned and food eaten elsewhere vary from week to week. There
// are no published figures; these are judgements, and the simulation in the
// tests shows that decisions hold even with logs that are off by more.
const (
	loggedError    = 0.03
	plannedError   = 0.06
	awayError      = 0.25
	awayTold       = 0.15 // fed differently, and told how much
	treatError     = 0.30 // of the treats alone
	unknownTreat   = 0.03 // of the day, for treats without a figure
	beforePlan     = 0.10 // before amounts were records
	mealsByDefault = 2
	mostEaten      = 20000 // kcal: more than any dog eats in a day
)

// fedDay gathers what was logged on a day.
type fedDay struct {
	fed, treats     float64 // kcal
	bowls, skipped  int
	unmeasured      int // bowls logged without kcal
	treatsUnknown   bool
	away            bool
	awayKcal        float64
	planned, unsure float64 // kcal of the plan, and its error as a share
}

// feed works out the daily intake from the first weigh-in to today.
func (h *History) feed(d planner.Dog, own []*planner.Entry, loc *time.Location) {
	if len(h.Weighings) == 0 {
		return
	}
	first, last := planner.DateOf(h.Weighings[0].At).Number(), planner.DateOf(h.Now).Number()
	days := make([]fedDay, last-first+1)
	h.plan(days, first)
	for _, e := range lastAnswers(own) {
		date := e.Date
		if date.IsZero() {
			date = planner.DateOf(e.At.In(loc))
		}
		logEntry(days, date.Number()-first, date, e)
	}
	from := planner.DateOf(h.Weighings[0].At)
	meals := d.Meals
	if meals <= 0 {
		meals = mealsByDefault
	}
	start := Intake{Kcal: -1}
	since := 0
	for i := range days {
		day := Intake{Away: days[i].away}
		day.Kcal, day.SD = days[i].intake(meals, d.TreatsOff)
		if day == start {
			continue
		}
		h.stretch(start, from, since, i)
		start, since = day, i
	}
	h.stretch(start, from, since, len(days))
	h.recent(days, meals, d.TreatsOff)
}

// plan fills in what was planned for each day.
func (h *History) plan(days []fedDay, first int) {
	next := 0
	kcal, unsure := float64(h.Planned), 0.0
	if len(h.Changes) > 0 {
		kcal, unsure = float64(h.Changes[0].Kcal), beforePlan
	}
	for i := range days {
		end := float64(first + i + 1)
		for ; next < len(h.Changes) && momentOf(h.Changes[next].At) < end; next++ {
			kcal, unsure = float64(h.Changes[next].Kcal), 0
			if h.Changes[next].Ground == planner.OnReckoning {
				unsure = beforePlan
			}
		}
		days[i].planned, days[i].unsure = kcal, unsure
	}
}

// lastAnswers keeps the last answer to each occurrence: two carers may both
// have pressed.
func lastAnswers(own []*planner.Entry) []*planner.Entry {
	answers := func(e *planner.Entry) bool { return e.Of != "" && (e.Kind == planner.Fed || e.Kind == planner.NotFed) }
	last := map[string]*planner.Entry{}
	for _, e := range own {
		if answers(e) {
			last[e.Of] = e
		}
	}
	kept := make([]*planner.Entry, 0, len(own))
	for _, e := range own {
		if !answers(e) || last[e.Of] == e {
			kept = append(kept, e)
		}
	}
	return kept
}

// logEntry adds an entry to the i-th day, which has that date.
func logEntry(days []fedDay, i int, date planner.Date, e *planner.Entry) {
	if e.Kind == planner.Away {
		until := i
		if !e.Until.IsZero() {
			until = i + date.DaysTo(e.Until)
		}
		for j := max(i, 0); j <= min(until, len(days)-1); j++ {
			days[j].away, days[j].awayKcal = true, amount(e.Kcal)
		}
		return
	}
	if i < 0 || i >= len(days) {
		return
	}
	day := &days[i]
	switch e.Kind {
	case planner.Fed:
		day.bowls++
		day.fed += amount(e.Kcal)
		if !(e.Kcal > 0) {
			day.unmeasured++
		}
	case planner.NotFed:
		day.skipped++
	case planner.Treat:
		day.treats += amount(e.Kcal)
		day.treatsUnknown = day.treatsUnknown || !(e.Kcal > 0)
	}
}

// amount is what was logged, nothing where it cannot be.
func amount(k nutrition.Kcal) float64 {
	if !(k > 0 && k < mostEaten) {
		return 0
	}
	return float64(k)
}

// confirmed reports whether every bowl of the day was logged.
func (f *fedDay) confirmed(meals int) bool {
	return !f.away && f.unlogged(meals) < 0.05*f.planned
}

// unlogged returns the kcal of the bowls that nothing was said about.
func (f *fedDay) unlogged(meals int) float64 {
	meal := f.planned / float64(meals)
	open := float64(max(meals-f.bowls-f.skipped, 0)) * meal
	// One answer may stand for the whole day.
	return min(open, max(f.planned-f.fed-float64(f.skipped+f.unmeasured)*meal, 0))
}

// intake returns the kcal of the day and their standard error.
func (f *fedDay) intake(meals int, treatsOff bool) (kcal, sd float64) {
	switch {
	case f.away && f.awayKcal > 0:
		return f.awayKcal, awayTold * f.awayKcal
	case f.away:
		return f.planned, awayError * f.planned
	}
	fed := f.fed + float64(f.unmeasured)*f.planned/float64(meals)
	rest := f.unlogged(meals)
	if treatsOff {
		rest = max(rest-f.treats, 0)
	}
	unsure := math.Hypot(plannedError, f.unsure) * rest
	if f.treatsUnknown {
		unsure = math.Hypot(unsure, unknownTreat*f.planned)
	}
	return fed + rest + f.treats, math.Hypot(loggedError*fed+unsure, treatError*f.treats)
}

// stretch adds days that are alike, from the i-th to before the j-th.
func (h *History) stretch(alike Intake, first planner.Date, i, j int) {
	if i == j {
		return
	}
	alike.From, alike.To = first.AddDays(i), first.AddDays(j)
	if n := len(h.Intakes); n > 0 {
		alike.From = h.Intakes[n-1].To
	}
	h.Intakes = append(h.Intakes, alike)
}

// recent sums up the last days before today.
func (h *History) recent(days []fedDay, meals int, treatsOff bool) {
	late := days[max(len(days)-1-recentDays, 0):max(len(days)-1, 0)]
	if len(late) == 0 {
		return
	}
	treats, confirmed := 0.0, 0
	for i := range late {
		treats += late[i].treats
		if late[i].confirmed(meals) {
			confirmed++
		}
	}
	if !treatsOff {
		h.Treats = nutrition.Kcal(treats / float64(len(late)))
	}
	h.Confirmed = float64(confirmed) / float64(len(late))
}
