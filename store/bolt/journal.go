package bolt

import (
	"bytes"
	"slices"

	"go.etcd.io/bbolt"

	"bowlwright/planner"
	"bowlwright/store"
)

// The journal lies in streams: the entries of one household, kind and dog, in
// the order of time. A year of weigh-ins then costs a year of weigh-ins to
// read, however many bowls were fed in it, and a query over several streams
// costs one jump for each besides what it returns.

// stream is the household, kind and dog whose entries lie together.
type stream struct {
	household string
	kind      planner.EntryKind
	dog       string
}

// key begins the keys of a stream. What follows is the time and the id of an
// entry.
func (s stream) key() []byte {
	return appendPart(appendPart(partKey(s.household), string(s.kind)), s.dog)
}

// end stands behind every key of a stream: nanoseconds never come near the
// largest number.
func (s stream) end() []byte {
	return append(s.key(), bytes.Repeat([]byte{0xff}, store.TimeSize)...)
}

// entryKey is the key of an entry.
func entryKey(household string, e planner.Entry) []byte {
	return append(store.AppendTimeKey(stream{household, e.Kind, e.Dog}.key(), e.At), e.ID...)
}

// streamOf takes the key of an entry apart; what is left of it is the time and
// the id.
func streamOf(key []byte) (s stream, rest []byte, ok bool) {
	var parts [3]string
	rest = key
	for i := range parts {
		if parts[i], rest, ok = parted(rest); !ok {
			return s, nil, false
		}
	}
	return stream{parts[0], planner.EntryKind(parts[1]), parts[2]}, rest, len(rest) > store.TimeSize
}

// place returns the key under which the entry with an id is kept, nil where
// there is none. The index holds what stands between household and id.
func (t *transaction) place(op, household, id string) ([]byte, error) {
	middle, err := t.get(op, bucketJournalIDs, pairKey(household, id))
	if err != nil {
		return nil, store.OrNone(err)
	}
	return append(append(partKey(household), middle...), id...), nil
}

// putEntry takes the entry of the same id away first, where it lies elsewhere.
func (t *transaction) putEntry(household string, e planner.Entry) error {
	const op = "put entry"
	key := entryKey(household, e)
	before, err := t.place(op, household, e.ID)
	if err != nil {
		return err
	}
	if before != nil && !bytes.Equal(before, key) {
		if err := t.remove(op, bucketJournal, before); err != nil {
			return err
		}
	}
	return t.save(op, bucketJournal, key, e)
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
		err = damaged(op, "the index names an entry that is not there")
	}
	if err != nil {
		return e, err
	}
	return entryAt(op, household, key, data)
}

// entryAt decodes an entry and makes sure that it belongs where it was found.
func entryAt(op, household string, key, record []byte) (planner.Entry, error) {
	var e planner.Entry
	if err := store.Decode(op, record, &e); err != nil {
		return planner.Entry{}, err
	}
	if !bytes.Equal(entryKey(household, e), key) {
		return planner.Entry{}, damaged(op, "an entry is not where it belongs")
	}
	return e, nil
}

func (t *transaction) deleteEntry(household, id string) error {
	const op = "delete entry"
	key, err := t.place(op, household, id)
	if err != nil || key == nil {
		return err
	}
	return t.remove(op, bucketJournal, key)
}

// found is an entry that a query has come upon. It points into the file.
type found struct{ key, record, moment []byte }

// Entries reads the streams that are asked for, each no further than its
// limit, and puts them in one order.
func (t *transaction) Entries(household string, q store.EntryQuery) (out []planner.Entry, err error) {
	const op = "entries"
	err = t.in(op, bucketJournal, func(b bucket) error {
		all, err := b.entries(op, household, q)
		if err != nil {
			return err
		}
		slices.SortFunc(all, func(a, b found) int {
			if q.Newest {
				a, b = b, a
			}
			return bytes.Compare(a.moment, b.moment)
		})
		if q.Limit > 0 && len(all) > q.Limit {
			all = all[:q.Limit]
		}
		for _, f := range all {
			e, err := entryAt(op, household, f.key, f.record)
			if err != nil {
				return err
			}
			out = append(out, e)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// entries jumps from one stream of a household to the next.
func (b bucket) entries(op, household string, q store.EntryQuery) (all []found, err error) {
	c, begin := b.is.Cursor(), partKey(household)
	for k, _ := c.Seek(begin); bytes.HasPrefix(k, begin); {
		s, _, ok := streamOf(k)
		if !ok {
			return nil, damaged(op, "the key of an entry is cut short")
		}
		if (q.Dog == "" || q.Dog == s.dog) && (len(q.Kinds) == 0 || slices.Contains(q.Kinds, s.kind)) {
			more, err := b.stream(op, s, q)
			if err != nil {
				return nil, err
			}
			all = append(all, more...)
		}
		k, _ = c.Seek(s.end())
	}
	return all, nil
}

// stream reads the entries of a stream that a query asks for, as far as its
// limit.
func (b bucket) stream(op string, s stream, q store.EntryQuery) (all []found, err error) {
	begin, end := s.key(), s.end()
	from, to := begin, end
	if !q.From.IsZero() {
		from = store.AppendTimeKey(s.key(), q.From)
	}
	if !q.To.IsZero() {
		to = store.AppendTimeKey(s.key(), q.To)
	}
	c := b.is.Cursor()
	k, v := c.Seek(from)
	next := c.Next
	if q.Newest {
		k, v = before(c, to)
		next = c.Prev
	}
	for ; k != nil && bytes.Compare(k, from) >= 0 && bytes.Compare(k, to) < 0; k, v = next() {
		record, err := opened(op, k, v)
		if err != nil {
			return nil, err
		}
		all = append(all, found{key: k, record: record, moment: k[len(begin):]})
		if len(all) == q.Limit {
			break
		}
	}
	return all, nil
}

// before goes to the last key before another. It is for snapshots: the pages
// that a transaction has emptied stay until it is committed, and there bbolt's
// Prev says that there is nothing before, and its Last does not end.
func before(c *bbolt.Cursor, key []byte) (k, value []byte) {
	if at, _ := c.Seek(key); at == nil {
		return c.Last()
	}
	return c.Prev()
}
