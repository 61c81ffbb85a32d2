package store

import (
	"context"

	bolt "go.etcd.io/bbolt"
)

// mostShared is how many updates share a commit at most; our own choice.
const mostShared = 64

// group is a transaction that several updates write into, one after another.
// It is touched only by whoever holds Bolt.writer, until done is closed.
type group struct {
	tx      *bolt.Tx
	members int           // updates that are in it
	done    chan struct{} // closed when it was committed or given up
	err     error         // of the commit
	again   bool          // it was given up because of one of them: the others do theirs anew
}

// grouped is a Bolt whose updates share commits.
type grouped struct{ *Bolt }

// Grouped returns the same store with updates that share a commit, and so a
// wait for the disk, with those that come while one is under way. Each still
// sees what those before it wrote, and is durable when Update returns nil.
// What is different: where an update fails, those that shared its
// transaction are run again, so f must do the same when it is called again.
func (s *Bolt) Grouped() Store { return grouped{s} }

// Update implements Store.
func (s grouped) Update(ctx context.Context, f func(Tx) error) error {
	for {
		if again, err := s.join(ctx, f); !again {
			return err
		}
	}
}

// join runs f within the group that is open, or opens one. again says that f
// must be run anew.
func (s *Bolt) join(ctx context.Context, f func(Tx) error) (again bool, err error) {
	s.queued.Add(1)
	select {
	case s.writer <- struct{}{}:
		s.queued.Add(-1)
	case <-ctx.Done():
		s.queued.Add(-1)
		go s.settleGroup() // it may have been left open for this update
		return false, classify("update", ctx.Err())
	}
	g, err := s.openGroup(ctx)
	if err != nil {
		s.closeGroup()
		<-s.writer
		return false, err
	}
	s.counted(g.tx)
	t := &boltTx{s: s, tx: g.tx}
	kept := false
	defer func() { // f may return an error, panic, or end its goroutine
		t.over = true
		if !kept {
			s.group, g.again = nil, true
			(&boltTx{s: s, tx: g.tx}).end()
			<-s.writer
			close(g.done)
		}
	}()
	if err := f(t); err != nil {
		return false, err
	}
	kept = true
	t.over = true
	if g.members++; s.queued.Load() == 0 || g.members >= mostShared || manyPages(g.tx) {
		s.closeGroup()
	}
	<-s.writer
	<-g.done
	return g.again, g.err
}

// openGroup returns the group that is open, a new one where none is. The
// writer is held.
func (s *Bolt) openGroup(ctx context.Context) (*group, error) {
	if err := ctx.Err(); err != nil {
		return nil, classify("update", err)
	}
	if s.group == nil {
		t, err := s.enter(ctx, "update", true)
		if err != nil {
			return nil, err
		}
		s.group = &group{tx: t.tx, done: make(chan struct{})}
	}
	return s.group, nil
}

// closeGroup commits the group that is open, if any. The writer is held.
func (s *Bolt) closeGroup() {
	g := s.group
	if g == nil {
		return
	}
	s.group = nil
	t := &boltTx{s: s, tx: g.tx}
	g.err = t.commit()
	t.end()
	close(g.done)
}

func (s *Bolt) settleGroup() {
	s.writer <- struct{}{}
	s.closeGroup()
	<-s.writer
}
