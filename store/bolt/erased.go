package bolt

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"bowlwright/store"
)

// erasures are the marks that tell what was erased from a store.
func (s *Store) erasures() (out []store.Write, err error) {
	const op = "erasures"
	err = s.view(op, func(t *transaction) error {
		return t.in(op, bucketSeen, func(b bucket) error {
			return b.is.ForEach(func(k, v []byte) error {
				at, err := opened(op, k, v)
				if err == nil && store.IsErasedMark(string(k)) {
					out = append(out, store.MarkSeen{Event: string(k), At: store.TimeOf(at)})
				}
				return err
			})
		})
	})
	return out, err
}

// eraseAgain erases what the marks of another state of the store tell of that
// was not erased here before, and takes them over. It reports how many
// households and persons that were.
func (t *transaction) eraseAgain(marks []store.Write) (n int, err error) {
	fresh := map[string]bool{}
	for _, w := range marks {
		m := w.(store.MarkSeen)
		before, err := t.get("erase", bucketSeen, []byte(m.Event))
		if store.OrNone(err) != nil {
			return 0, err
		}
		if !bytes.Equal(before, store.TimeKey(m.At)) {
			fresh[m.Event] = true
		}
		if err := t.write(m); err != nil {
			return 0, err
		}
	}
	if len(fresh) == 0 {
		return 0, nil
	}
	ids, err := t.keys("erase", bucketHouseholds, nil)
	if err != nil {
		return 0, err
	}
	now := time.Now()
	for _, id := range ids {
		more, err := t.eraseMarked(string(id), fresh, now)
		if err != nil {
			return 0, err
		}
		n += more
	}
	return n, nil
}

// eraseMarked erases a household, or those of its persons who are marked.
func (t *transaction) eraseMarked(id string, marked map[string]bool, now time.Time) (n int, err error) {
	if marked[store.ErasedMark(id, "")] {
		out, err := store.EraseHousehold(t, id, now)
		return 1, cmp.Or(err, t.writeAll(out))
	}
	h, err := t.Household(id)
	if err != nil {
		return 0, err
	}
	for _, c := range slices.Concat(h.Carers, h.Gone) {
		if !marked[store.ErasedMark(id, c.Person)] {
			continue
		}
		n++
		out, err := store.ErasePerson(t, id, c.Person, now)
		if err = cmp.Or(err, t.writeAll(out)); err != nil {
			return n, err
		}
	}
	return n, nil
}

func (t *transaction) writeAll(all []store.Write) error {
	for _, w := range all {
		if err := t.write(w); err != nil {
			return err
		}
	}
	return nil
}
