package bot

import (
	"strings"
	"testing"
)

// TestManyDogs answers a sentence for each dog that it names, and leaves
// alone what only looks like one.
func TestManyDogs(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	k.say("dog Bracken 34.8 kg 8 years")
	k.say("dog Pip 6.4 kg 2 years")
	for text, want := range map[string]string{
		"how much for Juniper and Bracken?":     "Juniper Bracken",
		"how much for Pip, Bracken & Juniper":   "Pip Bracken Juniper",
		"how many kcal do Juniper and Pip need": "Juniper Pip",
		"how much for Juniper":                  "Juniper",
		"how much for a 12 kg dog and Pip":      "",
	} {
		var got []string
		for _, r := range k.say(text) {
			first := strings.Fields(r.Body[0].Text)
			for _, w := range first {
				if w = strings.Trim(w, ".,"); w == "Juniper" || w == "Bracken" || w == "Pip" {
					got = append(got, w)
					break
				}
			}
		}
		if s := strings.Join(got, " "); s != want && want != "" {
			t.Errorf("%q is answered for %q, want %q", text, s, want)
		}
	}
	for _, text := range []string{"feed Juniper and Pip at 8 and 18", "remind me to feed Juniper and Pip at 8 and 18"} {
		if got := k.say(text); !strings.HasPrefix(got[0].Body[0].Text, "Juniper and Pip are fed") {
			t.Errorf("%q: %q", text, got[0].Body[0].Text)
		}
	}
	if got := k.say("remind me to feed all dogs at 8"); !strings.HasPrefix(got[0].Body[0].Text, "Juniper, Bracken and Pip are fed") {
		t.Errorf("all dogs: %q", got[0].Body[0].Text)
	}
	if got := k.say("how many kcal in 1.200 g beef heart"); !strings.Contains(got[0].Body[0].Text, "thousands") {
		t.Errorf("a doubtful point: %q", got[0].Body[0].Text)
	}
	if got := k.say("how many kcal in 1.25 g beef heart"); strings.Contains(got[0].Body[0].Text, "thousands") {
		t.Errorf("a plain point: %q", got[0].Body[0].Text)
	}
}
