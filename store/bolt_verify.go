package store

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"os"
	"slices"
)

// The layout of a bbolt file, version 2, as go.etcd.io/bbolt v1.5.0 writes it
// (its package internal/common). Integers are in the machine's byte order.
const (
	formatMagic   = 0xED0CDAED
	formatVersion = 2

	pageHeader = 16 // id uint64, flags uint16, count uint16, overflow uint32
	metaSize   = 64 // see parseMeta
	element    = 16 // of a branch: pos, ksize uint32, page uint64; of a leaf: flags, pos, ksize, vsize uint32
	subHeader  = 16 // of a bucket within a leaf: root page, sequence uint64

	flagBranch   = 0x01
	flagLeaf     = 0x02
	flagMeta     = 0x04
	flagFreelist = 0x10
	flagBucket   = 0x01 // of a leaf element

	smallestPage = 1 << 10
	largestPage  = 16 << 20
)

var order = binary.NativeEndian

// meta is what a meta page says of the file.
type meta struct {
	pageSize int64
	root     uint64 // page of the root bucket
	freelist uint64 // page of the list of free pages
	end      uint64 // the first page number that is not in use
	tx       uint64 // the transaction that wrote it
}

// verify reads a whole file, once, without mapping it: bbolt trusts what it
// maps, and has no checksums beyond its meta pages. Every page that can be
// reached must be there, be what it is referred to as, hold its keys in order
// and within its bounds, be referred to once, and not be listed as free. It
// writes nothing. Errors have code Damaged, except those of reading.
//
// Records that fail their checksum are no error here but are returned: what
// carries one depends on the schema version, which nobody has read yet.
func verify(f *os.File) (faults, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	m, err := newestMeta(f, info.Size())
	if err != nil {
		return nil, err
	}
	if m.end > uint64(info.Size()/m.pageSize) {
		return nil, damaged("%d bytes of at least %d are there", info.Size(), m.end*uint64(m.pageSize))
	}
	v := verifier{f: f, meta: m, taken: make([]bool, m.end), faults: faults{}}
	v.taken[0], v.taken[1] = true, true
	if err := v.tree("", m.root, nil, nil); err != nil {
		return nil, err
	}
	return v.faults, v.freelist()
}

// faults are, by bucket, the first of its records that fail their checksum.
type faults map[string]error

func damaged(format string, args ...any) error {
	return &Error{Code: Damaged, Op: "open", Err: fmt.Errorf(format, args...)}
}

// newestMeta returns the valid meta page of the latest transaction, which is
// the one that bbolt goes by. The other may be torn: a crash while it was
// being written leaves it so.
func newestMeta(f *os.File, size int64) (meta, error) {
	first, ok := readMeta(f, 0)
	if !ok {
		// The place of the second depends on the page size.
		for at := int64(smallestPage); at <= largestPage && at+pageHeader+metaSize <= size; at *= 2 {
			if m, ok := readMeta(f, at); ok && m.pageSize == at {
				return m, nil
			}
		}
		return meta{}, damaged("no valid meta page in %d bytes", size)
	}
	if second, ok := readMeta(f, first.pageSize); ok && second.pageSize == first.pageSize && second.tx > first.tx {
		return second, nil
	}
	return first, nil
}

// readMeta reads the meta page at an offset in bytes; ok is false where there
// is no valid one.
func readMeta(f *os.File, at int64) (m meta, ok bool) {
	var b [pageHeader + metaSize]byte
	if _, err := f.ReadAt(b[:], at); err != nil {
		return meta{}, false
	}
	// magic, version, pageSize, flags uint32; root, sequence, freelist, end,
	// tx, checksum uint64. The checksum is FNV-1a of all that precedes it.
	p := b[pageHeader:]
	sum := fnv.New64a()
	sum.Write(p[:metaSize-8])
	if order.Uint32(p) != formatMagic || order.Uint32(p[4:]) != formatVersion || order.Uint64(p[metaSize-8:]) != sum.Sum64() {
		return meta{}, false
	}
	m = meta{
		pageSize: int64(order.Uint32(p[8:])),
		root:     order.Uint64(p[16:]),
		freelist: order.Uint64(p[32:]),
		end:      order.Uint64(p[40:]),
		tx:       order.Uint64(p[48:]),
	}
	return m, m.pageSize >= smallestPage && m.pageSize <= largestPage && m.pageSize&(m.pageSize-1) == 0 && m.end >= 4
}

