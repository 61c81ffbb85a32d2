package schema8

import (
	"encoding/hex"
	"encoding/json"
	"errors"
	"testing"
)

// TestMessageBeforeTopics reads a message as it was written before a chat had
// topics.
func TestMessageBeforeTopics(t *testing.T) {
	before, err := hex.DecodeString("01ac021174656c656772616d2f2d313030343731310d74656c656772616d2f31303030" +
		"0f010000000ee137337800000011ffff0f010000000ee1374f9800000000ffff0d7b22626f6479223a6e756c6c7d")
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"number":300,"chat":"telegram/-1004711","event":"telegram/1000","at":"2026-03-02T07:30:00.000000017Z",` +
		`"expires":"2026-03-02T09:30:00Z","body":"eyJib2R5IjpudWxsfQ=="}`
	if got, err := translated("outbox", before); err != nil || string(got) != want {
		t.Errorf("it became %s, %v", got, err)
	}
	for n := range before {
		if n > 0 {
			if got, err := translated("outbox", before[:n]); !errors.Is(err, ErrDamaged) {
				t.Errorf("%x was taken for a message: %s", before[:n], got)
			}
		}
	}
}

// TestJSONStaysAsItIs has nothing to do for records that were JSON already, and
// for those that are neither.
func TestJSONStaysAsItIs(t *testing.T) {
	for bucket, record := range map[string]string{
		"households": `{"id":"quayside","rev":7}`, "outbox": `{"number":1}`, "adapters": "\x01notes", "inbox": "\x02", "members": "quayside",
	} {
		if got, err := translated(bucket, []byte(record)); err != nil || string(got) != record {
			t.Errorf("%s: %q, %v", bucket, got, err)
		}
	}
}

// TestRecordsCutShort takes no record of the fixtures that is cut short or too
// long.
func TestRecordsCutShort(t *testing.T) {
	w := readWritten(t)
	c := changes{values: map[string]map[string][]byte{}, counters: map[string]uint64{}, last: w.first - 1}
	if err := c.replay(segment{first: w.first, n: uint64(len(w.updates)), updates: w.updates}); err != nil {
		t.Fatal(err)
	}
	tried := map[string]int{}
	for bucket := range readers {
		for key, value := range c.values[bucket] {
			if value == nil || tried[bucket] > 3 {
				continue
			}
			record, err := sealed(bucket, []byte(key), value)
			if err != nil {
				t.Fatal(err)
			}
			if got, err := translated(bucket, record); err != nil || !json.Valid(got) {
				t.Errorf("%s: %q, %v", bucket, got, err)
			}
			if record[0] != plain && record[0] != topical {
				continue
			}
			tried[bucket]++
			for n := 1; n <= len(record); n++ {
				cut := record[:n:n]
				if n == len(record) {
					cut = append(cut, 0)
				}
				if _, err := translated(bucket, cut); !errors.Is(err, ErrDamaged) {
					t.Errorf("%s: %x was taken for a record", bucket, cut)
				}
			}
		}
	}
	if len(tried) != len(readers) {
		t.Errorf("only %v were tried", tried)
	}
}
