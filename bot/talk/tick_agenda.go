package talk

import (
	"context"
	"math"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// writeDue stores when something next falls due for a household that the turn
// has changed, in the same transaction.
func (t *Turn) writeDue(tx store.Tx) error {
	if !t.Changed || !t.reminded && len(t.Home.Reminders) == 0 {
		return nil
	}
	d, err := tx.Due(t.Home.ID)
	if err != nil {
		return err
	}
	before, now := d.At, t.Event.At.UTC()
	if before.IsZero() || before.After(now) {
		// All that was due has been said. What the change would have made due
		// before now no longer counts.
		d.Through = later(d.Through, now)
	}
	if t.Before != nil && t.Before.Quiet != t.Home.Quiet {
		// What the quiet hours held back is due now; the marks of what was said
		// keep it from coming again.
		d.Through = now.Add(-longestQuiet)
	}
	d.Household, d.At = t.Home.ID, time.Time{}
	if at, ok := planner.NextDue(t.Home, d.Through); ok {
		d.At = at
		t.sooner = before.IsZero() || at.Before(before)
	}
	return tx.PutDue(d)
}

// longestQuiet is for how long quiet hours hold something back at most.
const longestQuiet = 24 * time.Hour

// Sooner receives after a turn was written that made something fall due
// earlier than was known, or for the first time. It holds one such notice.
func (a *Assistant) Sooner() <-chan struct{} { return a.bell }

// ring tells whoever waits for the next due time that it has changed.
func (a *Assistant) ring(t *Turn) {
	if !t.sooner {
		return
	}
	select {
	case a.bell <- struct{}{}:
	default:
	}
}

// clockKey is the adapter note that holds the instant of the latest tick that
// said something.
const clockKey = "clock"

func noteClock(tx store.Tx, now time.Time) error {
	return tx.PutAdapter(clockKey, []byte(now.UTC().Format(time.RFC3339)))
}

// rewindAll mends what a clock did that was fast and has been set right:
// households that count as told up to a future time are told what falls due
// before it. What was said early is not said again.
func (r *ticking) rewindAll(ctx context.Context) error {
	ahead := false
	err := r.a.store.View(ctx, func(tx store.Tx) error {
		note, err := tx.Adapter(clockKey)
		if err != nil || note == nil {
			return err
		}
		last, err := time.Parse(time.RFC3339, string(note))
		ahead = err != nil || last.After(r.now.Add(clockSlack))
		return nil
	})
	if err != nil || !ahead {
		return err
	}
	var told []string
	err = r.a.store.View(ctx, func(tx store.Tx) error {
		all, err := tx.DueBy(endOfTime, math.MaxInt)
		for _, d := range all {
			if d.Through.After(r.now) {
				told = append(told, d.Household)
			}
		}
		return err
	})
	for len(told) > 0 && err == nil {
		n := min(tickBatch, len(told))
		err = r.rewind(ctx, told[:n])
		told = told[n:]
	}
	if err != nil {
		return err
	}
	return r.a.store.Update(ctx, func(tx store.Tx) error { return noteClock(tx, r.now) })
}

// endOfTime is after whatever falls due.
var endOfTime = time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC)

// clockDoubt is how far before the moment at which a clock was set right
// something due may have been skipped; our own choice.
const clockDoubt = time.Hour

// rewind makes some households count as told up to shortly before now where
// they count as told up to a later time. The marks of what was said keep it
// from being said again.
func (r *ticking) rewind(ctx context.Context, households []string) error {
	return r.a.store.Update(ctx, func(tx store.Tx) error {
		for _, id := range households {
			d, err := tx.Due(id)
			if err != nil {
				return err
			}
			if !d.Through.After(r.now) {
				continue
			}
			d.Through = r.now.Add(-clockDoubt)
			d.At = r.now // the tick finds the next time
			if err := tx.PutDue(d); err != nil {
				return err
			}
		}
		return nil
	})
}

// dueOf is what is due for one household, after its clock was put right.
func (r *ticking) dueOf(ctx context.Context, id string) (d store.Due, err error) {
	read := func(tx store.Tx) (err error) {
		d, err = tx.Due(id)
		return err
	}
	if err = r.a.store.View(ctx, read); err != nil || !d.Through.After(r.now.Add(clockSlack)) {
		return d, err
	}
	if err = r.rewind(ctx, []string{id}); err == nil {
		err = r.a.store.View(ctx, read)
	}
	return d, err
}
