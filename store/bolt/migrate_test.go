package bolt

import (
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
)

// older makes a file of each schema version before the current one, as that
// version wrote it. A new migration is not complete without its row.
var older = []func(*bbolt.Tx) error{
	0: func(tx *bbolt.Tx) error {
		b, err := tx.CreateBucket([]byte("meta"))
		if err != nil {
			return err
		}
		return b.Put([]byte("app"), []byte("bowlwright"))
	},
	1: func(tx *bbolt.Tx) error { return writeOlder(tx, 1) },
	2: func(tx *bbolt.Tx) error { return writeOlder(tx, 2) },
	3: func(tx *bbolt.Tx) error { return writeOlder(tx, 3) },
	4: func(tx *bbolt.Tx) error { return writeOlder(tx, 4) },
	5: func(tx *bbolt.Tx) error { return writeOlder(tx, 5) },
	6: func(tx *bbolt.Tx) error { return writeOlder(tx, 6) },
	7: func(tx *bbolt.Tx) error { return writeOlder(tx, 7) },
}

// What was a message and a dialogue until schema 5.
const (
	oldMessage  = `{"number":1,"chat":"terminal/Tomas","event":"e1","at":"2026-03-02T08:30:00+01:00","body":"eyJib2R5IjpudWxsfQ=="}`
	oldEntry    = `{"id":"w1","kind":"weighed","dog":"1","at":"2026-03-02T07:30:00Z","date":"2026-03-02","person":"terminal/Tomas","entered":"2026-03-02T07:30:00Z","kg":19.6}`
	oldDialogue = `{"kind":"dog","step":"age","data":"eyJuYW1lIjoiUGlwIn0=","since":"2026-03-02T08:30:00+01:00"}`
)

// putOlder writes a message and a dialogue as they were until schema 5.
func putOlder(tx *bbolt.Tx) error {
	tomas := pairKey("terminal/Tomas", "terminal/Tomas")
	one, of := orderKey(1), numberKey("terminal/Tomas", 1)
	outbox := tx.Bucket([]byte("outbox"))
	if journal := tx.Bucket([]byte("journal")); journal != nil {
		middle := append(append(partKey("weighed"), partKey("1")...), store.TimeKey(time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC))...)
		key, id := append(append(partKey("quayside"), middle...), "w1"...), pairKey("quayside", "w1")
		err := errors.Join(journal.Put(key, seal(key, []byte(oldEntry))), tx.Bucket([]byte("journal_ids")).Put(id, seal(id, middle)))
		if err != nil {
			return err
		}
	}
	return errors.Join(outbox.SetSequence(1), outbox.Put(one, seal(one, []byte(oldMessage))),
		tx.Bucket([]byte("outbox_chat")).Put(of, seal(of, nil)),
		tx.Bucket([]byte("dialogues")).Put(tomas, seal(tomas, []byte(oldDialogue))))
}

// writeOlder makes a file of a schema version with one member, message,
// dialogue and entry in it, as far as it has them.
func writeOlder(tx *bbolt.Tx, version uint64) error {
	names := [][]string{
		1: {"seen", "seen_at", "members", "households", "dialogues", "changes", "adapters", "outbox", "outbox_chat"},
		2: {"blocked", "dead"},
		3: {"inbox"},
		4: {"members_of", "invites", "invites_of", "endings"},
		5: {"journal", "journal_ids", "due", "due_at"},
		6: {},
		7: {},
	}
	b, err := tx.CreateBucket([]byte("meta"))
	if err != nil {
		return err
	}
	for _, brought := range names[:version+1] {
		for _, name := range brought {
			if _, err := tx.CreateBucket([]byte(name)); err != nil {
				return err
			}
		}
	}
	tomas := pairKey("terminal/Tomas", "terminal/Tomas")
	if of := tx.Bucket([]byte("members_of")); of != nil {
		key := append(partKey("quayside"), tomas...)
		if err := of.Put(key, seal(key, nil)); err != nil {
			return err
		}
	}
	return errors.Join(putOlder(tx), tx.Bucket([]byte("members")).Put(tomas, seal(tomas, []byte("quayside"))),
		b.Put([]byte("app"), []byte("bowlwright")),
		b.Put([]byte("schema"), binary.BigEndian.AppendUint64(nil, version)))
}

