package postgres_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/postgres"
	"bowlwright/store/postgres/pgtest"
)

// most is how much slower a message and a tick may get from the fewest
// households to the most.
const most = 1.5

// TestGrowth measures a message, and a tick with 100 households due, among
// 10,000 and 100,000 households, and a tick where 1,000,000 have a next time. It
// tells what a household takes, and how many commits a second there are.
func TestGrowth(t *testing.T) {
	if os.Getenv("BOWLWRIGHT_LONG") == "" {
		t.Skip("takes minutes: set BOWLWRIGHT_LONG=1")
	}
	server, err := pgtest.Start(pgtest.Programs(t), "max_wal_size=4GB")
	must(t, err)
	defer server.End()
	var message, tick []time.Duration
	for _, homes := range []int{10_000, 100_000} {
		address, err := server.Create()
		must(t, err)
		fill(t, address, homes, 10)
		s := pgtest.Open(t, address)
		var sizes store.Sizes
		view(t, s, func(snap store.Snapshot) (err error) { sizes, err = snap.Sizes(); return err })
		message = append(message, median(t, 400, func(n int) { aMessage(t, s, rand.IntN(homes), n) }))
		tick = append(tick, ticks(t, s, homes))
		t.Logf("%7d households, %d bytes each: a message takes %v, a tick with 100 due %v, %.0f commits a second",
			homes, sizes.Bytes/int64(homes), message[len(message)-1], tick[len(tick)-1], rate(t, s, homes))
		if homes == 100_000 {
			conn, err := pgx.Connect(t.Context(), address)
			must(t, err)
			_, err = conn.Exec(t.Context(), `INSERT INTO due SELECT int8send(n), at, record FROM generate_series(1, 900000) n, (SELECT at, record FROM due ORDER BY at DESC LIMIT 1) one; ANALYZE due`)
			must(t, err)
			conn.Close(t.Context())
			tick = append(tick, ticks(t, s, homes))
			t.Logf("1000000 due times: a tick with 100 due takes %v", tick[len(tick)-1])
		}
		must(t, s.Close())
	}
	for what, all := range map[string][]time.Duration{"a message": message, "a tick": tick} {
		if grew := float64(all[len(all)-1]) / float64(all[0]); grew > most {
			t.Errorf("%s takes %.1f times as long, want at most %.1f", what, grew, most)
		}
	}
}

// aMessage reads and commits what a weigh-in does.
func aMessage(t *testing.T, s *postgres.Store, home, n int) {
	id, chat := fmt.Sprint("h", home), fmt.Sprint("c", 2*home)
	must(t, store.Answer(t.Context(), s, func(snap store.Snapshot) (c store.Commit, err error) {
		seen, err := snap.Seen(fmt.Sprint("message", n))
		must(t, err)
		h, err := snap.Household(id)
		must(t, err)
		_, err = snap.Dialogue(chat, "p")
		must(t, store.OrNone(err))
		_, err = snap.Entries(id, store.EntryQuery{Dog: "d1", Kinds: []planner.EntryKind{planner.Weighed, planner.Scored}, Newest: true, Limit: 50})
		must(t, err)
		_, err = snap.Entries(id, store.EntryQuery{From: morning.AddDate(0, 0, -2)})
		must(t, err)
		due, err := snap.Due(id)
		if err != nil || seen {
			return c, err
		}
		before := h.Rev
		h.Rev++
		return store.Commit{Event: fmt.Sprint("message", n, id), At: morning, Expect: []store.Expectation{store.HouseholdAt{ID: id, Rev: before}, store.DueIs(due)}, Writes: []store.Write{
			store.PutHousehold{Household: h}, store.PutEntry{Household: id, Entry: planner.Entry{ID: fmt.Sprint("m", n), Kind: planner.Weighed, Dog: "d1", At: morning, Weight: 19.4}},
			store.PushChange{Household: id, Change: store.Change{ID: fmt.Sprint(n), Before: h}}, store.PutDue(due), store.Enqueue{Chat: chat, Body: make([]byte, 400)},
		}}, nil
	}))
}

// ticks is how long a tick takes that has 100 households due.
func ticks(t *testing.T, s *postgres.Store, homes int) time.Duration {
	at := morning.Add(-time.Hour)
	return median(t, 15, func(n int) {
		var ws []store.Write
		for i := range 100 {
			ws = append(ws, store.PutDue{Household: fmt.Sprint("h", (i*97+n)%homes), At: at})
		}
		must(t, commit(s, ws...))
	}, func(int) {
		claim := store.Claim{By: "one", N: 4096, Lease: time.Hour}
		due, err := s.ClaimDue(t.Context(), claim, at)
		must(t, err)
		if len(due) != 100 {
			t.Fatalf("%d are due", len(due))
		}
		var wg sync.WaitGroup
		for _, d := range due {
			wg.Go(func() {
				d.At = morning.Add(time.Hour)
				if err := commit(s, store.PutDue(d), store.Enqueue{Chat: d.Household}); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
	})
}

// median is that of the last step; those before it are not measured.
func median(t *testing.T, times int, steps ...func(n int)) time.Duration {
	var all []time.Duration
	for n := range times {
		for _, step := range steps[:len(steps)-1] {
			step(n)
		}
		began := time.Now()
		steps[len(steps)-1](n)
		all = append(all, time.Since(began))
	}
	slices.Sort(all)
	return all[len(all)/2].Round(10 * time.Microsecond)
}

// rate is how many messages a second sixteen at once make.
func rate(t *testing.T, s *postgres.Store, homes int) float64 {
	const workers, each = 16, 60
	began := time.Now()
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for n := range each {
				aMessage(t, s, (w*each+n)*7%homes, 1000+w*each+n)
			}
		})
	}
	wg.Wait()
	return workers * each / time.Since(began).Seconds()
}

func view(t *testing.T, s store.Store, f func(store.Snapshot) error) {
	t.Helper()
	snap, err := s.Read(t.Context())
	must(t, err)
	defer snap.Close()
	must(t, f(snap))
}
