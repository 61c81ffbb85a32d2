package planner

import (
	"time"
)

// Stock is how much of a supplement is left, counted in its form (capsules,
// drops, grams where it is weighed).
type Stock struct {
	Left   float64 `json:"left"`
	Warned bool    `json:"warned,omitempty"` // that it runs out within a week
}

// Take takes so many out, down to none. An amount that is not above zero
// takes nothing.
func (s *Stock) Take(n float64) {
	if n > 0 {
		s.Left = max(0, s.Left-n)
	}
}

// Add puts so many in, and forgets that it was warned of them. An amount that
// is not above zero adds nothing.
func (s *Stock) Add(n float64) {
	if n > 0 {
		s.Left += n
		s.Warned = false
	}
}

// farthestStock is how many doses are counted ahead: years of any cadence,
// and nothing that a carer plans by.
const farthestStock = 4 * 366

// RunsOut returns the day of the first dose from a day on that the stock does
// not cover, and whether there is one. There is none where the series ends
// before, where the stock lasts for years, or where nobody knows how much a
// dose takes, as with one for each 1000 kcal. loc is the household's zone.
func (s *Stock) RunsOut(r Reminder, from Date, loc *time.Location) (Date, bool) {
	each, known := r.Dose.takes()
	if !known {
		return Date{}, false
	}
	if len(r.Schedule.Times) == 0 {
		r.Schedule.Times = []Clock{defaultMeal} // the dog's times are not at hand
	}
	table := r.Schedule.In(loc)
	after := Instant(from, 0, table.Location()).Add(-time.Nanosecond)
	for dose := 1.0; dose <= farthestStock; dose++ {
		m, ok := table.NextMoment(after)
		if !ok {
			break
		}
		if s.Left < dose*each-stockSlack*each {
			return m.Date, true
		}
		after = m.At
	}
	return Date{}, false
}

// stockSlack is the part of a dose that passes as rounding: 0.1 g taken ten
// times is a gram.
const stockSlack = 1e-6

// takes returns how much of a stock a dose takes, in its form, grams where it
// has none.
func (d *Dose) takes() (n float64, known bool) {
	switch {
	case d == nil || d.Per1000:
		return 0, false
	case d.Count > 0:
		return d.Count, true
	}
	return float64(d.Grams), d.Grams > 0
}