// raw changes a file through bbolt alone, which leaves it without a stamp.
func raw(t *testing.T, path string, f func(*bbolt.Tx) error) {
	t.Helper()
	db, err := bbolt.Open(path, 0o600, nil)
	must(t, err)
	err = db.Update(f)
	size := int64(0)
	if err == nil {
		err = db.View(func(tx *bbolt.Tx) error { size = tx.Size(); return nil })
	}
	must(t, errors.Join(err, db.Close()))
	must(t, os.Truncate(path, size))
}

func TestMigratesFromEveryVersion(t *testing.T) {
	if len(older) != firstSchema-1 {
		t.Fatalf("%d older files", len(older))
	}
	for version, write := range older {
		path := filepath.Join(t.TempDir(), "s.db")
		raw(t, path, write)
		for range 2 { // the second finds nothing to do
			s, err := Open(path, Options{})
			if err != nil {
				t.Fatalf("from version %d: %v", version, err)
			}
			err = s.update(t.Context(), func(tx *transaction) error {
				return tx.write(store.PutMember{Chat: "terminal/Ines", Person: "terminal/Ines", Household: "quayside"})
			})
			wantMembers(t, s, min(version, 1)+1)
			if version > 0 {
				wantOlder(t, s, version >= 5)
			}
			if err := errors.Join(err, s.Check(), s.Close()); err != nil {
				t.Errorf("from version %d: %v", version, err)
			}
		}
		raw(t, path, func(tx *bbolt.Tx) error {
			if got := binary.BigEndian.Uint64(tx.Bucket([]byte("meta")).Get([]byte("schema"))); got != newest {
				t.Errorf("from version %d: schema %d", version, got)
			}
			return nil
		})
	}
}

// wantMembers looks for the member that writeOlder has put, among so many.
func wantMembers(t *testing.T, s *Store, want int) {
	t.Helper()
	must(t, s.view("view", func(tx *transaction) error {
		got, err := tx.Members("quayside")
		tomas := store.Member{Chat: "terminal/Tomas", Person: "terminal/Tomas"}
		if len(got) != want || want == 2 && got[1] != tomas {
			t.Errorf("members %v, want %d with %v among them", got, want, tomas)
		}
		return err
	}))
}

// wantOlder looks for what putOlder has put.
func wantOlder(t *testing.T, s *Store, entry bool) {
	t.Helper()
	at := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	must(t, s.view("view", func(tx *transaction) error {
		d, err := tx.Dialogue("terminal/Tomas", "terminal/Tomas")
		if d.Kind != "dog" || d.Step != "age" || string(d.Data) != `{"name":"Pip"}` || !d.Since.Equal(at) {
			t.Errorf("the dialogue became %+v", d)
		}
		ms, pending := tx.Pending("terminal/Tomas", 2)
		if len(ms) != 1 || ms[0].Number != 1 || ms[0].Event != "e1" || !ms[0].At.Equal(at) || string(ms[0].Body) != `{"body":null}` {
			t.Errorf("the messages became %+v", ms)
		}
		es, entries := tx.Entries("quayside", store.EntryQuery{})
		if entry && (len(es) != 1 || es[0].Weight != 19.6 || es[0].Date.Day != 2 || !es[0].At.Equal(at)) {
			t.Errorf("the entries became %+v", es)
		}
		return errors.Join(err, pending, entries)
	}))
}

// newest is the current schema version.
var newest = firstSchema + uint64(len(migrations))

