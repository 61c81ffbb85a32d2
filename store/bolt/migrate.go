package bolt

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/store/bolt/schema8"
)

// firstSchema is the first schema version that is kept as described here. Of
// those before, package schema8 reads what there is, and a new file takes the
// place of the old one.
const firstSchema = schema8.Newest + 1

// migration brings the file from one schema version to the next, inside one
// transaction.
type migration func(*bbolt.Tx) error

// migrations lead on from firstSchema. They are only ever appended to: files of
// every version are out there.
var migrations = []migration{
	addBuckets(bucketPublished, bucketPublishedOf, bucketReaders, bucketReading),
}

// came says with which version the buckets came that firstSchema had not.
var came = map[string]uint64{
	string(bucketPublished): firstSchema + 1, string(bucketPublishedOf): firstSchema + 1,
	string(bucketReaders): firstSchema + 1, string(bucketReading): firstSchema + 1,
}

// addBuckets is a migration that brings new buckets.
func addBuckets(names ...[]byte) migration {
	return func(tx *bbolt.Tx) error {
		for _, name := range names {
			if _, err := tx.CreateBucket(name); err != nil {
				return err
			}
		}
		return nil
	}
}

// bucketsOf are the buckets of records that a file of a schema version has.
func bucketsOf(version uint64) [][]byte {
	return slices.DeleteFunc(slices.Clone(buckets), func(name []byte) bool { return came[string(name)] > version })
}

// app is what a file says it belongs to.
const app = "bowlwright"

// The buckets and what they hold. Records of several fields are JSON; every
// record carries its checksum (bucket.go).
var (
	bucketMeta       = []byte("meta")        // "app", "schema", "redo"; without checksums
	bucketSeen       = []byte("seen")        // event -> time
	bucketSeenAt     = []byte("seen_at")     // time, event -> nothing
	bucketMembers    = []byte("members")     // chat, person -> household id
	bucketHouseholds = []byte("households")  // id -> planner.Household
	bucketDialogues  = []byte("dialogues")   // chat, person -> Dialogue
	bucketChanges    = []byte("changes")     // household, number -> Change
	bucketAdapters   = []byte("adapters")    // chat -> notes
	bucketOutbox     = []byte("outbox")      // number -> Outgoing; its sequence gives the numbers
	bucketOutboxChat = []byte("outbox_chat") // chat, number -> nothing
	bucketBlocked    = []byte("blocked")     // chat -> time
	bucketDead       = []byte("dead")        // number -> Dead
	bucketInbox      = []byte("inbox")       // number -> body
	bucketMembersOf  = []byte("members_of")  // household, chat, person -> nothing
	bucketInvites    = []byte("invites")     // key -> Invite
	bucketInvitesOf  = []byte("invites_of")  // household, key -> nothing
	bucketEndings    = []byte("endings")     // household -> time
	bucketJournal    = []byte("journal")     // household, kind, dog, time, id -> planner.Entry
	bucketJournalIDs = []byte("journal_ids") // household, id -> kind, dog, time
	bucketDue        = []byte("due")         // household -> Due
	bucketDueAt      = []byte("due_at")      // time, household -> nothing

	bucketPublished   = []byte("published")    // token -> Published
	bucketPublishedOf = []byte("published_of") // household, token -> nothing
	bucketReaders     = []byte("readers")      // token, household -> Reader
	bucketReading     = []byte("reading")      // household, token -> nothing
)

// buckets are those of records.
var buckets = [][]byte{
	bucketSeen, bucketSeenAt, bucketMembers, bucketHouseholds, bucketDialogues, bucketChanges, bucketAdapters,
	bucketOutbox, bucketOutboxChat, bucketBlocked, bucketDead, bucketInbox, bucketMembersOf, bucketInvites,
	bucketInvitesOf, bucketEndings, bucketJournal, bucketJournalIDs, bucketDue, bucketDueAt,
	bucketPublished, bucketPublishedOf, bucketReaders, bucketReading,
}

var (
	keyApp    = []byte("app")
	keySchema = []byte("schema")
	keyLog    = []byte("redo") // the id of the redo log that was brought in, if any
)

// schemaOf returns the schema version of a file, 0 where it names none.
func schemaOf(tx *bbolt.Tx) (uint64, error) {
	meta := tx.Bucket(bucketMeta)
	if meta == nil || string(meta.Get(keyApp)) != app {
		return 0, damaged("open", "written by another program")
	}
	v := meta.Get(keySchema)
	switch len(v) {
	case 0:
		return 0, nil
	case 8:
		return binary.BigEndian.Uint64(v), nil
	}
	return 0, damaged("open", "schema version is not a number")
}

func (s *Store) version() (version uint64, err error) {
	err = s.view("open", func(t *transaction) (err error) {
		version, err = schemaOf(t.tx)
		return err
	})
	return version, err
}

