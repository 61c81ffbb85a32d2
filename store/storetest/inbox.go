package storetest

import (
	"fmt"
	"math"
	"testing"

	"bowlwright/store"
)

// inbox checks that updates come back in the order of their ids, once each.
func inbox(t *testing.T, s store.Store) {
	want := func(after int64, limit int, want ...store.Update) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) {
			is(t, fmt.Sprintf("updates after %d up to %d", after, limit), want)(tx.Updates(after, limit))
		})
	}
	want(math.MinInt64, 10)
	u := func(id int64, body string) store.Update {
		return store.Update{ID: id, Chat: "chat " + body, Body: []byte(body)}
	}
	put := func(id int64, body string) store.Write { return store.PutUpdate(u(id, body)) }
	must(t, commit(s, put(300, "c"), put(2, "first"), put(-1, "a"), put(2, "b")))
	want(math.MinInt64, 10, u(-1, "a"), u(2, "b"), u(300, "c"))
	want(-1, 1, u(2, "b"))
	want(2, 10, u(300, "c"))
	want(299, 10, u(300, "c"))
	want(300, 10)
	want(-1, 0)
	must(t, commit(s, store.DeleteUpdate(2), store.DeleteUpdate(7)))
	want(math.MinInt64, 10, u(-1, "a"), u(300, "c"))
}
