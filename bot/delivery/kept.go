package delivery

import (
	"context"
	"encoding/json"
	"maps"
	"time"

	"bowlwright/store"
)

// kept is what one run tells the next about the platform's patience. It is
// among the adapter's notes, under a name that no chat has.
type kept struct {
	// Waits is until when chats are to wait, by the platform's word; all of
	// them where the name is empty.
	Waits map[string]time.Time `json:"waits,omitempty"`
	// Last is when the last message went, after an end in good order. Without
	// it nobody knows what went just before the end.
	Last time.Time `json:"last,omitzero"`
}

func (d *Delivery) keptUnder() string { return d.o.Prefix + "delivery" }

// longestWait is how far ahead a time from another run is believed, since the
// clock may have been set in between; our own choice.
const longestWait = 24 * time.Hour

// takeUp goes on where the run before ended. If that did not end in good order,
// all limits count as just used up.
func (r *run) takeUp() {
	var was kept
	known := false
	err := store.Answer(r.sending, r.store, func(snap store.Snapshot) (c store.Commit, err error) {
		data, err := snap.Adapter(r.keptUnder())
		known = json.Unmarshal(data, &was) == nil
		c.Writes = []store.Write{r.keep(time.Time{}, was.Waits)}
		return c, err
	})
	now := r.o.Now()
	if err != nil {
		r.o.Log.Error("what the platform asked for is not known", "error", err)
	}
	if err == nil && !known {
		return // the first run of all: nothing has been sent
	}
	began := now
	if !was.Last.IsZero() && was.Last.Before(now) {
		began = was.Last
	}
	if r.began.IsZero() { // else this very delivery has run before and knows
		r.began, r.all = began, used(r.limits.All, began)
	}
	for chat, until := range was.Waits {
		if until = earlier(until, now.Add(longestWait)); !until.After(now) {
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
	c := store.Commit{Writes: []store.Write{r.keep(last, r.waits)}}
	if err := r.store.Commit(context.WithoutCancel(r.ctx), c); err != nil {
		r.o.Log.Error("the time of the last message is not kept", "error", err)
	}
}

func (d *Delivery) keep(last time.Time, waits map[string]time.Time) store.Write {
	data, _ := json.Marshal(kept{waits, last}) // a time within a few days never fails
	return store.PutAdapter{Chat: d.keptUnder(), Notes: data}
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

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
