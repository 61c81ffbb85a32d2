package bolt

import (
	"encoding/binary"
	"hash/fnv"
	"os"

	"go.etcd.io/bbolt"
)

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
