package planner

import (
	"slices"
	"strings"
	"time"

	"bowlwright/nutrition"
)

// Reminder is something that the household is reminded of.
type Reminder struct {
	ID       string       `json:"id"`
	Kind     ReminderKind `json:"kind"`
	Dog      string       `json:"dog,omitempty"` // id; empty: every dog of the household, or none in particular
	Schedule Schedule     `json:"schedule"`
	// WithMeal says that the time is that of the dog's first meal, whatever
	// that is: Schedule.Times then follows Dog.FeedAt.
	WithMeal bool       `json:"with_meal,omitempty"`
	Dose     *Dose      `json:"dose,omitempty"`   // of a supplement; Schedule stands for its cadence
	Stock    *Stock     `json:"stock,omitempty"`  // of a supplement, where a carer counts it
	Missed   MissedRule `json:"missed,omitempty"` // empty: as MissedRule says
	Text     string     `json:"text,omitempty"`   // of a note, as typed
	Since    time.Time  `json:"since"`            // it falls due only after this
	Off      bool       `json:"off,omitempty"`    // kept, but not said
}

// ReminderKind is what a reminder is for.
type ReminderKind string

// The kinds as stored.
const (
	BowlReminder       ReminderKind = "bowl"       // a meal of one dog, at each feeding time
	MorningReminder    ReminderKind = "morning"    // every dog's day in one message
	FreezerReminder    ReminderKind = "freezer"    // the evening before: what to take out for tomorrow
	PacksReminder      ReminderKind = "packs"      // daily: says that packs run out, where they do
	CookReminder       ReminderKind = "cook"       // a cooking day
	SupplementReminder ReminderKind = "supplement" // a dose
	WeighReminder      ReminderKind = "weigh"      // a check-in: the scale
	ConditionReminder  ReminderKind = "condition"  // a check-in: body condition
	StoolReminder      ReminderKind = "stool"      // the daily question of a transition
	StageReminder      ReminderKind = "stage"      // a step of life: a birthday, a week of growth
	DoubtReminder      ReminderKind = "doubt"      // whether a doubted weight is right
	NoteReminder       ReminderKind = "note"       // anything else: "vet on Friday 10:00"
)

// MissedRule is what happens to a series when a dose was missed. A missed dose
// is never doubled.
type MissedRule string

// The rules. Where none is chosen, a schedule by EveryDays shifts and any
// other keeps its days.
const (
	ShiftMissed MissedRule = "shift" // the series goes on from the day on which the dose is given
	KeepMissed  MissedRule = "keep"  // the dose is left out, the days stay
)

// Quiet is the time of day in which nothing is sent; what falls due in it is
// sent at its end. There is none where From equals To; it may run past
// midnight.
type Quiet struct {
	From Clock `json:"from"`
	To   Clock `json:"to"`
}

// Pause is a time in which nothing is said: a holiday, a kennel.
type Pause struct {
	Dog   string `json:"dog,omitempty"` // id; empty: the whole household
	From  Date   `json:"from"`
	Until Date   `json:"until"` // the day on which it goes on again

	Reminder string `json:"reminder,omitempty"` // id of the one reminder that rests; empty: all of them
	Text     string `json:"text,omitempty"`     // why, as typed: "kennel"
	Keeps    bool   `json:"keeps,omitempty"`    // of all reminders: those of supplements and notes go on
	But      string `json:"but,omitempty"`      // ids of those that go on, apart by spaces
}

// Covers reports that a reminder rests on a day.
func (p Pause) Covers(r *Reminder, day Date) bool {
	if p.Keeps && (r.Kind == SupplementReminder || r.Kind == NoteReminder) || slices.Contains(strings.Fields(p.But), r.ID) {
		return false
	}
	return (p.Dog == "" || p.Dog == r.Dog) && (p.Reminder == "" || p.Reminder == r.ID) && !day.Before(p.From) && day.Before(p.Until)
}

// Snooze is an occurrence put off.
type Snooze struct {
	Of    string    `json:"of"` // Occurrence.ID
	Until time.Time `json:"until"`
	Times int       `json:"times"` // how often it was put off
}

// Occurrence is one time at which a reminder falls due.
type Occurrence struct {
	// ID is the same however often it is computed:
	// "HOUSEHOLD/REMINDER/2026-03-02T07:30".
	ID       string
	Reminder string    // id
	Moment             // by the schedule
	Send     time.Time // when it is to be said: after quiet hours and snoozes
	Snoozed  int       // how often it was put off

	// After downtime, as CatchUp fills them:
	Late   bool // it is said later than it was to be
	Missed int  // how many of the same reminder before it were not said
}

