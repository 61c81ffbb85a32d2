package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"

	"bowlwright/planner"
)

// boltTx is a Tx. Its methods touch bbolt only under protect, and hand out
// nothing that points into the file.
type boltTx struct {
	s        *Bolt
	tx       *bolt.Tx // the file as it was brought up to date last
	layer    *layer   // and what lies over it
	writable bool
	group    *group // where what is written goes, of an Update
	undone   []undo // what takes it back, the last first
	over     bool   // f has returned
	sought   change // what get looks for in the layer

	looked *[len(kept)]*bolt.Bucket // those of the file, as far as they were looked for; nil while none was
}

// undo takes back one change to a layer.
type undo struct {
	bucket  int
	made    *change // nil: of the counter
	before  *change // what the layer said of the key, nil where nothing
	counter counter
}

func (t *boltTx) set(bucket int, c *change) {
	t.undone = append(t.undone, undo{bucket: bucket, made: c, before: t.layer.set(bucket, c)})
	t.group.buf = appendChange(t.group.buf, bucket, c)
}

func (t *boltTx) count(bucket int, n uint64) {
	t.undone = append(t.undone, undo{bucket: bucket, counter: t.layer.counters[bucket]})
	t.layer.counters[bucket] = counter{n, true}
	t.group.buf = appendCounter(t.group.buf, bucket, n)
}

// undo takes back all that an Update wrote.
func (t *boltTx) undo() {
	for i := len(t.undone) - 1; i >= 0; i-- {
		switch u := t.undone[i]; {
		case u.made == nil:
			t.layer.counters[u.bucket] = u.counter
		case u.before != nil:
			t.layer.set(u.bucket, u.before)
		default:
			t.layer.drop(u.bucket, u.made)
		}
	}
}

// in runs f on a bucket.
func (t *boltTx) in(op string, name []byte, f func(merged) error) error {
	return t.protected(op, func() error { return f(t.merged(name)) })
}

// merged returns a bucket; the caller is protected. That every bucket is there
// was made sure of when the file was opened.
func (t *boltTx) merged(name []byte) merged { return merged{t, keptAs[string(name)]} }

// inFile runs f on a bucket of the file, without what lies over it.
func (t *boltTx) inFile(op string, name []byte, f func(*bolt.Bucket) error) error {
	return t.protected(op, func() error {
		b := t.tx.Bucket(name)
		if b == nil {
			return missing(op, name)
		}
		return f(b)
	})
}

func (t *boltTx) protected(op string, f func() error) error {
	if t.over {
		return classify(op, errOver)
	}
	if e := t.s.stopped.Load(); e != nil {
		return e
	}
	return classify(op, t.s.protect(op, f))
}

// writes refuses an operation that changes something in a View, even where
// there is nothing to change.
func (t *boltTx) writes(op string) error {
	if !t.over && !t.writable {
		return classify(op, berrors.ErrTxNotWritable)
	}
	return nil
}

// get returns a copy of a value, NotFound where there is none.
func (t *boltTx) get(op string, name, key []byte) (value []byte, err error) {
	err = t.in(op, name, func(b merged) error {
		value, err = copied(op, key, b.Get(key))
		if err == nil && value == nil {
			err = &Error{Code: NotFound, Op: op}
		}
		return err
	})
	return value, err
}

func isNotFound(err error) bool { return isCode(err, NotFound) }

func isFull(err error) bool { return isCode(err, Full) }

func isCode(err error, code Code) bool {
	var e *Error
	return errors.As(err, &e) && e.Code == code
}

func (t *boltTx) put(op string, name, key, value []byte) error {
	if err := t.writes(op); err != nil {
		return err
	}
	return t.in(op, name, func(b merged) error { return b.Put(key, value) })
}

func (t *boltTx) remove(op string, name, key []byte) error {
	if err := t.writes(op); err != nil {
		return err
	}
	return t.in(op, name, func(b merged) error { return b.Delete(key) })
}

// load decodes a record into v.
func (t *boltTx) load(op string, name, key []byte, v any) error {
	data, err := t.get(op, name, key)
	if err != nil {
		return err
	}
	return decode(op, data, v)
}

