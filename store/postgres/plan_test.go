package postgres_test

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/postgres"
	"bowlwright/store/postgres/pgtest"
)

// mayScan are the tables of which all may be read, since they hold little, and
// what reads all of a table on purpose.
var mayScan = "claims endings bowlwright pg_database"

// TestPlans does everything that goes on all the time, and looks at the plan of
// each statement that was sent, in a database with some content: an index leads
// to what is asked for.
func TestPlans(t *testing.T) {
	t.Parallel()
	address := pgtest.Database(t)
	fill(t, address, 1000, 6)
	log := &statements{}
	s, err := postgres.OpenTraced(t.Context(), address, log)
	must(t, err)
	defer s.Close()
	everyday(t, s)
	conn, err := pgx.Connect(t.Context(), address)
	must(t, err)
	defer conn.Close(t.Context())
	seen := 0
	for _, is := range log.all {
		sql := strings.TrimSpace(is.sql)
		if strings.Contains(sql, "pg_notify") { // looks at what is in hand, which is little
			continue
		}
		if !strings.HasPrefix(sql, "SELECT") && !strings.HasPrefix(sql, "WITH") && !strings.HasPrefix(sql, "DELETE") && !strings.HasPrefix(sql, "UPDATE") {
			continue
		}
		rows, err := conn.Query(t.Context(), "EXPLAIN "+sql, is.args...)
		must(t, err)
		plan, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if err != nil {
			t.Errorf("%v\n%s", err, sql)
			continue
		}
		seen++
		for _, line := range plan {
			_, table, scans := strings.Cut(line, "Seq Scan on ")
			table, _, _ = strings.Cut(table, " ")
			if scans && !strings.Contains(mayScan, strings.TrimSpace(table)) {
				t.Errorf("%s\nreads all of %s:\n%s", sql, table, strings.Join(plan, "\n"))
			}
		}
	}
	if seen < 40 {
		t.Errorf("only %d statements were seen", seen)
	}
}

// everyday does what a message, a due time and a delivery do.
func everyday(t *testing.T, s *postgres.Store) {
	ctx := t.Context()
	claim := store.Claim{By: "one", N: 10, Lease: time.Hour}
	must(t, commit(s, store.PutUpdate{ID: 1, Chat: "c7", Body: []byte("{}")}))
	_, err := s.ClaimInbox(ctx, claim)
	must(t, err)
	_, err = s.ClaimDue(ctx, claim, morning)
	must(t, err)
	_, err = s.ClaimOutbox(ctx, claim, "c7")
	must(t, err)
	must(t, store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		h, err := snap.Household("h7")
		must(t, err)
		d, err := snap.Due("h7")
		must(t, err)
		for _, ask := range []func() error{
			func() error { _, err := snap.Seen("e"); return err }, func() error { _, err := snap.Member("c7", "p7"); return err },
			func() error { _, err := snap.Members("h7"); return err }, func() error { _, err := snap.Revision("h7"); return err },
			func() error { _, err := snap.Change("h7", 0); return store.OrNone(err) }, func() error { _, err := snap.Dialogue("c7", "p7"); return store.OrNone(err) },
			func() error { _, err := snap.Adapter("c7"); return err }, func() error { _, err := snap.Pending("c7", 9); return err },
			func() error { _, err := snap.Pending("", 9); return err }, func() error { _, err := store.Oldest(snap, "c7"); return err },
			func() error { _, err := snap.PendingChats("c", "c7", 9); return err }, func() error { _, err := snap.Blocked("c7"); return err },
			func() error { _, err := snap.Entry("h7", "n3"); return err }, func() error { _, err := snap.DueBy(morning, 9); return err },
			func() error { _, err := store.NextDue(snap); return err }, func() error { _, err := snap.SeenBefore(morning, 9); return err },
			func() error { _, err := snap.PublishedBy("h7"); return err }, func() error { _, err := snap.Reading("h7"); return err },
			func() error { _, err := snap.Readers("t7", "", 9); return err }, func() error { _, err := snap.Invites("h7"); return err },
			func() error { _, err := snap.Updates(0, 9); return err },
			func() error {
				_, err := snap.Entries("h7", store.EntryQuery{From: morning, To: morning.Add(time.Hour)})
				return err
			},
			func() error {
				_, err := snap.Entries("h7", store.EntryQuery{Dog: "d1", Kinds: []planner.EntryKind{planner.Weighed, planner.Fed}, Newest: true, Limit: 3})
				return err
			},
		} {
			must(t, ask())
		}
		rev := h.Rev
		h.Rev++
		return store.Commit{Event: "e", At: morning, Expect: []store.Expectation{
			store.HouseholdAt{ID: "h7", Rev: rev}, store.MemberOf{Chat: "c7", Person: "p7", Household: "h3"}, store.DueIs(d), store.BlockedIs{Chat: "c7"},
		}, Writes: []store.Write{
			store.PutHousehold{Household: h}, store.PutEntry{Household: "h7", Entry: planner.Entry{ID: "new", Kind: planner.Weighed, Dog: "d1", At: morning}},
			store.PushChange{Household: "h7", Change: store.Change{ID: "x"}}, store.PopChange("h7"), store.DeleteEntry{Household: "h7", ID: "n2"},
			store.PutDue{Household: "h7", At: morning}, store.Enqueue{Chat: "c7"}, store.Delivered(1), store.PutDialogue{Chat: "c7", Person: "p7"},
			store.DeleteUpdate(1), store.ForgetEvent("old"), store.PutBlocked{Chat: "c7"}, store.PutAdapter{Chat: "c7"}, store.ForgetChat("c8"), store.MoveChat{From: "c9", To: "c10"},
		}}, nil
	}))
}

