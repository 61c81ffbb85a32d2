package bolt

import (
	"bytes"
	"errors"
	"slices"
	"time"
	"unicode/utf8"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
)

// The journal lies in streams: the entries of one household, kind and dog, in
// the order of time. A year of weigh-ins then costs a year of weigh-ins to
// read, however many bowls were fed in it, and a query over several streams
// costs one jump for each besides what it returns.

var (
	errNoID   = errors.New("an id is needed")
	errNoText = errors.New("an id is not text") // JSON would keep another than the key has
)

// streamKey begins the keys of a stream.
func streamKey(household string, kind planner.EntryKind, dog string) []byte {
	k := make([]byte, 0, len(household)+len(kind)+len(dog)+64) // with room for a time and an id
	return appendPart(appendPart(appendPart(k, household), string(kind)), dog)
}

// momentKey is a place in a stream; before every entry at that time where id
// is empty.
func momentKey(stream []byte, at time.Time, id string) []byte {
	k := append(make([]byte, 0, len(stream)+timeSize+len(id)), stream...)
	return append(appendTimeKey(k, at), id...)
}

// entryKey is the key of an entry.
func entryKey(household string, e planner.Entry) []byte {
	return append(appendTimeKey(streamKey(household, e.Kind, e.Dog), e.At), e.ID...)
}

// streamOf returns the beginning of an entry's key that it shares with its
// stream.
func streamOf(key []byte) (stream []byte, ok bool) {
	rest := key
	for range 3 { // household, kind, dog
		if _, rest, ok = parted(rest); !ok {
			return nil, false
		}
	}
	return key[:len(key)-len(rest)], len(rest) > timeSize
}

// afterStream stands behind every key of a stream: nanoseconds never come
// near the largest number.
func afterStream(stream []byte) []byte {
	k := append(make([]byte, 0, len(stream)+timeSize), stream...)
	for range timeSize {
		k = append(k, 0xff)
	}
	return k
}

