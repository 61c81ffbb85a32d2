package bolt

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"

	"bowlwright/store"
)

// compactStep is how many bytes one transaction of the new file takes over; our
// own choice.
const compactStep = 1 << 20

// Compact makes the file anew, if something was erased since that was last
// done: bbolt frees a page without clearing it, so what was deleted can be read
// in the file until then. Snapshots go on, commits wait; there must be room for
// both files. A system on which an open file cannot make place for another keeps
// the freed pages.
func (s *Store) Compact(ctx context.Context) error {
	const op = "compact"
	s.writer.enter()
	defer s.writer.leave()
	wanted := false
	err := s.view(op, func(t *transaction) (err error) {
		wanted, err = t.Seen(store.CompactMark)
		return err
	})
	if err != nil || !wanted || !renamesOpen {
		return err
	}
	m, err := makeBeside(s.path, Options{}, time.Now().Add(backupTimeout), func(f *os.File, name string) (io.Closer, error) {
		n, err := takeOver(f, name, Options{NoSync: true}, false)
		if err != nil {
			return nil, err
		}
		if err = s.compactInto(ctx, n); err == nil {
			err = inherit(f, s.path)
		}
		if err != nil {
			n.Close()
			return nil, err
		}
		return n, nil
	})
	if err != nil {
		return classify(op, err)
	}
	if err := os.Rename(m.name, m.path); err != nil {
		m.drop()
		return classify(op, err)
	}
	s.goOnIn(m.is.(*Store))
	if s.noSync {
		return nil
	}
	return classify(op, syncDir(filepath.Dir(s.path)))
}

// compactInto copies what there is into an empty file, and notes there that it
// is done. The writer is held.
func (s *Store) compactInto(ctx context.Context, n *Store) error {
	err := s.protect("compact", func() error { return bbolt.Compact(n.db, s.db, compactStep) })
	if err == nil {
		err = n.update(ctx, func(t *transaction) error { return t.forgetEvent(store.CompactMark) })
	}
	if err == nil && !s.noSync {
		err = n.db.Sync()
	}
	return err
}

// goOnIn makes another open file the store's own. The old one, which has no name
// any more, is closed when its last snapshot is. The writer is held.
func (s *Store) goOnIn(n *Store) {
	s.begin.Lock()
	old := s.db
	s.db, s.file = n.db, n.file
	s.db.NoSync, s.db.NoGrowSync = s.noSync, s.noSync
	s.stampAt, s.wrote = 0, true
	s.begin.Unlock()
	go old.Close()
}