// fill puts households with some entries each into a database, by COPY, and has
// PostgreSQL look at them.
func fill(t testing.TB, address string, homes, entries int) {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, address)
	must(t, err)
	defer conn.Close(ctx)
	must(t, pgtest.Open(t, address).Close()) // its schema
	k := func(kind string, n int) []byte { return fmt.Append(nil, kind, n) }
	record := func(v any) []byte { return postgres.Record(v) }
	put := func(table string, each int, columns []string, row func(home, n int) []any) {
		t.Helper()
		n := -1
		_, err := conn.CopyFrom(ctx, pgx.Identifier{table}, columns, pgx.CopyFromFunc(func() ([]any, error) {
			if n++; n == homes*each {
				return nil, nil
			}
			return row(n/each, n%each), nil
		}))
		must(t, err)
	}
	put("households", 1, []string{"id", "rev", "record"}, func(h, _ int) []any {
		home := quayside(string(k("h", h)))
		return []any{k("h", h), int64(home.Rev), record(home)}
	})
	put("members", 2, []string{"chat", "person", "household"}, func(h, n int) []any { return []any{k("c", 2*h+n), k("p", 2*h+n), k("h", h)} })
	put("journal", entries, []string{"household", "id", "kind", "dog", "at", "record"}, func(h, n int) []any {
		e := planner.Entry{ID: fmt.Sprint("n", n), Kind: planner.Fed, Dog: fmt.Sprint("d", n%2+1), At: morning.AddDate(0, 0, -n/4), Date: planner.DateOf(morning), Person: string(k("p", 2*h)), Entered: morning, Recipe: "r1", Amount: 412}
		if n%20 == 0 {
			e.Kind, e.Weight = planner.Weighed, 19.4
		}
		return []any{k("h", h), []byte(e.ID), []byte(e.Kind), []byte(e.Dog), store.TimeKey(e.At), record(e)}
	})
	put("due", 1, []string{"household", "at", "record"}, func(h, _ int) []any {
		d := store.Due{Household: string(k("h", h)), At: morning.Add(time.Duration(h) * time.Second)}
		return []any{k("h", h), store.TimeKey(d.At), record(d)}
	})
	put("seen", 5, []string{"event", "at"}, func(h, n int) []any { return []any{k("telegram/", 5*h+n), store.TimeKey(morning)} })
	put("changes", 1, []string{"household", "record"}, func(h, n int) []any {
		return []any{k("h", h), record(store.Change{ID: fmt.Sprint(n), At: morning, Before: quayside(string(k("h", h)))})}
	})
	put("dialogues", 1, []string{"chat", "person", "record"}, func(h, n int) []any { return []any{k("c", h), k("p", h), record(store.Dialogue{Kind: "dog"})} })
	put("blocked", 1, []string{"chat", "since"}, func(h, n int) []any { return []any{k("gone", h), store.TimeKey(morning)} })
	put("inbox", 1, []string{"id", "chat", "body"}, func(h, n int) []any { return []any{int64(h + 100), k("c", h), []byte("{}")} })
	put("adapters", 1, []string{"chat", "notes"}, func(h, n int) []any { return []any{k("c", h), []byte("{}")} })
	for _, table := range []string{"outbox", "dead"} {
		put(table, 1, []string{"number", "chat", "record"}, func(h, _ int) []any { return []any{int64(h), k("c", h), record(store.Outgoing{})} })
	}
	for _, table := range []string{"invites", "published"} {
		put(table, 1, []string{map[string]string{"invites": "key", "published": "token"}[table], "household", "record"}, func(h, _ int) []any { return []any{k("t", h), k("h", h), []byte("{}")} })
	}
	put("readers", 3, []string{"token", "household", "record"}, func(h, n int) []any { return []any{k("t", h), k("h", h+n), []byte("{}")} })
	_, err = conn.Exec(ctx, `SELECT setval('outbox_number', $1)`, homes)
	must(t, err)
	_, err = conn.Exec(ctx, `VACUUM ANALYZE`)
	must(t, err)
}