// bothMetas reports that neither meta page is torn.
func bothMetas(f *os.File) bool {
	first, ok := readMeta(f, 0)
	if !ok {
		return false
	}
	for id := range int64(2) {
		var head [pageHeader]byte
		_, err := f.ReadAt(head[:], id*first.pageSize)
		_, ok := readMeta(f, id*first.pageSize)
		if err != nil || !ok || order.Uint64(head[:]) != uint64(id) || order.Uint16(head[8:]) != flagMeta {
			return false
		}
	}
	return true
}

// verifier walks the pages of one file.
type verifier struct {
	f     *os.File
	meta  meta
	taken []bool // by page number: something refers to it
	buf   []byte // the page run read last

	faults faults
}

// page reads a page with what overflows from it and takes its numbers. The
// bytes are good until the next call.
func (v *verifier) page(id uint64) ([]byte, error) {
	if id < 2 || id >= v.meta.end {
		return nil, damaged("page %d is outside the file", id)
	}
	// Most pages have no overflow, so the first read is usually the only one.
	at, one := int64(id)*v.meta.pageSize, int(v.meta.pageSize)
	v.buf = slices.Grow(v.buf[:0], one)[:one]
	if _, err := v.f.ReadAt(v.buf, at); err != nil {
		return nil, err
	}
	run := uint64(order.Uint32(v.buf[12:])) + 1
	if order.Uint64(v.buf) != id || run > v.meta.end-id {
		return nil, damaged("page %d is not what it should be", id)
	}
	for n := id; n < id+run; n++ {
		if v.taken[n] {
			return nil, damaged("page %d is used twice", n)
		}
		v.taken[n] = true
	}
	size := int(run) * one
	v.buf = slices.Grow(v.buf, size-one)[:size]
	_, err := v.f.ReadAt(v.buf[one:], at+int64(one))
	return v.buf, err
}

// tree walks the tree under a page, whose keys lie from low up to but not
// including high (nil is no bound), and the trees of the buckets in it. The
// name is that of the bucket it belongs to, empty for the tree of the buckets.
func (v *verifier) tree(name string, id uint64, low, high []byte) error {
	p, err := v.page(id)
	if err != nil {
		return err
	}
	switch order.Uint16(p[8:]) {
	case flagBranch:
		return v.branch(name, p, id, low, high)
	case flagLeaf:
		buckets, err := v.leaf(name, p, id, low, high)
		if err != nil {
			return err
		}
		for _, b := range buckets {
			if err := v.tree(b.name, b.root, nil, nil); err != nil {
				return err
			}
		}
		return nil
	}
	return damaged("page %d is neither branch nor leaf", id)
}

// branch walks the children of a branch page.
func (v *verifier) branch(name string, p []byte, id uint64, low, high []byte) error {
	count := int(order.Uint16(p[10:]))
	if count == 0 || !counted(p, count, 0) {
		return damaged("page %d cannot hold %d children", id, count)
	}
	keys, children := make([][]byte, count+1), make([]uint64, count)
	keys[count] = high
	for i := range count {
		e := pageHeader + i*element
		key, ok := within(p, e, order.Uint32(p[e:]), order.Uint32(p[e+4:]))
		if !ok || !inOrder(low, key, high, i > 0) {
			return damaged("page %d: key %d is out of place", id, i)
		}
		low = bytes.Clone(key)
		keys[i], children[i] = low, order.Uint64(p[e+8:])
	}
	for i, child := range children {
		if err := v.tree(name, child, keys[i], keys[i+1]); err != nil {
			return err
		}
	}
	return nil
}

// subtree is the tree of a bucket.
type subtree struct {
	name string
	root uint64 // its page
}

