package delivery

import (
	"context"
	"crypto/rand"
	"slices"
	"strings"
	"time"

	"bowlwright/store"
)

// run is one Run or Flush. The loop alone touches lanes, queues and limits;
// what it hears of comes over channels that never block those who send.
type run struct {
	*Delivery
	name    string          // that it claims chats by
	ctx     context.Context // of starting anything new
	sending context.Context // of what is on its way
	drain   bool            // end when there is nothing more to send
	sent    chan outcome    // from the senders
	settle  chan outcome    // to the settler
	settled chan outcome    // from the settler
	parts   chan *part      // from senders that have more to send
	besides chan aside      // from senders of what is not in the outbox
	beside  int             // how many of these are on their way
}

// deliver runs the loop.
func (d *Delivery) deliver(ctx context.Context, drain bool) error {
	select {
	case d.turn <- struct{}{}:
	case <-ctx.Done():
		return nil
	}
	defer func() { <-d.turn }()
	sending, stop := context.WithCancel(context.WithoutCancel(ctx))
	defer stop()
	r := &run{
		Delivery: d, name: rand.Text(), ctx: ctx, sending: sending, drain: drain,
		sent: make(chan outcome, d.o.Parallel), settle: make(chan outcome, d.o.Parallel),
		settled: make(chan outcome, d.o.Parallel), parts: make(chan *part, d.o.Parallel), besides: make(chan aside, mostAsides),
	}
	settler := make(chan struct{})
	go func() {
		defer close(settler)
		r.settler()
	}()
	d.backlog = backlog{}
	r.takeUp()
	r.loop()
	r.land(stop)
	close(r.settle)
	<-settler
	r.putAside()
	r.store.Release(context.WithoutCancel(ctx), r.name) // else the leases run out
	return nil
}

// loop starts what may be started and sleeps until something changes.
func (r *run) loop() {
	timer := time.NewTimer(0)
	defer timer.Stop()
	for r.ctx.Err() == nil {
		now := r.o.Now()
		r.absorb(now)
		r.scan(now)
		r.advanceAsides(now)
		r.advance(now)
		if r.drain && r.drained() {
			return
		}
		timer.Reset(max(0, r.wake().Sub(now)))
		select {
		case <-r.ctx.Done():
		case <-r.bell:
		case <-timer.C:
		case o := <-r.sent:
			r.handle(o)
		case o := <-r.settled:
			r.finish(o)
		case p := <-r.parts:
			r.queuePart(p)
		case a := <-r.besides:
			r.handleAside(a)
		}
	}
}

// land waits for what is on its way: for the grace period as it is, then with
// the senders' context cancelled. Parts that still wait for a turn are not
// sent.
func (r *run) land(stop context.CancelFunc) {
	for _, l := range r.lanes {
		if l.granted != nil {
			l.leave()
			l.granted = nil
		}
	}
	grace := time.AfterFunc(r.o.Grace, stop)
	defer grace.Stop()
	for r.flying > 0 || r.beside > 0 {
		select {
		case a := <-r.besides:
			r.handleAside(a)
		case o := <-r.sent:
			r.handle(o)
		case o := <-r.settled:
			r.finish(o)
		case <-r.parts:
		}
	}
}

// absorb takes the chats that were woken.
func (r *run) absorb(now time.Time) {
	r.mu.Lock()
	woken, missed, came := r.woken, r.missed, r.unkept
	r.woken, r.missed, r.unkept = nil, false, nil
	r.mu.Unlock()
	r.asides = append(r.asides, came[:min(len(came), max(0, mostAsides-len(r.asides)))]...) // as far as there is room
	if missed {
		r.backlog.due = now
	}
	for chat := range woken {
		if !strings.HasPrefix(chat, r.o.Prefix) {
			continue
		}
		if r.lanes[chat] == nil && len(r.lanes) >= 2*r.o.Chats {
			r.backlog.stopped = true // it will be found where it waits
			continue
		}
		r.woke++
		l := r.lane(chat)
		if l.busy {
			l.again = true
			continue
		}
		l.leave()
		if !l.firm {
			// Whoever writes is there; the pause was a guess.
			l.until = time.Time{}
		}
		l.work, l.class, l.order = true, urgent, r.woke
		r.place(l, now)
	}
}

// lane returns the lane of a chat, a new one where there is none.
func (r *run) lane(chat string) *lane {
	l := r.lanes[chat]
	if l == nil {
		l = &lane{chat: chat, chatly: used(r.limits.Chat, r.began), until: r.waits[chat]}
		l.firm = l.until.After(r.o.Now())
		if r.o.IsGroup(chat) {
			l.grouply = used(r.limits.Group, r.began)
		}
		r.lanes[chat] = l
	}
	return l
}

// classOf is the class of a chat that nobody waits for, by its first message.
func (r *run) classOf(c store.PendingChat) class {
	switch {
	case c.Oldest >= store.FirstBehind:
		return behind
	case r.o.IsGroup(c.Chat):
		return group
	}
	return private
}

// place puts a lane that is in no queue where it belongs, or forgets it.
func (r *run) place(l *lane, now time.Time) {
	switch at := l.waits(); {
	case at.After(now):
		r.waiting.add(l)
	case l.work || l.granted != nil:
		r.ready.add(l)
	default:
		delete(r.lanes, l.chat)
	}
}

