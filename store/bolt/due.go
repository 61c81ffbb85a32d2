package bolt

import (
	"bytes"
	"encoding/json"
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

// PutDue keeps nothing of a household of which there is nothing to say.
func (t *transaction) PutDue(d store.Due) error {
	const op = "put due"
	d.At, d.Through = d.At.UTC(), d.Through.UTC()
	data, err := json.Marshal(d)
	if err != nil {
		return classify(op, err)
	}
	before, err := t.Due(d.Household)
	if err != nil {
		return err
	}
	if !before.At.IsZero() && !before.At.Equal(d.At) {
		if err := t.remove(op, bucketDueAt, dueKey(before.At, d.Household)); err != nil {
			return err
		}
	}
	if d.At.IsZero() && d.Through.IsZero() {
		return t.remove(op, bucketDue, []byte(d.Household))
	}
	if err := t.put(op, bucketDue, []byte(d.Household), data); err != nil {
		return err
	}
	if d.At.IsZero() || before.At.Equal(d.At) {
		return nil
	}
	return t.put(op, bucketDueAt, dueKey(d.At, d.Household), nil)
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
			d, ok, err := indexed(op, k, all)
			if err != nil {
				return err
			}
			if !ok {
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

// indexed reads the record of a key of the index by time; ok says that the
// two agree.
func indexed(op string, key []byte, all bucket) (d store.Due, ok bool, err error) {
	household := key[store.TimeSize:]
	data, err := opened(op, household, all.Get(household))
	if err != nil || data == nil {
		return d, false, err
	}
	if err := store.Decode(op, data, &d); err != nil {
		return d, false, err
	}
	return d, d.Household == string(household) && bytes.Equal(dueKey(d.At, d.Household), key), nil
}

func (t *transaction) NextDue() (time.Time, error) {
	next, err := t.DueBy(latestTime, 1)
	if err != nil || len(next) == 0 {
		return time.Time{}, err
	}
	return next[0].At, nil
}

// latestTime is after every time that a record can hold.
var latestTime = time.Unix(1<<62-1, 0)
