package talk

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
)

// For how long a message that could not be sent is still worth sending: common
// practice, no source.
const (
	BowlWorth  = 12 * time.Hour // and not past the next one of the same reminder
	doseWorth  = 24 * time.Hour // likewise: two doses must not arrive together
	dayWorth   = 12 * time.Hour // the day's plan, tomorrow's food, the question of a transition
	checkWorth = 3 * 24 * time.Hour
)

// expires is when the messages about some occurrences are no longer worth
// sending; the zero time for what is always worth it.
func (w *dueTurn) expires(g sameKind) time.Time {
	now := w.Event.At.UTC()
	switch g.kind {
	case planner.BowlReminder:
		return w.beforeNext(g, now.Add(BowlWorth))
	case planner.SupplementReminder:
		return w.beforeNext(g, now.Add(doseWorth))
	case planner.MorningReminder, planner.FreezerReminder, planner.StoolReminder, planner.PacksReminder, planner.CookReminder:
		return now.Add(dayWorth)
	case planner.WeighReminder, planner.DoubtReminder, planner.ConditionReminder, planner.StageReminder:
		return now.Add(checkWorth)
	}
	return time.Time{}
}

// beforeNext is the earlier of a time and of when one of the same reminders
// falls due again.
func (w *dueTurn) beforeNext(g sameKind, latest time.Time) time.Time {
	only := *w.Home
	only.Reminders, only.Snoozes = nil, nil
	for _, r := range w.Home.Reminders {
		if slices.ContainsFunc(g.due, func(o planner.Occurrence) bool { return o.Reminder == r.ID }) {
			only.Reminders = append(only.Reminders, r)
		}
	}
	if next, ok := planner.NextDue(&only, w.Event.At); ok && next.Before(latest) {
		return next
	}
	return latest
}

// leftOut says how much was left out because it is of no use any more, and
// reports whether anything was. What is said late does not count, nor what was
// not late: quiet hours passed it over.
func (w *dueTurn) leftOut(said, passed []planner.Occurrence) bool {
	late := map[string]bool{}
	for _, o := range said {
		late[o.Reminder] = true
	}
	var first, last time.Time
	n := 0
	for _, o := range passed {
		if late[o.Reminder] || w.Event.At.Sub(o.Send) <= planner.LateAfter {
			continue
		}
		if n++; n == 1 {
			first = o.Send
		}
		last = o.Send
	}
	if n == 0 {
		return false
	}
	when := w.Clock(first)
	if n > 1 && !last.Equal(first) {
		when = msg("tick.span", "from", when, "to", w.Clock(last))
	}
	w.SayMsg("tick.left-out", "n", n, "when", when)
	return true
}

// sayPlainly says what falls due in one message, whatever it is.
func (t *Turn) sayPlainly(due []planner.Occurrence) {
	lines := say.Each(due, func(o planner.Occurrence) string {
		return msg("tick.due", "when", t.Clock(o.At), "what", Plainly(t, o))
	})
	t.Say(say.Para(strings.Join(lines, "\n")))
}

// Plainly is what an occurrence is about, in a few words.
func Plainly(t *Turn, o planner.Occurrence) string {
	r := planner.FirstOf(t.Home.Reminders, func(r *planner.Reminder) bool { return r.ID == o.Reminder })
	if r == nil {
		return msg("tick-kind.note")
	}
	what := r.Text
	if key := "tick-kind." + string(r.Kind); what == "" && words.Has(key) {
		what = msg(key)
	}
	if d := t.Dog(r.Dog); d != nil {
		return msg("tick.for", "dog", d.Name, "what", what)
	}
	return what
}
