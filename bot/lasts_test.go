package bot

import (
	"strings"
	"testing"
)

// TestLasts asks for how long an amount is enough, against the day's bowl that
// is told for the same dog.
func TestLasts(t *testing.T) {
	k := rotating(t)
	bowl := textOf(k.say("how much for Juniper?"))
	if !strings.HasPrefix(bowl, "840 g a day") {
		t.Fatalf("the bowl: %s", bowl)
	}
	// 3000 g by 840 g a day are 3.6 days.
	if got := textOf(k.say("how long will 3 kg of turkey and heart last for Juniper?")); !strings.HasPrefix(got, "3.6 days: 3000 g of Turkey and heart for Juniper.\n840 g a day") {
		t.Errorf("for one: %s", got)
	}
	if got := textOf(k.say("I made 3 kg of turkey and heart")); !strings.Contains(got, "for Juniper, Bracken and Pip") {
		t.Errorf("for all: %s", got)
	}
	if got := textOf(k.say("how long does it keep in the fridge?")); !strings.HasPrefix(got, "Thawed raw meat, fish, organs and raw mixes: 1 day") {
		t.Errorf("keeps: %s", got)
	}
	if got := textOf(k.say("how much less should he get")); strings.HasPrefix(got, "turkey thigh, boneless") {
		t.Errorf("less is no food: %s", got)
	}
}
