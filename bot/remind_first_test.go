package bot

import (
	"strings"
	"testing"
)

// TestFirstReminderNamesTheClock sets reminders before any place is known:
// the first says whose clock it goes by, and a city typed alone is taken.
func TestFirstReminderNamesTheClock(t *testing.T) {
	k := reminding(t)
	const note = "Times are UTC"
	if got := textOf(k.say("remind me vet on Friday 10:00")); !strings.Contains(got, note) {
		t.Errorf("first: %s", got)
	}
	if got := textOf(k.say("remind me to call Tomas tomorrow at 9")); strings.Contains(got, note) {
		t.Errorf("said again: %s", got)
	}
	for _, place := range []string{"Oslo", "Europe/Lisbon"} {
		k.say(place)
		if got := k.house().Zone; !strings.HasSuffix(place, got) && !strings.HasSuffix(got, place) {
			t.Errorf("%q sets %s", place, got)
		}
	}
	k.say("Berlin")
	if got := k.house().Zone; got != "Europe/Lisbon" {
		t.Errorf("a city by chance moves the clock to %s", got)
	}
}

// TestPoisonousMedicineIsNamed asks to be reminded of pain relievers for
// people: the reminder says that they poison dogs; others go by the vet.
func TestPoisonousMedicineIsNamed(t *testing.T) {
	k := reminding(t)
	for text, want := range map[string]string{
		"remind me to give Juniper ibuprofen 200 mg every day": "Ibuprofen can poison a dog",
		"remind me to give Juniper half a paracetamol daily":   "Paracetamol can poison a dog",
		"remind me to give Juniper her drops every day":        "as your vet says",
	} {
		if got := textOf(k.say(text)); !strings.Contains(got, want) {
			t.Errorf("%s: %s", text, got)
		}
	}
}