// leaf checks a leaf page of a bucket and returns the buckets in it.
func (v *verifier) leaf(name string, p []byte, id uint64, low, high []byte) (buckets []subtree, err error) {
	count := int(order.Uint16(p[10:]))
	if !counted(p, count, 4) {
		return nil, damaged("page %d cannot hold %d keys", id, count)
	}
	for i := range count {
		e := pageHeader + i*element
		pos, ksize, vsize := order.Uint32(p[e+4:]), order.Uint32(p[e+8:]), order.Uint32(p[e+12:])
		key, ok := within(p, e, pos, ksize)
		if !ok || !inOrder(low, key, high, i > 0) {
			return nil, damaged("page %d: key %d is out of place", id, i)
		}
		value, ok := within(p, e+int(pos), ksize, vsize)
		if !ok {
			return nil, damaged("page %d: value %d is cut short", id, i)
		}
		low = key
		if order.Uint32(p[e:])&flagBucket == 0 {
			v.record(name, key, value)
			continue
		}
		more, err := v.subBucket(cmp.Or(name, string(key)), value, id)
		if err != nil {
			return nil, err
		}
		buckets = append(buckets, more...)
	}
	return buckets, nil
}

// record keeps the first fault of a bucket.
func (v *verifier) record(name string, key, value []byte) {
	if _, err := opened("open", key, value); err != nil && v.faults != nil && v.faults[name] == nil {
		v.faults[name] = err
	}
}

// subBucket returns the trees below a bucket entry: its own, or those of the
// leaf that stands inline in it.
func (v *verifier) subBucket(name string, value []byte, id uint64) ([]subtree, error) {
	if len(value) < subHeader {
		return nil, damaged("page %d: a bucket is cut short", id)
	}
	if root := order.Uint64(value); root != 0 {
		return []subtree{{name, root}}, nil
	}
	inline := value[subHeader:]
	if len(inline) < pageHeader || order.Uint64(inline) != 0 || order.Uint16(inline[8:]) != flagLeaf {
		return nil, damaged("page %d: an inline bucket is not one", id)
	}
	return v.leaf(name, inline, id, nil, nil)
}

// counted reports that a page can hold so many elements: what the first of them
// refers to, at pos bytes after it, stands right behind the last. Behind the
// header of an empty page there is nothing.
func counted(p []byte, count, pos int) bool {
	ends := pageHeader + count*element
	switch {
	case ends > len(p):
		return false
	case count == 0:
		rest := p[pageHeader:]
		return !slices.ContainsFunc(rest[:min(len(rest), element)], func(b byte) bool { return b != 0 })
	}
	return pageHeader+int(order.Uint32(p[pageHeader+pos:])) == ends
}

// within returns the size bytes that stand pos bytes after base, if they lie
// in the page.
func within(p []byte, base int, pos, size uint32) ([]byte, bool) {
	from := int64(base) + int64(pos)
	to := from + int64(size)
	if to > int64(len(p)) {
		return nil, false
	}
	return p[from:to], true
}

// inOrder reports that a key is not empty and lies between its neighbours;
// above says that low is the key before it rather than a bound it may equal.
func inOrder(low, key, high []byte, above bool) bool {
	c := bytes.Compare(key, low)
	return len(key) > 0 && (c > 0 || c == 0 && !above) && (high == nil || bytes.Compare(key, high) < 0)
}

// freelist checks that no page in use is listed as free, which would have it
// overwritten. Pages that are neither are lost space and nothing worse.
func (v *verifier) freelist() error {
	p, err := v.page(v.meta.freelist)
	if err != nil {
		return err
	}
	if order.Uint16(p[8:]) != flagFreelist {
		return damaged("page %d is not the list of free pages", v.meta.freelist)
	}
	count, ids := uint64(order.Uint16(p[10:])), p[pageHeader:]
	if count == 0xFFFF { // too many for the header: the first entry counts them
		count, ids = order.Uint64(ids), ids[8:]
	}
	if count > uint64(len(ids)/8) {
		return damaged("the list of free pages is cut short")
	}
	for i := range count {
		id := order.Uint64(ids[i*8:])
		if id < 2 || id >= v.meta.end || v.taken[id] {
			return damaged("page %d cannot be free", id)
		}
		v.taken[id] = true
	}
	return nil
}
