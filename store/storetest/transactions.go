package storetest

import (
	"cmp"
	"context"
	"errors"
	"reflect"
	"runtime"
	"sync"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
)

// everything writes one record of each kind.
func everything(tx store.Tx) error {
	_, err := tx.Enqueue(message(chat, 1))
	return cmp.Or(err,
		tx.MarkSeen("e1", morning), tx.PutMember(chat, person, "quayside"), tx.PutHousehold(Quayside()),
		tx.PutUpdate(store.Update{ID: 7, Body: []byte("{}")}), tx.PutDialogue(chat, person, store.Dialogue{Kind: "dog"}), tx.PutAdapter(chat, []byte("notes")),
		tx.PushChange("quayside", store.Change{ID: "c1", Before: Quayside()}),
		tx.PutBlocked(chat, morning), tx.PutDead(store.Dead{Message: message(chat, 1)}))
}

// wantNothing fails where any record of everything is there.
func wantNothing(t *testing.T, s store.Store) {
	t.Helper()
	view(t, s, func(tx store.Tx) error {
		if seen, err := tx.Seen("e1"); seen || err != nil {
			t.Errorf("seen: %v, %v", seen, err)
		}
		_, err := tx.Member(chat, person)
		wantCode(t, "member", err, store.NotFound)
		_, err = tx.Household("quayside")
		wantCode(t, "household", err, store.NotFound)
		_, err = tx.Dialogue(chat, person)
		wantCode(t, "dialogue", err, store.NotFound)
		_, err = tx.LastChange("quayside")
		wantCode(t, "change", err, store.NotFound)
		if notes, err := tx.Adapter(chat); notes != nil || err != nil {
			t.Errorf("notes: %q, %v", notes, err)
		}
		if us, err := tx.Updates(0, 10); len(us) > 0 || err != nil {
			t.Errorf("updates: %v, %v", us, err)
		}
		return nil
	})
	wantPending(t, s, "", 10)
	wantPending(t, s, chat, 10)
}

func errorUndoes(t *testing.T, s store.Store) {
	mine := errors.New("mine")
	err := s.Update(context.Background(), func(tx store.Tx) error { return cmp.Or(everything(tx), mine) })
	if !errors.Is(err, mine) {
		t.Errorf("update = %v, want the function's own error", err)
	}
	wantNothing(t, s)
	if err := s.View(context.Background(), func(store.Tx) error { return mine }); !errors.Is(err, mine) {
		t.Errorf("view = %v, want the function's own error", err)
	}
	update(t, s, everything)
}

func panicUndoes(t *testing.T, s store.Store) {
	for _, run := range []func(context.Context, func(store.Tx) error) error{s.Update, s.View} {
		func() {
			defer func() {
				if p := recover(); p != "mine" {
					t.Errorf("recovered %v, want the function's own panic", p)
				}
			}()
			run(context.Background(), func(tx store.Tx) error {
				everything(tx) // refused by View
				panic("mine")
			})
		}()
		wantNothing(t, s)
	}
	// A fault in f is f's own, not damage of the store.
	func() {
		defer func() {
			if recover() == nil {
				t.Error("a nil dereference in f was swallowed")
			}
		}()
		s.Update(context.Background(), func(store.Tx) error {
			var h *planner.Household
			h.ID = "x"
			return nil
		})
	}()
	update(t, s, everything)
}

// exitUndoes ends the goroutine inside f, as a failing test does.
func exitUndoes(t *testing.T, s store.Store) {
	var wg sync.WaitGroup
	wg.Add(1)
	go func() {
		defer wg.Done()
		s.Update(context.Background(), func(tx store.Tx) error {
			if err := everything(tx); err != nil {
				t.Error(err)
			}
			runtime.Goexit()
			return nil
		})
	}()
	wg.Wait()
	wantNothing(t, s)
	update(t, s, everything)
}

func viewDoesNotWrite(t *testing.T, s store.Store) {
	view(t, s, func(tx store.Tx) error {
		wantCode(t, "MarkSeen", tx.MarkSeen("e1", morning), store.Internal)
		wantCode(t, "PutMember", tx.PutMember(chat, person, "quayside"), store.Internal)
		wantCode(t, "DeleteMember", tx.DeleteMember(chat, person), store.Internal)
		wantCode(t, "PutHousehold", tx.PutHousehold(Quayside()), store.Internal)
		wantCode(t, "PutDialogue", tx.PutDialogue(chat, person, store.Dialogue{}), store.Internal)
		wantCode(t, "PutAdapter", tx.PutAdapter(chat, []byte("x")), store.Internal)
		wantCode(t, "PushChange", tx.PushChange("quayside", store.Change{}), store.Internal)
		_, err := tx.Enqueue(message(chat, 1))
		wantCode(t, "Enqueue", err, store.Internal)
		// There is nothing to take away, and still it is refused.
		wantCode(t, "PopChange", tx.PopChange("quayside"), store.Internal)
		wantCode(t, "Delivered", tx.Delivered(1), store.Internal)
		wantCode(t, "DeleteDialogue", tx.DeleteDialogue(chat, person), store.Internal)
		return nil
	})
	wantNothing(t, s)
}

