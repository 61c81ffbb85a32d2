package bot

import (
	"strings"
	"testing"
)

// TestCourtesies answers what asks nothing without a list of sentences.
func TestCourtesies(t *testing.T) {
	k := newKitchen(t)
	for text, want := range map[string]string{"good morning": "more to come", "thank you!": "You're welcome", "yes": "Yes or no to what", "who are you?": "I work out how much",
		"delete all my data": "Leave"} {
		if got := k.answers("Ines", text); !strings.Contains(got, want) {
			t.Errorf("%q:\n%s", text, got)
		}
		k.types("Ines", "stop")
	}
}