// save encodes v as a record.
func (t *boltTx) save(op string, name, key []byte, v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return classify(op, err)
	}
	return t.put(op, name, key, data)
}

// decode reads a record. What json says of a failure may quote the record,
// so only where it failed is passed on.
func decode(op string, data []byte, v any) error {
	err := json.Unmarshal(data, v)
	if err == nil {
		return nil
	}
	said := "the record cannot be read"
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		said = fmt.Sprintf("%s: offset %d", said, syntax.Offset)
	case errors.As(err, &kind):
		said = fmt.Sprintf("%s: field %s", said, kind.Field)
	}
	return &Error{Code: Damaged, Op: op, Err: errors.New(said)}
}

func (t *boltTx) Seen(event string) (bool, error) {
	found := false
	err := t.in("seen", bucketSeen, func(b merged) error {
		at, err := opened("seen", []byte(event), b.Get([]byte(event)))
		found = at != nil
		return err
	})
	return found, err
}

// MarkSeen moves an event that was marked before to the later of both times,
// so that the index holds every event once.
func (t *boltTx) MarkSeen(event string, at time.Time) error {
	const op = "mark seen"
	if err := t.writes(op); err != nil {
		return err
	}
	key, when := []byte(event), timeKey(at)
	var before []byte
	err := t.in(op, bucketSeen, func(b merged) (err error) {
		before, err = copied(op, key, b.Get(key))
		return err
	})
	if err != nil || bytes.Compare(before, when) >= 0 {
		return err
	}
	if err := t.put(op, bucketSeen, key, when); err != nil {
		return err
	}
	if before != nil {
		if err := t.remove(op, bucketSeenAt, append(before, key...)); err != nil {
			return err
		}
	}
	return t.put(op, bucketSeenAt, append(when, key...), nil)
}

func (t *boltTx) PutHousehold(h *planner.Household) error {
	const op = "put household"
	key := []byte(h.ID)
	data, err := encodeHousehold(h)
	if err != nil {
		return classify(op, err)
	}
	if err := t.writes(op); err != nil {
		return err
	}
	return t.in(op, bucketHouseholds, func(b merged) error {
		known := b.Get(key) != nil
		if err := b.Put(key, data); err != nil || known {
			return err
		}
		return b.SetSequence(b.Sequence() + 1)
	})
}

// removeHousehold takes out the household's own record.
func (t *boltTx) removeHousehold(op, id string) error {
	return t.in(op, bucketHouseholds, func(b merged) error {
		if b.Get([]byte(id)) == nil {
			return nil
		}
		return errors.Join(b.Delete([]byte(id)), b.SetSequence(max(b.Sequence(), 1)-1))
	})
}

// countHouseholds is the migration to schema 6: the counter that is stored with
// the bucket of households holds how many there are, so that asking costs
// nothing. It is of no consequence but to those who look at the metrics.
func countHouseholds(tx *bolt.Tx) error {
	b := tx.Bucket(bucketHouseholds)
	return b.SetSequence(uint64(b.Stats().KeyN))
}

func (t *boltTx) Dialogue(chat, person string) (Dialogue, error) {
	const op = "dialogue"
	var d Dialogue
	data, err := t.get(op, bucketDialogues, pairKey(chat, person))
	if err == nil {
		err = d.decode(op, data)
	}
	return d, err
}

func (t *boltTx) PutDialogue(chat, person string, d Dialogue) error {
	const op = "put dialogue"
	data, err := d.encode()
	if err != nil {
		return classify(op, err)
	}
	return t.put(op, bucketDialogues, pairKey(chat, person), data)
}

func (t *boltTx) DeleteDialogue(chat, person string) error {
	return t.remove("delete dialogue", bucketDialogues, pairKey(chat, person))
}

func (t *boltTx) Adapter(chat string) ([]byte, error) {
	notes, err := t.get("adapter", bucketAdapters, partKey(chat))
	if isNotFound(err) {
		return nil, nil
	}
	return notes, err
}

// PutAdapter keeps notes of no length by keeping none.
func (t *boltTx) PutAdapter(chat string, notes []byte) error {
	if len(notes) == 0 {
		return t.remove("put adapter", bucketAdapters, partKey(chat))
	}
	return t.put("put adapter", bucketAdapters, partKey(chat), notes)
}
