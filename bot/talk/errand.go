package talk

import (
	"context"
	"strings"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// Errand does a step of what falls due beside the reminders of a household: work
// that crosses households, or that is said to one from outside. It is kept
// among the due times under its kind and what it is of.
type Errand func(w *Work)

// errandPage is how many errands are looked for at once; our own choice.
const errandPage = 1000

// Work is one step of an errand, which is one commit.
type Work struct {
	Ctx   context.Context
	Snap  store.Snapshot
	Now   time.Time
	Of    string    // what it is of: a token, a household
	Next  time.Time // when there is more to do; zero: it is done
	After string    // where the step before ended that was done just now
	Said  int       // messages
	Kept

	a *Assistant
}

// For is a turn of a household that nobody has begun.
func (w *Work) For(home *planner.Household) *Turn {
	return w.a.nobodysTurn(w.Ctx, w.Snap, home, w.Now)
}

// Tell says what a turn has to say in every chat of its household that takes
// messages; behind all others where that has time.
func (w *Work) Tell(t *Turn, behind bool) {
	d := &dueTurn{Turn: t, behind: behind}
	chats, err := d.openChats()
	if err == nil {
		err = t.Err
	}
	if err != nil {
		w.Fail(err)
		return
	}
	d.send(chats, time.Time{})
	w.Said += len(chats)
	w.Write(t.writes...)
	w.Expect(append(t.expect, t.homeStands())...)
}

// Errand has an errand done, at a time or as soon as it can be.
func (t *Turn) Errand(kind, of string, at time.Time) {
	t.Write(store.PutDue{Household: store.Errand(kind, of), At: at})
	t.sooner = true
}

// errand does the errand of an id, step by step, until it has to wait. ok is
// false where the id is none of an errand.
func (r *ticking) errand(ctx context.Context, id string) (ok bool, err error) {
	kind, of, ok := strings.Cut(id, ":")
	do := r.a.reg.Errands[kind]
	if !ok || do == nil {
		return false, nil
	}
	after := ""
	for over := false; !over && err == nil; {
		var w *Work
		err = store.Answer(ctx, r.a.store, func(snap store.Snapshot) (c store.Commit, err error) {
			defer guard("", &err)
			d, err := snap.Due(id)
			if w = nil; err != nil || d.At.IsZero() || d.At.After(r.now) {
				return c, err
			}
			w = &Work{Ctx: ctx, Snap: snap, Now: r.now, Of: of, After: after, a: r.a}
			do(w)
			w.Expect(store.DueIs(d))
			w.Write(store.PutDue{Household: id, At: w.Next})
			return store.Commit{Expect: w.expect, Writes: w.writes}, w.Err
		})
		if over = w == nil; over || err != nil {
			break
		}
		after = w.After
		r.mu.Lock()
		r.result.Said += w.Said
		r.mu.Unlock()
	}
	return true, err
}

// Errands does those that are due, and returns how many messages they were.
func (a *Assistant) Errands(ctx context.Context, now time.Time) (said int, err error) {
	r := &ticking{a: a, now: now}
	err = r.errands(ctx)
	return r.result.Said, err
}

// errands does those that are due.
func (r *ticking) errands(ctx context.Context) error {
	for again := true; again; {
		due, err := store.Look(ctx, r.a.store, func(snap store.Snapshot) ([]store.Due, error) { return snap.DueBy(r.now, errandPage) })
		if err != nil {
			return err
		}
		again = false
		for _, d := range due {
			ok, err := r.errand(ctx, d.Household)
			if again = again || ok; err != nil {
				return r.postpone(ctx, d.Household, err)
			}
		}
	}
	return nil
}
