package storetest

import (
	"fmt"
	"reflect"
	"testing"

	"bowlwright/store"
)

// message returns the n-th message to a chat, every other to a topic of it.
func message(chat string, n int) store.Outgoing {
	return store.Outgoing{Chat: chat, Topic: []string{"", "7"}[n%2], Event: fmt.Sprint("e", n), At: morning, Expires: morning.AddDate(0, 0, 1), Body: fmt.Appendf(nil, `{"n":%d}`, n)}
}

// enqueue puts messages to chats in order, in one commit, and returns them with
// their numbers.
func enqueue(t *testing.T, s store.Store, chats ...string) (out []store.Outgoing) {
	t.Helper()
	var ws []store.Write
	for n, c := range chats {
		ws = append(ws, store.Enqueue(message(c, n)))
	}
	must(t, commit(s, ws...))
	out = pending(t, s, "", 1000)
	out = out[len(out)-len(chats):]
	for n, m := range out {
		want := message(chats[n], n)
		if want.Number = m.Number; !reflect.DeepEqual(m, want) {
			t.Fatalf("message %d is %+v, want %+v", n, m, want)
		}
	}
	return out
}

func pending(t *testing.T, s store.Store, chat string, limit int) (out []store.Outgoing) {
	t.Helper()
	view(t, s, func(tx store.Snapshot) {
		var err error
		out, err = tx.Pending(chat, limit)
		must(t, err)
	})
	return out
}

func wantPending(t *testing.T, s store.Store, chat string, limit int, want ...store.Outgoing) {
	t.Helper()
	is(t, fmt.Sprintf("pending of %q up to %d", chat, limit), want)(pending(t, s, chat, limit), nil)
}

func outbox(t *testing.T, s store.Store) {
	wantPending(t, s, "", 10)
	ms := enqueue(t, s, "a", "b", "a")
	for n := 1; n < len(ms); n++ {
		if ms[n].Number <= ms[n-1].Number {
			t.Errorf("numbers do not rise: %d after %d", ms[n].Number, ms[n-1].Number)
		}
	}
	wantPending(t, s, "", 10, ms...)
	wantPending(t, s, "", 2, ms[:2]...)
	wantPending(t, s, "", 0)
	wantPending(t, s, "", -1)
	must(t, commit(s, store.Delivered(ms[1].Number)))
	wantPending(t, s, "", 10, ms[0], ms[2])
	// A delivery that is reported twice, and one of what was never sent.
	must(t, commit(s, store.Delivered(ms[1].Number)))
	must(t, commit(s, store.Delivered(1<<40)))
	wantPending(t, s, "", 10, ms[0], ms[2])
}

func outboxOfChat(t *testing.T, s store.Store) {
	ms := enqueue(t, s, "a", "ab", "a", "b", "a")
	wantPending(t, s, "a", 10, ms[0], ms[2], ms[4])
	wantPending(t, s, "a", 2, ms[0], ms[2])
	wantPending(t, s, "ab", 10, ms[1])
	wantPending(t, s, "c", 10)
	wantOldest(t, s, "a", ms[0].Number)
	wantOldest(t, s, "ab", ms[1].Number)
	wantOldest(t, s, "c", 0)
	wantPending(t, s, "a", 0)
	must(t, commit(s, store.Delivered(ms[0].Number)))
	wantPending(t, s, "a", 10, ms[2], ms[4])
	wantPending(t, s, "b", 10, ms[3])
	wantOldest(t, s, "a", ms[2].Number)
}

func wantOldest(t *testing.T, s store.Store, chat string, want uint64) {
	t.Helper()
	view(t, s, func(tx store.Snapshot) { is(t, "oldest of "+chat, want)(store.Oldest(tx, chat)) })
}

// outboxBehind puts what may wait before what may not.
func outboxBehind(t *testing.T, s store.Store) {
	for i, behind := range []bool{true, false, true, false} {
		m := message("a", i)
		m.Behind = behind
		must(t, commit(s, store.Enqueue(m)))
	}
	all := pending(t, s, "", 10)
	var order []string
	for _, m := range all {
		order = append(order, m.Event)
	}
	is(t, "the order", []string{"e1", "e3", "e0", "e2"})(order, nil)
	wantPending(t, s, "a", 10, all...)
}

// numbers checks that the number of a message that is gone is not given
// again, nor one that the caller asks for.
func numbers(t *testing.T, s store.Store) {
	last := uint64(0)
	for range 5 {
		must(t, commit(s, store.Enqueue{Number: 1, Chat: "a"}))
		ms := pending(t, s, "", 10)
		if len(ms) != 1 || ms[0].Number <= last {
			t.Fatalf("%+v after number %d", ms, last)
		}
		last = ms[0].Number
		must(t, commit(s, store.Delivered(last)))
	}
	wantPending(t, s, "", 10)
}
