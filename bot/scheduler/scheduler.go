package scheduler

import (
	"cmp"
	"context"
	"log/slog"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/store"
)

// Our own choices.
const (
	// longestSleep is how often it looks at the clock in any case.
	longestSleep = time.Minute
	// shortestSleep keeps the loop from spinning over something that stays due.
	shortestSleep = 100 * time.Millisecond
	// The pause after a failure of the store doubles from the first to the
	// last.
	firstPause = time.Second
	lastPause  = time.Minute
	// mostLogged is how many failures of one tick are logged one by one.
	mostLogged = 10
)

// Ticker says what is due. *talk.Assistant is one.
type Ticker interface {
	// Tick says what has fallen due up to now, and returns when something
	// falls due next.
	Tick(ctx context.Context, now time.Time) (talk.TickResult, error)
	// Sooner receives when something that falls due sooner was written.
	Sooner() <-chan struct{}
}

// Metrics is told what ticks do.
type Metrics interface {
	// Ticked is called after each tick that said or left out something or
	// failed, with how long it took.
	Ticked(r talk.TickResult, err error, took time.Duration)
}

// Options says how the loop runs. The zero value of each field is usable.
type Options struct {
	Now     func() time.Time // nil: time.Now
	Log     *slog.Logger     // nil: nothing is logged
	Metrics Metrics          // nil: nothing is counted
}

type noMetrics struct{}

func (noMetrics) Ticked(talk.TickResult, error, time.Duration) {}

// Run ticks at once, and then whenever something falls due, until ctx ends. A
// tick under way when it ends stops between two transactions.
func Run(ctx context.Context, t Ticker, o Options) {
	if o.Now == nil {
		o.Now = time.Now
	}
	o.Log = cmp.Or(o.Log, slog.New(slog.DiscardHandler))
	if o.Metrics == nil {
		o.Metrics = noMetrics{}
	}
	timer := time.NewTimer(0)
	defer timer.Stop()
	failures := 0
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.Sooner():
		case <-timer.C:
		}
		next, err := tick(ctx, t, o)
		if ctx.Err() != nil {
			return
		}
		sleep := longestSleep
		if err != nil {
			sleep = min(lastPause, firstPause<<min(failures, 10))
			failures++
			if !store.Pause(ctx, sleep) { // a write does not cut this short
				return
			}
			sleep = 0
		} else {
			failures = 0
			if !next.IsZero() {
				sleep = min(sleep, max(shortestSleep, next.Sub(o.Now())))
			}
		}
		timer.Reset(sleep)
	}
}

func tick(ctx context.Context, t Ticker, o Options) (next time.Time, err error) {
	began := time.Now()
	r, err := t.Tick(ctx, o.Now())
	took := time.Since(began)
	if ctx.Err() != nil {
		return next, ctx.Err()
	}
	if r.Households > 0 || len(r.Failed) > 0 || err != nil {
		o.Metrics.Ticked(r, err, took)
	}
	if r.Households > 0 {
		o.Log.Debug("said what was due", "households", r.Households, "said", r.Said, "passed", r.Passed, "took", took)
	}
	for _, f := range r.Failed[:min(len(r.Failed), mostLogged)] {
		o.Log.Error("a reminder failed", "household", f.Household, "kind", string(f.Kind), "reason", f.Reason)
	}
	if more := len(r.Failed) - mostLogged; more > 0 {
		o.Log.Error("more reminders failed", "households", more)
	}
	if err != nil {
		o.Log.Error("what is due cannot be said", "error", err)
	}
	return r.Next, err
}
