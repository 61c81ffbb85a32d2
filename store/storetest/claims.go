package storetest

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/store"
)

// soonOver is a lease that is over by the next claim.
const soonOver = time.Nanosecond

// dueClaimed, inboxClaimed and outboxClaimed claim, and return what was given by
// its name, id or event.
func dueClaimed(t *testing.T, s store.Store, by string, n int, lease time.Duration) []string {
	t.Helper()
	return named(t, func(d store.Due) string { return d.Household })(s.ClaimDue(context.Background(), store.Claim{By: by, N: n, Lease: lease}, morning))
}

func inboxClaimed(t *testing.T, s store.Store, by string, n int, lease time.Duration) []int64 {
	t.Helper()
	return named(t, func(u store.Update) int64 { return u.ID })(s.ClaimInbox(context.Background(), store.Claim{By: by, N: n, Lease: lease}))
}

func outboxClaimed(t *testing.T, s store.Store, by, chat string, n int, lease time.Duration) []string {
	t.Helper()
	return named(t, func(m store.Outgoing) string { return m.Event })(s.ClaimOutbox(context.Background(), store.Claim{By: by, N: n, Lease: lease}, chat))
}

// named are the names of what was found, which must be found without an error.
func named[T, K any](t *testing.T, name func(T) K) func([]T, error) []K {
	return func(all []T, err error) (got []K) {
		t.Helper()
		must(t, err)
		for _, v := range all {
			got = append(got, name(v))
		}
		return got
	}
}

func wantSame[T any](t *testing.T, what string, got []T, want ...T) {
	t.Helper()
	is(t, what, want)(got, nil)
}

func release(t *testing.T, s store.Store, by string) {
	t.Helper()
	must(t, s.Release(context.Background(), by))
}

func dueIsClaimed(t *testing.T, s store.Store) {
	var ws []store.Write
	for n, id := range []string{"e", "d", "c", "b", "a"} {
		ws = append(ws, store.PutDue{Household: id, At: morning.Add(-time.Duration(n) * time.Hour)})
	}
	must(t, commit(s, append(ws, store.PutDue{Household: "later", At: morning.Add(1)})...))
	wantSame(t, "the first two", dueClaimed(t, s, "one", 2, time.Hour), "a", "b")
	wantSame(t, "for another", dueClaimed(t, s, "two", 2, soonOver), "c", "d")
	wantSame(t, "what the lease let go, and the rest", dueClaimed(t, s, "one", 9, time.Hour), "c", "d", "e")
	wantSame(t, "all is held", dueClaimed(t, s, "one", 9, time.Hour))
	// What was done is held by nobody, and is claimed when it is due again.
	must(t, commit(s, store.PutDue{Household: "a", At: morning.Add(time.Hour)}, store.PutDue{Household: "b", At: morning.Add(time.Hour)}))
	wantSame(t, "two are done", dueClaimed(t, s, "two", 9, time.Hour))
	must(t, commit(s, store.PutDue{Household: "a", At: morning}))
	wantSame(t, "one is due again", dueClaimed(t, s, "two", 9, time.Hour), "a")
	release(t, s, "one")
	wantSame(t, "let go", dueClaimed(t, s, "three", 9, time.Hour), "c", "d", "e")
}

// leasesAreRenewed: what is held by one who is still at work is not given to
// another when the first lease is over; what another has claimed stays theirs.
func leasesAreRenewed(t *testing.T, s store.Store) {
	enqueue(t, s, "a")
	must(t, commit(s, store.PutDue{Household: "h", At: morning}, store.PutDue{Household: "g", At: morning},
		store.PutUpdate{ID: 1, Chat: "a", Body: []byte("{}")}))
	wantSame(t, "one of what is due", dueClaimed(t, s, "one", 1, soonOver), "g")
	wantSame(t, "and taken over", dueClaimed(t, s, "two", 1, time.Hour), "g")
	wantSame(t, "the other", dueClaimed(t, s, "one", 1, soonOver), "h")
	wantSame(t, "an update", inboxClaimed(t, s, "one", 1, soonOver), 1)
	wantSame(t, "a chat", outboxClaimed(t, s, "one", "a", 1, soonOver), "e0")
	must(t, s.Renew(context.Background(), "one", time.Hour))
	must(t, s.Renew(context.Background(), "two", soonOver))
	wantSame(t, "what is due, where one is at work and the other is gone", dueClaimed(t, s, "three", 9, time.Hour), "g")
	wantSame(t, "an update that is held", inboxClaimed(t, s, "two", 1, time.Hour))
	wantSame(t, "a chat that is held", outboxClaimed(t, s, "two", "a", 1, time.Hour))
	release(t, s, "one")
	wantSame(t, "let go", dueClaimed(t, s, "two", 9, time.Hour), "h")
}

