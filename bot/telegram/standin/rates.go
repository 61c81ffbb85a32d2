package standin

import (
	"fmt"
	"time"
)

// The platform's limits of sending (Bot API FAQ): about 30 messages a second
// in all, one a second to a chat with short bursts, 20 a minute to a group.
// How long a burst may be is not said; burst is our own choice.
const (
	mostPerSecond = 30
	mostPerMinute = 20 // to a group
	burst         = 3  // messages to a chat within a second
)

// rates notes when messages were sent and where a limit was broken.
type rates struct {
	all      []time.Time
	chats    map[int64][]time.Time
	breaches []string
}

func (r *rates) note(to *chat, at time.Time, times int) {
	if r.chats == nil {
		r.chats = map[int64][]time.Time{}
	}
	r.all = append(since(r.all, at.Add(-time.Second)), at)
	if len(r.all) > times*mostPerSecond {
		r.breach("%d messages within a second", len(r.all))
	}
	mine := append(since(r.chats[to.id], at.Add(-time.Minute)), at)
	r.chats[to.id] = mine
	if n := len(since(mine, at.Add(-time.Second))); n > times*burst {
		r.breach("%d messages to one chat within a second", n)
	}
	if n := len(since(mine, at.Add(-10*time.Second))); n > times*(10+burst) {
		r.breach("%d messages to one chat within ten seconds", n)
	}
	if to.kind != "private" && len(mine) > times*mostPerMinute {
		r.breach("%d messages to a group within a minute", len(mine))
	}
}

// since drops times before one from the front.
func since(at []time.Time, from time.Time) []time.Time {
	for len(at) > 0 && !at[0].After(from) {
		at = at[1:]
	}
	return at
}

func (r *rates) breach(format string, args ...any) {
	if len(r.breaches) < 100 {
		r.breaches = append(r.breaches, fmt.Sprintf(format, args...))
	}
}
