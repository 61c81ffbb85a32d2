package telegram

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strconv"
)

var (
	startOfUpdate = regexp.MustCompile(`\{\s*"update_id"\s*:\s*(-?\d+)`)
	okOfAnswer    = regexp.MustCompile(`^\s*\{\s*"ok"\s*:\s*true\s*,`)
)

// salvage reads the updates of an answer of which a part is no JSON: each
// update is looked for where it begins. Those that cannot be read are lost;
// next leads past them, since they would come again for ever.
func salvage(body []byte, offset int64) (got []received, next int64, lost int) {
	next = offset
	if !okOfAnswer.Match(body) {
		return nil, offset, 0
	}
	for at := 0; at < len(body); {
		m := startOfUpdate.FindSubmatchIndex(body[at:])
		if m == nil {
			break
		}
		begin := at + m[0]
		id, err := strconv.ParseInt(string(body[at+m[2]:at+m[3]]), 10, 64)
		var raw json.RawMessage
		d := json.NewDecoder(bytes.NewReader(body[begin:]))
		switch {
		case err != nil:
			at = begin + 1
			continue
		case d.Decode(&raw) == nil:
			got = append(got, received{id, raw})
			at = begin + int(d.InputOffset())
		default:
			lost++
			at = begin + 1
		}
		next = max(next, id+1)
	}
	return got, next, lost
}
