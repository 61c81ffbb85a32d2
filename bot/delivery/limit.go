package delivery

import "time"

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

// margin is added to every Per: a message that takes longer on its way than
// the next one comes closer to it where the platform counts. Our own choice;
// it costs 3 % of the throughput.
const margin = 30 * time.Millisecond

// window holds the times of the last messages under one limit, oldest first,
// and no more than the limit's count.
type window struct {
	limit Limit
	times []time.Time
}

// next returns the earliest time at which another message may go: any time
// where that is zero.
func (w *window) next() time.Time {
	if len(w.times) == 0 || len(w.times) < w.limit.Count {
		return time.Time{}
	}
	return w.times[0].Add(w.limit.Per + margin)
}

// take counts a message that goes at a time.
func (w *window) take(now time.Time) {
	if w.limit.Count == 0 {
		return
	}
	if len(w.times) == w.limit.Count {
		w.times = w.times[1:]
	}
	w.times = append(w.times, now)
}

// arrived moves the time of the last message on to when the platform is known
// to have counted it. It is for a limit whose messages go one by one.
func (w *window) arrived(now time.Time) {
	if n := len(w.times); n > 0 {
		w.times[n-1] = now
	}
}

// empty returns when the last message will no longer count; any time where
// that is zero.
func (w *window) empty() time.Time {
	n := len(w.times)
	if n == 0 {
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
