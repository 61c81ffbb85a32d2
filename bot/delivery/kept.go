package delivery

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"time"

	"bowlwright/store"
)

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
