package store

import (
	"context"
	"time"
)

// jobStep is how many records one commit of a job changes, so that it keeps
// nobody waiting for long; our own choice.
const jobStep = 1000

// InSteps does a job that touches many records: it commits what step makes of a
// snapshot until it makes nothing. Each commit stands by itself, so a job that
// was broken off goes on from there when it is done again.
func InSteps(ctx context.Context, s Store, step func(Snapshot) (Commit, error)) error {
	for {
		over := false
		err := Answer(ctx, s, func(snap Snapshot) (Commit, error) {
			c, err := step(snap)
			over = len(c.Writes) == 0
			return c, err
		})
		if err != nil || over {
			return err
		}
	}
}

// Purge forgets the events that were handled before a time. It costs what it
// forgets.
func Purge(ctx context.Context, s Store, before time.Time) error {
	return InSteps(ctx, s, func(snap Snapshot) (c Commit, err error) {
		events, err := snap.SeenBefore(before, jobStep)
		for _, e := range events {
			c.Writes = append(c.Writes, ForgetEvent(e))
		}
		return c, err
	})
}

// Keep renews what somebody holds, well before its lease is over, until stop is
// called: who is slow is not taken for one who is gone.
func Keep(ctx context.Context, s Store, by string, lease time.Duration) (stop func()) {
	ctx, stop = context.WithCancel(ctx)
	go func() {
		t := time.NewTicker(lease / 4)
		defer t.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-t.C:
				s.Renew(ctx, by, lease) // where it fails, there are two more times
			}
		}
	}()
	return stop
}

// Pause waits for a time; false where ctx ended first.
func Pause(ctx context.Context, d time.Duration) bool {
	if ctx.Err() != nil {
		return false
	}
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-ctx.Done():
		return false
	}
}
