package storetest

import (
	"bytes"
	"cmp"
	"maps"
	"math"
	"reflect"
	"slices"
	"testing"

	"bowlwright/store"
)

func (t *memoryTx) PutUpdate(u store.Update) error {
	err := t.writes("put update")
	if err == nil {
		t.inbox[u.ID] = append([]byte{}, u.Body...)
	}
	return err
}

func (t *memoryTx) Updates(after int64, limit int) (out []store.Update, err error) {
	for _, id := range slices.Sorted(maps.Keys(t.inbox)) {
		if len(out) < limit && id > after {
			out = append(out, store.Update{ID: id, Body: bytes.Clone(t.inbox[id])})
		}
	}
	return out, t.reads("updates")
}

func (t *memoryTx) DeleteUpdate(id int64) error {
	err := t.writes("delete update")
	if err == nil {
		delete(t.inbox, id)
	}
	return err
}

// inbox checks that updates come back in the order of their ids, once each.
func inbox(t *testing.T, s store.Store) {
	want := func(after int64, limit int, want ...store.Update) {
		t.Helper()
		view(t, s, func(tx store.Tx) error {
			got, err := tx.Updates(after, limit)
			if !reflect.DeepEqual(got, want) {
				t.Errorf("updates after %d up to %d: %v, want %v", after, limit, got, want)
			}
			return err
		})
	}
	want(math.MinInt64, 10)
	put := func(id int64, body string) store.Update { return store.Update{ID: id, Body: []byte(body)} }
	update(t, s, func(tx store.Tx) error {
		return cmp.Or(tx.PutUpdate(put(300, "c")), tx.PutUpdate(put(2, "first")), tx.PutUpdate(put(-1, "a")), tx.PutUpdate(put(2, "b")))
	})
	want(math.MinInt64, 10, put(-1, "a"), put(2, "b"), put(300, "c"))
	want(-1, 1, put(2, "b"))
	want(2, 10, put(300, "c"))
	want(299, 10, put(300, "c"))
	want(300, 10)
	want(-1, 0)
	update(t, s, func(tx store.Tx) error { return cmp.Or(tx.DeleteUpdate(2), tx.DeleteUpdate(7)) })
	want(math.MinInt64, 10, put(-1, "a"), put(300, "c"))
}
