package alarm

import (
	"os"
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/read/span"
)

// TestAlarmWordings reads messages, each of which must be heard at its level
// and for its reason.
func TestAlarmWordings(t *testing.T) {
	data, err := os.ReadFile("testdata/alarms.txt")
	if err != nil {
		t.Fatal(err)
	}
	levels := map[string]Level{"not": Watch, "today": VetToday, "now": VetNow}
	for line := range strings.Lines(string(data)) {
		f := strings.SplitN(strings.TrimSpace(line), " | ", 3)
		if len(f) < 3 || strings.HasPrefix(line, "#") {
			continue
		}
		a := In(f[2], span.Names{Dogs: []span.Named{{Name: "Tilda", ID: "d1"}}})
		switch {
		case a.Cry:
			a.Level, a.Eaten = VetNow, nil
		case a.Eaten == nil && a.Alone != nil:
			a.Level, a.Eaten = VetNow, a.Alone
		}
		key := "-"
		if a.Eaten != nil {
			key = a.Eaten.Key
		}
		if level := levels[f[0]]; f[0] == "not" && a.Level > level || f[0] != "not" && a.Level != level {
			t.Errorf("%q: level %d by line %d, want %s", f[2], a.Level, a.by, f[0])
		}
		if key != f[1] {
			t.Errorf("%q: eaten %s, want %s", f[2], key, f[1])
		}
	}
}

// TestWhoseAlarm finds the dog whose sign it is among those that are named.
func TestWhoseAlarm(t *testing.T) {
	names := span.Names{Dogs: []span.Named{{Name: "Rex", ID: "rex"}, {Name: "Uma", ID: "uma"}}}
	for text, want := range map[string]string{
		"Rex is fine but Uma swallowed a bottle cap":     "uma",
		"fed Rex, and Uma is collapsed":                  "uma",
		"Uma's tummy is bloated, how much for Rex?":      "uma",
		"Rex and Uma are vomiting again and again":       "rex uma",
		"Rex ate a sock, Uma too":                        "rex uma",
		"Rex ate a sock and Uma is fine":                 "rex",
		"Rex had her breakfast and Uma threw up a bit":   "uma",
		"Rex is bleeding everywhere. Uma cannot breathe": "rex uma",
	} {
		got := In(text, names).Dogs
		slices.Sort(got)
		if strings.Join(got, " ") != want {
			t.Errorf("%q: of %v, want %s", text, got, want)
		}
	}
}
