package bot

import (
	"strings"
	"testing"
)

// TestSickNamesTheVet tells of signs that are for a vet: the vet is named, and
// nothing is entered.
func TestSickNamesTheVet(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 40)
	for _, text := range []string{"Juniper vomited", "Juniper won't eat", "Juniper has diarrhoea", "there is blood in her stool"} {
		got := k.answers("Ines", text)
		if !strings.Contains(got, "See a vet: today if there is blood, vomiting, or Juniper will not eat or drink") || !strings.Contains(got, "[Skip the meal at 07:30]") {
			t.Errorf("%q:\n%s", text, got)
		}
	}
	if n := len(k.journal()); n != 0 {
		t.Errorf("%d entries", n)
	}
	if got := k.answers("Ines", "Bracken has kidney disease"); !strings.Contains(got, "Health notes: kidney disease") {
		t.Errorf("an illness is kept:\n%s", got)
	}
}

// TestCourtesies answers what asks nothing without a list of sentences.
func TestCourtesies(t *testing.T) {
	k := newKitchen(t)
	for text, want := range map[string]string{"good morning": "more to come", "thank you!": "Glad to", "yes": "cannot place a bare yes", "who are you?": "I work out how much",
		"delete all my data": "Leave", "start over": "I did not understand"} {
		if got := k.answers("Ines", text); !strings.Contains(got, want) {
			t.Errorf("%q:\n%s", text, got)
		}
		k.types("Ines", "stop")
	}
}
