package bolt

import (
	"bytes"
	"cmp"

	"bowlwright/store"
)

// agree reads every record and makes sure that what records say of each other
// is true. That the checksums match was made sure of before.
func (t *transaction) agree() error {
	for _, of := range kinds {
		if err := t.agrees(of); err != nil {
			return err
		}
	}
	return nil
}

// agrees makes sure that each record of a kind says what its key does, and that
// the index holds it once.
func (t *transaction) agrees(of kind) error {
	placed := uint64(0)
	err := t.each(of.bucket, func(k, record []byte) error {
		w, err := of.write(k, record)
		at, with, unplaced := of.place(k, record)
		if err = cmp.Or(unplaced, err); err != nil {
			return err
		}
		own := k
		switch w := w.(type) {
		case store.PutHousehold:
			own = []byte(w.ID)
		case store.PutDue:
			own = []byte(w.Household)
		case store.PutEntry:
			own = entryKey(w.Household, w.Entry)
		}
		if !bytes.Equal(own, k) {
			return amiss("%s: record %x names another", of.bucket, k)
		}
		if at == nil {
			return nil
		}
		placed++
		is, err := opened("check", at, t.bucket(of.index).Get(at))
		if err == nil && (is == nil || !bytes.Equal(is, with)) {
			err = amiss("%s: record %x is not in the index", of.bucket, k)
		}
		return err
	})
	if err != nil || of.index == nil {
		return err
	}
	if n := t.size(of.index); n != placed {
		return amiss("%s: %d records, %d in the index", of.bucket, placed, n)
	}
	return nil
}

// each calls f with every record of a bucket.
func (t *transaction) each(name []byte, f func(key, record []byte) error) error {
	return t.bucket(name).is.ForEach(func(k, v []byte) error {
		record, err := opened("check", k, v)
		if err != nil {
			return err
		}
		return f(k, record)
	})
}

func (t *transaction) size(name []byte) uint64 { return t.bucket(name).is.Sequence() }
