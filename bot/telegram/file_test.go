package telegram_test

import (
	"strings"
	"testing"
)

// TestFileBack sends the file of everything from another phone: it is taken in.
// Another file, one that is too large and one that cannot be had are refused.
func TestFileBack(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{})
	p.api.Say(ines, 0, "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	p.api.Say(ines, 0, "export everything")
	var data []byte
	p.waitFor("the file", func() bool {
		for _, m := range p.api.FromBot(ines.ID) {
			if m.Name == "document" {
				data = m.File
			}
		}
		return data != nil
	})
	said := func(what string) {
		t.Helper()
		p.waitFor(what, func() bool {
			all := p.replies(tomas.ID)
			return len(all) > 0 && strings.Contains(all[len(all)-1], what)
		})
	}
	for i, bad := range [][]byte{[]byte("hello"), make([]byte, 4<<20), {}} {
		p.api.SendFile(tomas, 0, "bad", bad)
		p.waitFor("a refusal", func() bool { return len(p.replies(tomas.ID)) == i+1 })
		said("I can only take in")
	}
	p.api.SendFile(tomas, 0, "back.zip", data)
	said("Taken in: 1 dog")
}
