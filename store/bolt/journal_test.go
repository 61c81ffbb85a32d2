package bolt

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
)

// TestIndexesThatDisagree makes files whose every record is sound by itself,
// while what the records say of each other is not true. Check and Verify must
// find it, and what can no longer be trusted must not be handed out.
func TestIndexesThatDisagree(t *testing.T) {
	morning := time.Date(2026, time.March, 3, 7, 30, 0, 0, time.UTC)
	weighed := planner.Entry{ID: "w1", Kind: planner.Weighed, Dog: "d1", At: morning, Weight: 19.4}
	later := weighed
	later.At = morning.Add(time.Hour)
	key, idKey := entryKey("quayside", weighed), pairKey("quayside", "w1")
	middle := key[len(partKey("quayside")) : len(key)-len("w1")]
	laterKey := entryKey("quayside", later)
	due := `{"household":"quayside","at":"2026-03-03T07:30:00Z"}`

	entry := func(tx *transaction) error { _, err := tx.Entry("quayside", "w1"); return err }
	entries := func(tx *transaction) error { _, err := tx.Entries("quayside", store.EntryQuery{}); return err }
	dueBy := func(tx *transaction) error { _, err := tx.DueBy(morning.AddDate(1, 0, 0), 10); return err }
	next := func(tx *transaction) error { _, err := store.NextDue(tx); return err }
	type do = func(put func(bucket, key, value []byte), remove func(bucket, key []byte))
	for _, c := range []struct {
		name   string
		says   string
		spoil  do
		serves []func(*transaction) error // which must refuse
	}{
		{"an entry is gone", "0 records, 1 in the index", func(_ func(_, _, _ []byte), remove func(_, _ []byte)) { remove(bucketJournal, key) }, []func(*transaction) error{entry}},
		{"an entry is not in the index", "is not in the index", func(_ func(_, _, _ []byte), remove func(_, _ []byte)) { remove(bucketJournalIDs, idKey) }, nil},
		{"an entry lies elsewhere", "names another", func(put func(_, _, _ []byte), remove func(_, _ []byte)) {
			remove(bucketJournal, key)
			put(bucketJournal, laterKey, []byte(`{"id":"w1","kind":"weighed","dog":"d1","at":"2026-03-03T07:30:00Z","date":"","entered":"2026-03-03T07:30:00Z","person":""}`))
		}, []func(*transaction) error{entry, entries}},
		{"an entry lies there twice", "is not in the index", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketJournal, laterKey, []byte(`{"id":"w1","kind":"weighed","dog":"d1","at":"2026-03-03T08:30:00Z","date":"","entered":"2026-03-03T07:30:00Z","person":""}`))
		}, nil},
		{"an id names nothing", "1 records, 2 in the index", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketJournalIDs, pairKey("quayside", "w2"), middle)
		}, nil},
		{"a key of an entry is cut short", "cut short", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketJournal, append(partKey("quayside"), 200), nil)
		}, []func(*transaction) error{entries}},
		{"nothing is due at the time in the index", "1 records, 2 in the index", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketDueAt, dueKey(morning.Add(-time.Hour), "quayside"), nil)
		}, []func(*transaction) error{dueBy, next}},
		{"a household of the index has no record", "0 records, 1 in the index", func(_ func(_, _, _ []byte), remove func(_, _ []byte)) {
			remove(bucketDue, []byte("quayside"))
		}, []func(*transaction) error{dueBy, next}},
		{"a household is not in the index", "is not in the index", func(_ func(_, _, _ []byte), remove func(_, _ []byte)) {
			remove(bucketDueAt, dueKey(morning, "quayside"))
		}, nil},
		{"a record names another household", "names another", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketDue, []byte("quaysidf"), []byte(due))
		}, nil},
		{"a time of the index is cut short", "1 records, 2 in the index", func(put func(_, _, _ []byte), _ func(_, _ []byte)) {
			put(bucketDueAt, []byte("1"), nil)
		}, []func(*transaction) error{dueBy, next}},
	} {
		path := filepath.Join(t.TempDir(), "s.db")
		s := mustOpen(t, path)
		err := s.update(t.Context(), func(tx *transaction) error {
			return errors.Join(tx.write(store.PutEntry{Household: "quayside", Entry: weighed}), tx.write(store.PutDue{Household: "quayside", At: morning}))
		})
		must(t, errors.Join(err, s.Check(), s.Close(), verified(path)))
		raw(t, path, func(tx *bbolt.Tx) (err error) {
			count := func(bucket []byte, more int) {
				b := tx.Bucket(bucket)
				err = errors.Join(err, b.SetSequence(b.Sequence()+uint64(more)))
			}
			c.spoil(func(bucket, key, value []byte) {
				err = errors.Join(err, tx.Bucket(bucket).Put(key, seal(key, value)))
				count(bucket, 1)
			}, func(bucket, key []byte) {
				err = errors.Join(err, tx.Bucket(bucket).Delete(key))
				count(bucket, -1)
			})
			return err
		})
		damaged := func(what string, err error) {
			t.Helper()
			wantCode(t, c.name+": "+what, err, store.Damaged)
		}
		err = verified(path)
		damaged("verify", err)
		if err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v does not say %q", c.name, err, c.says)
		}
		s = mustOpen(t, path)
		damaged("check", s.Check())
		for i, serve := range c.serves {
			damaged("call "+string(rune('0'+i)), s.view("view", serve))
		}
		s.Close()
	}
}

func verified(path string) error {
	_, err := Verify(path)
	return err
}
