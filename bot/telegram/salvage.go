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
// that cannot be read are in their places, by their ids as far as these can
// be told.
func salvage(body []byte) (all []received) {
	begin := startOfResult.FindIndex(body)
	if begin == nil {
		return nil
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
			all = append(append(all, lostIn(body[from:at])...), received{id: id, body: raw})
			at += int(d.InputOffset())
			from = at
			continue
		}
		at++
	}
	return append(all, lostIn(body[from:])...)
}

// lostIn are the updates in what could not be read; one without an id where
// there is something, but no id in it.
func lostIn(body []byte) (lost []received) {
	for _, m := range updateID.FindAllSubmatch(body, -1) {
		if id, err := strconv.ParseInt(string(m[1]), 10, 64); err == nil {
			lost = append(lost, received{id: id})
		}
	}
	if lost == nil && len(bytes.Trim(body, ", \t\r\n]}")) > 0 {
		lost = []received{{}}
	}
	return lost
}
