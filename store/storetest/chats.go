package storetest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/store"
)

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
