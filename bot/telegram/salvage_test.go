package telegram

import "testing"

// TestSalvage reads what stands round what is no JSON.
func TestSalvage(t *testing.T) {
	body := `{"ok":true,"result":[{"a":{"b":1},"update_id":3},{"update_id":4,"message":{"text":"never closed",{"update_id":5,,},{"update_id":6},{"update_id":7,"x":{"y":[]}}]}`
	got, next, lost := salvage([]byte(body), 3)
	var ids []int64
	for _, u := range got {
		ids = append(ids, u.id)
	}
	if len(ids) != 3 || ids[0] != 3 || ids[1] != 6 || ids[2] != 7 || next != 8 || lost != 2 {
		t.Errorf("ids %v, next %d, lost %d", ids, next, lost)
	}
	if got, next, lost := salvage([]byte(`{"ok":true,"result":[{"update_id":9,"message":{"text":"}`), 3); len(got) > 0 || next != 10 || lost != 1 {
		t.Errorf("one alone: %v, %d, %d", got, next, lost)
	}
	for _, page := range []string{"<html>", "", `{"ok":false,"error_code":500`, `{"ok":true,"result":[`} {
		if got, next, lost := salvage([]byte(page), 3); len(got) > 0 || next != 3 || lost != 0 {
			t.Errorf("%q: %v, %d, %d", page, got, next, lost)
		}
	}
}
