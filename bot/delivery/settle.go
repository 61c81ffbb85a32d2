package delivery

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"time"

	"bowlwright/store"
)

// settler writes into the store what became of messages; outcomes that come
// together share one commit. Where the store fails it tries again, since
// otherwise the messages would be sent again.
func (r *run) settler() {
	for first := range r.settle {
		batch := r.gather(first)
		for i := range batch {
			if batch[i].result == string(Moved) {
				r.move(&batch[i])
			}
		}
		r.record(batch)
		for _, o := range batch {
			r.settled <- o
		}
	}
}

// settleBatch is how many outcomes share a commit; our own choice. Half of the
// messages that may be on their way is enough: more would never come together.
const settleBatch = 32

// gather takes what came while the outcomes before were written.
func (r *run) gather(first outcome) []outcome {
	batch := []outcome{first}
	for len(batch) < settleBatch {
		select {
		case o, ok := <-r.settle:
			if !ok {
				return batch
			}
			batch = append(batch, o)
		default:
			return batch
		}
	}
	return batch
}

// move lets the new chat of a group take over.
func (r *run) move(o *outcome) {
	if err := r.o.Moved(r.sending, o.message.Chat, o.failure.NewChat); err != nil {
		r.o.Log.Error("group not moved", "number", o.message.Number, "error", fmt.Sprintf("%T", err))
		o.result = string(Retry)
	}
}

// record writes a batch, and gives up only when the run has ended and its
// grace is over: the messages are then sent again by the next one.
func (r *run) record(batch []outcome) {
	for failures := 1; ; failures++ {
		err := r.settleAll(batch)
		if err == nil {
			r.count(batch)
			return
		}
		r.o.Log.Error("deliveries not recorded", "messages", len(batch), "error", err)
		if !store.Pause(r.sending, backoff(failures, storePause)) {
			for i := range batch {
				batch[i].next = batch[i].message.Number
			}
			return
		}
	}
}

// settleAll commits a batch, and looks what each chat has next.
func (r *run) settleAll(batch []outcome) error {
	ctx := context.WithoutCancel(r.ctx)
	var c store.Commit
	var waits map[string]time.Time // the newest includes the others
	for _, o := range batch {
		c.Writes = append(c.Writes, o.writes(r.o.Now())...)
		if o.waits != nil {
			waits = o.waits
		}
	}
	if waits != nil {
		c.Writes = append(c.Writes, note(r.keptUnder(), kept{waits}))
	}
	if err := r.store.Commit(ctx, c); err != nil {
		return err
	}
	snap, err := r.store.Read(ctx)
	if err != nil {
		return err
	}
	defer snap.Close()
	for i := range batch {
		var failed error
		batch[i].next, failed = store.Oldest(snap, batch[i].message.Chat)
		err = cmp.Or(err, failed)
	}
	return err
}

// writes are what the outcome asks for.
func (o *outcome) writes(now time.Time) []store.Write {
	gone := store.Delivered(o.message.Number)
	switch o.result {
	case resultDead:
		reason := cmp.Or(o.failure.Error(), string(o.failure.Kind))
		return []store.Write{store.PutDead{Message: o.message, Reason: reason, At: now}, gone}
	case string(Blocked):
		return []store.Write{store.PutBlocked{Chat: o.message.Chat, Since: now}}
	case resultSent, resultExpired:
		return []store.Write{gone}
	}
	return nil
}

// count tells the metrics what was given up.
func (r *run) count(batch []outcome) {
	for _, o := range batch {
		if o.result == resultExpired || o.result == resultDead {
			r.o.Metrics.Sent(o.result, 0)
		}
	}
}

// What one run tells the next is among the adapter's notes, under names that no
// chat has.
type (
	// kept is until when chats are to wait, by the platform's word; all of them
	// where the name is empty.
	kept struct {
		Waits map[string]time.Time `json:"waits,omitempty"`
	}
	// runBegun and runEnded have notes of their own: a run that no longer leads may come
	// to its end after the next has begun.
	runBegun struct {
		Run string `json:"run"`
	}
	runEnded struct {
		Run  string    `json:"run"`
		Last time.Time `json:"last,omitzero"` // when the last message went
	}
)