// viewIsOneState runs one View across an Update where the store lets both
// run at once, and checks that it sees none of it or waits.
func viewIsOneState(t *testing.T, s store.Store) {
	update(t, s, func(tx store.Tx) error { return tx.PutMember(chat, person, "before") })
	var wg sync.WaitGroup
	started := make(chan struct{})
	wg.Go(func() {
		<-started
		update(t, s, func(tx store.Tx) error { return tx.PutMember(chat, person, "after") })
	})
	view(t, s, func(tx store.Tx) error {
		close(started)
		for range 200 {
			if id, err := tx.Member(chat, person); id != "before" || err != nil {
				t.Fatalf("within a view: %q, %v", id, err)
			}
		}
		return nil
	})
	wg.Wait()
	view(t, s, func(tx store.Tx) error {
		id, err := tx.Member(chat, person)
		if id != "after" {
			t.Errorf("after the update: %q", id)
		}
		return err
	})
}

func transactionEnds(t *testing.T, s store.Store) {
	for _, run := range []func(context.Context, func(store.Tx) error) error{s.Update, s.View} {
		var kept store.Tx
		if err := run(context.Background(), func(tx store.Tx) error { kept = tx; return nil }); err != nil {
			t.Fatal(err)
		}
		_, err := kept.Seen("e1")
		wantCode(t, "reading after the end", err, store.Internal)
		wantCode(t, "writing after the end", kept.PutMember(chat, person, "x"), store.Internal)
	}
	wantNothing(t, s)
}

// valuesAreCopies changes what was given and what was got, in the same
// transaction and after it.
func valuesAreCopies(t *testing.T, s store.Store) {
	h, notes, m := Quayside(), []byte("notes"), message(chat, 1)
	body := string(m.Body)
	update(t, s, func(tx store.Tx) error {
		_, err := tx.Enqueue(m)
		err = cmp.Or(err, tx.PutHousehold(h), tx.PutAdapter(chat, notes))
		h.Dogs[0].Name, h.Told["liver"], notes[0], m.Body[0] = "changed", false, 'X', 'X'
		return err
	})
	for range 2 {
		update(t, s, func(tx store.Tx) error {
			h, err1 := tx.Household("quayside")
			notes, err2 := tx.Adapter(chat)
			ms, err3 := tx.Pending(chat, 1)
			if err := cmp.Or(err1, err2, err3); err != nil {
				return err
			}
			if !reflect.DeepEqual(h, Quayside()) || string(notes) != "notes" || string(ms[0].Body) != body {
				t.Errorf("changed by its caller: %+v, %q, %q", h, notes, ms[0].Body)
			}
			h.Dogs[0].Name, h.Told["liver"], notes[0], ms[0].Body[0] = "changed", false, 'X', 'X'
			return nil
		})
	}
}

func honoursContext(t *testing.T, s store.Store) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, run := range []func(context.Context, func(store.Tx) error) error{s.Update, s.View} {
		err := run(ctx, func(store.Tx) error { t.Error("f was called"); return nil })
		wantCode(t, "a cancelled context", err, store.Internal)
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%v does not wrap the context's error", err)
		}
	}
}

func oneUpdateAtATime(t *testing.T, s store.Store) {
	const workers, rounds = 8, 10
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for range rounds {
				update(t, s, func(tx store.Tx) error {
					h, err := tx.Household("quayside")
					if codeOf(err) == store.NotFound {
						h, err = &planner.Household{ID: "quayside"}, nil
					}
					if err != nil {
						return err
					}
					h.LastID++
					return tx.PutHousehold(h)
				})
			}
		})
	}
	wg.Wait()
	view(t, s, func(tx store.Tx) error {
		h, err := tx.Household("quayside")
		if err == nil && h.LastID != workers*rounds {
			t.Errorf("%d of %d updates were kept", h.LastID, workers*rounds)
		}
		return err
	})
}
