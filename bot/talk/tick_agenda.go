package talk

import (
	"context"
	"math"
	"slices"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// keepDue keeps when something next falls due for a household that the turn has
// changed.
func (t *Turn) keepDue() {
	if !t.Changed || !t.reminded && len(t.Home.Reminders) == 0 {
		return
	}
	d, err := t.Snap.Due(t.Home.ID)
	t.Fail(err)
	d.Household = t.Home.ID
	t.Expect(store.DueIs(d))
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
	d.At = time.Time{}
	if at, ok := planner.NextDue(t.Home, d.Through); ok {
		d.At = at
		t.sooner = before.IsZero() || at.Before(before)
	}
	t.Write(store.PutDue(d))
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
// had something to say.
const clockKey = "clock"

func (r *ticking) noteClock(ctx context.Context) error {
	note := store.PutAdapter{Chat: clockKey, Notes: []byte(r.now.UTC().Format(time.RFC3339))}
	return r.a.store.Commit(ctx, store.Commit{Writes: []store.Write{note}})
}

// rewindAll mends what a clock did that was fast and has been set right:
// households that count as told up to a future time are told what falls due
// before it. What was said early is not said again.
func (r *ticking) rewindAll(ctx context.Context) error {
	ahead, told, err := r.toldAhead(ctx)
	for part := range slices.Chunk(told, rewindStep) {
		if err == nil {
			err = r.rewind(ctx, part)
		}
	}
	if err == nil && ahead {
		err = r.noteClock(ctx)
	}
	return err
}

// rewindStep is how many households one commit puts back at most.
const rewindStep = 128

// toldAhead says whether the clock was ahead, and which households were told
// beyond now.
func (r *ticking) toldAhead(ctx context.Context) (ahead bool, told []string, err error) {
	snap, err := r.a.store.Read(ctx)
	if err != nil {
		return false, nil, err
	}
	defer snap.Close()
	note, err := snap.Adapter(clockKey)
	if err != nil || note == nil {
		return false, nil, err
	}
	if last, err := time.Parse(time.RFC3339, string(note)); err == nil && !last.After(r.now.Add(clockSlack)) {
		return false, nil, nil
	}
	all, err := snap.DueBy(endOfTime, math.MaxInt)
	for _, d := range all {
		if d.Through.After(r.now) {
			told = append(told, d.Household)
		}
	}
	return true, told, err
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
	return store.Answer(ctx, r.a.store, func(snap store.Snapshot) (c store.Commit, err error) {
		for _, id := range households {
			d, err := snap.Due(id)
			if err != nil {
				return c, err
			}
			if !d.Through.After(r.now) {
				continue
			}
			c.Expect = append(c.Expect, store.DueIs(d))
			d.Through = r.now.Add(-clockDoubt)
			d.At = r.now // the tick finds the next time
			c.Writes = append(c.Writes, store.PutDue(d))
		}
		return c, nil
	})
}

// dueOf is what is due for one household, after its clock was put right.
func (r *ticking) dueOf(ctx context.Context, id string) (d store.Due, err error) {
	d, err = r.due(ctx, id)
	if err != nil || !d.Through.After(r.now.Add(clockSlack)) {
		return d, err
	}
	if err = r.rewind(ctx, []string{id}); err == nil {
		d, err = r.due(ctx, id)
	}
	return d, err
}

func (r *ticking) due(ctx context.Context, id string) (store.Due, error) {
	return store.Look(ctx, r.a.store, func(snap store.Snapshot) (store.Due, error) { return snap.Due(id) })
}
