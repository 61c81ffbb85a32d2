package delivery

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"bowlwright/store"
)

// outcome is what became of one attempt.
type outcome struct {
	lane    *lane
	message store.Outgoing
	result  string // what is to be done in the store: resultSent, resultExpired, resultDead, or a Kind
	failure *Failure
	waits   map[string]time.Time // of kind Wait: until when chats are to wait
	next    uint64               // the number of the next message to the chat, 0 where there is none
}

// flight is a message on its way.
type flight struct {
	lane    *lane
	number  uint64 // of the lane's flights
	message store.Outgoing
}

// pilot sends messages until the run is over. It stays for more, because a new
// goroutine's stack would have to grow first.
func (r *run) pilot(f flight) {
	for {
		r.send(f.lane, f.number, f.message)
		select {
		case f = <-r.flights:
		case <-r.landed:
			return
		}
	}
}

// send puts a message on the wire.
func (r *run) send(l *lane, flight uint64, m store.Outgoing) {
	ctx, cancel := context.WithTimeout(r.sending, r.o.Timeout)
	defer cancel()
	began := r.o.Now()
	f := r.try(r.withParts(ctx, l, flight), m)
	o := outcome{lane: l, message: m, result: resultSent, failure: f}
	if f != nil {
		o.result = string(f.Kind)
	}
	r.o.Metrics.Sent(o.result, r.o.Now().Sub(began))
	r.sent <- o
}

// try calls the Sender. If it panics over a message it would do so for ever, so
// that message is never sent.
func (r *run) try(ctx context.Context, m store.Outgoing) (f *Failure) {
	defer func() {
		if p := recover(); p != nil {
			r.o.Log.Error("sender panicked", "number", m.Number, "stack", string(debug.Stack()))
			f = &Failure{Kind: Never, Err: fmt.Errorf("panic of type %T", p)}
		}
	}()
	err := r.sender.Send(ctx, m)
	switch {
	case err == nil:
		return nil
	case errors.As(err, &f):
		return f
	}
	// Its text was not made for a log: it may quote anything.
	return &Failure{Kind: Retry, Err: fmt.Errorf("error of type %T", err)}
}

// handle decides what an attempt means for its lane, and passes on what the
// store has to know.
func (r *run) handle(o outcome) {
	l, now := o.lane, r.o.Now()
	l.arrived(now)
	l.wired, r.last = false, now
	if l.granted != nil { // it gave up waiting
		l.leave()
		l.granted = nil
	}
	if o.failure == nil {
		r.trouble.succeeded()
		r.settle <- o
		return
	}
	r.o.Log.Warn("message not sent", "number", o.message.Number, "kind", string(o.failure.Kind), "error", o.failure.Err)
	switch kind := o.failure.Kind; {
	case kind == Wait:
		until := now.Add(max(o.failure.After, firstPause))
		r.trouble.flooded(until)
		l.until, l.firm = later(l.until, until), true
		o.waits = r.wait(l.chat, l.until, now)
		r.settle <- o
	case kind == Blocked && l.again:
		// The person has written since, so this is out of date.
		r.again(l, now)
	case kind == Never, kind == Blocked, kind == Moved:
		// The platform has answered.
		r.trouble.succeeded()
		if kind == Never || kind == Moved && r.o.Moved == nil {
			o.result = resultDead
		}
		r.settle <- o
	default:
		r.failed(o, now)
	}
}

// failed is a failure that may pass.
func (r *run) failed(o outcome, now time.Time) {
	l := o.lane
	if r.ctx.Err() != nil {
		r.again(l, now) // it was stopped, which says nothing
		return
	}
	l.tries++
	l.firm = false
	r.trouble.failed(now)
	if l.tries >= mostTries && !r.trouble.down() {
		o.result = resultDead
		r.settle <- o
		return
	}
	l.until = later(l.until, now.Add(backoff(l.tries, longPause)))
	r.again(l, now)
}

// again lets a lane try its message anew when its time comes.
func (r *run) again(l *lane, now time.Time) {
	r.rest(l)
	r.rewoken(l)
	r.place(l, now)
}

// rest notes that nothing of a lane is on its way.
func (r *run) rest(l *lane) {
	l.busy = false
	r.flying--
}

// finish goes on with a lane once the store knows what became of its message.
func (r *run) finish(o outcome) {
	l, now := o.lane, r.o.Now()
	r.rest(l)
	switch o.result {
	case resultSent, resultExpired, resultDead:
		l.tries, l.until, l.firm = 0, time.Time{}, false
		l.work = o.next > 0 || l.again
		if l.class != urgent {
			l.order = o.next
		}
	case string(Moved):
		l.work = l.again
		r.Wake(o.failure.NewChat)
	case string(Blocked):
		l.work = l.again
	case string(Wait): // the message is still there
	default: // the group could not be moved
		l.tries++
		l.until = now.Add(backoff(l.tries, longPause))
	}
	r.rewoken(l)
	r.place(l, now)
}

// rewoken gives a lane that was woken while it was busy the rank of one that
// somebody waits for.
func (r *run) rewoken(l *lane) {
	if l.again {
		r.woke++
		l.class, l.order = urgent, r.woke
	}
}
