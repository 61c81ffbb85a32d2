package storetest

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// everything is one record of each kind.
func everything() []store.Write {
	return []store.Write{
		store.Enqueue(message(chat, 1)), store.MarkSeen{Event: "e1", At: morning},
		store.PutMember{Chat: chat, Person: person, Household: "quayside"}, store.PutHousehold{Household: Quayside()},
		store.PutUpdate{ID: 7, Body: []byte("{}")}, store.PutDialogue{Chat: chat, Person: person, Dialogue: store.Dialogue{Kind: "dog"}},
		store.PutAdapter{Chat: chat, Notes: []byte("notes")}, store.PushChange{Household: "quayside", Change: store.Change{ID: "c1", Before: Quayside()}},
		store.PutBlocked{Chat: chat, Since: morning}, store.PutDead{Message: message(chat, 1)},
		store.PutEntry{Household: "quayside", Entry: weighed("w1", 0)}, store.PutDue{Household: "quayside", At: morning},
		store.PutInvite{Key: "k1", Household: "quayside", Expires: morning}, store.PutEnding{Household: "quayside", At: morning},
	}
}

// wantNothing fails where any record of everything is there.
func wantNothing(t *testing.T, s store.Store) {
	t.Helper()
	view(t, s, func(tx store.Snapshot) {
		is(t, "seen", false)(tx.Seen("e1"))
		fails(t, "member", store.NotFound)(tx.Member(chat, person))
		fails(t, "household", store.NotFound)(tx.Household("quayside"))
		fails(t, "dialogue", store.NotFound)(tx.Dialogue(chat, person))
		fails(t, "change", store.NotFound)(tx.Change("quayside", 0))
		fails(t, "entry", store.NotFound)(tx.Entry("quayside", "w1"))
		fails(t, "invitation", store.NotFound)(tx.Invite("k1"))
		is[[]byte](t, "notes", nil)(tx.Adapter(chat))
		is[[]store.Update](t, "updates", nil)(tx.Updates(0, 10))
		is(t, "blocked", time.Time{})(tx.Blocked(chat))
		is[[]store.Dead](t, "dead", nil)(tx.Dead(10))
		is(t, "next due", time.Time{})(store.NextDue(tx))
		is[[]string](t, "endings", nil)(tx.Endings(morning, 10))
	})
	wantPending(t, s, "", 10)
	wantPending(t, s, chat, 10)
}

// commitIsWhole refuses the last write, and the last expectation.
func commitIsWhole(t *testing.T, s store.Store) {
	wantCode(t, "a write without a key", commit(s, append(everything(), store.PutHousehold{Household: new(planner.Household)})...), store.Internal)
	wantNothing(t, s)
	c := store.Commit{Event: "e1", At: morning, Writes: everything(), Expect: []store.Expectation{
		store.HouseholdAt{ID: "quayside", None: true}, store.HouseholdAt{ID: "quayside", Rev: 1}}}
	if err := s.Commit(context.Background(), c); !errors.Is(err, store.ErrConflict) {
		t.Errorf("a commit that rests on what is not so: %v", err)
	}
	wantNothing(t, s)
	must(t, commit(s, everything()...))
}

// seenTwice commits for one event twice, the second time with what cannot be
// written and rests on nothing that is so.
func seenTwice(t *testing.T, s store.Store) {
	ctx := context.Background()
	once := store.Commit{Event: "e1", At: morning, Writes: []store.Write{store.Enqueue{Chat: "a"}}}
	again := store.Commit{Event: "e1", At: morning, Writes: []store.Write{store.Enqueue{Chat: "a"}, store.PutHousehold{Household: new(planner.Household)}},
		Expect: []store.Expectation{store.HouseholdAt{ID: "quayside", Rev: 7}}}
	for _, c := range []store.Commit{once, once, again} {
		must(t, s.Commit(ctx, c))
	}
	view(t, s, func(tx store.Snapshot) { is(t, "seen", true)(tx.Seen("e1")) })
	if ms := pending(t, s, "", 10); len(ms) != 1 {
		t.Errorf("%d messages, want 1", len(ms))
	}
}