// advance moves lanes whose time has come and starts messages as far as the
// limits allow.
func (r *run) advance(now time.Time) {
	for l := r.waiting.top(); l != nil && !l.waits().After(now); l = r.waiting.top() {
		l.leave()
		r.place(l, now)
	}
	for {
		last := behind
		switch {
		case r.gate().After(now):
			return
		case !r.room():
			last = begun
		case r.pace.After(now):
			last = urgent
		}
		l := r.ready.pick(last)
		if l == nil {
			return
		}
		r.start(l, now)
	}
}

// gate is the time before which no message may go, whatever the chat.
func (r *run) gate() time.Time { return later(r.all.next(), r.trouble.until) }

// room reports that another message may be on its way.
func (r *run) room() bool {
	if r.trouble.down() {
		return r.flying == 0
	}
	return r.flying < r.o.Parallel
}

// lag is how late messages that nobody waits for may be and still catch up.
const lag = 50 * time.Millisecond

// take counts a message against the limits. Those that nobody waits for are
// spread evenly, so that an awaited one soon finds a place.
func (r *run) take(l *lane, now time.Time) {
	r.arrived(l, now) // of a message in parts, the one before
	l.counted, r.last = true, now
	for _, w := range []*window{&l.chatly, &l.grouply, &r.all} {
		w.take()
	}
	if n := r.all.limit.Count; n > 0 {
		r.pace = later(r.pace, now.Add(-lag)).Add((r.all.limit.Per + margin) / time.Duration(n))
	}
}

// arrived counts what a lane sent last as arrived, if it is not yet.
func (r *run) arrived(l *lane, now time.Time) {
	if !l.counted {
		return
	}
	l.counted = false
	for _, w := range []*window{&l.chatly, &l.grouply, &r.all} {
		w.arrived(now)
	}
}

// start sends the oldest message of a lane, or the next part of what it is
// sending.
func (r *run) start(l *lane, now time.Time) {
	if l.granted != nil {
		r.take(l, now)
		close(l.granted)
		l.granted = nil
		return
	}
	m, ok, err := r.oldest(l, now)
	switch {
	case err != nil:
		l.tries++
		l.until = now.Add(backoff(l.tries, storePause))
		r.o.Log.Error("outbox cannot be read", "error", err)
		r.place(l, now)
	case !ok && l.until.After(now): // what there is waits
		r.place(l, now)
	case !ok:
		l.work = false
		r.place(l, now)
	case !m.Expires.IsZero() && !m.Expires.After(now):
		r.fly(l)
		r.settle <- outcome{lane: l, message: m, result: resultExpired}
	default:
		if m.Live != "" {
			l.changed = r.o.Now()
		}
		r.take(l, r.o.Now()) // to claim it took its time, and it counts from when it goes
		r.fly(l)
		l.wired = true
		go r.send(l, l.flight, m)
	}
}

func (r *run) fly(l *lane) {
	l.busy, l.again = true, false
	l.flight++
	r.flying++
}

// oldest claims a chat and reads its oldest message that need not wait; ok is
// false where there is none, the chat refuses messages, or another delivery holds
// it.
func (r *run) oldest(l *lane, now time.Time) (m store.Outgoing, ok bool, err error) {
	held := l.changed.Add(changeEvery)
	for n := 1; ; n *= 2 {
		all, err := r.store.ClaimOutbox(r.sending, store.Claim{By: r.name, N: n, Lease: r.o.Timeout + settleLease}, l.chat)
		if err != nil {
			return m, false, err
		}
		for _, m := range all {
			if m.Live == "" || !held.After(now) {
				return m, true, nil
			}
		}
		if len(all) < n || n >= mostHeld {
			if len(all) > 0 {
				l.until = later(l.until, held)
			}
			return m, false, nil
		}
	}
}

// changeEvery is how far apart changes of messages are in a chat: those between
// are dropped by who puts the next one into the outbox. mostHeld is how many are
// stepped over at once; both our own choices.
const (
	changeEvery = 3 * time.Second
	mostHeld    = 8
)

// settleLease is how long the store may take to hear of what was sent before
// another delivery takes the chat over; our own choice.
const settleLease = time.Minute

// wake is when the loop next has something to do by itself.
func (r *run) wake() time.Time {
	at := r.wakeAside(r.backlog.due)
	if l := r.waiting.top(); l != nil && l.waits().Before(at) {
		at = l.waits()
	}
	gate := r.gate()
	switch c := r.ready.first(); {
	case c == classes, c > begun && !r.room():
		return at // until something arrives
	case c > urgent:
		gate = later(gate, r.pace)
	}
	if gate.Before(at) {
		return gate
	}
	return at
}

// drained reports that nothing more can be sent before the run's end.
func (r *run) drained() bool {
	if r.flying > 0 || !r.backlog.complete {
		return false
	}
	end, limited := r.ctx.Deadline()
	beyond := func(at time.Time) bool { return limited && at.After(end) }
	sends := func(m store.Outgoing) bool { return !beyond(r.asideAt(m)) }
	if r.beside > 0 || slices.ContainsFunc(r.asides, sends) {
		return false
	}
	if r.ready.first() < classes {
		return beyond(r.gate())
	}
	for _, l := range r.waiting.lanes {
		// A pause after a failure may outlast any end; only limits are short.
		if l.work && l.tries == 0 && !l.firm && !beyond(l.next()) {
			return false
		}
	}
	return true
}
