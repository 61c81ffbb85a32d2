package store

import (
	"cmp"
	"context"
	"sync"
	"sync/atomic"

	berrors "go.etcd.io/bbolt/errors"
)

// group is updates that wait for the log together. Whoever began it writes it.
type group struct {
	buf         []byte        // a place for a header, and the updates
	first, last uint64        // their numbers
	wanted      atomic.Bool   // the log is free for it
	closed      chan struct{} // nothing joins it any more, and seen is set
	seen        *layer        // what a View sees once it is durable
	done        chan struct{} // it is durable, or failed
	err         error         // why it failed; set before done
	dead        bool          // one before it failed; of whoever holds the writer
}

// Update implements Store. A context that is done before f starts is an error
// of code Internal that wraps the context's; once f has started the context
// is not looked at.
//
// Where the log cannot be written, every update that waits for it fails, and
// none of them has happened. An error of f is returned when what f may have read
// is durable too: who tries again then finds it in a View. Where that fails, its
// error is returned, since f rests on what never was.
func (s *Bolt) Update(ctx context.Context, f func(Tx) error) error {
	return s.update(ctx, func(t *boltTx) error { return f(t) })
}

func (s *Bolt) update(ctx context.Context, f func(*boltTx) error) error {
	select {
	case s.writer <- struct{}{}:
	case <-ctx.Done():
		return classify("update", ctx.Err())
	}
	g, mine, err := s.join(ctx, f)
	if g == nil {
		return err
	}
	if mine {
		s.flush(g)
	}
	<-g.done
	return cmp.Or(g.err, err)
}

// join runs f with the writer held, and lets go of it. It returns the group
// that makes durable what f wrote and what it may have read, nil where there is
// none; mine says that the caller is to write it.
func (s *Bolt) join(ctx context.Context, f func(*boltTx) error) (_ *group, mine bool, _ error) {
	defer s.writer.leave()
	if s.shut {
		return nil, false, classify("update", berrors.ErrDatabaseNotOpen)
	}
	t, err := s.enter(ctx, "update")
	if err != nil {
		return nil, false, err
	}
	defer t.end()
	t.layer, t.writable, t.undone = s.working, true, s.undone[:0]
	g := s.group
	if g == nil {
		g, mine = newGroup(s.working.last), true
	}
	t.group = g
	begins := len(g.buf)
	g.buf = appendFrame(g.buf, g.last+1)
	whole := false
	defer func() { // f may return an error, panic, or end its goroutine
		if !whole {
			t.undo()
			g.buf = g.buf[:begins]
		}
		if clear(t.undone); cap(t.undone) <= mostUndone {
			s.undone = t.undone
		}
	}()
	if err := f(t); err != nil {
		return s.unsure(), false, err
	}
	if len(g.buf) == begins+frameSize { // nothing was written
		return s.unsure(), false, nil
	}
	whole = true
	endFrame(g.buf, begins)
	g.last++
	s.working.last = g.last
	s.group = g
	if g.wanted.Load() {
		s.seal(g)
	}
	return g, mine, nil
}

// buffers are those of groups that are written. Long ones are let go of.
var buffers = sync.Pool{New: func() any { b := make([]byte, headSize, 16<<10); return &b }}

const longestBuffer = 512 << 10

// mostUndone is how many changes of an update there is room for ever after.
const mostUndone = 1 << 10

func (g *group) release() {
	if b := g.buf; cap(b) <= longestBuffer {
		buffers.Put(&b)
	}
	g.buf = nil
}

// unsure is the newest group, which makes durable what an Update may have read;
// nil where there was none, or it failed. The writer is held.
func (s *Bolt) unsure() *group {
	if s.group != nil {
		return s.group
	}
	return s.sealed
}

func newGroup(last uint64) *group {
	return &group{
		buf: (*buffers.Get().(*[]byte))[:headSize], first: last + 1, last: last,
		closed: make(chan struct{}), done: make(chan struct{}),
	}
}

// seal has no other update join a group. The writer is held.
func (s *Bolt) seal(g *group) {
	g.seen = s.working.freeze()
	s.unfolded.Store(int64(g.seen.bytes))
	s.group, s.sealed = nil, g
	close(g.closed)
}

// flush writes a group to the log. While it waits for the disk, or for those
// before it, others join.
func (s *Bolt) flush(g *group) {
	defer close(g.done)
	s.disk.enter()
	defer s.disk.leave()
	g.wanted.Store(true)
	select {
	case <-g.closed:
	case s.writer <- struct{}{}:
		if s.group == g {
			s.seal(g)
		}
		s.writer.leave()
	}
	if g.dead {
		return
	}
	g.err = s.keep(g)
	if g.seen = nil; g.err != nil {
		s.giveUp(g.err)
		return
	}
	g.release()
	s.foldSoon()
}

// giveUp takes back everything that is not durable, after an error that kept
// it from becoming so. The disk is held.
func (s *Bolt) giveUp(err error) {
	s.writer.enter()
	defer s.writer.leave()
	s.working, s.sealed = s.seen().thaw(), nil
	s.unfolded.Store(int64(s.working.bytes))
	if g := s.group; g != nil {
		g.dead, g.err = true, err
		s.group = nil
		close(g.closed)
	}
}

// keep makes a group durable, and has Views see it. The disk is held.
func (s *Bolt) keep(g *group) error {
	if e := s.stopped.Load(); e != nil {
		return e
	}
	size := len(g.buf) - headSize
	s.log.free(s.folded.Load())
	if !s.log.fits(size) {
		return s.keepInFile(g)
	}
	if !s.log.room(g.first, size) {
		if err := s.makeRoom(g); err != nil {
			return err
		}
	}
	if s.log.f == nil {
		if err := s.openLog(); err != nil {
			return classify("update", err)
		}
	}
	stop, err := s.log.append(g.buf, g.first, g.last)
	if stop {
		return s.stop(&Error{Code: Internal, Op: "update", Err: err})
	}
	if err != nil {
		return classify("update", err)
	}
	s.begin.Lock()
	defer s.begin.Unlock()
	s.published = g.seen
	return nil
}

// makeRoom brings the file up to date before a group is written. The disk is
// held.
func (s *Bolt) makeRoom(g *group) error {
	done := s.seen()
	if err := s.foldNow(); err != nil {
		return err
	}
	s.log.free(s.folded.Load())
	s.writer.enter()
	defer s.writer.leave()
	left := g.seen.thaw()
	left.forget(done)
	g.seen = left
	return nil
}

// keepInFile writes a group that is too large for the log to the file at once,
// with all before it. From when the file has it until Views see it none may
// begin, or it would see a part of it. The disk is held.
func (s *Bolt) keepInFile(g *group) error {
	s.folds.enter()
	defer s.folds.leave()
	w := &fileWriter{s: s, whole: true}
	defer w.end()
	if err := w.all(g.seen); err != nil {
		return err
	}
	s.writer.enter()
	defer s.writer.leave()
	s.begin.Lock()
	defer s.begin.Unlock()
	if err := w.t.commit(); err != nil {
		return err
	}
	s.has(g.seen)
	s.published = &layer{last: g.last}
	return nil
}
