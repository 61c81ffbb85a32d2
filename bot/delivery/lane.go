package delivery

import (
	"container/heap"
	"time"
)

// lane is what is known of one chat that has something to send, or that had and
// whose limits still count. A lane holds no message, so lanes and messages in
// flight bound the memory.
type lane struct {
	chat    string
	class   class
	order   uint64 // among lanes of its class that are ready
	chatly  window
	grouply window
	until   time.Time     // not before this, whatever the limits say
	changed time.Time     // when the last change of a message went, or arrived
	firm    bool          // until is the platform's own word
	work    bool          // there is something in the outbox, as far as known
	busy    bool          // one of its messages is on its way
	wired   bool          // and the platform has not answered yet
	counted bool          // the last that was sent has not arrived, as far as known
	beside  bool          // a message that is not in the outbox is on its way
	again   bool          // woken while busy
	tries   int           // failures of the message at its head
	flight  uint64        // counts the messages started
	granted chan struct{} // a Sender waits for its turn to send another part
	in      *queue        // where it waits, nil where it does not
	at      int           // its index there
}

// class decides which lanes go first.
type class int

const (
	begun   class = iota // the next part of a message that is under way
	urgent               // somebody waits for an answer
	group                // slow by its own limit, so better begun early
	private              // all others
	behind               // what waits for no answer and no hour: store.Outgoing.Behind
	classes
)

// never is later than anything that is waited for.
var never = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// next is when the lane may send. Only one message at a time is with the
// platform, which counts it on arrival.
func (l *lane) next() time.Time {
	if l.beside {
		return never
	}
	return later(l.until, later(l.chatly.next(), l.grouply.next()))
}

// over is when the lane need no longer be remembered.
func (l *lane) over() time.Time {
	if l.beside {
		return never
	}
	return later(l.until, later(l.chatly.empty(), l.grouply.empty()))
}

// waits is when something is due to be done with a lane that is not busy.
func (l *lane) waits() time.Time {
	if l.work || l.granted != nil {
		return l.next()
	}
	return l.over()
}

// queue is a heap of lanes. A lane is in one queue at most.
type queue struct {
	lanes []*lane
	less  func(a, b *lane) bool
}

func byOrder(a, b *lane) bool { return a.order < b.order }

func byTime(a, b *lane) bool { return a.waits().Before(b.waits()) }

func (q *queue) Len() int           { return len(q.lanes) }
func (q *queue) Less(i, j int) bool { return q.less(q.lanes[i], q.lanes[j]) }

func (q *queue) Swap(i, j int) {
	q.lanes[i], q.lanes[j] = q.lanes[j], q.lanes[i]
	q.lanes[i].at, q.lanes[j].at = i, j
}

func (q *queue) Push(x any) {
	l := x.(*lane)
	l.in, l.at = q, len(q.lanes)
	q.lanes = append(q.lanes, l)
}

func (q *queue) Pop() any {
	end := len(q.lanes) - 1
	l := q.lanes[end]
	q.lanes[end] = nil
	q.lanes = q.lanes[:end]
	l.in = nil
	return l
}

func (q *queue) add(l *lane) { heap.Push(q, l) }

// top returns the first lane, nil where there is none.
func (q *queue) top() *lane {
	if len(q.lanes) == 0 {
		return nil
	}
	return q.lanes[0]
}

// leave takes a lane out of the queue it is in. What the queue orders by must
// not have changed before.
func (l *lane) leave() {
	if l.in != nil {
		heap.Remove(l.in, l.at)
	}
}

// turns is the order in which the classes have the first choice, over and
// over, so that none of these waits for ever. What is behind all has none.
var turns = [...]class{urgent, group, urgent, private}

// ready holds the lanes that may send, by class.
type ready struct {
	queues [classes]queue
	turn   int
}

func newReady() *ready {
	r := &ready{}
	for c := range r.queues {
		r.queues[c].less = byOrder
	}
	return r
}

func (r *ready) add(l *lane) {
	if l.granted != nil {
		r.queues[begun].add(l)
		return
	}
	r.queues[l.class].add(l)
}

// pick takes the lane whose turn it is among the classes up to last, nil
// where there is none.
func (r *ready) pick(last class) *lane {
	r.turn = (r.turn + 1) % len(turns)
	for _, c := range [...]class{begun, turns[r.turn], urgent, group, private, behind} {
		if l := r.queues[c].top(); l != nil && c <= last {
			l.leave()
			return l
		}
	}
	return nil
}

// first returns the first class that has a lane, classes where none has.
func (r *ready) first() class {
	for c := range classes {
		if r.queues[c].Len() > 0 {
			return c
		}
	}
	return classes
}
