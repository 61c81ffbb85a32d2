package bolt

import (
	"bytes"
	"cmp"
	"context"

	"bowlwright/store"
)

// Check reads everything there is and returns an *Error of code Damaged where
// the file's structure, a record or an index is not as it should be. It costs
// time in proportion to the file, and updates wait meanwhile.
func (s *Store) Check() error {
	return s.update(context.Background(), func(t *transaction) error {
		return t.protected("check", func() error { return cmp.Or(t.sound(!s.tornMeta()), t.agree()) })
	})
}

func amiss(format string, args ...any) error { return damaged("check", format, args...) }

// sound reads every record, makes sure of its checksum and that no bucket has
// lost a key, and has bbolt check the structure where it can.
func (t *transaction) sound(structure bool) error {
	if err := t.reachable(); err != nil {
		return err
	}
	version, err := schemaOf(t.tx)
	for _, name := range bucketsOf(version) {
		if err = cmp.Or(err, t.in("check", name, bucket.sound)); err != nil {
			return err
		}
	}
	if !structure {
		return nil
	}
	return t.structure()
}

func (b bucket) sound() error {
	if b.is == nil {
		return missing("check", []byte(b.of))
	}
	var n, highest uint64
	var before []byte
	c := b.is.Cursor()
	k, v := c.First()
	for ; k != nil; k, v = c.Next() {
		if before != nil && bytes.Compare(before, k) >= 0 {
			return amiss("%s: a key is out of order", b.of)
		}
		if _, err := opened("check", k, v); err != nil || v == nil {
			return cmp.Or(err, amiss("%s holds a bucket", b.of))
		}
		before = append(before[:0], k...)
		if at, ok := number(k, nil); ok {
			highest = max(highest, at&^store.FirstBehind)
		}
		n++
	}
	is := b.is.Sequence()
	if !counts(b.of) {
		if highest > is {
			return amiss("%s counts to %d and holds more", b.of, is)
		}
		is = b.t.size(bucketOutboxChat)
	}
	if n != is {
		return amiss("%s: %d records, %d in the index", b.of, n, is)
	}
	return nil
}

// structure runs bbolt's own check, which does not allow for a torn meta page.
// It runs in a goroutine of its own, where the memory fault of a key that is not
// there cannot be caught: reachable and sound have looked at all of them before.
func (t *transaction) structure() (err error) {
	for e := range t.tx.Check() { // to the end, since it is sent by a goroutine
		if err == nil {
			err = amiss("%w", e)
		}
	}
	return err
}
