package telegram

import (
	"context"
	"errors"
	"math"
	"time"

	"bowlwright/store"
)

// Our own choices: of how many updates a transaction of the inbox is, and how
// long the inbox waits for more to be taken out at once.
const (
	inboxStep = 256
	reapDelay = 20 * time.Millisecond
)

// errClosing says that no more updates are taken.
var errClosing = errors.New("telegram: closing")

// take stores updates and puts them into their lanes. They may be confirmed
// to the platform when it returns nil.
func (a *Adapter) take(ctx context.Context, us []received) error {
	a.taking.Lock()
	defer a.taking.Unlock()
	return a.takeLocked(ctx, us)
}

func (a *Adapter) takeLocked(ctx context.Context, us []received) error {
	err := a.store.Update(ctx, func(tx store.Tx) error {
		for _, u := range us {
			if err := tx.PutUpdate(store.Update{ID: u.id, Body: u.body}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		a.check(err)
		for _, u := range us {
			a.unkept(u.read(), err)
		}
		return err
	}
	for _, u := range us {
		a.dispatch(ctx, u)
	}
	return nil
}

// takeUp puts into lanes what an earlier run stored.
func (a *Adapter) takeUp(ctx context.Context) error {
	after := int64(math.MinInt64)
	for {
		var us []store.Update
		err := a.store.View(ctx, func(tx store.Tx) (err error) {
			us, err = tx.Updates(after, inboxStep)
			return err
		})
		if err != nil {
			return err
		}
		for _, u := range us {
			a.dispatch(ctx, received{id: u.ID, body: u.Body})
			after = u.ID
		}
		if len(us) < inboxStep {
			return nil
		}
	}
}

// dispatch puts one stored update into its lane.
func (a *Adapter) dispatch(ctx context.Context, r received) {
	u := r.read()
	if u == nil {
		a.o.Log.Warn("an update cannot be read", "update", r.id, "bytes", len(r.body))
		a.finish(r.id, "unreadable", a.o.Now())
		return
	}
	if u.Callback != nil && u.Callback.ID != "" {
		select {
		case a.answers <- u.Callback.ID:
		default: // the platform gives up waiting by itself
		}
	}
	c, p, ok := u.about()
	if !ok {
		a.finish(r.id, "ignored", a.o.Now())
		return
	}
	if u.Message != nil {
		a.sender.seen(c.name(), u.Message.ID)
	}
	j := job{update: *u, chat: c.name(), lane: a.laneOf(ctx, c, p), at: a.o.Now()}
	if _, full := a.lanes.put(j); full {
		a.flood(j)
	}
}

// laneOf is the household of a person in a private chat, the chat where there
// is none; a group is a household. A chat that refused messages takes them
// again: somebody writes in it.
func (a *Adapter) laneOf(ctx context.Context, c chat, p user) string {
	name, lane, blocked := c.name(), c.name(), false
	err := a.store.View(ctx, func(tx store.Tx) error {
		since, err := tx.Blocked(name)
		blocked = !since.IsZero()
		if err != nil || c.group() {
			return err
		}
		id, err := tx.Member(name, chat{ID: p.ID}.name())
		if err == nil {
			lane = id
		}
		return err
	})
	if err != nil && codeOf(err) != store.NotFound {
		a.check(err)
	}
	if blocked {
		err := a.store.Update(ctx, func(tx store.Tx) error { return tx.PutBlocked(name, time.Time{}) })
		if err != nil {
			a.check(err)
		}
	}
	return lane
}

// finish counts an update that needs nothing more and has it taken out of the
// inbox.
func (a *Adapter) finish(id int64, outcome string, since time.Time) {
	a.o.Metrics.Update(outcome, a.o.Now().Sub(since))
	a.done <- id
}

// reap takes handled updates out of the inbox, many at a time. Where the
// store fails they stay there: handled again, they change nothing, since the
// assistant knows their ids.
func (a *Adapter) reap() {
	for id := range a.done {
		ids := []int64{id}
		more := time.NewTimer(reapDelay)
	gather:
		for len(ids) < inboxStep {
			select {
			case id, ok := <-a.done:
				if !ok {
					break gather
				}
				ids = append(ids, id)
			case <-more.C:
				break gather
			}
		}
		more.Stop()
		err := a.store.Update(context.Background(), func(tx store.Tx) error {
			for _, id := range ids {
				if err := tx.DeleteUpdate(id); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			a.check(err)
		}
	}
}

// codeOf is the code of an error of the store, empty for any other.
func codeOf(err error) store.Code {
	var e *store.Error
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

// check logs a failure of the store and ends the adapter where the store
// cannot be used any more.
func (a *Adapter) check(err error) {
	if errors.Is(err, context.Canceled) {
		return
	}
	a.o.Log.Error("the store failed", "code", string(codeOf(err)), "error", err.Error())
	if codeOf(err) == store.Damaged {
		a.fail(err)
	}
}
