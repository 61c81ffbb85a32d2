package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"time"
	"unicode/utf8"

	bolt "go.etcd.io/bbolt"
)

// dueKey is the key of a household in the index by time.
func dueKey(at time.Time, household string) []byte {
	return append(timeKey(at), household...)
}

// Due takes a household without a record for one that has nothing due.
func (t *boltTx) Due(household string) (d Due, err error) {
	err = t.load("due", bucketDue, []byte(household), &d)
	if isNotFound(err) {
		return Due{}, nil
	}
	return d, err
}

// PutDue keeps nothing of a household of which there is nothing to say.
func (t *boltTx) PutDue(d Due) error {
	const op = "put due"
	if d.Household == "" {
		return classify(op, errNoID)
	}
	if !utf8.ValidString(d.Household) {
		return classify(op, errNoText)
	}
	d.At, d.Through = d.At.UTC(), d.Through.UTC()
	data, err := json.Marshal(d)
	if err != nil {
		return classify(op, err)
	}
	if err := t.writes(op); err != nil {
		return err
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

// deleteDue forgets when a household was due. One that PutDue refuses has no
// record.
func (t *boltTx) deleteDue(op, household string) error {
	before, err := t.Due(household)
	if err != nil || before.Household == "" {
		return err
	}
	return classify(op, t.PutDue(Due{Household: household}))
}

var errDueIndex = errors.New("the index names a time at which nothing is due")

// DueBy reads the beginning of the index and the records that it names.
func (t *boltTx) DueBy(at time.Time, limit int) (out []Due, err error) {
	const op = "due by"
	latest := timeKey(at)
	err = t.in(op, bucketDueAt, func(b merged) error {
		all := t.merged(bucketDue)
		c := b.Cursor()
		for k, _ := c.First(); k != nil && len(out) < limit; k, _ = c.Next() {
			if len(k) <= timeSize {
				return &Error{Code: Damaged, Op: op, Err: errors.New("a time is cut short")}
			}
			if bytes.Compare(k[:timeSize], latest) > 0 {
				return nil
			}
			d, ok, err := indexed(op, k, all)
			if err != nil {
				return err
			}
			if !ok {
				return &Error{Code: Damaged, Op: op, Err: errDueIndex}
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

// getter is a bucket, with what lies over it or without.
type getter interface{ Get(key []byte) []byte }

// indexed reads the record of a key of the index by time; ok says that the
// two agree.
func indexed(op string, key []byte, all getter) (d Due, ok bool, err error) {
	household := key[timeSize:]
	data, err := opened(op, household, all.Get(household))
	if err != nil || data == nil {
		return d, false, err
	}
	if err := decode(op, data, &d); err != nil {
		return d, false, err
	}
	return d, d.Household == string(household) && bytes.Equal(dueKey(d.At, d.Household), key), nil
}

func (t *boltTx) NextDue() (time.Time, error) {
	next, err := t.DueBy(latestTime, 1)
	if err != nil || len(next) == 0 {
		return time.Time{}, err
	}
	return next[0].At, nil
}

// latestTime is after every time that a record can hold.
var latestTime = time.Unix(1<<62-1, 0)

// duesIndexed checks that the index by time holds each household's time once.
func (t *boltTx) duesIndexed() error {
	w := &walk{tx: t.tx}
	defer w.end()
	timed, byTime := 0, 0
	err := t.inFile("check", bucketDue, func(b *bolt.Bucket) error {
		return b.ForEach(func(k, v []byte) error {
			w.step(k, v)
			var d Due
			data, err := opened("check", k, v)
			if err != nil {
				return err
			}
			if err := decode("check", data, &d); err != nil {
				return err
			}
			if d.Household != string(k) {
				return amiss("what is due for household %x names another", k)
			}
			if !d.At.IsZero() {
				timed++
			}
			return nil
		})
	})
	if err != nil {
		return err
	}
	err = t.inFile("check", bucketDueAt, func(b *bolt.Bucket) error {
		all := t.tx.Bucket(bucketDue)
		return b.ForEach(func(k, v []byte) error {
			w.step(k, v)
			byTime++
			if len(k) > timeSize {
				if _, ok, err := indexed("check", k, all); ok || err != nil {
					return err
				}
			}
			return amiss("household %x is not due at the time of its index", k)
		})
	})
	if err == nil && timed != byTime {
		err = amiss("%d households are due, %d in the index", timed, byTime)
	}
	return err
}
