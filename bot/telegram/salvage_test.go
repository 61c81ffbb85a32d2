package telegram

import (
	"fmt"
	"testing"
)

// TestSalvage reads what stands round what is no JSON. An id in brackets is
// of an update that cannot be read.
func TestSalvage(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ body, want string }{
		{`{"ok":true,"result":[{"a":{"b":1},"update_id":3},{"update_id":4,"message":{"text":"never closed",{"update_id":5,,},{"update_id":6},{"update_id":7,"x":{"y":[]}}]}`,
			"3 (4) (5) 6 7 "},
		{`{"ok":true,"result":[{"update_id":9,"message":{"text":"}`, "(9) "},
		{`{"ok":true,"result":[{"update_id":9},{"upd`, "9 (0) "},
		{`{"ok":true,"result":[{"update_id":9}, wombat, {"update_id":11}`, "9 (0) 11 "},
		{`{"ok":true,"result":[{"update_id":9,"message":{"text":"\"update_id\":99"},,}]}`, "(9) "},
		{`<html>`, ""}, {``, ""}, {`{"ok":false,"error_code":500`, ""}, {`{"ok":true,"result":[`, ""},
	} {
		got := ""
		for _, r := range salvage([]byte(c.body)) {
			if r.read() == nil {
				got += fmt.Sprintf("(%d) ", r.id)
				continue
			}
			got += fmt.Sprintf("%d ", r.id)
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.body, got, c.want)
		}
	}
}
