package telegram

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strconv"
)

var (
	startOfResult = regexp.MustCompile(`^\s*\{\s*"ok"\s*:\s*true\s*,\s*"result"\s*:\s*\[`)
	updateID      = regexp.MustCompile(`"update_id"\s*:\s*(-?\d{1,19})`)
)

// salvage reads the updates of an answer of which a part is no JSON. Those
// that cannot be read are lost; next leads past them, since they would come
// again for ever.
func salvage(body []byte, offset int64) (got []received, next int64, lost int) {
	next = offset
	begin := startOfResult.FindIndex(body)
	if begin == nil {
		return nil, offset, 0
	}
	from := begin[1] // what lies between here and the next update that can be read is lost
	for at := from; ; {
		open := bytes.IndexByte(body[at:], '{')
		if open < 0 {
			break
		}
		at += open
		var raw json.RawMessage
		d := json.NewDecoder(bytes.NewReader(body[at:]))
		if d.Decode(&raw) != nil {
			at++
			continue
		}
		if id, ok := idOf(raw); ok {
			n, past := lostIn(body[from:at])
			lost, next = lost+n, max(next, past, id+1)
			got = append(got, received{id: id, body: raw})
			at += int(d.InputOffset())
			from = at
			continue
		}
		at++
	}
	n, past := lostIn(body[from:])
	return got, max(next, past), lost + n
}

// lostIn counts the updates in what could not be read, and returns the offset
// that leads past them.
func lostIn(body []byte) (n int, past int64) {
	for _, m := range updateID.FindAllSubmatch(body, -1) {
		if id, err := strconv.ParseInt(string(m[1]), 10, 64); err == nil {
			n, past = n+1, max(past, id+1)
		}
	}
	return n, past
}
