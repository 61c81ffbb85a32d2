package storetest

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

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
	wantSame(t, "the order", named(t, func(m store.Outgoing) string { return m.Event })(all, nil), "e1", "e3", "e0", "e2")
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

// pendingChats reads the chats page by page, and checks that each comes once
// with the number of its oldest message.
func pendingChats(t *testing.T, s store.Store) {
	names := []string{"phone/2", "phone/1", "phone/10", "phone/1\x00", "phone/" + strings.Repeat("9", 300), "terminal/Ines", "phone/", "phone"}
	want, sent := map[string]uint64{}, []store.Write{}
	for range 2 {
		for _, m := range enqueue(t, s, names...) {
			if strings.HasPrefix(m.Chat, "phone/") && want[m.Chat] == 0 {
				want[m.Chat] = m.Number
			}
		}
	}
	wantChats(t, s, want)
	// The first message of a chat goes, then all of another.
	view(t, s, func(tx store.Snapshot) {
		first, err := tx.Pending("phone/2", 2)
		must(t, err)
		want["phone/2"] = first[1].Number
		gone, err := tx.Pending("phone/10", 10)
		must(t, err)
		delete(want, "phone/10")
		sent = []store.Write{store.Delivered(first[0].Number), store.Delivered(gone[0].Number), store.Delivered(gone[1].Number)}
	})
	must(t, commit(s, sent...))
	wantChats(t, s, want)
}

func wantChats(t *testing.T, s store.Store, want map[string]uint64) {
	t.Helper()
	for _, page := range []int{1, 2, 3, 100} {
		view(t, s, func(tx store.Snapshot) {
			got := map[string]uint64{}
			all, err := allPending(tx, "phone/", page)
			for _, c := range all {
				if _, twice := got[c.Chat]; twice {
					t.Errorf("%q comes twice in pages of %d", c.Chat, page)
				}
				got[c.Chat] = c.Oldest
			}
			is(t, fmt.Sprintf("in pages of %d", page), want)(got, err)
		})
	}
}

func blocked(t *testing.T, s store.Store) {
	want := func(chat string, since time.Time) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) { is(t, chat+" is blocked", since)(tx.Blocked(chat)) })
	}
	want("a", time.Time{})
	must(t, commit(s, store.PutBlocked{Chat: "a", Since: time.Time{}}, store.PutBlocked{Chat: "a", Since: morning},
		store.PutBlocked{Chat: "b", Since: morning}, store.PutBlocked{Chat: "a", Since: morning.Add(time.Hour)}))
	want("a", morning.Add(time.Hour))
	want("b", morning)
	want("ab", time.Time{})
	must(t, commit(s, store.PutBlocked{Chat: "a", Since: time.Time{}}))
	want("a", time.Time{})
	want("b", morning)
}

// sizes counts what waits for a chat that refuses it apart.
func sizes(t *testing.T, s store.Store) {
	want := func(want store.Sizes) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) {
			got, err := tx.Sizes()
			got.Bytes = 0
			is(t, "sizes", want)(got, err)
		})
	}
	want(store.Sizes{})
	writes := []store.Write{store.PutBlocked{Chat: "a", Since: morning}, store.PutBlocked{Chat: "gone", Since: morning},
		store.PutHousehold{Household: Quayside()}, store.PutUpdate{ID: 4, Chat: "b", Body: []byte("{}")},
		store.PutDead{Message: message("a", 9), Reason: "x", At: morning}}
	for i, chat := range []string{"a", "a", "ab", "b"} {
		m := message(chat, i)
		m.At = morning.Add(time.Duration(i) * time.Hour)
		writes = append(writes, store.Enqueue(m))
	}
	must(t, commit(s, writes...))
	want(store.Sizes{Households: 1, Inbox: 1, Dead: 1, Outbox: 2, Refused: 2, Oldest: morning.Add(2 * time.Hour)})
	must(t, commit(s, store.PutBlocked{Chat: "ab", Since: morning}, store.PutBlocked{Chat: "b", Since: morning}))
	want(store.Sizes{Households: 1, Inbox: 1, Dead: 1, Refused: 4})
	must(t, commit(s, store.PutBlocked{Chat: "a"}))
	want(store.Sizes{Households: 1, Inbox: 1, Dead: 1, Outbox: 2, Refused: 2, Oldest: morning})
}

// dead puts letters in another order than that of their numbers.
func dead(t *testing.T, s store.Store) {
	letter := func(n int, reason string) store.Dead {
		m := message("a", n)
		m.Number = uint64(n)
		return store.Dead{Message: m, Reason: reason, At: morning}
	}
	want := func(limit int, want ...store.Dead) {
		t.Helper()
		view(t, s, func(tx store.Snapshot) { is(t, fmt.Sprintf("dead up to %d", limit), want)(tx.Dead(limit)) })
	}
	want(10)
	must(t, commit(s, store.DeleteDead(7), store.PutDead(letter(300, "x")), store.PutDead(letter(2, "y")), store.PutDead(letter(300, "chat not found"))))
	want(10, letter(2, "y"), letter(300, "chat not found"))
	want(1, letter(2, "y"))
	want(0)
	must(t, commit(s, store.DeleteDead(2)))
	want(10, letter(300, "chat not found"))
}
