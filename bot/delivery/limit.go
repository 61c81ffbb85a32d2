package delivery

import (
	"math/rand/v2"
	"time"
)

// Limit is at most Count messages in any time of length Per. A Count of zero
// is no limit.
type Limit struct {
	Count int
	Per   time.Duration
}

// Limits are what the platform allows.
type Limits struct {
	All   Limit // over all chats
	Chat  Limit // of one chat
	Group Limit // of one group, besides Chat
}

// PlatformLimits are what the Bot API's own FAQ asks of a bot: about 30
// messages a second in all, one a second in a chat, 20 a minute in a group.
// One a second is kept as three in three seconds, so that an answer of two
// or three messages comes at once.
var PlatformLimits = Limits{
	All:   Limit{Count: 30, Per: time.Second},
	Chat:  Limit{Count: 3, Per: 3 * time.Second},
	Group: Limit{Count: 20, Per: time.Minute},
}

// margin is added to every Per, against clocks that do not run alike; our own
// choice.
const margin = 5 * time.Millisecond

// window counts the last messages under one limit. Nobody knows when the platform
// counts a message that is on its way, so that one counts until it has arrived
// and for the limit's time from then on.
type window struct {
	limit  Limit
	flying int         // messages on their way
	times  []time.Time // when others arrived, oldest first; with those on their way no more than the limit's count
}

// next returns the earliest time at which another message may go: any time
// where that is zero.
func (w *window) next() time.Time {
	switch {
	case w.flying+len(w.times) < w.limit.Count || w.limit.Count == 0:
		return time.Time{}
	case len(w.times) == 0:
		return never
	}
	return w.times[0].Add(w.limit.Per + margin)
}

// take counts a message that goes.
func (w *window) take() {
	if w.limit.Count == 0 {
		return
	}
	if len(w.times) > 0 && w.flying+len(w.times) == w.limit.Count {
		w.times = w.times[1:]
	}
	w.flying++
}

// arrived counts a message that was on its way as arrived.
func (w *window) arrived(now time.Time) {
	if w.limit.Count > 0 {
		w.flying--
		w.times = append(w.times, now)
	}
}

// empty returns when the last message will no longer count; any time where
// that is zero.
func (w *window) empty() time.Time {
	n := len(w.times)
	switch {
	case w.flying > 0:
		return never
	case n == 0:
		return time.Time{}
	}
	return w.times[n-1].Add(w.limit.Per + margin)
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// Pauses between a failure and the next try: our own choice.
const (
	firstPause = time.Second      // after the first failure of a message
	longPause  = 5 * time.Minute  // the longest for one chat
	allPause   = 30 * time.Second // the longest for all chats together
	storePause = 10 * time.Second // the longest before the store is tried again

	// manyFailures in a row, with no success between them, show that it is not
	// the one chat's fault.
	manyFailures = 3
	// mostTries is how often a message is tried while others get through.
	// With these pauses it takes more than two hours.
	mostTries = 32
)

// backoff is the pause after so many failures in a row. It doubles from
// firstPause up to the longest, less a random part so that what failed together
// does not come back together.
func backoff(failures int, longest time.Duration) time.Duration {
	pause := longest
	if shift := failures - 1; shift < 20 {
		pause = min(longest, firstPause<<max(0, shift))
	}
	return pause - rand.N(pause/4)
}

// trouble is what failures say about the platform as a whole.
type trouble struct {
	failures int       // of kind Retry in a row
	floods   int       // of kind Wait in a row
	until    time.Time // nothing goes before this
}

// succeeded notes that the platform took a message.
func (t *trouble) succeeded() { t.failures, t.floods = 0, 0 }

// failed notes a failure of kind Retry. Those that arrive during a pause were
// under way before it, and tell nothing new.
func (t *trouble) failed(now time.Time) {
	if t.until.After(now) {
		return
	}
	t.failures++
	if t.failures >= manyFailures {
		t.until = later(t.until, now.Add(backoff(t.failures-manyFailures+1, allPause)))
	}
}

// flooded notes a failure of kind Wait that ends at a time. One chat's flood is
// its own; several with nothing getting through between them mean all chats.
func (t *trouble) flooded(until time.Time) {
	t.floods++
	if t.floods >= manyFailures {
		t.until = later(t.until, until)
	}
}

// down reports that the platform seems to be gone: one message at a time is
// enough to find out whether it is back.
func (t *trouble) down() bool {
	return t.failures >= manyFailures || t.floods >= manyFailures
}
