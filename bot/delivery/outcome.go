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

// send puts a message on the wire.
func (r *run) send(l *lane, flight uint64, m store.Outgoing) {
	ctx, cancel := context.WithTimeout(r.sending, r.o.Timeout)
	defer cancel()
	result, f := r.attempt(r.withParts(ctx, l, flight), m)
	r.sent <- outcome{lane: l, message: m, result: result, failure: f}
}

// attempt tries to send a message, and tells the metrics.
func (r *run) attempt(ctx context.Context, m store.Outgoing) (result string, f *Failure) {
	began := r.o.Now()
	f = r.try(ctx, m)
	result = resultSent
	if f != nil {
		result = string(f.Kind)
	}
	r.o.Metrics.Sent(result, r.o.Now().Sub(began))
	return result, f
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
	r.arrived(l, now)
	if o.message.Live != "" {
		l.changed = now
	}
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
		o.waits = r.flooded(l, o.failure.After, now)
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

// flooded has a lane wait for as long as the platform says, and returns until
// when all chats are to wait.
func (r *run) flooded(l *lane, after time.Duration, now time.Time) map[string]time.Time {
	until := now.Add(max(after, firstPause))
	r.trouble.flooded(until)
	l.until, l.firm = later(l.until, until), true
	return r.wait(l.chat, l.until, now)
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
		if l.class != urgent || o.next >= store.FirstBehind {
			next := store.PendingChat{Chat: l.chat, Oldest: o.next}
			l.class, l.order = r.classOf(next), o.next
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

// part is a Sender's wish to send another message for the one it was given.
type part struct {
	lane    *lane
	flight  uint64 // which of its messages
	granted chan struct{}
}

type partKey struct{}

// Another waits until one more message may go to the chat of the message for
// which a Sender was given ctx. Its error is that of ctx, if that ends first. A
// Sender that makes several calls for one message, each counted by the
// platform, calls it before each but the first. Outside of a delivery it
// returns at once.
func Another(ctx context.Context) error {
	wait, ok := ctx.Value(partKey{}).(func(context.Context) error)
	if !ok {
		return ctx.Err()
	}
	return wait(ctx)
}

// withParts lets Another wait for the turn of a lane.
func (r *run) withParts(ctx context.Context, l *lane, flight uint64) context.Context {
	return context.WithValue(ctx, partKey{}, func(ctx context.Context) error {
		p := &part{lane: l, flight: flight, granted: make(chan struct{})}
		select {
		case r.parts <- p:
		case <-r.ctx.Done():
			return context.Cause(r.ctx)
		case <-ctx.Done():
			return ctx.Err()
		}
		select {
		case <-p.granted:
			return nil
		case <-r.ctx.Done():
			return context.Cause(r.ctx)
		case <-ctx.Done():
			return ctx.Err()
		}
	})
}

// queuePart lets a part wait for its turn, unless its message has been given
// up meanwhile.
func (r *run) queuePart(p *part) {
	if l := p.lane; l.busy && l.flight == p.flight {
		r.arrived(l, r.o.Now()) // the part before it
		l.granted = p.granted
		r.place(l, r.o.Now())
	}
}
