package telegram

import (
	"sync"
	"time"
)

// Our own choices.
const (
	mostWaiting = 4096 // updates in hand; beyond that none is received
	mostPerLane = 500  // updates of one household in hand
	mostOfOne   = 200  // of them by one person
	newest      = 20   // how many of these are kept if there are more
	mostAtOnce  = 64   // updates being handled at the same time
)

// job is one update on its way to the assistant.
type job struct {
	update update
	chat   string // its order must be kept
	lane   string // household, or chat where there is none yet
	person int64
	at     time.Time
}

// lanes runs jobs: those of one lane in order, different lanes in parallel and
// in turn. A chat keeps its lane for as long as any of its jobs is under way,
// so that its order holds while it changes households.
type lanes struct {
	do func(job)

	slots   chan struct{} // taken by the jobs being done
	mu      sync.Mutex
	changed *sync.Cond // a job came to an end, or no more are begun
	chats   map[string]*lane
	byKey   map[string]*lane
	waiting int // jobs in hand
	closed  bool
}

type lane struct {
	key   string
	queue []job
	chats map[string]int // jobs of each chat
	by    map[int64]int  // jobs of each person
}

func newLanes(do func(job)) *lanes {
	l := &lanes{do: do, slots: make(chan struct{}, mostAtOnce), chats: map[string]*lane{}, byKey: map[string]*lane{}}
	l.changed = sync.NewCond(&l.mu)
	return l
}

// put waits for room and adds a job, unless the lanes are closed. Where one
// person or one lane has too many, it returns those that will not be done: the
// oldest of whoever has the most in hand.
func (l *lanes) put(j job) (dropped []job) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for l.waiting >= mostWaiting && !l.closed {
		l.changed.Wait()
	}
	if l.closed {
		return nil
	}
	on := l.chats[j.chat]
	if on == nil {
		on = l.byKey[j.lane]
	}
	if on == nil {
		on = &lane{key: j.lane, chats: map[string]int{}, by: map[int64]int{}}
		l.byKey[j.lane] = on
	}
	l.chats[j.chat] = on
	on.chats[j.chat]++
	on.by[j.person]++
	on.queue = append(on.queue, j)
	l.waiting++
	if len(on.queue) == 1 {
		go l.work(on)
	}
	switch {
	case on.by[j.person] > mostOfOne:
		return l.thin(on, j.person)
	case len(on.queue) > mostPerLane:
		return l.thin(on, on.busiest())
	}
	return nil
}

// busiest is the person with the most jobs of a lane.
func (on *lane) busiest() (most int64) {
	for person, n := range on.by {
		if n > on.by[most] {
			most = person
		}
	}
	return most
}

// thin takes out of a lane all but the newest jobs of a person, at least one.
// The lane's first is being done.
func (l *lanes) thin(on *lane, person int64) (dropped []job) {
	kept, waiting := on.queue[:1:1], on.queue[1:]
	surplus := -min(newest, on.by[person]-1)
	for _, j := range waiting {
		if j.person == person {
			surplus++
		}
	}
	for _, j := range waiting {
		if j.person != person || surplus <= 0 {
			kept = append(kept, j)
			continue
		}
		surplus--
		dropped = append(dropped, j)
		l.forget(on, j)
	}
	on.queue = kept
	return dropped
}

// work does the jobs of a lane, each when there is a slot, until the lane is
// empty or the lanes are closed; the first of the queue is the one being done.
func (l *lanes) work(on *lane) {
	for more := true; more; {
		l.slots <- struct{}{}
		l.mu.Lock()
		j, stop := on.queue[0], l.closed
		l.mu.Unlock()
		if !stop {
			l.do(j)
		}
		<-l.slots
		more = l.over(on, j)
	}
}

// over takes the job that was done out of a lane; false where it was the last.
func (l *lanes) over(on *lane, j job) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	on.queue = on.queue[1:]
	l.forget(on, j)
	if len(on.queue) == 0 {
		delete(l.byKey, on.key)
		return false
	}
	return true
}

// forget takes a job out of the counts.
func (l *lanes) forget(on *lane, j job) {
	l.waiting--
	l.changed.Broadcast()
	if on.chats[j.chat]--; on.chats[j.chat] == 0 {
		delete(on.chats, j.chat)
		delete(l.chats, j.chat)
	}
	if on.by[j.person]--; on.by[j.person] == 0 {
		delete(on.by, j.person)
	}
}

// close takes no more jobs, gives those in hand some time, lets those being
// done finish, and returns when nothing runs any more. Jobs that were not
// begun in time are not done; their updates are still in the store.
func (l *lanes) close(limit time.Duration) {
	shut := func() {
		l.closed = true
		l.changed.Broadcast()
	}
	late := time.AfterFunc(limit, func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		shut()
	})
	defer late.Stop()
	l.mu.Lock()
	defer l.mu.Unlock()
	for l.waiting > 0 {
		l.changed.Wait()
	}
	shut()
}
