package store

import (
	"bytes"
	"sync"

	"bowlwright/planner"
)

// homes remembers households that were decoded lately and of which a part is
// JSON. What it remembers is used only where the record that a transaction sees
// is the same byte for byte, so it can never be out of date.
type homes struct {
	mu    sync.Mutex
	young map[string]home
	old   map[string]home // younger ones push it out as a whole
	bytes int             // of the records in young
}

// home is a record and what it says, which nobody changes.
type home struct {
	record []byte
	is     *planner.Household
}

// Our own choices, in bytes of records: of how many are remembered in each of
// both halves, and the longest of them. A decoded household is some three
// times as large as its record.
const (
	mostHomes   = 512 << 10
	longestHome = 64 << 10
)

// get returns the household of a record, nil where it is not remembered.
func (c *homes) get(id string, record []byte) *planner.Household {
	c.mu.Lock()
	defer c.mu.Unlock()
	h, ok := c.young[id]
	if !ok {
		h = c.old[id]
	}
	if !bytes.Equal(h.record, record) {
		return nil
	}
	return h.is
}

// keep remembers a household, which nobody may change any more.
func (c *homes) keep(id string, record []byte, is *planner.Household) {
	if len(record) > longestHome {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.bytes += len(record) - len(c.young[id].record)
	if c.bytes > mostHomes || c.young == nil {
		c.old, c.young, c.bytes = c.young, map[string]home{}, len(record)
	}
	c.young[id] = home{record, is}
}

func (t *boltTx) Household(id string) (h *planner.Household, err error) {
	const op = "household"
	var record []byte // what has to be read as JSON; nil where h is there
	var known *planner.Household
	err = t.homeRecord(op, id, func(there []byte) (err error) {
		if !holdsJSON(there) { // reading it is less work than copying what was read
			h, err = decodeHousehold(op, there)
		} else if known = t.s.homes.get(id, there); known == nil {
			record = bytes.Clone(there)
		}
		return err
	})
	if err != nil || h != nil {
		return h, err
	}
	if known == nil {
		if known, err = decodeHousehold(op, record); err != nil {
			return nil, err
		}
		t.s.homes.keep(id, record, known)
	}
	return known.Clone(), nil
}

func (t *boltTx) Revision(household string) (rev uint64, err error) {
	const op = "revision"
	err = t.homeRecord(op, household, func(record []byte) error {
		rev, err = revisionOf(op, record)
		return err
	})
	return rev, err
}

// homeRecord calls f with the record of a household, which may point into the
// file.
func (t *boltTx) homeRecord(op, id string, f func(record []byte) error) error {
	key := []byte(id)
	return t.in(op, bucketHouseholds, func(b merged) error {
		record, err := opened(op, key, b.Get(key))
		if err == nil && record == nil {
			err = &Error{Code: NotFound, Op: op}
		}
		if err != nil {
			return err
		}
		return f(record)
	})
}
