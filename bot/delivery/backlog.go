package delivery

import (
	"cmp"
	"context"
	"strings"
	"time"

	"bowlwright/store"
)

const (
	// page is how many chats a scan reads at once. Between
	// two pages the loop does what else is due.
	page = 500

	// longestBlock is how long messages wait for somebody who refuses them;
	// whoever comes back later has no use for them. Our own choice.
	longestBlock = 30 * 24 * time.Hour
)

// backlog is how far the outbox has been searched for chats that nobody woke.
type backlog struct {
	after    string    // the last chat that was looked at
	due      time.Time // when to go on
	stopped  bool      // there are more chats than are remembered
	complete bool      // it was seen to its end at least once
}

// pendingChat is a chat with something in the outbox.
type pendingChat struct {
	store.PendingChat
	blocked time.Time // since when it refuses messages
}

// scan reads a page of the outbox when it is time. It stops when enough chats
// are remembered, and goes on from there when half of them are done.
func (r *run) scan(now time.Time) {
	if r.backlog.stopped && len(r.lanes) <= r.o.Chats/2 {
		r.backlog.due = now
	}
	if r.backlog.due.After(now) {
		return
	}
	r.backlog.due = now.Add(r.o.Rescan)
	limit := min(page, r.o.Chats-len(r.lanes))
	if r.backlog.stopped = limit <= 0; r.backlog.stopped {
		return
	}
	chats, err := r.pending(limit)
	if err == nil {
		err = r.dropStale(chats, now)
	}
	if err != nil {
		r.o.Log.Error("outbox cannot be read", "error", err)
		return
	}
	for _, c := range chats {
		if c.blocked.IsZero() {
			r.found(c.PendingChat, now)
		}
	}
	if len(chats) < limit {
		r.backlog.after, r.backlog.complete = "", true
		return
	}
	r.backlog.after, r.backlog.due = chats[len(chats)-1].Chat, now
}

// pending returns the next chats of the outbox.
func (r *run) pending(limit int) ([]pendingChat, error) {
	return store.Look(r.sending, r.store, func(snap store.Snapshot) (out []pendingChat, err error) {
		chats, err := snap.PendingChats(r.o.Prefix, r.backlog.after, limit)
		for _, c := range chats {
			since, failed := snap.Blocked(c.Chat)
			err = cmp.Or(err, failed)
			out = append(out, pendingChat{c, since})
		}
		return out, err
	})
}

// dropStale drops what waits for people who have refused messages for long.
func (r *run) dropStale(chats []pendingChat, now time.Time) error {
	for _, c := range chats {
		if c.blocked.IsZero() || now.Sub(c.blocked) < longestBlock {
			continue
		}
		dropped := 0
		err := store.Answer(context.WithoutCancel(r.ctx), r.store, func(snap store.Snapshot) (out store.Commit, err error) {
			since, err := snap.Blocked(c.Chat)
			if err != nil || !since.Equal(c.blocked) {
				return out, err // the person has come back
			}
			out.Expect = []store.Expectation{store.BlockedIs{Chat: c.Chat, Since: c.blocked}}
			all, err := snap.Pending(c.Chat, page)
			for _, m := range all {
				out.Writes = append(out.Writes, store.Delivered(m.Number))
			}
			dropped = len(all)
			return out, err
		})
		if err != nil {
			return err
		}
		for range dropped {
			r.o.Metrics.Sent(resultExpired, 0)
		}
	}
	return nil
}

// found takes a chat that has something to send.
func (r *run) found(c store.PendingChat, now time.Time) {
	if !strings.HasPrefix(c.Chat, r.o.Prefix) {
		return
	}
	l, class := r.lane(c.Chat), r.classOf(c)
	if l.busy || l.work && (l.class != behind || class == behind) {
		return // what it has is known
	}
	l.leave()
	l.work, l.class, l.order = true, class, c.Oldest
	r.place(l, now)
}
