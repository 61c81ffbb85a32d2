package bolt

import (
	"bytes"

	"go.etcd.io/bbolt"
)

// bucket is a bucket of the file as a transaction sees it. Its sequence counts
// its keys, which bbolt itself cannot do without walking them; that of the
// outbox gives the numbers of messages instead.
type bucket struct {
	t  *transaction
	is *bbolt.Bucket
	of string // its name
}

// undo takes back one change of an update.
type undo struct {
	is     *bbolt.Bucket
	key    []byte // nil: of the sequence
	before []byte // nil where the key was not there
	count  uint64
}

// Get returns the value of a key with its checksum, nil where there is none. It
// may point into the file.
func (b bucket) Get(key []byte) []byte { return b.is.Get(key) }

// Put sets a record, to which it adds its checksum.
func (b bucket) Put(key, record []byte) error {
	before := bytes.Clone(b.is.Get(key))
	if err := b.is.Put(key, seal(key, record)); err != nil {
		return err
	}
	b.t.undone = append(b.t.undone, undo{is: b.is, key: key, before: before})
	if before == nil {
		return b.count(1)
	}
	return nil
}

// Delete takes a key out; one that is not there is no error.
func (b bucket) Delete(key []byte) error {
	before := bytes.Clone(b.is.Get(key))
	if before == nil {
		return nil
	}
	if err := b.is.Delete(key); err != nil {
		return err
	}
	b.t.undone = append(b.t.undone, undo{is: b.is, key: key, before: before})
	return b.count(-1)
}

func (b bucket) count(more int) error {
	if !counts(b.of) {
		return nil
	}
	return b.setSequence(b.is.Sequence() + uint64(more))
}

// counts says whether the sequence of a bucket is how many keys it has.
func counts(name string) bool { return name != string(bucketOutbox) }

// nextNumber raises the sequence by one and returns it.
func (b bucket) nextNumber() (uint64, error) {
	n := b.is.Sequence() + 1
	return n, b.setSequence(n)
}

func (b bucket) setSequence(n uint64) error {
	before := b.is.Sequence()
	if err := b.is.SetSequence(n); err != nil {
		return err
	}
	b.t.undone = append(b.t.undone, undo{is: b.is, count: before})
	return nil
}

// takeBack undoes all that an update wrote, the last first.
func (t *transaction) takeBack() error {
	for i := len(t.undone) - 1; i >= 0; i-- {
		u, err := t.undone[i], error(nil)
		switch {
		case u.key == nil:
			err = u.is.SetSequence(u.count)
		case u.before == nil:
			err = u.is.Delete(u.key)
		default:
			err = u.is.Put(u.key, u.before)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// A transaction leaves pages that it has emptied where they are until it is
// committed. There bbolt's Prev says that there is nothing before, and its Last
// does not end.

// last goes to the last key; nil where there is none.
func last(c *bbolt.Cursor) (key, value []byte) {
	if key, _ = c.First(); key == nil {
		return nil, nil
	}
	return c.Last()
}

// before goes to the last key before another; nil where there is none.
func before(c *bbolt.Cursor, key []byte) (k, value []byte) {
	at, _ := c.Seek(key)
	if at == nil {
		return last(c)
	}
	return previous(c, at)
}

// previous goes to the key before the one at which the cursor stands; nil
// before the first.
func previous(c *bbolt.Cursor, at []byte) (key, value []byte) {
	if key, value = c.Prev(); key != nil {
		return key, value
	}
	if first, _ := c.First(); first == nil || bytes.Compare(first, at) >= 0 {
		return nil, nil
	}
	c.Seek(at)
	for key == nil {
		key, value = c.Prev()
	}
	return key, value
}