// outboxIsClaimed holds the order of each chat.
func outboxIsClaimed(t *testing.T, s store.Store) {
	ms := enqueue(t, s, "a", "b", "a", "a", "ab", "blocked")
	must(t, commit(s, store.PutBlocked{Chat: "blocked", Since: morning}))
	claims := func(what, by, chat string, n int, want ...string) {
		t.Helper()
		wantSame(t, what, outboxClaimed(t, s, by, chat, n, time.Hour), want...)
	}
	claims("the first", "one", "a", 1, "e0")
	claims("a chat that another holds", "two", "a", 1)
	claims("another chat", "two", "b", 9, "e1")
	claims("a chat that refuses messages", "two", "blocked", 1)
	claims("a chat without messages", "two", "none", 1)
	claims("tried again", "one", "a", 1, "e0")
	must(t, commit(s, store.Delivered(ms[0].Number)))
	claims("the next is its holder's", "two", "a", 1)
	claims("the next", "one", "a", 9, "e2", "e3")
	must(t, commit(s, store.Delivered(ms[2].Number)))
	wantSame(t, "for a short time", outboxClaimed(t, s, "one", "a", 1, soonOver), "e3")
	claims("the lease is over", "two", "a", 1, "e3")
	claims("no longer its own", "one", "a", 1)
	release(t, s, "two")
	claims("let go", "one", "a", 1, "e3")
	claims("let go too", "one", "b", 1, "e1")
}

// inboxIsClaimed holds the order of each chat: one who claims has all of it.
func inboxIsClaimed(t *testing.T, s store.Store) {
	put := func(id int64, chat string) store.Write {
		return store.PutUpdate{ID: id, Chat: chat, Body: []byte("{}")}
	}
	must(t, commit(s, put(3, "a"), put(1, "a"), put(2, "b"), put(4, "b"), put(5, ""), put(6, "")))
	wantSame(t, "the first", inboxClaimed(t, s, "one", 1, time.Hour), 1)
	wantSame(t, "no other of its chat", inboxClaimed(t, s, "two", 1, time.Hour), 2)
	wantSame(t, "the rest of the chat, and of none", inboxClaimed(t, s, "one", 2, time.Hour), 3, 5)
	wantSame(t, "likewise", inboxClaimed(t, s, "two", 9, time.Hour), 4, 6)
	wantSame(t, "all is held", inboxClaimed(t, s, "one", 9, time.Hour))
	// What was done is gone; the same id can come again.
	must(t, commit(s, store.DeleteUpdate(1), put(7, "a")))
	wantSame(t, "a chat is held as long as one of it is", inboxClaimed(t, s, "two", 9, time.Hour))
	must(t, commit(s, store.DeleteUpdate(3)))
	wantSame(t, "the chat is free", inboxClaimed(t, s, "two", 9, soonOver), 7)
	must(t, commit(s, put(1, "a")))
	wantSame(t, "again, and what the lease let go", inboxClaimed(t, s, "one", 9, time.Hour), 1, 7)
	release(t, s, "two")
	wantSame(t, "let go", inboxClaimed(t, s, "three", 9, time.Hour), 2, 4, 6)
}

// eachToOne has many claim at once: all is done, and each by one.
func eachToOne(t *testing.T, s store.Store) {
	const all, workers = 300, 8
	var ws []store.Write
	for n := range all {
		ws = append(ws, store.PutUpdate{ID: int64(n), Chat: fmt.Sprint("chat", n%7), Body: []byte("{}")})
	}
	must(t, commit(s, ws...))
	var mu sync.Mutex
	got := map[string][]int64{} // by chat
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for {
				us, err := s.ClaimInbox(context.Background(), store.Claim{By: fmt.Sprint("worker ", w), N: 5, Lease: time.Hour})
				var done []store.Write
				mu.Lock()
				for _, u := range us {
					got[u.Chat] = append(got[u.Chat], u.ID)
					done = append(done, store.DeleteUpdate(u.ID))
				}
				left := all
				for _, ids := range got {
					left -= len(ids)
				}
				mu.Unlock()
				if err := errors.Join(err, commit(s, done...)); err != nil {
					t.Error(err)
					return
				}
				if left == 0 {
					return
				}
			}
		})
	}
	wg.Wait()
	for chat, ids := range got {
		if len(ids) > all/7+1 || !slices.IsSorted(ids) {
			t.Errorf("%s was given as %v", chat, ids)
		}
	}
}

// oneLeads has many want to lead at once.
func oneLeads(t *testing.T, s store.Store) {
	ctx := context.Background()
	var leading, led atomic.Int32
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			err := s.Lead(ctx, "poll", func(context.Context) {
				if n := leading.Add(1); n != 1 {
					t.Errorf("%d lead at once", n)
				}
				runtime.Gosched()
				led.Add(1)
				leading.Add(-1)
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if led.Load() != 8 {
		t.Errorf("%d of 8 came to lead", led.Load())
	}
	must(t, s.Lead(ctx, "poll", func(context.Context) {
		// Another role waits for nobody; who waits gives up with its context.
		other := false
		must(t, s.Lead(ctx, "jobs", func(context.Context) { other = true }))
		if !other {
			t.Error("nobody leads in another role")
		}
		over, cancel := context.WithCancel(ctx)
		cancel()
		err := s.Lead(over, "poll", func(context.Context) { t.Error("two lead") })
		wantCode(t, "who gave up waiting", err, store.Internal)
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%v does not wrap the context's error", err)
		}
	}))
}
