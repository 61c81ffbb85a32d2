package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/postgres"
	"bowlwright/store/postgres/pgtest"
	"bowlwright/store/storetest"
)

var morning = time.Date(2026, time.March, 3, 7, 30, 0, 0, time.UTC)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func commit(s store.Store, w ...store.Write) error {
	return s.Commit(context.Background(), store.Commit{Writes: w})
}

func TestRandom(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	storetest.Random(t, pgtest.Open(t, address), func(s store.Store) store.Store {
		must(t, s.Close())
		return pgtest.Open(t, address)
	}, 1, 200)
}

// TestTogether has two processes share a database: each thing is given to one of
// them, one leads, and what the one puts into the outbox the other hears of.
func TestTogether(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	one, two := pgtest.Open(t, address), pgtest.Open(t, address)
	ctx, stop := context.WithCancel(t.Context())
	heard := make(chan string, 10)
	var side sync.WaitGroup
	side.Go(func() { two.Hear(ctx, func(chat string) { heard <- chat }) })
	for n := 0; ; n++ { // until it listens
		must(t, commit(one, store.Enqueue{Chat: "telegram/ü\x00", Body: []byte("{}")}))
		if n == 0 {
			must(t, commit(one, store.PutUpdate{ID: 1, Chat: "a", Body: []byte("{}")}, store.PutUpdate{ID: 2, Chat: "a", Body: []byte("{}")}))
		}
		select {
		case chat := <-heard:
			if chat != "telegram/ü\x00" {
				t.Errorf("heard of %q", chat)
			}
		case <-time.After(100 * time.Millisecond):
			continue
		}
		break
	}
	claim := store.Claim{By: "one", N: 1, Lease: time.Hour}
	got, err := one.ClaimInbox(ctx, claim)
	if err != nil || len(got) != 1 {
		t.Fatalf("%v, %v", got, err)
	}
	none, err := two.ClaimInbox(ctx, store.Claim{By: "two", N: 9, Lease: time.Hour})
	if err != nil || len(none) != 0 {
		t.Errorf("two of one chat are with two processes: %v, %v", none, err)
	}
	must(t, commit(one, store.DeleteUpdate(1)))
	for chat := range heard { // that the other may have the next
		if chat == "" {
			break
		}
	}
	stop()
	side.Wait()
	if err := one.Alone(t.Context()); err == nil {
		t.Error("one of two is alone")
	}
}

// TestGone has a process go that holds claims and leads; another soon has all of
// it, long before the leases are over.
func TestGone(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	ctx := t.Context()
	one, two := pgtest.Open(t, address), pgtest.Open(t, address)
	must(t, commit(one, store.PutUpdate{ID: 1, Chat: "a", Body: []byte("{}")}, store.Enqueue{Chat: "a", Body: []byte("{}")}, store.PutDue{Household: "quayside", At: morning}))
	claim := store.Claim{By: "one", N: 9, Lease: time.Hour}
	_, err1 := one.ClaimInbox(ctx, claim)
	_, err2 := one.ClaimOutbox(ctx, claim, "a")
	_, err3 := one.ClaimDue(ctx, claim, morning)
	must(t, errors.Join(err1, err2, err3))
	leads, led := make(chan struct{}), make(chan struct{})
	leading, resign := context.WithCancel(ctx)
	go one.Lead(leading, "send", func(ctx context.Context) { close(leads); <-ctx.Done() })
	<-leads
	go two.Lead(ctx, "send", func(context.Context) { close(led) })
	began := time.Now()
	resign()
	must(t, one.Close()) // what it holds stays with it, as after a kill
	<-led
	claim.By = "two"
	for {
		us, err1 := two.ClaimInbox(ctx, claim)
		ms, err2 := two.ClaimOutbox(ctx, claim, "a")
		due, err3 := two.ClaimDue(ctx, claim, morning)
		must(t, errors.Join(err1, err2, err3))
		if len(us) == 1 || len(ms) == 1 && len(due) == 1 {
			break
		}
		if time.Since(began) > time.Minute {
			t.Fatal("what a process held that has gone is given to nobody")
		}
		time.Sleep(20 * time.Millisecond) // it is not told by anything but the claim
	}
	t.Logf("another has it after %v", time.Since(began).Round(time.Millisecond))
}

// TestLetGoLater has a holder let go while the database is not to be had: what it
// held is free soon, long before its lease is over.
func TestLetGoLater(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	one, two := pgtest.Open(t, address), pgtest.Open(t, address)
	must(t, commit(one, store.PutUpdate{ID: 1, Chat: "a", Body: []byte("{}")}))
	claim := store.Claim{By: "one", N: 9, Lease: time.Hour}
	_, err := one.ClaimInbox(t.Context(), claim)
	must(t, err)
	over, end := context.WithCancel(t.Context())
	end()
	if one.Release(over, "one") == nil {
		t.Fatal("it could let go")
	}
	claim.By = "two"
	for began := time.Now(); ; time.Sleep(20 * time.Millisecond) { // it is not told by anything but the claim
		us, err := two.ClaimInbox(t.Context(), claim)
		if must(t, err); len(us) == 1 {
			return
		}
		if time.Since(began) > time.Minute {
			t.Fatal("what was let go is given to nobody")
		}
	}
}

