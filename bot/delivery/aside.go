package delivery

import (
	"context"
	"slices"
	"strings"
	"time"

	"bowlwright/store"
)

// On a full disk nothing can be put into the outbox, and what was sent cannot
// be taken out, so the lanes stand still. The news of that goes past them: it
// counts toward the same limits, and waits for nothing else.

// mostAsides is how many messages may wait for Aside, and how many may be on
// their way; our own choice.
const mostAsides = 256

// aside is a message that is not in the outbox.
type aside struct {
	message store.Outgoing
	failure *Failure
}

// Aside sends a message that cannot be put into the outbox, from memory and
// ahead of the outbox. It is tried once, again only if the platform says when,
// and not after it expires. It is lost when the program ends or too many wait.
// Aside never blocks.
func (d *Delivery) Aside(m store.Outgoing) {
	d.mu.Lock()
	if len(d.unkept) < mostAsides && strings.HasPrefix(m.Chat, d.o.Prefix) {
		d.unkept = append(d.unkept, m)
	}
	d.mu.Unlock()
	select {
	case d.bell <- struct{}{}:
	default:
	}
}

// advanceAsides starts those whose time has come, first come first served.
func (r *run) advanceAsides(now time.Time) {
	r.asides = slices.DeleteFunc(r.asides, func(m store.Outgoing) bool {
		switch {
		case !m.Expires.IsZero() && !m.Expires.After(now):
			r.o.Metrics.Sent(resultExpired, 0)
			return true
		case r.asideAt(m).After(now) || !r.roomBeside():
			return false
		}
		r.startAside(m, now)
		return true
	})
}

// asideAt is when a message may go: by the limits, and once the platform has
// answered the one before. It does not wait for the store to note that.
func (r *run) asideAt(m store.Outgoing) time.Time {
	switch l := r.lanes[m.Chat]; {
	case l == nil:
		return r.gate()
	case l.wired:
		return never
	default:
		return later(r.gate(), l.next())
	}
}

// roomBeside reports that another of them may be on its way.
func (r *run) roomBeside() bool {
	if r.trouble.down() {
		return r.beside == 0
	}
	return r.beside < mostAsides
}

func (r *run) startAside(m store.Outgoing, now time.Time) {
	l := r.lane(m.Chat)
	r.change(l, now, func() {
		r.take(l, now)
		l.beside = true
	})
	r.beside++
	go func() {
		ctx, cancel := context.WithTimeout(r.sending, r.o.Timeout)
		defer cancel()
		_, f := r.attempt(ctx, m)
		r.besides <- aside{m, f}
	}()
}

// handleAside notes what an attempt means for the chat and for all.
func (r *run) handleAside(a aside) {
	r.beside--
	l, now := r.lane(a.message.Chat), r.o.Now()
	r.change(l, now, func() {
		r.arrived(l, now)
		l.beside, r.last = false, now
		if a.failure != nil && a.failure.Kind == Wait {
			r.flooded(l, a.failure.After, now) // stored with the next that is
		}
	})
	if a.failure == nil {
		r.trouble.succeeded()
		return
	}
	r.o.Log.Warn("message beside the outbox not sent", "kind", string(a.failure.Kind), "error", a.failure.Err)
	switch a.failure.Kind {
	case Wait:
		r.asides = append(r.asides, a.message)
	case Never, Blocked, Moved:
		r.trouble.succeeded() // the platform has answered
	default:
		if r.ctx.Err() == nil {
			r.trouble.failed(now)
		}
	}
}

// change changes what a lane's place depends on. A lane that is busy is in no
// queue, unless it waits to send another part.
func (r *run) change(l *lane, now time.Time, f func()) {
	queued := l.in != nil
	l.leave()
	f()
	if queued || !l.busy {
		r.place(l, now)
	}
}

// wakeAside is when the first of them may go, or at if that is sooner.
func (r *run) wakeAside(at time.Time) time.Time {
	if len(r.asides) == 0 || !r.roomBeside() {
		return at
	}
	for _, m := range r.asides {
		if a := r.asideAt(m); a.Before(at) {
			at = a
		}
	}
	return at
}
