package talk

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// Our own choices.
const (
	// tickBatch is how many households one transaction of a tick holds at most:
	// enough to share a wait for the disk, few enough not to keep carers
	// waiting who write meanwhile.
	tickBatch = 128
	// tickPage is how many households are looked up at once.
	tickPage = 8 * tickBatch
	// tickWorkers is how many batches are under way at once: one is worked out
	// while another waits for the disk.
	tickWorkers = 2
	// tickLater is when a household that could not be worked out is tried
	// again.
	tickLater = 15 * time.Minute
	// clockSlack is how far a clock may step back before it counts as one that
	// was wrong.
	clockSlack = time.Minute
)

// TickResult is what a tick did.
type TickResult struct {
	Households int           // for which something was due
	Said       int           // occurrences said
	Passed     int           // occurrences left out: of no use any more, or nobody to say them to
	Failed     []TickFailure // households that could not be worked out, or only in part
	Next       time.Time     // the earliest time at which something falls due; zero: never
}

// TickFailure says that something due for a household could not be said, or
// not in full. It holds nothing that a carer wrote.
type TickFailure struct {
	Household string
	Kind      planner.ReminderKind // of what was said in plain words instead; empty: nothing was said, it is tried again later
	Reason    string
}

// Tick says what has fallen due up to an instant, for every household. What is
// said of an occurrence, the mark that it was said and the next time are
// written together, so a tick that is repeated, broken off or under way twice
// says each once. A household that fails is left for later and holds up no
// other. The error is that of the store or of ctx; what was said before it
// stays said.
func (a *Assistant) Tick(ctx context.Context, now time.Time) (TickResult, error) {
	r := &ticking{a: a, now: now, tries: map[string]int{}}
	err := r.rewindAll(ctx)
	for err == nil {
		var due []store.Due
		if due, err = r.dueNow(ctx); err != nil || len(due) == 0 {
			break
		}
		err = r.batches(ctx, due)
	}
	if err == nil {
		err = a.store.View(ctx, func(tx store.Tx) (err error) {
			r.result.Next, err = tx.NextDue()
			return err
		})
	}
	return r.result, err
}

// TickOf is Tick for some households alone; Next is then theirs. It is for an
// adapter that reaches no others.
func (a *Assistant) TickOf(ctx context.Context, households []string, now time.Time) (TickResult, error) {
	r := &ticking{a: a, now: now, tries: map[string]int{}}
	for _, id := range households {
		for {
			d, err := r.dueOf(ctx, id)
			if err != nil {
				return r.result, err
			}
			if d.At.IsZero() || d.At.After(now) || r.aside(id) {
				r.result.Next = sooner(r.result.Next, d.At)
				break
			}
			if err := r.batch(ctx, []store.Due{d}, nil); err != nil {
				return r.result, err
			}
		}
	}
	return r.result, nil
}

// sooner is the earlier of two times, of which zero is none.
func sooner(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}

// ticking is a tick under way.
type ticking struct {
	a      *Assistant
	now    time.Time
	mu     sync.Mutex     // of what follows
	tries  map[string]int // how often a household was in a batch
	result TickResult
}

// aside says that a household has been tried often enough in this tick.
func (r *ticking) aside(id string) bool { return r.tries[id] > attempts }

// batches works through what is due, and returns the first error.
func (r *ticking) batches(ctx context.Context, due []store.Due) error {
	work := make(chan []store.Due)
	errs := make(chan error, tickWorkers)
	for range tickWorkers {
		go func() {
			var err error
			for part := range work {
				if err == nil {
					err = r.batch(ctx, part, noteClock)
				}
			}
			errs <- err
		}()
	}
	size := max(1, min(tickBatch, (len(due)+tickWorkers-1)/tickWorkers))
	for part := range slices.Chunk(due, size) {
		work <- part
	}
	close(work)
	var err error
	for range tickWorkers {
		err = cmp.Or(<-errs, err)
	}
	return err
}

// dueNow returns the next households for which something is due.
func (r *ticking) dueNow(ctx context.Context) (out []store.Due, err error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	put := 0
	for _, n := range r.tries {
		if n > attempts {
			put++
		}
	}
	err = r.a.store.View(ctx, func(tx store.Tx) error {
		due, err := tx.DueBy(r.now, tickPage+put)
		for _, d := range due {
			if !r.aside(d.Household) {
				out = append(out, d)
			}
		}
		return err
	})
	return out, err
}

// batch works out what is said to some households and writes it in one
// transaction, together with also. If that fails, each is written by itself, to
// find the one that fails.
func (r *ticking) batch(ctx context.Context, due []store.Due, also func(store.Tx, time.Time) error) error {
	var turns []*dueTurn
	err := r.a.store.View(ctx, func(tx store.Tx) error {
		turns = r.a.workOut(ctx, tx, due, r.now)
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	err = r.write(ctx, turns, also)
	if err != nil && ctx.Err() == nil && len(turns) > 1 {
		for _, t := range turns {
			err = cmp.Or(r.write(ctx, []*dueTurn{t}, nil), ctx.Err())
			if err != nil {
				err = r.postpone(ctx, t, err)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	if err != nil && ctx.Err() == nil && len(turns) == 1 {
		return r.postpone(ctx, turns[0], err)
	}
	return err
}

// write keeps the turns that rest on what is still so; the others come again.
func (r *ticking) write(ctx context.Context, turns []*dueTurn, also func(store.Tx, time.Time) error) error {
	var wrote []bool
	err := r.a.store.Update(ctx, func(tx store.Tx) (err error) {
		defer guard("", &err)
		wrote = make([]bool, len(turns)) // the store may call this again
		for i, t := range turns {
			moved, err := t.moved(tx)
			if err != nil {
				return err
			}
			if moved {
				continue
			}
			if err := t.write(tx); err != nil {
				return err
			}
			wrote[i] = true
		}
		if also != nil {
			return also(tx, r.now)
		}
		return nil
	})
	if err != nil {
		return err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	for i, t := range turns {
		r.tries[t.due.Household]++
		if wrote[i] {
			r.count(t)
		}
	}
	return nil
}

func (r *ticking) count(t *dueTurn) {
	r.result.Households++
	r.result.Said += len(t.spoken)
	r.result.Passed += t.passed
	r.result.Failed = append(r.result.Failed, t.failures...)
}

// postpone puts off a household that could not be written. Where not even
// that works, the trouble is the store's.
func (r *ticking) postpone(ctx context.Context, t *dueTurn, cause error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	err := r.a.store.Update(ctx, func(tx store.Tx) error {
		d, err := tx.Due(t.due.Household)
		if err != nil || !sameDue(d, t.due) {
			return err
		}
		d.At = r.now.Add(tickLater)
		return tx.PutDue(d)
	})
	if err != nil {
		return cause
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.tries[t.due.Household]++
	r.result.Failed = append(r.result.Failed, TickFailure{Household: t.due.Household, Reason: failureReason(cause)})
	return nil
}

func sameDue(a, b store.Due) bool { return a.At.Equal(b.At) && a.Through.Equal(b.Through) }

// reasonOf is what may be logged of an error: no text of a carer's.
func reasonOf(err error) string {
	var e *store.Error
	if errors.As(err, &e) {
		return "store: " + e.Op + ": " + string(e.Code)
	}
	return "internal"
}