// NextOf returns the first moment after an instant at which a reminder falls
// due by its schedule; false where it never does again. Pauses, quiet hours
// and snoozes are left out of account.
func NextOf(h *Household, r *Reminder, after time.Time) (Moment, bool) {
	s, ok := h.ScheduleOf(r)
	if !ok {
		return Moment{}, false
	}
	return s.In(h.Location()).NextMoment(after)
}

// ShiftTo moves a series by every n days so that it falls on a day and goes
// on from there. Other schedules have days of their own and stay.
func (r *Reminder) ShiftTo(day Date) {
	if r.Schedule.EveryDays > 0 {
		r.Schedule.Anchor = day
	}
}

// For returns the dose for a dog that eats so much a day: multiplied out
// where it is given for each 1000 kcal, to whole pieces.
func (d Dose) For(k nutrition.Kcal) Dose {
	if !d.Per1000 {
		return d
	}
	return d.Times(float64(k) / 1000).whole()
}

// Rule returns what becomes of the series when a dose was missed: what the
// carers chose, else ShiftMissed. A series on days of the week or of each month
// cannot be moved and keeps its days whatever was chosen.
func (r *Reminder) Rule() MissedRule {
	if r.Schedule.EveryDays == 0 && r.Schedule.Months < 2 || r.Missed == KeepMissed {
		return KeepMissed
	}
	return ShiftMissed
}

// GivenOn tells the series that a dose was given on a day, the last on which
// one was, or left out for good: that is not made up for. Under ShiftMissed the next one is then due EveryDays after that day
// and none before, so no two doses are nearer than the cadence; a series that
// begins later keeps its first day. Of a series with several times a day, a
// dose on one of its own days moves nothing, for the rest of that day's doses
// stand. Under KeepMissed nothing moves.
func (r *Reminder) GivenOn(day Date) {
	if next := r.shifted(day); r.Schedule.Anchor.Before(next) {
		r.Schedule.Anchor = next
		if r.Schedule.Months > 1 {
			r.Schedule.MonthDay = day.Day
		}
	}
}

// shifted returns the day from which the series goes on, by its rule, when a
// dose was given on a day.
func (r *Reminder) shifted(day Date) Date {
	s := &r.Schedule
	if r.Rule() == KeepMissed || len(s.Times) > 1 && s.On(day) {
		return s.Anchor
	}
	if s.Months > 1 {
		month := DateOf(time.Date(day.Year, day.Month+time.Month(s.Months), 1, 12, 0, 0, 0, time.UTC))
		return nextMonthDay(month, day.Day)
	}
	return day.AddDays(s.EveryDays)
}

// NextAfterMiss returns, under both rules, the day on which the next dose is
// due after one was missed and a carer settled that on a day: no day where the
// series has ended by then. They are the same where the series has no other
// choice, or where the day is one of its own.
func NextAfterMiss(r *Reminder, day Date) (shift, keep Date) {
	keep, _ = r.Schedule.dayFrom(day.AddDays(1))
	moved := *r
	moved.Missed = ShiftMissed
	moved.GivenOn(day)
	shift, _ = moved.Schedule.dayFrom(day.AddDays(1))
	return shift, keep
}

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

// FarthestStock is how many doses are counted ahead: years of any cadence,
// and nothing that a carer plans by.
const FarthestStock = 4 * 366

// RunsOut returns the day of the first dose from a day on that the stock does
// not cover, and whether there is one. There is none where the series ends
// before, where the stock lasts for years, or where nobody knows how much a
// dose takes, as with one for each 1000 kcal. loc is the household's zone.
func (s *Stock) RunsOut(r Reminder, from Date, loc *time.Location) (Date, bool) {
	each, known := r.Dose.Takes()
	if !known {
		return Date{}, false
	}
	if len(r.Schedule.Times) == 0 {
		r.Schedule.Times = []Clock{defaultMeal} // the dog's times are not at hand
	}
	table := r.Schedule.In(loc)
	after := Instant(from, 0, table.Location()).Add(-time.Nanosecond)
	for dose := 1.0; dose <= FarthestStock; dose++ {
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

// Takes returns how much of a stock a dose takes, in its form, grams where it
// has none.
func (d *Dose) Takes() (n float64, known bool) {
	switch {
	case d == nil || d.Per1000:
		return 0, false
	case d.Count > 0:
		return d.Count, true
	}
	return float64(d.Grams), d.Grams > 0
}
