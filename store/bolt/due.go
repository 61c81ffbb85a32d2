package bolt

import (
	"bytes"
	"time"

	"bowlwright/store"
)

// dueKey is the key of a household in the index by time.
func dueKey(at time.Time, household string) []byte {
	return append(store.TimeKey(at), household...)
}

// Due takes a household without a record for one that has nothing due.
func (t *transaction) Due(household string) (d store.Due, err error) {
	err = t.load("due", bucketDue, []byte(household), &d)
	return d, store.OrNone(err)
}

// DueBy reads the beginning of the index and the records that it names.
func (t *transaction) DueBy(at time.Time, limit int) (out []store.Due, err error) {
	const op = "due by"
	latest := store.TimeKey(at)
	err = t.in(op, bucketDueAt, func(b bucket) error {
		all := t.bucket(bucketDue)
		c := b.is.Cursor()
		for k, _ := c.First(); k != nil && len(out) < limit; k, _ = c.Next() {
			if len(k) <= store.TimeSize {
				return damaged(op, "a time is cut short")
			}
			if bytes.Compare(k[:store.TimeSize], latest) > 0 {
				return nil
			}
			household := k[store.TimeSize:]
			record, err := opened(op, household, all.Get(household))
			var d store.Due
			if err == nil && record != nil {
				err = store.Decode(op, record, &d)
			}
			if err != nil {
				return err
			}
			if !bytes.Equal(dueKey(d.At, d.Household), k) {
				return damaged(op, "the index names a time at which nothing is due")
			}
			out = append(out, d)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}
