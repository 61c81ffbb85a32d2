package telegram

import (
	"encoding/json"
	"html"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"bowlwright/bot/say"
)

// FuzzUpdate reads any update: it never panics, its id survives, and an event
// has all that the assistant needs.
func FuzzUpdate(f *testing.F) {
	for _, s := range []string{
		`{"update_id":1,"message":{"message_id":2,"date":3,"chat":{"id":4,"type":"private"},"from":{"id":4,"first_name":"Ines"},"text":"@bowlwright_bot /dog","entities":[{"type":"mention","offset":0,"length":15}]}}`,
		`{"update_id":1,"message":{"chat":{"id":-4,"type":"group"},"from":{"id":4},"text":"\ud83d\udc15","entities":[{"type":"mention","offset":1,"length":9223372036854775807}]}}`,
		`{"update_id":1,"callback_query":{"id":"1","from":{"id":4},"message":{"message_id":5,"date":0,"chat":{"id":4}},"data":"a:b"}}`,
		`{"update_id":-1,"my_chat_member":{"chat":{"id":4},"new_chat_member":{"status":"kicked"}}}`,
	} {
		f.Add([]byte(s))
	}
	me := user{ID: 9, Username: "bowlwright_bot"}
	f.Fuzz(func(t *testing.T, body []byte) {
		u, err := decode(body)
		if err != nil {
			return
		}
		e, ok := u.event(me, time.Unix(1, 0))
		if !ok {
			return
		}
		if e.ID == "" || !strings.HasPrefix(e.Chat, Prefix) || !strings.HasPrefix(e.Person, Prefix) || e.Name == "" || e.At.IsZero() {
			t.Errorf("an event lacks something: %+v", e)
		}
		if e.Text != "" && e.Press != "" {
			t.Errorf("typed and pressed: %+v", e)
		}
		if id, ok := chatID(e.Chat); !ok || IsGroup(e.Chat) != (id < 0) {
			t.Errorf("chat %q", e.Chat)
		}
	})
}

// FuzzAnswer takes any answer to getUpdates apart: the offset never falls,
// leads past all that is taken, and stays before what is asked for again.
func FuzzAnswer(f *testing.F) {
	f.Add([]byte(`{"ok":true,"result":[{"update_id":5},{"update_id":6,,}]}`))
	f.Add([]byte(`{"ok":true,"result":[{"no":1},7]}`))
	f.Add([]byte(`{"ok":false,"error_code":429,"parameters":{"retry_after":3}}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		all, err := readAnswer(body)
		if err != nil && len(all) > 0 {
			t.Errorf("%d updates and %v", len(all), err)
		}
		var s sieve
		offset := int64(5)
		for range mostUnread {
			got, next, gaveUp, again := s.sift(all, offset)
			if next < offset || again && len(gaveUp) > 0 && len(all) == 1 {
				t.Errorf("next %d after %d, gave up %d, again %v", next, offset, len(gaveUp), again)
			}
			for _, u := range got {
				if !json.Valid(u.body) || u.id >= next {
					t.Errorf("update %d, next %d: %q", u.id, next, u.body)
				}
			}
			if len(all) > 0 && len(got) == 0 && len(gaveUp) == 0 && (!again || next != offset) {
				t.Errorf("nothing taken or given up: next %d after %d, again %v", next, offset, again)
			}
		}
	})
}

// FuzzRender sets any text: each message is within its limit, its markup is
// whole, and nothing but blanks at the ends is lost.
func FuzzRender(f *testing.F) {
	f.Add("a < b\n</pre> & \U0001f415", "  x   1 g\n  y  20 g", 20)
	f.Add(strings.Repeat("wombat ", 50), "", 11)
	f.Fuzz(func(t *testing.T, text, table string, limit int) {
		limit = 2 + max(limit, -limit)%5000
		if limit < 2 {
			return
		}
		out := renderBody([]say.Block{{Text: text}, {Text: table, Table: true}}, limit)
		var all strings.Builder
		for _, h := range out {
			if !utf8.ValidString(h) {
				t.Errorf("no UTF-8: %q", h)
			}
			if strings.Count(h, "<pre>") != strings.Count(h, "</pre>") || strings.Count(h, "<") != 2*strings.Count(h, "<pre>") {
				t.Errorf("markup is not whole: %q", h)
			}
			plain := html.UnescapeString(strings.NewReplacer("<pre>", "", "</pre>", "").Replace(h))
			if units(plain) > limit {
				t.Errorf("%d units, limit %d: %q", units(plain), limit, plain)
			}
			all.WriteString(plain)
		}
		want := say.Printable(text) + say.Printable(table)
		squeeze := func(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }
		if strings.TrimSpace(text) == "" {
			want = say.Printable(table)
		}
		if strings.TrimSpace(table) == "" {
			want = strings.TrimSuffix(want, say.Printable(table))
		}
		if squeeze(all.String()) != squeeze(want) {
			t.Errorf("%q became %q", want, all.String())
		}
	})
}
