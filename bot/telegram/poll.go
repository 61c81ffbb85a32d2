package telegram

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"regexp"
	"strconv"
	"time"

	"bowlwright/store"
)

// Our own choices.
const (
	mostUnread = 3           // times that an update comes unreadable before it is given up
	emptyPause = time.Second // between two answers that hold nothing, at least
)

// poll asks for updates until ctx ends, and confirms them once they are
// stored. Failures are retried with growing pauses.
func (a *Adapter) poll(ctx context.Context) error {
	offset, pause := int64(0), firstPause
	timeout := time.Duration(0) // the first answer, which says that all is well, is not waited for
	var s sieve
	for ctx.Err() == nil {
		asked := time.Now()
		all, err := a.client.getUpdates(ctx, offset, timeout)
		got, next, gaveUp, again := s.sift(all, offset)
		if err == nil && len(got) > 0 {
			err = a.take(ctx, got)
		}
		if err == nil {
			for _, id := range gaveUp {
				a.o.Log.Error("an update is given up: it cannot be read", "update", id)
				a.o.Metrics.Update("unreadable", 0)
			}
			rest := time.Duration(0)
			switch {
			case again:
				a.o.Log.Warn("an update cannot be read, it is asked for again", "update", s.id)
				rest = firstPause
			case next == offset && timeout > 0:
				// Nothing came. Where that took no time, asking at once would
				// go round and round.
				rest = emptyPause - time.Since(asked)
			}
			offset, pause, timeout = next, firstPause, longPoll
			a.ready.Store(true)
			store.Pause(ctx, rest)
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
		if !store.Pause(ctx, pause) {
			break
		}
		pause = min(2*pause, longestPause)
	}
	return nil
}

// sieve parts the updates that can be read from those that cannot. It holds
// how often the one that stands in the way has come.
type sieve struct {
	id    int64 // of that one; where it has none, of its place
	times int
}

// sift returns the updates that can be taken, and the offset that confirms
// them. Where one cannot be read, what follows is left and asked for again
// with it, until it has come mostUnread times; then it is given up.
func (s *sieve) sift(all []received, offset int64) (got []received, next int64, gaveUp []int64, again bool) {
	next = offset
	for _, r := range all {
		if r.id != 0 && r.read() != nil {
			got, next = append(got, r), max(next, r.id+1)
			continue
		}
		id := cmp.Or(r.id, next)
		if s.id != id {
			*s = sieve{id: id}
		}
		if s.times++; s.times < mostUnread {
			return got, next, gaveUp, true
		}
		gaveUp = append(gaveUp, id)
		if r.id != 0 { // else only what comes after it leads past it
			next = max(next, r.id+1)
		}
	}
	return got, next, gaveUp, false
}

var (
	startOfResult = regexp.MustCompile(`^\s*\{\s*"ok"\s*:\s*true\s*,\s*"result"\s*:\s*\[`)
	updateID      = regexp.MustCompile(`"update_id"\s*:\s*(-?\d{1,19})`)
)

// salvage reads the updates of an answer of which a part is no JSON. Those
// that cannot be read are in their places, by their ids as far as these can
// be told.
func salvage(body []byte) (all []received) {
	begin := startOfResult.FindIndex(body)
	if begin == nil {
		return nil
	}
	from := begin[1] // what lies between here and the next update that can be read is lost
	for at := from; ; {
		open := bytes.IndexByte(body[at:], '{')
		if open < 0 {
			break
		}
		at += open
		var raw json.RawMessage
		d := json.NewDecoder(bytes.NewReader(body[at:]))
		if d.Decode(&raw) != nil {
			at++
			continue
		}
		if id, ok := idOf(raw); ok {
			all = append(append(all, lostIn(body[from:at])...), received{id: id, body: raw})
			at += int(d.InputOffset())
			from = at
			continue
		}
		at++
	}
	return append(all, lostIn(body[from:])...)
}

// lostIn are the updates in what could not be read; one without an id where
// there is something, but no id in it.
func lostIn(body []byte) (lost []received) {
	for _, m := range updateID.FindAllSubmatch(body, -1) {
		if id, err := strconv.ParseInt(string(m[1]), 10, 64); err == nil {
			lost = append(lost, received{id: id})
		}
	}
	if lost == nil && len(bytes.Trim(body, ", \t\r\n]}")) > 0 {
		lost = []received{{}}
	}
	return lost
}
