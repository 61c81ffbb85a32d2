package bot

import (
	"strings"
	"testing"
)

// TestWhatIsMissing presses the button under a bowl of a failing recipe.
func TestWhatIsMissing(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	k.say("recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	got := k.say("how much for Juniper?")
	if !strings.Contains(textOf(got), "Far too little calcium and vitamin E to feed every day. No source of iodine in it.") {
		t.Fatal(textOf(got))
	}
	if got := textOf(k.press(got, "What is missing")); !strings.Contains(got, "Low: calcium") {
		t.Error(got)
	}
}
