package store

import (
	"bytes"
	"fmt"

	bolt "go.etcd.io/bbolt"
)

// Check reads everything there is and returns an *Error of code Damaged where
// the file's structure, a record or an index is not as it should be. It costs
// time in proportion to the file; updates go on meanwhile, as far as the log has
// room for them.
func (s *Bolt) Check() error {
	return s.aside((*boltTx).check)
}

// check is Check in a transaction.
func (t *boltTx) check() error {
	found, err := verify(t.s.file)
	if err != nil {
		return err
	}
	return t.agree(found)
}

// agree is check of a file that has been read, with what was found in it.
func (t *boltTx) agree(found faults) error {
	if err := t.structure(); err != nil {
		return err
	}
	if err := t.s.protect("check", func() error { return found.hold("check", t.tx, uint64(len(migrations))) }); err != nil {
		return err
	}
	if err := t.events(); err != nil {
		return err
	}
	if err := t.messages(); err != nil {
		return err
	}
	if err := t.householdsCounted(); err != nil {
		return err
	}
	for _, indexed := range []func() error{t.membersIndexed, t.invitesIndexed, t.entriesIndexed, t.duesIndexed} {
		if err := indexed(); err != nil {
			return err
		}
	}
	return nil
}

// aside runs f in a transaction on the file that is never committed, after
// bringing the file up to date; where it has no space for that, within the
// transaction.
func (s *Bolt) aside(f func(*boltTx) error) error {
	s.folds.enter()
	defer s.folds.leave()
	all := s.seen()
	err := s.fold(all)
	if err != nil && !isFull(err) {
		return err
	}
	t, failed := s.enterFile("check", true)
	if failed != nil {
		return failed
	}
	defer t.end()
	if err != nil {
		w := &fileWriter{s: s, t: t, whole: true}
		if err := w.all(all); err != nil {
			return err
		}
	}
	return classify("check", f(t))
}

func amiss(format string, args ...any) error {
	return &Error{Code: Damaged, Op: "check", Err: fmt.Errorf(format, args...)}
}

// structure runs bbolt's own check, which does not allow for a meta page that
// a crash left torn; the next commit replaces that.
func (t *boltTx) structure() (err error) {
	if !bothMetas(t.s.file) {
		return nil
	}
	for e := range t.tx.Check() { // to the end, since it is sent by a goroutine
		if err == nil {
			err = amiss("%w", e)
		}
	}
	return err
}

// events checks that the index by time holds each event once.
func (t *boltTx) events() error {
	indexed := 0
	err := t.inFile("check", bucketSeenAt, func(at *bolt.Bucket) error {
		seen := t.tx.Bucket(bucketSeen)
		return at.ForEach(func(k, _ []byte) error {
			indexed++
			if len(k) > timeSize {
				when, err := opened("check", k[timeSize:], seen.Get(k[timeSize:]))
				if err != nil || bytes.Equal(when, k[:timeSize]) {
					return err
				}
			}
			return amiss("event %x is not indexed by its time", k)
		})
	})
	if err != nil {
		return err
	}
	return t.counts(bucketSeen, indexed)
}

// messages checks that the index by chat holds each message once.
func (t *boltTx) messages() error {
	indexed := 0
	err := t.inFile("check", bucketOutboxChat, func(b *bolt.Bucket) error {
		all := t.tx.Bucket(bucketOutbox)
		return b.ForEach(func(k, _ []byte) error {
			indexed++
			if len(k) > 8 {
				var m Outgoing
				data, err := opened("check", k[len(k)-8:], all.Get(k[len(k)-8:]))
				if err != nil || m.decode("check", data) == nil && bytes.Equal(k, numberKey(m.Chat, m.Number)) {
					return err
				}
			}
			return amiss("message %x is not indexed by its chat", k)
		})
	})
	if err != nil {
		return err
	}
	return t.counts(bucketOutbox, indexed)
}

// householdsCounted compares the counter of households with their number.
func (t *boltTx) householdsCounted() error {
	return t.inFile("check", bucketHouseholds, func(b *bolt.Bucket) error {
		if n := t.keysIn(b); uint64(n) != b.Sequence() {
			return amiss("%d households, and %d were counted", n, b.Sequence())
		}
		return nil
	})
}

// counts compares the number of records with that of its index.
func (t *boltTx) counts(name []byte, indexed int) error {
	return t.inFile("check", name, func(b *bolt.Bucket) error {
		if n := t.keysIn(b); n != indexed {
			return amiss("%s: %d records, %d in the index", name, n, indexed)
		}
		return nil
	})
}

// keysIn counts the keys of a bucket; bbolt's own count leaves out what the
// transaction has written.
func (t *boltTx) keysIn(b *bolt.Bucket) (n int) {
	w := &walk{tx: t.tx}
	defer w.end()
	c := b.Cursor()
	for k, v := c.First(); k != nil; k, v = c.Next() {
		w.step(k, v)
		n++
	}
	return n
}
