package delivery

import (
	"cmp"
	"context"
	"fmt"
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
