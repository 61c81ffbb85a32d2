package bolt

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"hash/fnv"
	"os"

	"go.etcd.io/bbolt"

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

// agree reads every record and makes sure that what records say of each other
// is true. That the checksums match was made sure of before.
func (t *transaction) agree() error {
	for _, of := range kinds {
		if err := t.agrees(of); err != nil {
			return err
		}
	}
	return nil
}

// agrees makes sure that each record of a kind says what its key does, and that
// the index holds it once.
func (t *transaction) agrees(of kind) error {
	placed := uint64(0)
	err := t.each(of.bucket, func(k, record []byte) error {
		w, err := of.write(k, record)
		at, with, unplaced := of.place(k, record)
		if err = cmp.Or(unplaced, err); err != nil {
			return err
		}
		own := k
		switch w := w.(type) {
		case store.PutHousehold:
			own = []byte(w.ID)
		case store.PutDue:
			own = []byte(w.Household)
		case store.PutEntry:
			own = entryKey(w.Household, w.Entry)
		}
		if !bytes.Equal(own, k) {
			return amiss("%s: record %x names another", of.bucket, k)
		}
		if at == nil {
			return nil
		}
		placed++
		is, err := opened("check", at, t.bucket(of.index).Get(at))
		if err == nil && (is == nil || !bytes.Equal(is, with)) {
			err = amiss("%s: record %x is not in the index", of.bucket, k)
		}
		return err
	})
	if err != nil || of.index == nil {
		return err
	}
	if n := t.size(of.index); n != placed {
		return amiss("%s: %d records, %d in the index", of.bucket, placed, n)
	}
	return nil
}

// each calls f with every record of a bucket.
func (t *transaction) each(name []byte, f func(key, record []byte) error) error {
	return t.bucket(name).is.ForEach(func(k, v []byte) error {
		record, err := opened("check", k, v)
		if err != nil {
			return err
		}
		return f(k, record)
	})
}

func (t *transaction) size(name []byte) uint64 { return t.bucket(name).is.Sequence() }

// What is known here of bbolt's format, version 2 (go.etcd.io/bbolt v1.5,
// internal/common), in the machine's byte order: a page begins with its number
// (8 bytes), flags, count (2 each) and how many pages it goes on for (4). On a
// meta page follow 64 bytes, which hold the root page at 16, that of the free pages at 32 and the transaction at 48, and end with the
// FNV-1a of those before. On a branch page follow its children: where the key
// is and how long (4 each), and the page (8).
const (
	pageHeader = 16
	metaSize   = 64
	metaRoot   = 16
	metaFree   = 32
	metaLast   = 48
	childSize  = 16

	flagBranch = 1
	flagMeta   = 4
)

var order = binary.NativeEndian

// meta is what a meta page says of the file.
type meta struct {
	root, free uint64 // the root page, and that of the free pages
	last       uint64 // the transaction that wrote it
	whole      bool
}

func metas(f *os.File, pageSize int) (both [2]meta) {
	for i := range both {
		var b [pageHeader + metaSize]byte
		if _, err := f.ReadAt(b[:], int64(i*pageSize)); err != nil {
			continue
		}
		m := b[pageHeader:]
		sum := fnv.New64a()
		sum.Write(m[:metaSize-8])
		both[i] = meta{root: order.Uint64(m[metaRoot:]), free: order.Uint64(m[metaFree:]), last: order.Uint64(m[metaLast:])}
		both[i].whole = order.Uint64(b[:]) == uint64(i) && order.Uint16(b[8:]) == flagMeta && order.Uint64(m[metaSize-8:]) == sum.Sum64()
	}
	return both
}

// tornMeta says whether one of the two meta pages is not whole.
func (s *Store) tornMeta() bool {
	both := metas(s.file, s.db.Info().PageSize)
	return !both[0].whole || !both[1].whole
}

// pages walks the branches of a file. bbolt follows them wherever they lead:
// where a page is its own child it does not end, and where a key lies outside
// its page the program may end.
type pages struct {
	t     *transaction
	size  int
	taken []bool // by page number: something refers to it
}

// reachable makes sure that every page is referred to once, and is there.
func (t *transaction) reachable() error {
	p := pages{t: t, size: t.tx.DB().Info().PageSize}
	p.taken = make([]bool, t.tx.Size()/int64(p.size))
	last := t.tx.ID()
	if t.tx.Writable() {
		last-- // its own meta page is still to come
	}
	for _, m := range metas(t.s.file, p.size) {
		if m.last != uint64(last) {
			continue
		}
		if _, _, err := p.take(m.free); err != nil {
			return err
		}
		if err := p.tree(m.root); err != nil {
			return err
		}
		break
	}
	return t.protected("check", func() error {
		return t.tx.ForEach(func(_ []byte, b *bbolt.Bucket) error {
			if b.Root() == 0 {
				return nil // it lies within the page that names it
			}
			return p.tree(uint64(b.Root()))
		})
	})
}

// take reads a page, and takes its number and those of the pages that it goes
// on for, of length bytes in all.
func (p pages) take(id uint64) (page []byte, length int64, err error) {
	if id < 2 || id >= uint64(len(p.taken)) {
		return nil, 0, amiss("page %d is outside the file", id)
	}
	page = make([]byte, p.size)
	if _, err := p.t.s.file.ReadAt(page, int64(id)*int64(p.size)); err != nil {
		return nil, 0, classify("check", err)
	}
	more := uint64(order.Uint32(page[12:]))
	if order.Uint64(page) != id || more >= uint64(len(p.taken))-id {
		return nil, 0, amiss("page %d is not what it should be", id)
	}
	for n := id; n <= id+more; n++ {
		if p.taken[n] {
			return nil, 0, amiss("page %d is used twice", n)
		}
		p.taken[n] = true
	}
	return page, int64(more+1) * int64(p.size), nil
}

// tree walks the tree under a page.
func (p pages) tree(id uint64) error {
	page, length, err := p.take(id)
	if err != nil || order.Uint16(page[8:]) != flagBranch {
		return err // of other pages bbolt's check tells
	}
	for i := range int64(order.Uint16(page[10:])) {
		at := pageHeader + i*childSize
		if at+childSize > int64(p.size) {
			return amiss("page %d cannot hold %d children", id, i+1)
		}
		child := page[at:]
		if at+int64(order.Uint32(child))+int64(order.Uint32(child[4:])) > length {
			return amiss("page %d: key %d is outside", id, i)
		}
		if err := p.tree(order.Uint64(child[8:])); err != nil {
			return err
		}
	}
	return nil
}
