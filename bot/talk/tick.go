package talk

import (
	"context"
	"crypto/rand"
	"errors"
	"sync"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// Our own choices.
const (
	// tickPage is how many households are claimed at once, and tickLease for how
	// long.
	tickPage  = 4096
	tickLease = 5 * time.Minute
	// tickWorkers is how many households are worked out at once: the commits of
	// some wait for the disk together.
	tickWorkers = 256
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
	r := &ticking{a: a, now: now}
	claim := store.Claim{By: rand.Text(), N: tickPage, Lease: tickLease}
	defer a.store.Release(context.WithoutCancel(ctx), claim.By)
	defer store.Keep(ctx, a.store, claim.By, tickLease)()
	err := r.rewindAll(ctx)
	for noted := false; err == nil; noted = true {
		var due []store.Due
		if due, err = a.store.ClaimDue(ctx, claim, now); err != nil || len(due) == 0 {
			break
		}
		if !noted {
			err = r.noteClock(ctx)
		}
		if err == nil {
			err = r.all(ctx, due)
		}
	}
	if err == nil {
		r.result.Next, err = store.Look(ctx, a.store, store.NextDue)
	}
	return r.result, err
}

// TickOf is Tick for some households alone; Next is then theirs. It is for an
// adapter that reaches no others.
func (a *Assistant) TickOf(ctx context.Context, households []string, now time.Time) (TickResult, error) {
	r := &ticking{a: a, now: now}
	if err := r.errands(ctx); err != nil {
		return r.result, err
	}
	for _, id := range withNews(households) {
		d, err := r.dueOf(ctx, id)
		if err == nil && !d.At.IsZero() && !d.At.After(now) {
			if err = r.say(ctx, id); err == nil {
				d, err = r.due(ctx, id)
			}
		}
		if err != nil {
			return r.result, err
		}
		r.result.Next = sooner(r.result.Next, d.At)
	}
	return r.result, nil
}

// withNews are households, and the ids under which they have news.
func withNews(households []string) (ids []string) {
	for _, id := range households {
		ids = append(ids, id, store.Errand(store.NewsErrand, id))
	}
	return ids
}

// DueIDs are the ids under which something falls due for some households, or
// for what they have published.
func DueIDs(snap store.Snapshot, households []string) ([]string, error) {
	ids := withNews(households)
	for _, id := range households {
		published, err := snap.PublishedBy(id)
		if err != nil {
			return nil, err
		}
		for _, p := range published {
			ids = append(ids, store.Errand(store.TellErrand, p.Token))
		}
	}
	return ids, nil
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
	mu     sync.Mutex // of what follows
	result TickResult
}

// all says what is due to each of some households, and returns the first error.
func (r *ticking) all(ctx context.Context, due []store.Due) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	work := make(chan string)
	var workers sync.WaitGroup
	for range min(tickWorkers, len(due)) {
		workers.Go(func() {
			for id := range work {
				if ctx.Err() != nil {
					continue
				}
				if err := r.say(ctx, id); err != nil {
					stop(err)
				}
			}
		})
	}
	for _, d := range due {
		work <- d.Household
	}
	close(work)
	workers.Wait()
	return context.Cause(ctx)
}

// say works out what is said to a household and commits it. One that cannot be
// kept is put off; one that others change all the while is left for the next
// tick. An error is that of the store.
func (r *ticking) say(ctx context.Context, id string) error {
	if ok, err := r.errand(ctx, id); ok {
		return r.settled(ctx, id, err)
	}
	w, err := r.answer(ctx, id)
	if err != nil || w == nil {
		return r.settled(ctx, id, err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.result.Households++
	r.result.Said += len(w.spoken)
	r.result.Passed += w.passed
	r.result.Failed = append(r.result.Failed, w.failures...)
	return nil
}

// settled is what a failure leaves to be done: nothing where others were faster,
// and the next tick goes on.
func (r *ticking) settled(ctx context.Context, id string, err error) error {
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err == nil, errors.Is(err, store.ErrConflict):
		return nil
	}
	return r.postpone(ctx, id, err)
}

// answer commits what is said to a household; nil where nothing is due any more.
func (r *ticking) answer(ctx context.Context, id string) (w *dueTurn, err error) {
	defer guard("", &err)
	err = store.Answer(ctx, r.a.store, func(snap store.Snapshot) (store.Commit, error) {
		w = nil
		d, err := snap.Due(id)
		if err != nil || d.At.IsZero() || d.At.After(r.now) {
			return store.Commit{}, err
		}
		w = r.a.dueTurn(ctx, snap, d, r.now)
		return w.commit, ctx.Err()
	})
	return w, err
}

// postpone puts off a household of which nothing could be kept. Where not even
// that works, the trouble is the store's.
func (r *ticking) postpone(ctx context.Context, id string, cause error) error {
	err := store.Answer(ctx, r.a.store, func(snap store.Snapshot) (c store.Commit, err error) {
		d, err := snap.Due(id)
		if err != nil || d.At.After(r.now) {
			return c, err
		}
		c.Expect = []store.Expectation{store.DueIs(d)}
		d.At = r.now.Add(tickLater)
		c.Writes = []store.Write{store.PutDue(d)}
		return c, nil
	})
	if err != nil {
		return cause
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.result.Failed = append(r.result.Failed, TickFailure{Household: id, Reason: reasonOf(cause)})
	return nil
}

// reasonOf is what may be logged of an error: no text of a carer's.
func reasonOf(err error) string {
	var kind *kindFailure
	var e *store.Error
	switch {
	case errors.As(err, &kind):
		return kind.reason
	case errors.As(err, &e):
		return "store: " + e.Op + ": " + string(e.Code)
	}
	return "internal"
}
