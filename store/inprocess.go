package store

import (
	"context"
	"maps"
	"math"
	"sync"
	"time"
)

// Claim says who claims, how much at most, and for how long.
type Claim struct {
	By    string // one of those who share the work, named as nobody else is
	N     int
	Lease time.Duration
}

// InProcess holds the claims and leaders of a store that one process has to
// itself. Whoever embeds it tells it what was committed.
type InProcess struct {
	read   func(context.Context) (Snapshot, error)
	mu     sync.Mutex
	due    holds[string] // households
	outbox holds[string] // chats
	inbox  holds[int64]  // updates
	roles  map[string]chan struct{}
}

// holds says who holds what.
type holds[K comparable] map[K]hold

type hold struct {
	by    string
	until time.Time
}

// NewInProcess returns the claims of a store that is read by a function.
func NewInProcess(read func(context.Context) (Snapshot, error)) *InProcess {
	return &InProcess{read: read, due: holds[string]{}, outbox: holds[string]{}, inbox: holds[int64]{}, roles: map[string]chan struct{}{}}
}

// by is who holds something; nobody where it is empty.
func (h holds[K]) by(what K, now time.Time) string {
	if is := h[what]; is.until.After(now) {
		return is.by
	}
	return ""
}

// take gives something to who claims it. When many are held it forgets those
// whose lease is over.
func (h holds[K]) take(what K, c Claim, now time.Time) {
	if len(h)%1024 == 1023 {
		maps.DeleteFunc(h, func(_ K, is hold) bool { return !is.until.After(now) })
	}
	h[what] = hold{c.By, now.Add(c.Lease)}
}

func (h holds[K]) renew(by string, until time.Time) {
	for what, is := range h {
		if is.by == by {
			h[what] = hold{by, until}
		}
	}
}

func (h holds[K]) release(by string) {
	maps.DeleteFunc(h, func(_ K, is hold) bool { return is.by == by })
}

// claim calls f with a snapshot in which all is done of which the claim has
// ended.
func (p *InProcess) claim(ctx context.Context, f func(snap Snapshot, now time.Time) error) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	snap, err := p.read(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	return f(snap, time.Now())
}

// ClaimDue implements Store.
func (p *InProcess) ClaimDue(ctx context.Context, c Claim, at time.Time) (out []Due, err error) {
	err = p.claim(ctx, func(snap Snapshot, now time.Time) error {
		all, err := snap.DueBy(at, c.N+len(p.due))
		for _, d := range all {
			if len(out) < c.N && p.due.by(d.Household, now) == "" {
				p.due.take(d.Household, c, now)
				out = append(out, d)
			}
		}
		return err
	})
	return out, err
}

// ClaimOutbox implements Store.
func (p *InProcess) ClaimOutbox(ctx context.Context, c Claim, chat string) (out []Outgoing, err error) {
	err = p.claim(ctx, func(snap Snapshot, now time.Time) error {
		if by := p.outbox.by(chat, now); by != "" && by != c.By {
			return nil
		}
		since, err := snap.Blocked(chat)
		if err != nil || !since.IsZero() {
			return err
		}
		if out, err = snap.Pending(chat, c.N); len(out) > 0 {
			p.outbox.take(chat, c, now)
		}
		return err
	})
	return out, err
}

// ClaimInbox implements Store.
func (p *InProcess) ClaimInbox(ctx context.Context, c Claim) (out []Update, err error) {
	err = p.claim(ctx, func(snap Snapshot, now time.Time) error {
		elsewhere := map[string]bool{} // chats of which another holds an update
		for after := int64(math.MinInt64); len(out) < c.N; {
			page, err := snap.Updates(after, c.N)
			if err != nil || len(page) == 0 {
				return err
			}
			for _, u := range page {
				after = u.ID
				switch by := p.inbox.by(u.ID, now); {
				case by != "" && by != c.By:
					elsewhere[u.Chat] = u.Chat != ""
				case by == "" && len(out) < c.N && !elsewhere[u.Chat]:
					p.inbox.take(u.ID, c, now)
					out = append(out, u)
				}
			}
		}
		return nil
	})
	return out, err
}

// Renew implements Store.
func (p *InProcess) Renew(_ context.Context, by string, lease time.Duration) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	until := time.Now().Add(lease)
	p.due.renew(by, until)
	p.outbox.renew(by, until)
	p.inbox.renew(by, until)
	return nil
}

// Release implements Store.
func (p *InProcess) Release(_ context.Context, by string) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.due.release(by)
	p.outbox.release(by)
	p.inbox.release(by)
	return nil
}

// Committed ends the claims of what a commit has done.
func (p *InProcess) Committed(c Commit) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, w := range c.Writes {
		switch w := w.(type) {
		case PutDue:
			delete(p.due, w.Household)
		case DeleteUpdate:
			delete(p.inbox, int64(w))
		}
	}
}

// Lead implements Store.
func (p *InProcess) Lead(ctx context.Context, role string, f func(context.Context)) error {
	p.mu.Lock()
	lead := p.roles[role]
	if lead == nil {
		lead = make(chan struct{}, 1)
		p.roles[role] = lead
	}
	p.mu.Unlock()
	select {
	case lead <- struct{}{}:
	case <-ctx.Done():
		return &Error{Code: Internal, Op: "lead", Err: ctx.Err()}
	}
	defer func() { <-lead }()
	f(ctx)
	return nil
}

// Hear implements Store: there is nobody else.
func (p *InProcess) Hear(ctx context.Context, _ func(string)) { <-ctx.Done() }