// quayside is the demo household, some 4 kB of it.
func quayside(id string) *planner.Household {
	h := &planner.Household{
		ID: id, Carers: []planner.Carer{{Person: "telegram/4711", Name: "Ines"}, {Person: "telegram/4712", Name: "Tomas"}},
		Dogs: []planner.Dog{
			{ID: "d1", Name: "Juniper", Weight: 19.6, Sex: planner.Female, Neutered: planner.Yes, Condition: 5, Weighed: morning},
			{ID: "d2", Name: "Bracken", Weight: 34.8, Condition: 7, Excludes: []string{"pork"}},
		},
		Zone: "Europe/Lisbon", LastID: 4, Created: morning,
	}
	for r := range 3 {
		recipe := planner.Recipe{ID: fmt.Sprint("r", r+1), Name: "Turkey and heart"}
		for n := range 10 {
			recipe.Ingredients = append(recipe.Ingredients, planner.Ingredient{Food: fmt.Sprint("turkey-thigh-skinless-", n), Grams: 412.5, Typed: "412,5 g turkey"})
		}
		h.Recipes = append(h.Recipes, recipe)
	}
	return h
}

// statements are those that were sent.
type statements struct {
	mu  sync.Mutex
	all []statement
}

type statement struct {
	sql  string
	args []any
}

func (l *statements) add(sql string, args []any) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all = append(l.all, statement{sql, args})
}

func (l *statements) TraceQueryStart(ctx context.Context, _ *pgx.Conn, d pgx.TraceQueryStartData) context.Context {
	l.add(d.SQL, d.Args)
	return ctx
}
func (l *statements) TraceQueryEnd(context.Context, *pgx.Conn, pgx.TraceQueryEndData) {}
func (l *statements) TraceBatchStart(ctx context.Context, _ *pgx.Conn, d pgx.TraceBatchStartData) context.Context {
	return ctx
}
func (l *statements) TraceBatchQuery(_ context.Context, _ *pgx.Conn, d pgx.TraceBatchQueryData) {
	l.add(d.SQL, d.Args)
}
func (l *statements) TraceBatchEnd(context.Context, *pgx.Conn, pgx.TraceBatchEndData) {}