func (d *Delivery) keptUnder() string  { return d.o.Prefix + "delivery" }
func (d *Delivery) begunUnder() string { return d.o.Prefix + "delivery-begun" }
func (d *Delivery) endedUnder() string { return d.o.Prefix + "delivery-ended" }

const (
	// longestWait is how far ahead a time from another run is believed, since the
	// clock may have been set in between.
	longestWait = 24 * time.Hour
	// longestFlight is for how long messages may still arrive that a process had
	// sent when it was killed. Both are our own choices.
	longestFlight = time.Second
)

// takeUp goes on where the run before ended. If that did not end in good order,
// all limits count as just used up.
func (r *run) takeUp() {
	var was kept
	var before runBegun
	var end runEnded
	known := false
	err := store.Answer(r.sending, r.store, func(snap store.Snapshot) (c store.Commit, err error) {
		var errs [3]error
		known = false
		for i, of := range []struct {
			under string
			note  any
		}{{r.keptUnder(), &was}, {r.begunUnder(), &before}, {r.endedUnder(), &end}} {
			var data []byte
			data, errs[i] = snap.Adapter(of.under)
			known = json.Unmarshal(data, of.note) == nil || known
		}
		c.Writes = []store.Write{note(r.begunUnder(), runBegun{r.name})}
		return c, errors.Join(errs[:]...)
	})
	now := r.o.Now()
	if err != nil {
		r.o.Log.Error("what the platform asked for is not known", "error", err)
	}
	mine := before.Run != "" && before.Run == r.run // this very delivery was the last that sent, and knows
	r.run = r.name
	if err == nil && (!known || mine) {
		r.takeWaits(was.Waits, now)
		return
	}
	r.began, r.all = now, used(r.limits.All, now.Add(longestFlight))
	if before.Run != "" && end.Run == before.Run && end.Last.Before(now) {
		r.began, r.all = end.Last, used(r.limits.All, end.Last)
	}
	r.lanes, r.ready, r.waiting = map[string]*lane{}, newReady(), queue{less: byTime}
	r.takeWaits(was.Waits, now)
}

// takeWaits has chats wait as the platform asked another run.
func (r *run) takeWaits(waits map[string]time.Time, now time.Time) {
	for chat, until := range waits {
		if latest := now.Add(longestWait); until.After(latest) {
			until = latest
		}
		if !until.After(now) {
			continue
		}
		r.waits[chat] = until
		if chat == "" {
			r.trouble.until = later(r.trouble.until, until)
		}
	}
}

// putAside writes down what the next run needs, to end in good order.
func (r *run) putAside() {
	last := later(r.last, r.began)
	if last.IsZero() {
		last = r.o.Now().Add(-longestWait) // nothing was sent yet
	}
	c := store.Commit{Writes: []store.Write{note(r.endedUnder(), runEnded{r.name, last})}}
	if err := r.store.Commit(context.WithoutCancel(r.ctx), c); err != nil {
		r.o.Log.Error("the time of the last message is not kept", "error", err)
	}
}

func note(under string, value any) store.Write {
	data, _ := json.Marshal(value) // a time within a few days never fails
	return store.PutAdapter{Chat: under, Notes: data}
}

// wait notes until when a chat is to wait by the platform's word, and returns
// all such times, for the store.
func (r *run) wait(chat string, until, now time.Time) map[string]time.Time {
	maps.DeleteFunc(r.waits, func(_ string, until time.Time) bool { return !until.After(now) })
	r.waits[chat] = until
	if r.trouble.until.After(now) {
		r.waits[""] = r.trouble.until
	}
	return maps.Clone(r.waits)
}

// used is a window in which all that a limit allows went at one time.
func used(l Limit, at time.Time) window {
	w := window{limit: l}
	for range l.Count {
		w.times = append(w.times, at)
	}
	return w
}
