package store

import (
	"encoding/binary"
	"errors"
	"fmt"

	bolt "go.etcd.io/bbolt"
)

// migration brings the file from one schema version to the next, inside one
// transaction.
type migration func(*bolt.Tx) error

// migrations are indexed by the version they start from. They are only ever
// appended to: files of every version are out there.
var migrations = []migration{
	0: brings(1),
	1: brings(2),
	2: brings(3),
	3: indexMembers,
	4: brings(5),
	5: countHouseholds,
	6: brings(7),
	7: brings(8),
}

// app is what a file says it belongs to.
const app = "bowlwright"

// The buckets and what they hold.
var (
	bucketMeta       = []byte("meta")        // "app", "schema", "redo"
	bucketSeen       = []byte("seen")        // event -> time
	bucketSeenAt     = []byte("seen_at")     // time, event -> nothing
	bucketMembers    = []byte("members")     // chat, person -> household id
	bucketHouseholds = []byte("households")  // id -> plain record; its sequence counts them
	bucketDialogues  = []byte("dialogues")   // chat, person -> plain record
	bucketChanges    = []byte("changes")     // household, number -> plain record
	bucketAdapters   = []byte("adapters")    // chat -> notes
	bucketOutbox     = []byte("outbox")      // number -> plain record; its sequence gives the numbers
	bucketOutboxChat = []byte("outbox_chat") // chat, number -> nothing
	bucketBlocked    = []byte("blocked")     // chat -> time
	bucketDead       = []byte("dead")        // number -> JSON
	bucketInbox      = []byte("inbox")       // number -> body
	bucketMembersOf  = []byte("members_of")  // household, chat, person -> nothing
	bucketInvites    = []byte("invites")     // key -> JSON
	bucketInvitesOf  = []byte("invites_of")  // household, key -> nothing
	bucketEndings    = []byte("endings")     // household -> time
	bucketJournal    = []byte("journal")     // household, kind, dog, time, id -> plain record
	bucketJournalIDs = []byte("journal_ids") // household, id -> kind, dog, time
	bucketDue        = []byte("due")         // household -> JSON
	bucketDueAt      = []byte("due_at")      // time, household -> nothing
)

var (
	keyApp    = []byte("app")
	keySchema = []byte("schema")
)

// brought lists, by schema version, the buckets of sealed records that came
// with it. The bucket "meta" is not among them.
var brought = [][][]byte{
	1: {
		bucketSeen, bucketSeenAt, bucketMembers, bucketHouseholds, bucketDialogues,
		bucketChanges, bucketAdapters, bucketOutbox, bucketOutboxChat,
	},
	2: {bucketBlocked, bucketDead},
	3: {bucketInbox},
	4: {bucketMembersOf, bucketInvites, bucketInvitesOf, bucketEndings},
	5: {bucketJournal, bucketJournalIDs, bucketDue, bucketDueAt},
	6: {}, // dialogues, messages and entries are plain records from here on, see isPlain
	7: {}, // changes may stand in a redo log, which earlier versions would pass over
	8: {}, // households and changes are plain records from here on, where they can be
}

// brings is the migration that does no more than create the buckets of a
// schema version.
func brings(version int) migration {
	return func(tx *bolt.Tx) error {
		for _, name := range brought[version] {
			if _, err := tx.CreateBucket(name); err != nil {
				return err
			}
		}
		return nil
	}
}

// migrate brings the file to the version that follows the last migration.
// Each step is one transaction with the number it leads to. None is taken
// where something was found among the records.
func (s *Bolt) migrate(ms []migration, found faults) error {
	var version uint64
	err := s.protect("open", func() error {
		if err := s.claim(); err != nil {
			return err
		}
		return s.db.View(func(tx *bolt.Tx) (err error) {
			version, err = schemaOf(tx)
			return err
		})
	})
	if err != nil {
		return classify("open", err)
	}
	if known := uint64(len(ms)); version > known {
		return newer("open", version, known)
	}
	if err := s.records(found, version); err != nil {
		return classify("open", err)
	}
	if err := s.recover(version == uint64(len(ms))); err != nil {
		return classify("open", err)
	}
	for v := version; v < uint64(len(ms)); v++ {
		err := s.protect("migrate", func() error {
			return s.db.Update(func(tx *bolt.Tx) error {
				if err := ms[v](tx); err != nil {
					return err
				}
				return tx.Bucket(bucketMeta).Put(keySchema, binary.BigEndian.AppendUint64(nil, v+1))
			})
		})
		if err != nil {
			return classify("migrate", err)
		}
	}
	return nil
}

// recover brings in what a crash left in the redo log. Then the log goes away,
// and the next update makes another: what was copied by hand together with its
// file never goes on under the same id as that. Where the file cannot be brought
// up to date for want of space, and need not be, the store goes on with the log.
func (s *Bolt) recover(current bool) error {
	var last uint64
	err := s.protect("open", func() error {
		return s.db.View(func(tx *bolt.Tx) (err error) {
			s.log.id, last, err = redoOf(tx)
			return err
		})
	})
	if err != nil {
		return err
	}
	l := &layer{last: last}
	if err := s.log.recover(l); err != nil {
		return err
	}
	s.working, s.published = l, l.freeze()
	s.folded.Store(last)
	err = s.foldNow()
	switch {
	case err == nil:
		return s.log.close(true)
	case current && isFull(err):
		return nil
	}
	return err
}

func newer(op string, version, known uint64) error {
	return &Error{Code: Newer, Op: op, Err: fmt.Errorf("schema %d, and %d is the newest known here", version, known)}
}

// records makes sure of every record before a migration reads it.
func (s *Bolt) records(found faults, version uint64) error {
	if version == 0 {
		return nil // there are none yet
	}
	return s.protect("open", func() error {
		return s.db.View(func(tx *bolt.Tx) error { return found.hold("open", tx, version) })
	})
}

// claim writes into a new file whose it is, as version 0; the first key of a
// file decides whether it is new.
func (s *Bolt) claim() error {
	empty := false
	err := s.db.View(func(tx *bolt.Tx) error {
		k, _ := tx.Cursor().First()
		empty = k == nil
		return nil
	})
	if err != nil || !empty {
		return err
	}
	return s.db.Update(func(tx *bolt.Tx) error {
		b, err := tx.CreateBucket(bucketMeta)
		if err != nil {
			return err
		}
		return b.Put(keyApp, []byte(app))
	})
}

// schemaOf returns the schema version of a file, 0 where it names none.
func schemaOf(tx *bolt.Tx) (uint64, error) {
	meta := tx.Bucket(bucketMeta)
	if meta == nil || string(meta.Get(keyApp)) != app {
		return 0, &Error{Code: Damaged, Op: "open", Err: errors.New("written by another program")}
	}
	v := meta.Get(keySchema)
	switch len(v) {
	case 0:
		return 0, nil
	case 8:
		return binary.BigEndian.Uint64(v), nil
	}
	return 0, &Error{Code: Damaged, Op: "open", Err: errors.New("schema version is not a number")}
}
