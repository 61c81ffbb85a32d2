package bolt

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"bowlwright/store"
)

// branchOf returns the root page of the outbox, which has children.
func branchOf(t *testing.T, path string) (id uint64) {
	t.Helper()
	s := mustOpen(t, path)
	err := s.view("test", func(t *transaction) error {
		id = uint64(t.tx.Bucket(bucketOutbox).Root())
		return nil
	})
	must(t, errors.Join(err, s.Close()))
	return id
}

// TestVerifyFindsSharedPages makes files in which every page is sound by
// itself, and what they say of each other is not.
func TestVerifyFindsSharedPages(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := Open(path, Options{})
	must(t, err)
	// Enough for a bucket to have branch pages.
	for n := range 60 {
		must(t, s.update(t.Context(), func(tx *transaction) error {
			_, err := tx.Enqueue(store.Outgoing{Chat: "terminal/Ines", Body: make([]byte, 1000+n)})
			return err
		}))
	}
	must(t, errors.Join(s.Check(), s.Close()))
	sound := fileOf(t, path)
	sound = sound[:len(sound)-stampSize]
	size := uint64(os.Getpagesize())
	page := func(data []byte, id uint64) []byte { return data[id*size:][:size] }
	meta := page(sound, 0)[pageHeader:]
	if other := page(sound, 1)[pageHeader:]; order.Uint64(other[metaLast:]) > order.Uint64(meta[metaLast:]) {
		meta = other
	}
	root, free := order.Uint64(meta[metaRoot:]), order.Uint64(meta[metaFree:])
	branch := branchOf(t, path)
	for name, spoil := range map[string]func([]byte){
		"a page in use is listed as free": func(data []byte) {
			p := page(data, free)
			n := order.Uint16(p[10:])
			order.PutUint64(p[pageHeader+8*int(n):], root)
			order.PutUint16(p[10:], n+1)
		},
		"a page is listed as free twice": func(data []byte) {
			p := page(data, free)
			order.PutUint64(p[pageHeader:], order.Uint64(p[pageHeader+8:]))
		},
		"the list of free pages is longer than its page": func(data []byte) {
			order.PutUint16(page(data, free)[10:], 0xFFFE)
		},
		"the list of free pages is longer than any number": func(data []byte) {
			p := page(data, free)
			order.PutUint16(p[10:], 0xFFFF)
			order.PutUint64(p[pageHeader:], 1<<63)
		},
		"the list of free pages goes on beyond the end": func(data []byte) {
			order.PutUint32(page(data, free)[12:], 1<<31)
		},
		"two children are one page": func(data []byte) {
			p := page(data, branch)
			order.PutUint64(p[pageHeader+8:], order.Uint64(p[pageHeader+childSize+8:]))
		},
		"two buckets are one tree": func(data []byte) {
			var roots [][]byte
			p := page(data, root)
			for i := range int(order.Uint16(p[10:])) {
				e := pageHeader + i*childSize
				value := p[e+int(order.Uint32(p[e+4:])+order.Uint32(p[e+8:])):]
				if order.Uint64(value) != 0 {
					roots = append(roots, value)
				}
			}
			if len(roots) < 2 {
				t.Fatal("fewer than two buckets have pages")
			}
			copy(roots[1][:8], roots[0])
		},
		"a page is its own child": func(data []byte) { order.PutUint64(page(data, branch)[pageHeader+8:], branch) },
		"two children are exchanged": func(data []byte) {
			a, b := page(data, branch)[pageHeader+8:], page(data, branch)[pageHeader+childSize+8:]
			x, y := order.Uint64(a), order.Uint64(b)
			order.PutUint64(a, y)
			order.PutUint64(b, x)
		},
		"a child is outside": func(data []byte) { order.PutUint64(page(data, branch)[pageHeader+8:], 1<<60) },
		"a branch has no children": func(data []byte) {
			order.PutUint16(page(data, branch)[10:], 0)
		},
		"a page overflows beyond the end": func(data []byte) { order.PutUint32(page(data, root)[12:], 1<<32-1) },
		"a key lies outside its page":     func(data []byte) { order.PutUint32(page(data, root)[pageHeader+4:], 1<<31) },
	} {
		data := append([]byte(nil), sound...)
		spoil(data)
		must(t, os.WriteFile(path, data, 0o600))
		s, err := Open(path, Options{})
		if wantCode(t, name, err, store.Damaged); err == nil {
			s.Close()
		}
		wantCode(t, name+", verified", verified(path), store.Damaged)
	}
}
