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
	if os.Getenv("BOWLWRIGHT_GROWTH") == "" {
		t.Skip("fills a database for a quarter of an hour: set BOWLWRIGHT_GROWTH=1")
	}
	server, err := pgtest.Start(pgtest.Programs(t), "max_wal_size=4GB")
	must(t, err)
	defer server.End()
	var all []growing
	for _, g := range []growing{{homes: 10_000}, {homes: 100_000}, {homes: 1000, more: 999_000}} {
		address, err := server.Create()
		must(t, err)
		fill(t, address, g.homes, 10)
		conn, err := pgx.Connect(t.Context(), address)
		must(t, err)
		const more = `INSERT INTO due SELECT int8send(n), at, record FROM generate_series(1, $1::int) n, (SELECT at, record FROM due ORDER BY at DESC LIMIT 1) one`
		_, err = conn.Exec(t.Context(), more, g.more)
		must(t, err)
		_, err = conn.Exec(t.Context(), `VACUUM ANALYZE due`)
		must(t, err)
		conn.Close(t.Context())
		g.Store = pgtest.Open(t, address)
		all = append(all, g)
	}
	message := medians(400, all[:2], nil, func(g growing, n int) { aMessage(t, g.Store, rand.IntN(g.homes), n) })
	tick := medians(15, all, func(g growing, n int) { fallDue(t, g, n) }, func(g growing, _ int) { aTick(t, g) })
	for i, g := range all[:2] {
		var sizes store.Sizes
		view(t, g, func(snap store.Snapshot) (err error) { sizes, err = snap.Sizes(); return err })
		t.Logf("%6d households, %d bytes each: a message takes %v, a tick with 100 due %v, %.0f messages a second from 16 at once",
			g.homes, sizes.Bytes/int64(g.homes), message[i], tick[i], rate(t, g.Store, g.homes))
	}
	t.Logf("1000000 due times: a tick with 100 due takes %v", tick[2])
	for what, took := range map[string][]time.Duration{"a message": message, "a tick": tick} {
		for _, is := range took[1:] {
			if grew := float64(is) / float64(took[0]); grew > most {
				t.Errorf("%s takes %.1f times as long, want at most %.1f", what, grew, most)
			}
		}
	}
}

// growing is a store with some households, and more due times.
type growing struct {
	*postgres.Store
	homes, more int
}

// medians are how long a step takes in each store. They take turns, so that what
// else the machine does slows all of them.
func medians(times int, all []growing, prepare, step func(g growing, n int)) (out []time.Duration) {
	took := make([][]time.Duration, len(all))
	for n := range times {
		for i, g := range all {
			if prepare != nil {
				prepare(g, n)
			}
			began := time.Now()
			step(g, n)
			took[i] = append(took[i], time.Since(began))
		}
	}
	for _, one := range took {
		slices.Sort(one)
		out = append(out, one[len(one)/2].Round(10*time.Microsecond))
	}
	return out
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

// before is when what falls due in a tick does: nothing else is due.
var before = morning.Add(-time.Hour)

// fallDue has 100 households be due.
func fallDue(t *testing.T, g growing, n int) {
	var ws []store.Write
	for i := range 100 {
		ws = append(ws, store.PutDue{Household: fmt.Sprint("h", (i*7+n)%g.homes), At: before})
	}
	must(t, commit(g, ws...))
}

// aTick claims them, and gives each its next time.
func aTick(t *testing.T, g growing) {
	due, err := g.ClaimDue(t.Context(), store.Claim{By: "one", N: 4096, Lease: time.Hour}, before)
	must(t, err)
	if len(due) != 100 {
		t.Fatalf("%d are due", len(due))
	}
	var wg sync.WaitGroup
	for _, d := range due {
		wg.Go(func() {
			d.At = morning.Add(time.Hour)
			if err := commit(g, store.PutDue(d), store.Enqueue{Chat: d.Household}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
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