// migrate brings the file to the version that follows the last migration. Each
// step is one transaction with the number it leads to.
func (s *Store) migrate(version uint64, ms []migration) error {
	if err := s.forgetLog(); err != nil {
		return err
	}
	for _, step := range ms[version-firstSchema:] {
		version++
		err := s.protect("migrate", func() error {
			if err := s.eraseStamp(); err != nil {
				return err
			}
			return s.db.Update(func(tx *bbolt.Tx) error {
				if err := step(tx); err != nil {
					return err
				}
				return tx.Bucket(bucketMeta).Put(keySchema, binary.BigEndian.AppendUint64(nil, version))
			})
		})
		if err != nil {
			return classify("migrate", err)
		}
		s.wrote = true
	}
	return nil
}

// forgetLog removes a redo log that was brought in when the file was made anew:
// a crash may have come between. Any other is none of this file's.
func (s *Store) forgetLog() error {
	log := s.path + schema8.LogSuffix
	if !there(log) {
		return nil
	}
	var id uint64
	err := s.view("open", func(t *transaction) error {
		if v := t.tx.Bucket(bucketMeta).Get(keyLog); len(v) == 8 {
			id = binary.BigEndian.Uint64(v)
		}
		return nil
	})
	if err != nil {
		return err
	}
	switch other, err := schema8.LogOf(log); {
	case err != nil:
		return err
	case other != 0 && other != id:
		return damaged("open", "the redo log beside the file belongs to another")
	}
	return removed(log)
}

// renew makes a file of the current schema out of an open one of an earlier,
// with what a crash left in the redo log beside it, and puts it in its place.
// Where that fails both are as they were.
func (s *Store) renew(version uint64, o Options) error {
	s.found.From = version
	var m *made
	err := s.earlier(version, func(old *schema8.File) (err error) {
		s.found.Logged = old.Logged
		m, err = makeBeside(s.path, o, time.Now().Add(o.Timeout), func(f *os.File, name string) (io.Closer, error) {
			return fillNew(f, name, o, old)
		})
		return err
	})
	if err != nil {
		if m != nil {
			m.drop()
		}
		return err
	}
	if !renamesOpen {
		s.Close()
	}
	if err := m.settle(); err != nil {
		return err
	}
	return removed(s.path + schema8.LogSuffix)
}

// earlier calls f with what a file of an earlier schema holds.
func (s *Store) earlier(version uint64, f func(*schema8.File) error) error {
	return s.view("migrate", func(t *transaction) error {
		if err := t.reachable(); err != nil {
			return err
		}
		old, err := schema8.Read(t.tx, version, s.path)
		if err == nil {
			err = f(old)
		}
		if err == nil && !s.tornMeta() {
			err = t.structure()
		}
		return err
	})
}

// fillStep is how many records of an earlier schema one transaction takes over.
const fillStep = 10_000

// fillNew makes a store in an empty file, with what an earlier one held where
// that is not nil, and ends it with its stamp. It stays open, so that its lock
// is held.
func fillNew(f *os.File, path string, o Options, old *schema8.File) (io.Closer, error) {
	s, err := takeOver(f, path, Options{Timeout: o.Timeout, NoSync: true}, false)
	if err != nil {
		return nil, err
	}
	s.noSync = o.NoSync // it is synced at the end
	if err = s.db.Update(prepare); err == nil && old != nil {
		err = s.fill(old)
	}
	if err == nil {
		err = s.putStamp()
	}
	if err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// prepare makes the buckets of firstSchema.
func prepare(tx *bbolt.Tx) error {
	for _, name := range append([][]byte{bucketMeta}, bucketsOf(firstSchema)...) {
		if _, err := tx.CreateBucket(name); err != nil {
			return err
		}
	}
	meta := tx.Bucket(bucketMeta)
	return errors.Join(meta.Put(keyApp, []byte(app)), meta.Put(keySchema, binary.BigEndian.AppendUint64(nil, firstSchema)))
}

// fill takes over what an earlier file held.
func (s *Store) fill(old *schema8.File) error {
	type record struct{ bucket, key, value []byte }
	var waiting []record
	write := func() error {
		return s.update(context.Background(), func(t *transaction) error {
			for _, r := range waiting {
				if err := t.in("migrate", r.bucket, func(b bucket) error { return b.Put(r.key, r.value) }); err != nil {
					return err
				}
			}
			waiting = waiting[:0]
			return nil
		})
	}
	err := old.Each(func(bucket string, key, value []byte) error {
		if waiting = append(waiting, record{[]byte(bucket), bytes.Clone(key), bytes.Clone(value)}); len(waiting) < fillStep {
			return nil
		}
		return write()
	})
	if err == nil {
		err = write()
	}
	if err != nil {
		return err
	}
	return s.db.Update(func(tx *bbolt.Tx) error {
		id := binary.BigEndian.AppendUint64(nil, old.LogID)
		return errors.Join(tx.Bucket(bucketOutbox).SetSequence(old.Numbers), tx.Bucket(bucketMeta).Put(keyLog, id))
	})
}

// removed makes sure that there is no file.
func removed(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