// TestCut ends all sessions of a process again and again, and the server twice,
// while it commits: nothing is lost, nothing happens twice, and a leader stops
// when another may lead.
func TestCut(t *testing.T) {
	t.Parallel()
	server, err := pgtest.Start(pgtest.Programs(t), "fsync=off") // what is lost with a machine is no matter here
	must(t, err)
	defer server.End()
	address, err := server.Create()
	must(t, err)
	s := pgtest.Open(t, address)
	ctx, stop := context.WithCancel(t.Context())
	var leading, led atomic.Int32
	var side, work sync.WaitGroup
	for range 2 {
		side.Go(func() {
			s.Lead(ctx, "send", func(ctx context.Context) {
				if leading.Add(1) > 1 {
					t.Error("two lead")
				}
				led.Add(1)
				<-ctx.Done()
				leading.Add(-1)
			})
		})
	}
	const workers, most = 4, 12
	var committed atomic.Int32
	var enough atomic.Bool
	for w := range workers {
		work.Go(func() {
			for n := 0; !enough.Load(); n++ {
				id := fmt.Sprint("e", w, "-", n)
				again := func() error {
					return store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
						h, err := snap.Household("quayside")
						c = store.Commit{Event: id, At: morning, Expect: []store.Expectation{store.HouseholdAt{ID: "quayside", None: true}}}
						if store.IsNotFound(err) {
							h, err = &planner.Household{ID: "quayside"}, nil
						} else if err == nil {
							c.Expect[0] = store.HouseholdAt{ID: "quayside", Rev: h.Rev}
							h.Rev++
						}
						c.Writes = []store.Write{store.PutHousehold{Household: h}, store.Enqueue{Chat: id}}
						return c, err
					})
				}
				err := again()
				for store.IsLost(err) || errors.Is(err, store.ErrConflict) { // the carer is asked to try again, and does
					err = again()
				}
				must(t, err)
				committed.Add(1)
			}
		})
	}
	for cuts, before := 0, int32(0); cuts < most; {
		<-time.After(100 * time.Millisecond)
		if committed.Load() == before { // a slow machine gets through nothing between two cuts
			continue
		}
		before = committed.Load()
		switch cuts++; cuts {
		case 4, 9:
			server.Down(cuts == 4)
			must(t, server.Up())
		default:
			cut(t, address)
		}
	}
	enough.Store(true)
	work.Wait()
	stop()
	side.Wait()
	want := int(committed.Load())
	must(t, storetest.Look(t.Context(), s, func(snap store.Snapshot) error {
		rev, err1 := snap.Revision("quayside")
		ms, err2 := snap.Pending("", want+1)
		if len(ms) != want || int(rev) != want-1 {
			t.Errorf("%d messages and revision %d of %d commits", len(ms), rev, want)
		}
		return errors.Join(err1, err2)
	}))
	if led.Load() < 3 {
		t.Errorf("led %d times", led.Load())
	}
	t.Logf("%d commits, led %d times", want, led.Load())
}

// cut ends all sessions of a database.
func cut(t *testing.T, address string) {
	conn, err := pgx.Connect(t.Context(), address)
	must(t, err)
	defer conn.Close(t.Context())
	_, err = conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()`)
	must(t, err)
}

// TestVersions has programs of several versions open one database.
func TestVersions(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	s := pgtest.Open(t, address)
	must(t, commit(s, store.PutHousehold{Household: &planner.Household{ID: "quayside"}}))
	conn, err := pgx.Connect(t.Context(), address)
	must(t, err)
	defer conn.Close(t.Context())
	is := func(version, runsWith int) {
		_, err := conn.Exec(t.Context(), `UPDATE bowlwright SET version = $1, runs_with = $2`, version, runsWith)
		must(t, err)
	}
	defer is(postgres.Known(), 1)
	later := postgres.Known() + 1
	is(later, 1) // a later version has added something
	must(t, pgtest.Open(t, address).Close())
	is(later, later) // and has taken away what this one uses
	wantCode(t, "a database that this version cannot use", address, store.Newer)
	is(postgres.Known(), 1)
	// A later version that would take it away waits until this one has ended.
	err = postgres.Migrated(t.Context(), address, fmt.Sprintf("-- runs-with: %d\nALTER TABLE households RENAME TO homes;", later))
	var e *store.Error
	if !errors.As(err, &e) || e.Code != store.Busy {
		t.Errorf("what is in use is taken away: %v", err)
	}
	must(t, postgres.Migrated(t.Context(), address, "-- runs-with: 1\nCREATE TABLE more (); DROP TABLE more;"))
	must(t, commit(s, store.PutHousehold{Household: &planner.Household{ID: "quayside", Rev: 1}}))
}

func wantCode(t *testing.T, what, address string, want store.Code) {
	t.Helper()
	_, err := postgres.Open(t.Context(), address)
	var e *store.Error
	if !errors.As(err, &e) || e.Code != want {
		t.Errorf("%s: %v, want code %s", what, err, want)
	}
}
