package telegram

import (
	"sync"
	"time"
)

// Our own choices.
const (
	mostWaiting = 4096 // updates in hand; beyond that none is received
	mostPerLane = 500  // updates of one household in hand; beyond that they are refused
	mostAtOnce  = 64   // updates being handled at the same time
)

// job is one update on its way to the assistant.
type job struct {
	update update
	chat   string // its order must be kept
	lane   string // household, or chat where there is none yet
	at     time.Time
}

// lanes runs jobs: those of one lane in order, different lanes in parallel and
// in turn. A chat keeps its lane for as long as any of its jobs is under way,
// so that its order holds while it changes households.
type lanes struct {
	do func(job)

	mu      sync.Mutex
	changed *sync.Cond // a job came to an end, or no more are begun
	begun   *sync.Cond // a lane is ready, or no more are begun
	chats   map[string]*lane
	byKey   map[string]*lane
	ready   []*lane // that have a job which is not being done
	workers int     // goroutines; they stay, since a new one's stack has to grow first
	idle    int     // those that wait for a lane
	waiting int     // jobs in hand
	closed  bool
	ended   bool // the workers go home
}

type lane struct {
	key   string
	queue []job
	chats map[string]int // jobs of each chat
}

func newLanes(do func(job)) *lanes {
	l := &lanes{do: do, chats: map[string]*lane{}, byKey: map[string]*lane{}}
	l.changed, l.begun = sync.NewCond(&l.mu), sync.NewCond(&l.mu)
	return l
}

// put adds a job, after waiting until there is room. It returns false where
// the lane has too many already or the lanes are closed.
func (l *lanes) put(j job) (ok, full bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for l.waiting >= mostWaiting && !l.closed {
		l.changed.Wait()
	}
	if l.closed {
		return false, false
	}
	on := l.chats[j.chat]
	if on == nil {
		on = l.byKey[j.lane]
	}
	if on == nil {
		on = &lane{key: j.lane, chats: map[string]int{}}
		l.byKey[j.lane] = on
	}
	if len(on.queue) >= mostPerLane {
		return false, true
	}
	l.chats[j.chat] = on
	on.chats[j.chat]++
	on.queue = append(on.queue, j)
	l.waiting++
	if len(on.queue) == 1 {
		l.begin(on)
	}
	return true, false
}

// begin has somebody do the first job of a lane.
func (l *lanes) begin(on *lane) {
	l.ready = append(l.ready, on)
	switch {
	case l.idle > 0:
		l.begun.Signal()
	case l.workers < mostAtOnce:
		l.workers++
		go l.work()
	}
}

// work does jobs until the lanes are closed and empty; the first of a lane's
// queue is the one being done.
func (l *lanes) work() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for {
		for len(l.ready) == 0 {
			if l.ended {
				l.workers--
				l.changed.Broadcast()
				return
			}
			l.idle++
			l.begun.Wait()
			l.idle--
		}
		on := l.ready[0]
		l.ready = l.ready[1:]
		j, stop := on.queue[0], l.closed
		l.mu.Unlock()
		if !stop {
			l.do(j)
		}
		l.mu.Lock()
		if l.over(on, j) {
			l.ready = append(l.ready, on) // this goroutine is free for it, or for another
		}
	}
}

// over takes the job that was done out of a lane; false where it was the last.
func (l *lanes) over(on *lane, j job) bool {
	l.waiting--
	l.changed.Broadcast()
	on.queue = on.queue[1:]
	if on.chats[j.chat]--; on.chats[j.chat] == 0 {
		delete(on.chats, j.chat)
		delete(l.chats, j.chat)
	}
	if len(on.queue) == 0 {
		delete(l.byKey, on.key)
		return false
	}
	return true
}

// close takes no more jobs, gives those in hand some time, lets those being
// done finish, and returns when nothing runs any more. Jobs that were not
// begun in time are not done; their updates are still in the store.
func (l *lanes) close(limit time.Duration) {
	late := time.AfterFunc(limit, l.shut)
	defer late.Stop()
	l.mu.Lock()
	defer l.mu.Unlock()
	for l.waiting > 0 {
		l.changed.Wait()
	}
	l.closed, l.ended = true, true
	l.changed.Broadcast()
	l.begun.Broadcast()
	for l.workers > 0 {
		l.changed.Wait()
	}
}

func (l *lanes) shut() {
	l.mu.Lock()
	l.closed = true
	l.changed.Broadcast()
	l.mu.Unlock()
}
