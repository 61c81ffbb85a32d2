package delivery

import (
	"strings"
	"time"

	"bowlwright/store"
)

// page is how many chats one transaction of a scan reads at most.
const page = 500

// backlog is how far the outbox has been looked through for chats that nobody
// woke.
type backlog struct {
	after    string    // the last chat that was looked at
	due      time.Time // when to go on
	stopped  bool      // there are more chats than are remembered
	complete bool      // it was seen to its end at least once
}

// scan looks through the outbox when it is time, and stops where enough chats
// are remembered; it goes on from there when half of them are done.
func (r *run) scan(now time.Time) {
	goesOn := r.backlog.stopped && len(r.lanes) <= r.o.Chats/2
	if r.backlog.due.After(now) && !goesOn {
		return
	}
	r.backlog.due, r.backlog.stopped = now.Add(r.o.Rescan), false
	for len(r.lanes) < r.o.Chats {
		limit := min(page, r.o.Chats-len(r.lanes))
		chats, err := r.pending(limit)
		if err != nil {
			r.o.Log.Error("outbox cannot be read", "error", err)
			return
		}
		for _, c := range chats {
			r.backlog.after = c.Chat
			if c.Oldest > 0 {
				r.found(c, now)
			}
		}
		if len(chats) < limit {
			r.backlog.after, r.backlog.complete = "", true
			return
		}
	}
	r.backlog.stopped = true
}

// pending returns the next chats of the outbox. The number of one that
// refuses messages is zero.
func (r *run) pending(limit int) (chats []store.PendingChat, err error) {
	err = r.store.View(r.sending, func(tx store.Tx) error {
		chats, err = tx.PendingChats(r.o.Prefix, r.backlog.after, limit)
		for i := range chats {
			since, blocked := tx.Blocked(chats[i].Chat)
			if blocked != nil {
				return blocked
			}
			if !since.IsZero() {
				chats[i].Oldest = 0
			}
		}
		return err
	})
	return chats, err
}

// found takes a chat that has something to send.
func (r *run) found(c store.PendingChat, now time.Time) {
	if !strings.HasPrefix(c.Chat, r.o.Prefix) {
		return
	}
	l := r.lane(c.Chat)
	if l.busy || l.work {
		return // what it has is known
	}
	l.leave()
	l.work, l.class, l.order = true, r.classOf(c.Chat), c.Oldest
	r.place(l, now)
}