// conflicts has each kind of expectation hold and not hold.
func conflicts(t *testing.T, s store.Store) {
	d := store.Dialogue{Kind: "dog", Step: "weight", Data: []byte("{}"), Since: morning}
	i := store.Invite{Key: "k1", Household: "quayside", Expires: morning}
	due := store.Due{Household: "quayside", At: morning, Through: morning}
	h := Quayside()
	h.Rev = 3
	must(t, commit(s, store.PutHousehold{Household: h}, store.PutMember{Chat: chat, Person: person, Household: "quayside"},
		store.PutDialogue{Chat: chat, Person: person, Dialogue: d}, store.PutInvite(i), store.PutDue(due), store.PutBlocked{Chat: chat, Since: morning}))
	other, used, moved := d, i, due
	other.Step, used.Used, moved.Through = "name", person, morning.Add(time.Hour)
	zoned := due
	zoned.At = morning.In(time.FixedZone("", 3600))
	for _, c := range []struct {
		e     store.Expectation
		holds bool
	}{
		{store.HouseholdAt{ID: "quayside", Rev: 3}, true}, {store.HouseholdAt{ID: "quayside", Rev: 2}, false},
		{store.HouseholdAt{ID: "quayside", Rev: 3, None: true}, false}, {store.HouseholdAt{ID: "mill"}, false}, {store.HouseholdAt{ID: "mill", None: true}, true},
		{store.MemberOf{Chat: chat, Person: person, Household: "quayside"}, true}, {store.MemberOf{Chat: chat, Person: person, Household: "mill"}, false},
		{store.MemberOf{Chat: chat, Person: person}, false}, {store.MemberOf{Chat: chat, Person: "x"}, true}, {store.MemberOf{Chat: chat, Person: "x", Household: "mill"}, false},
		{store.DialogueIs{Chat: chat, Person: person, Dialogue: d}, true}, {store.DialogueIs{Chat: chat, Person: person, Dialogue: other}, false},
		{store.DialogueIs{Chat: chat, Person: person}, false}, {store.DialogueIs{Chat: "x"}, true}, {store.DialogueIs{Chat: "x", Dialogue: d}, false},
		{store.InviteIs(i), true}, {store.InviteIs(used), false}, {store.InviteIs{Key: "k1"}, false}, {store.InviteIs{Key: "k2"}, true},
		{store.DueIs(due), true}, {store.DueIs(zoned), true}, {store.DueIs(moved), false}, {store.DueIs{Household: "quayside"}, false}, {store.DueIs{Household: "mill"}, true},
		{store.BlockedIs{Chat: chat, Since: morning}, true}, {store.BlockedIs{Chat: chat}, false}, {store.BlockedIs{Chat: "x"}, true},
	} {
		err := s.Commit(context.Background(), store.Commit{Expect: []store.Expectation{c.e}, Writes: []store.Write{store.PutAdapter{Chat: "x", Notes: []byte("y")}}})
		if c.holds && err != nil || !c.holds && !errors.Is(err, store.ErrConflict) {
			t.Errorf("%T %+v: %v, want it to hold: %v", c.e, c.e, err, c.holds)
		}
	}
}

// snapshotIsOneState reads one snapshot across a commit.
func snapshotIsOneState(t *testing.T, s store.Store) {
	join := func(household string) store.Write {
		return store.PutMember{Chat: chat, Person: person, Household: household}
	}
	must(t, commit(s, join("before")))
	view(t, s, func(tx store.Snapshot) {
		must(t, commit(s, join("after")))
		is(t, "within a snapshot", "before")(tx.Member(chat, person))
	})
	view(t, s, func(tx store.Snapshot) { is(t, "after the commit", "after")(tx.Member(chat, person)) })
}

func snapshotEnds(t *testing.T, s store.Store) {
	snap, err := s.Read(context.Background())
	must(t, err)
	snap.Close()
	snap.Close()
	fails(t, "reading after the end", store.Internal)(snap.Seen("e1"))
}

