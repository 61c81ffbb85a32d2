package bot

import (
	"strings"
	"testing"
)

// TestUnknownIsShort adds a recipe of a food that the household knows from its
// label alone: of all that is not known a few are named, iodine among them, and
// the rest is a tap away.
func TestUnknownIsShort(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	k.say("/food add Quayside mince: 180 kcal, 18 g protein, 11 g fat, 70 g water per 100 g")
	k.say("muscle meat")
	k.say("recipe Mince\n500 g Quayside mince")
	rs := k.say("save")
	got := textOf(rs)
	if !strings.Contains(got, "Not known for any ingredient: iodine, calcium, vitamin D,") || !strings.Contains(got, " more.") || strings.Contains(got, "leucine") {
		t.Fatalf("told: %s", got)
	}
	all := textOf(k.send(k.event("", labelled(t, rs, "All that is not known"))))
	for _, name := range []string{"iodine", "selenium", "leucine", "folate", "DHA"} {
		if !strings.Contains(all, name) {
			t.Errorf("%s is not among all: %s", name, all)
		}
	}
}
