package store

import (
	"bytes"

	"github.com/tidwall/btree"
)

// kept lists the buckets that changes are kept for, by the number that stands
// for them in the redo log. It is only ever appended to: logs of crashed
// programs are out there.
var kept = [...][]byte{
	bucketSeen, bucketSeenAt, bucketMembers, bucketHouseholds, bucketDialogues, bucketChanges, bucketAdapters,
	bucketOutbox, bucketOutboxChat, bucketBlocked, bucketDead, bucketInbox, bucketMembersOf, bucketInvites,
	bucketInvitesOf, bucketEndings, bucketJournal, bucketJournalIDs, bucketDue, bucketDueAt,
}

var keptAs = func() map[string]int {
	is := map[string]int{}
	for i, name := range kept {
		is[string(name)] = i
	}
	return is
}()

// change is the newest value of a key; a nil value says that the key is gone.
// Nobody alters it or its bytes.
type change struct {
	key, value []byte
}

// changeCost is roughly what a change takes besides its bytes.
const changeCost = 96

func (c *change) size() int { return len(c.key) + len(c.value) + changeCost }

// counter is the sequence of a bucket where it has changed.
type counter struct {
	n     uint64
	known bool
}

// layer is what has changed since the file was last brought up to date: it
// lies over the file, and what it says of a key goes before what the file
// says. A layer that has been frozen is never altered and can be read by many
// at once; one that is written to belongs to one goroutine.
type layer struct {
	trees    [len(kept)]*btree.BTreeG[*change] // nil where nothing changed
	counters [len(kept)]counter
	own      [len(kept)]bool // the tree is not shared with a frozen layer
	last     uint64          // the update that it is up to
	bytes    int             // what it takes, roughly
}

func newTree() *btree.BTreeG[*change] {
	// Small nodes: a frozen layer costs a copy of each that is altered after.
	return btree.NewBTreeGOptions(func(a, b *change) bool { return bytes.Compare(a.key, b.key) < 0 },
		btree.Options{Degree: 8, NoLocks: true})
}

// freeze returns the layer as it is now, which stays so.
func (l *layer) freeze() *layer {
	l.own = [len(kept)]bool{}
	frozen := *l
	return &frozen
}

// thaw returns a layer like a frozen one that can be written to.
func (l *layer) thaw() *layer {
	thawed := *l
	thawed.own = [len(kept)]bool{}
	return &thawed
}

// get returns what the layer says of a change's key, if anything.
func (l *layer) get(bucket int, c *change) (*change, bool) {
	if l.trees[bucket] == nil {
		return nil, false
	}
	return l.trees[bucket].Get(c)
}

// set makes a change, and returns what the layer said of the key before; nil
// where that was nothing.
func (l *layer) set(bucket int, c *change) (before *change) {
	before, was := l.mine(bucket).Set(c)
	l.bytes += c.size()
	if was {
		l.bytes -= before.size()
	}
	return before
}

// drop has the layer say nothing of a change's key.
func (l *layer) drop(bucket int, c *change) {
	if l.trees[bucket] == nil {
		return
	}
	if before, was := l.mine(bucket).Delete(c); was {
		l.bytes -= before.size()
	}
}

// mine returns a tree that nobody else reads.
func (l *layer) mine(bucket int) *btree.BTreeG[*change] {
	switch {
	case l.trees[bucket] == nil:
		l.trees[bucket] = newTree()
	case !l.own[bucket]:
		l.trees[bucket] = l.trees[bucket].IsoCopy()
	}
	l.own[bucket] = true
	return l.trees[bucket]
}

// forget drops what a frozen layer says the same of: the file now says it too.
// What has changed since stays.
func (l *layer) forget(done *layer) {
	for i, tree := range done.trees {
		if tree == nil || tree.Len() == 0 {
			continue
		}
		tree.Scan(func(c *change) bool {
			// The same one, and not only one like it: a value that was put back
			// since may have to be written again.
			if is, _ := l.get(i, c); is == c {
				l.drop(i, c)
			}
			return true
		})
		if l.trees[i] != nil && l.trees[i].Len() == 0 {
			l.trees[i], l.own[i] = nil, false
		}
	}
	for i, c := range done.counters {
		if c == l.counters[i] {
			l.counters[i] = counter{}
		}
	}
}
