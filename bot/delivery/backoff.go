package delivery

import (
	"math/rand/v2"
	"time"
)

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
