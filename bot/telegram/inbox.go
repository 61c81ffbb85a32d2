package telegram

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"bowlwright/store"
)

// Our own choices: how many updates share a commit, for how
// long they are claimed, and how long it waits for more to take out at once.
const (
	inboxStep  = 256
	inboxLease = 10 * time.Minute
	reapDelay  = 20 * time.Millisecond
	lookEvery  = 5 * time.Second // for updates that nobody told of
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
	ws := make([]store.Write, len(us))
	for i := range us {
		put := store.PutUpdate{ID: us[i].id, Body: us[i].body}
		if u := us[i].read(); u != nil {
			c, _, _ := u.about()
			put.Chat = c.name()
		}
		ws[i] = put
	}
	if err := a.commit(ctx, ws...); err != nil {
		for _, u := range us {
			a.unkept(u.read(), err)
		}
		return err
	}
	a.check(a.draw(ctx)) // they are stored, and come with the next
	return nil
}

// draw claims what is stored and puts it into lanes: what was just taken, and
// what an earlier run did not get to.
func (a *Adapter) draw(ctx context.Context) error {
	for {
		us, err := a.store.ClaimInbox(ctx, store.Claim{By: a.name, N: inboxStep, Lease: inboxLease})
		if err != nil {
			return err
		}
		some := make([]received, len(us))
		for i, u := range us {
			some[i] = received{id: u.ID, body: u.Body}
		}
		homes := a.homesOf(ctx, some)
		for i := range some {
			a.dispatch(ctx, some[i], homes[i])
		}
		if len(us) < inboxStep {
			return nil
		}
	}
}

// Draw has the adapter look for updates that wait in the inbox: another process
// on the same store may have taken them in and not got to them. It never blocks.
func (a *Adapter) Draw() {
	select {
	case a.look <- struct{}{}:
	default:
	}
}

// keepLooking draws when it is told to, and now and then in any case, until ctx
// ends.
func (a *Adapter) keepLooking(ctx context.Context) {
	now := time.NewTicker(lookEvery)
	defer now.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-a.look:
		case <-now.C:
		}
		a.taking.Lock()
		err := a.draw(ctx)
		a.taking.Unlock()
		a.check(err)
	}
}

// dispatch puts a stored update into its lane.
func (a *Adapter) dispatch(ctx context.Context, r received, home home) {
	if _, there := a.inHand.LoadOrStore(r.id, true); there {
		return // its claim was not renewed in time, so it was given to this process once more
	}
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
		a.sender.seen(target{name: c.name(), topic: u.topic()}, u.Message.ID)
	}
	if home.blocked && u.membership() == nil {
		a.block(ctx, c.name(), time.Time{}) // somebody writes in it
	}
	j := job{update: *u, chat: c.name(), lane: home.lane, person: p.ID, at: a.o.Now()}
	if dropped := a.lanes.put(j); len(dropped) > 0 {
		a.flood(dropped)
	}
}

// home is where an update belongs. Its lane is the household of a person in a
// private chat, or the chat where there is none; a group is a household.
type home struct {
	lane    string
	blocked bool // the chat refused messages
}

// homesOf looks up where updates belong, all at once.
func (a *Adapter) homesOf(ctx context.Context, us []received) []home {
	homes := make([]home, len(us))
	snap, err := a.store.Read(ctx)
	if err == nil {
		defer snap.Close()
	}
	for i := range us {
		u := us[i].read()
		if u == nil {
			continue
		}
		c, p, ok := u.about()
		if !ok {
			continue
		}
		if snap != nil {
			err = cmp.Or(homes[i].look(snap, c, p), err) // the others are looked up all the same
		}
		homes[i].lane = cmp.Or(homes[i].lane, c.name())
	}
	a.check(err)
	return homes
}

func (h *home) look(snap store.Snapshot, c chat, p user) error {
	since, err := snap.Blocked(c.name())
	h.blocked = !since.IsZero()
	if err != nil || c.group() {
		return err
	}
	id, err := snap.Member(c.name(), chat{ID: p.ID}.name())
	if err == nil {
		h.lane = id
	}
	return store.OrNone(err)
}

// block notes since when a chat refuses messages; with the zero time that it
// takes them again.
func (a *Adapter) block(ctx context.Context, name string, since time.Time) error {
	return a.commit(ctx, store.PutBlocked{Chat: name, Since: since})
}

// commit keeps something that rests on nothing.
func (a *Adapter) commit(ctx context.Context, w ...store.Write) error {
	return a.check(a.store.Commit(ctx, store.Commit{Writes: w}))
}

// finish counts an update that needs nothing more and has it taken out of the
// inbox.
func (a *Adapter) finish(id int64, outcome string, since time.Time) {
	a.o.Metrics.Update(outcome, a.o.Now().Sub(since))
	a.done <- id
}

// reap takes handled updates out of the inbox, many at a time. Where the store
// fails they stay there; handled again they change nothing, since the assistant
// knows their ids.
func (a *Adapter) reap() {
	for id := range a.done {
		var gone []store.Write
		more := time.NewTimer(reapDelay)
		for ok := true; ok; {
			gone = append(gone, store.DeleteUpdate(id))
			a.inHand.Delete(id) // first: else one that comes again meanwhile would stay
			if len(gone) == inboxStep {
				break
			}
			select {
			case id, ok = <-a.done:
			case <-more.C:
				ok = false
			}
		}
		more.Stop()
		a.commit(context.Background(), gone...)
	}
}

// check logs a failure of the store, if there is one, ends the adapter where the
// store cannot be used any more, and passes the failure on.
func (a *Adapter) check(err error) error {
	if err == nil || errors.Is(err, context.Canceled) {
		return err
	}
	a.o.Log.Error("the store failed", "code", string(store.CodeOf(err)), "error", err.Error())
	if store.CodeOf(err) == store.Damaged {
		a.end(fmt.Errorf("telegram: %w", err)) // which nothing here can mend
	}
	return err
}
