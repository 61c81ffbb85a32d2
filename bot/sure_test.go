package bot

import (
	"strings"
	"testing"
)

// TestTypedYes types the answer to whether something is to be removed: a yes
// removes it, a no and anything else do not.
func TestTypedYes(t *testing.T) {
	k := rotating(t)
	k.say("remove Pip")
	k.say("no")
	k.say("yes") // the question is answered
	k.say("remove Pip")
	if got := textOf(k.say("how much for Juniper?")); !strings.Contains(got, "a day of Turkey and heart for Juniper") {
		t.Errorf("something else: %s", got)
	}
	k.say("yes")
	if n := len(k.home().Dogs); n != 3 {
		t.Fatalf("%d dogs after no, want 3", n)
	}
	k.say("remove Pip")
	if got := textOf(k.say("Yes!")); len(k.home().Dogs) != 2 || !strings.Contains(got, "Pip") {
		t.Errorf("%d dogs after yes: %s", len(k.home().Dogs), got)
	}
	k.say("recipe Mix")
	k.say("100 g kale, cooked")
	k.say("rotate Turkey 4, Lamb 3 for Juniper from today")
	k.say("stop the rotation")
	k.say("yes")
	if n := len(k.home().Rotations); n != 0 {
		t.Errorf("%d rotations after yes", n)
	}
	if got := textOf(k.say("resume")); !strings.Contains(got, "Mix: type or paste more lines") {
		t.Errorf("what was open before: %s", got)
	}
	k.say("stop")
	rs := k.say("remove the recipe Lamb and mackerel")
	k.send(k.event("", labelled(t, rs, "Keep")))
	k.say("yes")
	if n := len(k.home().Recipes); n != 2 {
		t.Errorf("%d recipes after a tap on Keep", n)
	}
}