// valuesAreCopies changes what was given and what was got.
func valuesAreCopies(t *testing.T, s store.Store) {
	h, notes, m := Quayside(), []byte("notes"), message(chat, 1)
	body := string(m.Body)
	must(t, commit(s, store.Enqueue(m), store.PutHousehold{Household: h}, store.PutAdapter{Chat: chat, Notes: notes}))
	h.Dogs[0].Name, h.Told["liver"], notes[0], m.Body[0] = "changed", false, 'X', 'X'
	view(t, s, func(tx store.Snapshot) {
		for range 2 {
			h, err1 := tx.Household("quayside")
			notes, err2 := tx.Adapter(chat)
			ms, err3 := tx.Pending(chat, 1)
			must(t, errors.Join(err1, err2, err3))
			if !reflect.DeepEqual(h, Quayside()) || string(notes) != "notes" || string(ms[0].Body) != body {
				t.Errorf("changed by its caller: %+v, %q, %q", h, notes, ms[0].Body)
			}
			h.Dogs[0].Name, h.Told["liver"], notes[0], ms[0].Body[0] = "changed", false, 'X', 'X'
		}
	})
}

func honoursContext(t *testing.T, s store.Store) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, read := s.Read(ctx)
	for _, err := range []error{read, s.Commit(ctx, store.Commit{Writes: everything()})} {
		wantCode(t, "a cancelled context", err, store.Internal)
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%v does not wrap the context's error", err)
		}
	}
	wantNothing(t, s)
}

// answersAgain has many change one household at once: none may be lost.
func answersAgain(t *testing.T, s store.Store) {
	const workers, rounds = 8, 10
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for range rounds {
				err := store.Answer(context.Background(), s, func(tx store.Snapshot) (c store.Commit, err error) {
					h, err := tx.Household("quayside")
					if none := codeOf(err) == store.NotFound; none {
						h, err = &planner.Household{ID: "quayside"}, nil
						c.Expect = []store.Expectation{store.HouseholdAt{ID: h.ID, None: true}}
					} else {
						c.Expect = []store.Expectation{store.HouseholdAt{ID: h.ID, Rev: h.Rev}}
					}
					h.Rev++
					c.Writes = []store.Write{store.PutHousehold{Household: h}}
					return c, err
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	view(t, s, func(tx store.Snapshot) {
		is(t, "how many changes were kept", uint64(workers*rounds))(tx.Revision("quayside"))
	})
	// What never holds is not tried for ever, and an error of who answers is its
	// own.
	never := store.Commit{Expect: []store.Expectation{store.HouseholdAt{ID: "quayside"}}}
	err := store.Answer(context.Background(), s, func(store.Snapshot) (store.Commit, error) { return never, nil })
	if !errors.Is(err, store.ErrConflict) {
		t.Errorf("what never holds: %v", err)
	}
	mine := errors.New("mine")
	err = store.Answer(context.Background(), s, func(store.Snapshot) (store.Commit, error) { return store.Commit{Writes: everything()}, mine })
	if !errors.Is(err, mine) {
		t.Errorf("an error of who answers: %v", err)
	}
}

// brokenOff is a store that fails after some commits.
type brokenOff struct {
	store.Store
	left int
}

var errBrokenOff = errors.New("broken off")

func (b *brokenOff) Commit(ctx context.Context, c store.Commit) error {
	if b.left--; b.left < 0 {
		return errBrokenOff
	}
	return b.Store.Commit(ctx, c)
}

// jobsGoOn breaks a job off again and again: each time it goes on, and what was
// done stays done.
func jobsGoOn(t *testing.T, s store.Store) {
	const events = 4500
	var all []store.Write
	for n := range events {
		all = append(all, store.MarkSeen{Event: fmt.Sprint("old", n), At: morning.Add(-time.Duration(n) * time.Second)})
	}
	must(t, commit(s, append(all, store.MarkSeen{Event: "new", At: morning.Add(time.Second)})...))
	left := func() (n int) {
		view(t, s, func(tx store.Snapshot) {
			all, err := tx.SeenBefore(morning.Add(time.Hour), 2*events)
			must(t, err)
			n = len(all)
		})
		return n
	}
	for before := left(); ; before = left() {
		err := store.Purge(context.Background(), &brokenOff{s, 2}, morning.Add(time.Second))
		if err == nil {
			break
		}
		if now := left(); !errors.Is(err, errBrokenOff) || now >= before || now == 1 {
			t.Fatalf("%v; %d of %d events are left", err, now, before)
		}
	}
	view(t, s, func(tx store.Snapshot) { is(t, "the new one is there", true)(tx.Seen("new")) })
	if n := left(); n != 1 {
		t.Errorf("%d are left, want 1", n)
	}
}
