package telegram

import (
	"context"
	"errors"
	"net/http"
	"time"
)

// poll asks for updates until ctx ends, and confirms them once they are
// stored. Failures are retried with growing pauses.
func (a *Adapter) poll(ctx context.Context) error {
	offset, pause := int64(0), firstPause
	timeout := time.Duration(0) // the first answer, which says that all is well, is not waited for
	for ctx.Err() == nil {
		got, next, lost, err := a.client.getUpdates(ctx, offset, timeout)
		if err == nil && len(got) > 0 {
			err = a.take(ctx, got)
		}
		if err == nil {
			if lost > 0 {
				a.o.Log.Error("updates could not be read at all", "count", lost)
				for range lost {
					a.o.Metrics.Update("unreadable", 0)
				}
			}
			offset, pause, timeout = next, firstPause, longPoll
			a.ready.Store(true)
			continue
		}
		if ctx.Err() != nil {
			break
		}
		a.ready.Store(false)
		timeout = 0
		var refused *pollError
		if errors.As(err, &refused) {
			if refused.code == http.StatusUnauthorized || refused.code == http.StatusNotFound {
				return ErrToken
			}
			pause = max(pause, refused.after)
		}
		a.o.Log.Warn("no updates", "error", err.Error(), "pause", pause.String())
		if !wait(ctx, pause) {
			break
		}
		pause = min(2*pause, longestPause)
	}
	return nil
}
