package store

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// Movable is a store of which everything can be taken over into another.
type Movable interface {
	Store
	// Each calls f with a write for every record of one state. Made in this order
	// in an empty store they make the same records.
	Each(ctx context.Context, f func(Write) error) error
}

// MoveMark stands among the handled events of a store into which a move was
// begun, until all of it is there.
const MoveMark = "move/begun"

// Tally is how many records of a kind there are, and a checksum of them that
// their order does not change.
type Tally struct {
	Count uint64
	Sum   uint64
}

// Tallies are those of each kind of write.
type Tallies map[string]Tally

// add counts a record. Of changes, whose order is what they are, it counts the
// place too.
func (t Tallies) add(w Write, place int) error {
	data, err := json.Marshal(w)
	if err != nil {
		return err
	}
	kind := strings.TrimPrefix(fmt.Sprintf("%T", w), "store.")
	sum := sha256.Sum256(fmt.Append(data, place))
	is := t[kind]
	t[kind] = Tally{is.Count + 1, is.Sum + binary.BigEndian.Uint64(sum[:])}
	return nil
}

// String lists how many there are of each kind.
func (t Tallies) String() string {
	var said []string
	for _, kind := range slices.Sorted(maps.Keys(t)) {
		said = append(said, fmt.Sprintf("%s %d", kindNames[kind], t[kind].Count))
	}
	return cmp.Or(strings.Join(said, ", "), "nothing")
}

// kindNames are what a person calls the records that a write makes.
var kindNames = map[string]string{
	"MarkSeen": "handled events", "PutHousehold": "households", "PushChange": "changes", "PutMember": "members",
	"PutInvite": "invitations", "PutEnding": "endings", "PutEntry": "entries", "PutDue": "due times",
	"PutPublished": "published", "PutReader": "readers", "PutDialogue": "dialogues", "PutAdapter": "notes",
	"PutMessage": "messages", "PutBlocked": "blocked chats", "PutDead": "undelivered", "PutUpdate": "updates",
}

// Tell counts everything in a store, and so reads all of it.
func Tell(ctx context.Context, s Movable) (Tallies, error) {
	t := Tallies{}
	err := eachPlaced(ctx, s, func(w Write, place int) error {
		switch w := w.(type) {
		case NumberFrom: // no record
			return nil
		case MarkSeen:
			if w.Event == MoveMark {
				return nil
			}
		}
		return t.add(w, place)
	})
	return t, err
}

// eachPlaced is Each, with which change of its household a change is.
func eachPlaced(ctx context.Context, s Movable, f func(w Write, place int) error) error {
	place, of := 0, ""
	return s.Each(ctx, func(w Write) error {
		c, ok := w.(PushChange)
		if !ok {
			return f(w, 0)
		}
		if place++; c.Household != of {
			place, of = 1, c.Household
		}
		return f(w, place)
	})
}

// The errors of Move.
var (
	ErrNotEmpty = errors.New("there is something in the store already")
	ErrNotSame  = errors.New("what is there after the move is not what was there before")
)

// Move takes everything over from one store, which nobody uses meanwhile, into
// another that is empty, then counts both. One that was broken off is begun
// again and overwrites what is there.
func Move(ctx context.Context, from, to Movable) (Tallies, error) {
	begun, err := beginMove(ctx, to)
	if err != nil {
		return nil, err
	}
	c := Commit{}
	flush := func(least int) error {
		if len(c.Writes) < least {
			return nil
		}
		err := to.Commit(ctx, c)
		c.Writes = nil
		return err
	}
	err = eachPlaced(ctx, from, func(w Write, place int) error {
		if change, ok := w.(PushChange); ok && begun && place == 1 {
			for range MaxChanges {
				c.Writes = append(c.Writes, PopChange(change.Household))
			}
		}
		c.Writes = append(c.Writes, w)
		return flush(jobStep)
	})
	if err == nil {
		err = flush(1)
	}
	if err != nil {
		return nil, err
	}
	before, err1 := Tell(ctx, from)
	after, err2 := Tell(ctx, to)
	if err := cmp.Or(err1, err2); err != nil {
		return nil, err
	}
	if !maps.Equal(before, after) {
		return after, fmt.Errorf("%w: %s before, %s after", ErrNotSame, before, after)
	}
	return after, to.Commit(ctx, Commit{Writes: []Write{ForgetEvent(MoveMark)}})
}

// beginMove makes sure that a store is empty, or that a move into it was begun.
func beginMove(ctx context.Context, to Movable) (begun bool, err error) {
	begun, err = Look(ctx, to, func(snap Snapshot) (bool, error) { return snap.Seen(MoveMark) })
	if err != nil || begun {
		return begun, err
	}
	err = to.Each(ctx, func(w Write) error {
		if _, ok := w.(NumberFrom); ok {
			return nil
		}
		return ErrNotEmpty
	})
	if err != nil {
		return false, err
	}
	return false, to.Commit(ctx, Commit{Writes: []Write{MarkSeen{MoveMark, farAway}}})
}

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
