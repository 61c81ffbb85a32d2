package store

import (
	"bytes"
	"encoding/binary"

	"github.com/tidwall/btree"
	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// merged is a bucket of the file with what has changed since the file was
// last brought up to date. It keeps to what bbolt's own says of each method.
type merged struct {
	t  *boltTx
	is int
}

// base is the bucket of the file, which is only looked for where what lies
// over it does not say, and once in a transaction: bbolt would search for it
// each time.
func (b merged) base() *bolt.Bucket {
	if b.t.looked == nil {
		b.t.looked = new([len(kept)]*bolt.Bucket)
	}
	is := &b.t.looked[b.is]
	if *is == nil {
		*is = b.t.tx.Bucket(kept[b.is])
	}
	return *is
}

// Get returns the value of a key, nil where there is none. It may point into
// the file.
func (b merged) Get(key []byte) []byte {
	b.t.sought.key = key
	if c, ok := b.t.layer.get(b.is, &b.t.sought); ok {
		return c.value
	}
	return b.base().Get(key)
}

// Put sets a record, to which it adds its checksum.
func (b merged) Put(key, record []byte) error {
	switch {
	case !b.t.writable:
		return berrors.ErrTxNotWritable
	case len(key) == 0:
		return berrors.ErrKeyRequired
	case len(key) > bolt.MaxKeySize:
		return berrors.ErrKeyTooLarge
	case int64(len(record)) > bolt.MaxValueSize-sealSize:
		return berrors.ErrValueTooLarge
	}
	n := len(key)
	both := append(append(make([]byte, 0, n+len(record)+sealSize), key...), record...)
	both = binary.BigEndian.AppendUint32(both, sumOf(key, record))
	b.t.set(b.is, &change{both[:n:n], both[n:]})
	return nil
}

// Delete takes a key out; one that is not there is no error.
func (b merged) Delete(key []byte) error {
	if !b.t.writable {
		return berrors.ErrTxNotWritable
	}
	if b.Get(key) != nil {
		// Also where the file lacks the key: it may be on its way there.
		b.t.set(b.is, &change{key: bytes.Clone(key)})
	}
	return nil
}

// Sequence returns the bucket's counter.
func (b merged) Sequence() uint64 {
	if c := b.t.layer.counters[b.is]; c.known {
		return c.n
	}
	return b.base().Sequence()
}

func (b merged) SetSequence(n uint64) error {
	if !b.t.writable {
		return berrors.ErrTxNotWritable
	}
	b.t.count(b.is, n)
	return nil
}

// NextSequence raises the counter by one and returns it.
func (b merged) NextSequence() (uint64, error) {
	n := b.Sequence() + 1
	return n, b.SetSequence(n)
}

// Len counts the keys, one by one.
func (b merged) Len() (n int) {
	c := b.Cursor()
	for k, _ := c.First(); k != nil; k, _ = c.Next() {
		n++
	}
	return n
}

// Cursor walks the keys in their order. Nothing may be written while one is in
// use.
func (b merged) Cursor() *cursor {
	c := &cursor{base: b.base().Cursor()}
	if tree := b.t.layer.trees[b.is]; tree != nil && tree.Len() > 0 {
		c.over, c.changed = tree.Iter(), true
	}
	return c
}

// cursor walks a bucket of the file and the changes that lie over it as one.
// Both sides stand at their next key in the direction of the walk.
type cursor struct {
	base    *bolt.Cursor
	over    btree.IterG[*change]
	changed bool // there are changes

	baseKey, baseValue []byte // nil key: nothing more on this side
	overIs             *change
	overOK             bool
	back               bool   // the direction
	key                []byte // where the cursor stands; nil where it stands nowhere
	sought             change // what it looks for
}

// First goes to the first key; nil where there is none.
func (c *cursor) First() (key, value []byte) {
	c.back = false
	c.baseKey, c.baseValue = c.base.First()
	c.overTo(c.changed && c.over.First())
	return c.settle()
}

// Last goes to the last key; nil where there is none.
func (c *cursor) Last() (key, value []byte) {
	c.back = true
	c.baseKey, c.baseValue = c.base.Last()
	c.overTo(c.changed && c.over.Last())
	return c.settle()
}

// Seek goes to a key, or the next behind it; nil where there is none.
func (c *cursor) Seek(key []byte) (k, value []byte) {
	c.back = false
	c.baseKey, c.baseValue = c.base.Seek(key)
	c.overTo(c.changed && c.seekOver(key))
	return c.settle()
}

// Before goes to the last key before another; nil where there is none.
func (c *cursor) Before(key []byte) (k, value []byte) {
	c.back = true
	if k, _ := c.base.Seek(key); k == nil {
		c.baseKey, c.baseValue = c.base.Last()
	} else {
		c.baseKey, c.baseValue = c.base.Prev()
	}
	switch {
	case !c.changed:
	case c.seekOver(key):
		c.overTo(c.over.Prev())
	default:
		c.overTo(c.over.Last())
	}
	return c.settle()
}

// Next goes to the next key; nil behind the last.
func (c *cursor) Next() (key, value []byte) {
	if c.key == nil {
		return nil, nil
	}
	if at := c.key; c.back {
		if k, v := c.Seek(at); !bytes.Equal(k, at) {
			return k, v
		}
	}
	c.step()
	return c.settle()
}

// Prev goes to the key before; nil before the first. Behind the last key there
// is nothing before: Last finds it.
func (c *cursor) Prev() (key, value []byte) {
	if c.key == nil {
		return nil, nil
	}
	if !c.back {
		return c.Before(c.key)
	}
	c.step()
	return c.settle()
}

// step moves whichever side stands at the cursor's key on.
func (c *cursor) step() {
	atBase := c.baseKey != nil && bytes.Equal(c.baseKey, c.key)
	if c.overOK && bytes.Equal(c.overIs.key, c.key) {
		c.stepOver()
	}
	if atBase {
		c.stepBase()
	}
}

func (c *cursor) stepBase() {
	if c.back {
		c.baseKey, c.baseValue = c.base.Prev()
	} else {
		c.baseKey, c.baseValue = c.base.Next()
	}
}

func (c *cursor) stepOver() {
	if c.back {
		c.overTo(c.over.Prev())
	} else {
		c.overTo(c.over.Next())
	}
}

func (c *cursor) seekOver(key []byte) bool {
	c.sought.key = key
	return c.over.Seek(&c.sought)
}

func (c *cursor) overTo(ok bool) {
	if c.overOK = ok; ok {
		c.overIs = c.over.Item()
	}
}

// settle returns the nearer of both sides, past keys that are gone.
func (c *cursor) settle() (key, value []byte) {
	for {
		if !c.overOK {
			c.key = c.baseKey
			return c.baseKey, c.baseValue
		}
		order := -1
		if c.baseKey != nil {
			if order = bytes.Compare(c.overIs.key, c.baseKey); c.back {
				order = -order
			}
		}
		if order > 0 {
			c.key = c.baseKey
			return c.baseKey, c.baseValue
		}
		if c.key = c.overIs.key; c.overIs.value != nil {
			return c.key, c.overIs.value
		}
		c.step()
	}
}