// place returns the key under which the entry with an id is kept, nil where
// there is none. The index holds what stands between household and id.
func (t *transaction) place(op, household, id string) ([]byte, error) {
	middle, err := t.get(op, bucketJournalIDs, pairKey(household, id))
	if store.IsNotFound(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return append(append(partKey(household), middle...), id...), nil
}

func (t *transaction) PutEntry(household string, e planner.Entry) error {
	const op = "put entry"
	if e.ID == "" {
		return classify(op, errNoID)
	}
	if !utf8.ValidString(e.ID) || !utf8.ValidString(e.Dog) || !utf8.ValidString(string(e.Kind)) {
		return classify(op, errNoText)
	}
	key := entryKey(household, e)
	before, err := t.place(op, household, e.ID)
	if err != nil {
		return err
	}
	if err := t.save(op, bucketJournal, key, e); err != nil {
		return err
	}
	if bytes.Equal(before, key) {
		return nil
	}
	if before != nil {
		if err := t.remove(op, bucketJournal, before); err != nil {
			return err
		}
	}
	middle := key[len(partKey(household)) : len(key)-len(e.ID)]
	return t.put(op, bucketJournalIDs, pairKey(household, e.ID), middle)
}

func (t *transaction) Entry(household, id string) (e planner.Entry, err error) {
	const op = "entry"
	key, err := t.place(op, household, id)
	if err != nil {
		return e, err
	}
	if key == nil {
		return e, &store.Error{Code: store.NotFound, Op: op}
	}
	data, err := t.get(op, bucketJournal, key)
	if store.IsNotFound(err) {
		err = &store.Error{Code: store.Damaged, Op: op, Err: errors.New("the index names an entry that is not there")}
	}
	if err != nil {
		return e, err
	}
	return entryAt(op, household, key, data)
}

// entryAt decodes an entry and makes sure that it belongs where it was found.
func entryAt(op, household string, key, record []byte) (planner.Entry, error) {
	var e planner.Entry
	if err := decode(op, record, &e); err != nil {
		return planner.Entry{}, err
	}
	if !bytes.Equal(entryKey(household, e), key) {
		return planner.Entry{}, &store.Error{Code: store.Damaged, Op: op, Err: errors.New("an entry is not where it belongs")}
	}
	return e, nil
}

func (t *transaction) DeleteEntry(household, id string) error {
	const op = "delete entry"
	key, err := t.place(op, household, id)
	if err != nil || key == nil {
		return err
	}
	if err := t.remove(op, bucketJournalIDs, pairKey(household, id)); err != nil {
		return err
	}
	return t.remove(op, bucketJournal, key)
}

// found is an entry that a query has come upon. It points into the file.
type found struct {
	key, record []byte
	stream      int // how long the part of the key before time and id is
}

func (f found) moment() []byte { return f.key[f.stream:] }

// Entries reads the streams that are asked for, each no further than its
// limit, and puts them in one order.
func (t *transaction) Entries(household string, q store.EntryQuery) (out []planner.Entry, err error) {
	const op = "entries"
	err = t.in(op, bucketJournal, func(b bucket) error {
		c := b.is.Cursor()
		streams, err := streamsOf(op, c, household, q)
		if err != nil {
			return err
		}
		var room [16]found
		all, err := readStreams(op, c, q, streams, room[:0])
		if err != nil || len(all) == 0 {
			return err
		}
		slices.SortFunc(all, func(a, b found) int {
			if q.Newest {
				a, b = b, a
			}
			return bytes.Compare(a.moment(), b.moment())
		})
		if q.Limit > 0 && len(all) > q.Limit {
			all = all[:q.Limit]
		}
		out = make([]planner.Entry, len(all))
		for i, f := range all {
			if out[i], err = entryAt(op, household, f.key, f.record); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// streamsOf returns the streams of a household that a query asks for, in the
// order of their keys. Where it names both a kind and a dog there is nothing to look up.
func streamsOf(op string, c *bbolt.Cursor, household string, q store.EntryQuery) (out [][]byte, err error) {
	if len(q.Kinds) > 0 && q.Dog != "" {
		for _, kind := range q.Kinds {
			out = append(out, streamKey(household, kind, q.Dog))
		}
		return ordered(out), nil
	}
	begins := [][]byte{partKey(household)}
	if len(q.Kinds) > 0 {
		begins = nil
		for _, kind := range q.Kinds {
			begins = append(begins, appendPart(partKey(household), string(kind)))
		}
		begins = ordered(begins)
	}
	dog := partKey(q.Dog)
	for _, begin := range begins {
		k, _ := c.Seek(begin)
		for bytes.HasPrefix(k, begin) {
			stream, ok := streamOf(k)
			if !ok {
				return nil, &store.Error{Code: store.Damaged, Op: op, Err: errors.New("the key of an entry is cut short")}
			}
			if q.Dog == "" || bytes.HasSuffix(stream, dog) {
				out = append(out, bytes.Clone(stream))
			}
			k, _ = c.Seek(afterStream(stream))
		}
	}
	return out, nil
}

// ordered returns keys in their order, each once.
func ordered(keys [][]byte) [][]byte {
	slices.SortFunc(keys, bytes.Compare)
	return slices.CompactFunc(keys, bytes.Equal)
}

// readStreams adds to all the entries of streams that a query asks for, of each as far
// as its limit. The streams are in the order of their keys: where the cursor
// already stands behind the beginning of one, nobody need look for it.
func readStreams(op string, c *bbolt.Cursor, q store.EntryQuery, streams [][]byte, all []found) ([]found, error) {
	var k, v []byte
	walked := false // k is the first key behind the stream before, nil where there is none
	next := func() ([]byte, []byte) { return c.Next() }
	if q.Newest {
		next = func() ([]byte, []byte) { return previous(c, k) }
	}
	for _, stream := range streams {
		from := stream
		if !q.From.IsZero() {
			from = momentKey(stream, q.From, "")
		}
		var to []byte // nil: to the end of the stream
		if !q.To.IsZero() {
			to = momentKey(stream, q.To, "")
		}
		if !walked || k != nil && bytes.Compare(k, from) < 0 {
			k, v = firstOf(c, q, stream, from, to)
		}
		n := 0
		for ; bytes.HasPrefix(k, stream) && bytes.Compare(k, from) >= 0 && (to == nil || bytes.Compare(k, to) < 0); k, v = next() {
			if n++; q.Limit > 0 && n > q.Limit {
				break
			}
			record, err := opened(op, k, v)
			if err != nil {
				return nil, err
			}
			all = append(all, found{key: k, record: record, stream: len(stream)})
		}
		walked = !q.Newest && q.Limit == 0
	}
	return all, nil
}

// firstOf goes to where reading begins among the keys of a stream from one up
// to, and not including, another.
func firstOf(c *bbolt.Cursor, q store.EntryQuery, stream, from, to []byte) (k, v []byte) {
	switch {
	case !q.Newest:
		return c.Seek(from)
	case to == nil:
		to = afterStream(stream)
	}
	return before(c, to)
}

// deleteJournal takes out all entries of a household.
func (t *transaction) deleteJournal(op, household string) error {
	for _, bucket := range [][]byte{bucketJournal, bucketJournalIDs} {
		keys, err := t.keys(op, bucket, partKey(household))
		if err != nil {
			return err
		}
		for _, k := range keys {
			if err := t.remove(op, bucket, append(partKey(household), k...)); err != nil {
				return err
			}
		}
	}
	return nil
}

// entryParts takes the key of an entry apart.
func entryParts(key []byte) (household string, middle []byte, id string, ok bool) {
	stream, ok := streamOf(key)
	if !ok {
		return "", nil, "", false
	}
	household, _, _ = parted(key)
	split := len(stream) + timeSize
	return household, key[len(partKey(household)):split], string(key[split:]), true
}