// TestMigrationAddsPublishing opens a file of the version before anything could
// be published.
func TestMigrationAddsPublishing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := open(path, Options{}, nil)
	must(t, err)
	must(t, s.update(t.Context(), func(tx *transaction) error {
		return errors.Join(tx.write(store.PutHousehold{Household: &planner.Household{ID: "quayside"}}), tx.write(store.PutMember{Chat: "terminal/Tomas", Person: "terminal/Tomas", Household: "quayside"}))
	}))
	must(t, s.Close())
	if _, err := Verify(path); err != nil {
		t.Errorf("the file of before: %v", err)
	}
	// It is restored where something was erased since, before anything opens it.
	to := filepath.Join(t.TempDir(), "t.db")
	s, err = Open(to, Options{})
	must(t, err)
	must(t, s.update(t.Context(), func(tx *transaction) error {
		return errors.Join(tx.write(store.PutHousehold{Household: &planner.Household{ID: "quayside"}}), tx.write(store.MarkSeen{Event: store.ErasedMark("quayside", ""), At: time.Now()}))
	}))
	must(t, s.Close())
	must(t, os.WriteFile(path+".copy", fileOf(t, path), 0o600))
	if r, err := Restore(path+".copy", to, RestoreOptions{Keep: to + ".kept"}); err != nil || r.Erased != 1 {
		t.Errorf("restored: %+v, %v; want one household erased again", r, err)
	}
	for range 2 { // the second finds nothing to do
		s, err = Open(path, Options{})
		must(t, err)
		err = s.update(t.Context(), func(tx *transaction) error {
			return errors.Join(tx.write(store.PutPublished{Household: "quayside", Published: planner.Published{Token: "t1"}}),
				tx.write(store.PutReader{Token: "t1", Household: "mill", Version: 1}))
		})
		wantMembers(t, s, 1)
		must(t, errors.Join(err, s.Check(), s.Close()))
	}
}

// TestMigrationSteps runs a list of its own on a store of the current version.
func TestMigrationSteps(t *testing.T) {
	known := newest
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := Open(path, Options{})
	must(t, err)
	s.Close()

	note := func(text string) migration {
		return func(tx *bbolt.Tx) error {
			b := tx.Bucket(bucketMeta)
			return b.Put([]byte("steps"), append(append([]byte(nil), b.Get([]byte("steps"))...), text...))
		}
	}
	mine := errors.New("mine")
	fails := func(tx *bbolt.Tx) error { return errors.Join(note("x")(tx), mine) }
	panics := func(tx *bbolt.Tx) error { note("x")(tx); panic("page 7") }

	want := func(steps string, schema uint64) {
		t.Helper()
		raw(t, path, func(tx *bbolt.Tx) error {
			if got := string(tx.Bucket(bucketMeta).Get([]byte("steps"))); got != steps {
				t.Errorf("steps %q, want %q", got, steps)
			}
			got, err := schemaOf(tx)
			if got != schema {
				t.Errorf("schema %d, want %d", got, schema)
			}
			return err
		})
	}
	step := func(code store.Code, ms ...migration) error {
		t.Helper()
		s, err := open(path, Options{}, slices.Concat(migrations, ms))
		if err == nil {
			s.Close()
		}
		var e *store.Error
		if got := errors.As(err, &e); got != (code != "") || got && e.Code != code {
			t.Errorf("%v, want code %q", err, code)
		}
		return err
	}

	// Each step that comes before a failure is kept, the failing one is not.
	if err := step(store.Internal, note("a"), fails, note("b")); !errors.Is(err, mine) {
		t.Errorf("%v does not wrap its cause", err)
	}
	want("a", known+1)
	// A panic is taken for damage; nothing of its step is kept.
	step(store.Damaged, note("-"), panics)
	want("a", known+1)
	// It goes on from where it stood, and each step runs once.
	step("", note("-"), note("b"))
	want("ab", known+2)
	step("", note("-"), note("-"))
	want("ab", known+2)

	// What a newer version wrote is left alone.
	before := fileOf(t, path)
	step(store.Newer)
	step(store.Newer, note("-"))
	after, err := os.ReadFile(path)
	if err != nil || string(after) != string(before) {
		t.Errorf("a newer file was changed (%v)", err)
	}
	want("ab", known+2)
}
