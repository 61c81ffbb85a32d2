package alarm

import (
	"testing"

	"bowlwright/bot/read/span"
)

// TestSettledIsNoAlarm hears that all is well, and never where it is not.
func TestSettledIsNoAlarm(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{Name: "Tilda", ID: "d1"}, {Name: "Rex", ID: "rex"}}}
	for text, want := range map[string]bool{
		"Tilda is loads better, jumping aboot":           true,
		"Rex got Tilda's bowl by mistake":                true,
		"they didnt eat any onion, it is in my pot":      true,
		"Tilda had grapes? naw it wis blueberries":       true,
		"vet said just watch him":                        true,
		"Tilda isn't back to normal":                     false,
		"Tilda was much better, but now she just stares": false,
		"is she looking better?":                         false,
		"Rex got Tilda's tablet by mistake":              false,
		"Tilda is much better but vomiting blood":        false,
	} {
		if got := In(text, names).Denied; got != want {
			t.Errorf("%q: all is well %v, want %v", text, got, want)
		}
	}
}
