package store

import bolt "go.etcd.io/bbolt"

// bbolt reads the file through a mapping, and every page that was looked at
// stays resident. With many households that would be the whole file in the
// end, though each message needs a few pages only. Our own choices:
const (
	// smallFile may be resident as a whole, in bytes.
	smallFile = 32 << 20
	// unmapEvery is after how many transactions a larger file is let go of.
	// Each looks at some ten pages, and the system maps up to sixteen at once.
	unmapEvery = 8
	// walkStep is how many bytes of keys and values are read, of all of a file,
	// until it is let go of. Up to thirty times as much is resident: pages are
	// half full at worst, and the system maps sixteen at once.
	walkStep = 1 << 20
	// mostPages is how many pages of a larger file one transaction changes where
	// several may: the commit looks at all of them once more, and the system
	// maps up to sixteen for each.
	mostPages = 64
)

// counted is called with each transaction that has begun.
func (s *Bolt) counted(tx *bolt.Tx) {
	if tx.Size() > smallFile && s.begun.Add(1)%unmapEvery == 0 {
		unmapPages(tx)
	}
}

// unmapLarge lets go of a large file, before much of it is looked at.
func unmapLarge(tx *bolt.Tx) {
	if tx.Size() > smallFile {
		unmapPages(tx)
	}
}

// manyPages reports that a transaction on a large file changes many pages.
func manyPages(tx *bolt.Tx) bool {
	if tx.Size() <= smallFile {
		return false
	}
	stats := tx.Stats()
	return stats.GetNodeCount() >= mostPages
}

// walk counts what was read of a file on a way through all of it.
type walk struct {
	tx   *bolt.Tx
	read int // bytes, since pages were let go
}

// step counts a key and its value.
func (w *walk) step(k, v []byte) {
	if w.read += len(k) + len(v); w.read >= walkStep {
		w.end()
	}
}

// end lets go of what was read.
func (w *walk) end() {
	unmapPages(w.tx)
	w.read = 0
}
