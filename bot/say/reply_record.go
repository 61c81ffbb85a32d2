package say

import (
	"encoding/json"
	"fmt"
)

// EncodeReply writes a reply as DecodeReply reads it, with one piece of advice to
// see a vet at most. Bytes of a text that are no UTF-8 become U+FFFD.
func EncodeReply(r Reply) []byte {
	OneVet(&r)
	b, err := json.Marshal(r)
	if err != nil {
		panic(err) // a reply has nothing that JSON has not
	}
	return b
}

// DecodeReply reads what EncodeReply wrote. An error says that it is something else, or
// not whole.
func DecodeReply(record []byte) (r Reply, err error) {
	if err := json.Unmarshal(record, &r); err != nil {
		return Reply{}, fmt.Errorf("bot: decode reply: %w", err)
	}
	return r, nil
}
