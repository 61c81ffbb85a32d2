package bot

import (
	"strings"
	"testing"
)

// TestEatsInWords has dogs eat another recipe from now on, by a sentence and
// by the button under a bowl.
func TestEatsInWords(t *testing.T) {
	k := rotating(t)
	eats := func(dog int) string {
		h := k.home()
		for _, r := range h.Recipes {
			if r.ID == h.Dogs[dog].Recipe {
				return r.Name
			}
		}
		return ""
	}
	if got := textOf(k.say("Juniper eats lamb and mackerel")); eats(0) != "Lamb and mackerel" || !strings.Contains(got, `"switch Juniper to Lamb and mackerel"`) {
		t.Errorf("a sentence: eats %s; %s", eats(0), got)
	}
	k.say("undo")
	if eats(0) != "Turkey and heart" {
		t.Errorf("taken back: eats %s", eats(0))
	}
	rs := k.say("how much lamb and mackerel for Bracken?")
	k.send(k.event("", labelled(t, rs, "Eats this from now on")))
	if eats(1) != "Lamb and mackerel" || eats(2) != "Turkey and heart" {
		t.Errorf("a button: Bracken eats %s, Pip %s", eats(1), eats(2))
	}
	if got := textOf(k.say("Bracken")); !strings.Contains(got, "Eats Lamb and mackerel.") {
		t.Errorf("shown: %s", got)
	}
	k.say("use lamb and mackerel for all dogs")
	if eats(0) != "Lamb and mackerel" || eats(2) != "Lamb and mackerel" {
		t.Errorf("all: %s, %s", eats(0), eats(2))
	}
	k.say("rotate Turkey 4, Lamb 3 for Pip from today")
	if got := textOf(k.say("Pip eats turkey and heart")); eats(2) != "Lamb and mackerel" || !strings.Contains(got, "follows a rotation") {
		t.Errorf("by a rotation: eats %s; %s", eats(2), got)
	}
}

// TestQuestionIsNoAnswer asks something where words are asked for: it becomes
// neither an old food nor a line.
func TestQuestionIsNoAnswer(t *testing.T) {
	k := rotating(t)
	k.say("switch Juniper to Lamb and mackerel")
	k.say("how do I change her collar")
	if got := textOf(k.say("kibble")); !strings.Contains(got, "100 g of the kibble") {
		t.Errorf("the old food: %s", got)
	}
	k.say("stop")
	k.say("recipe Mix")
	if got := textOf(k.say("how many cups is that")); !strings.Contains(got, "I didn't understand") {
		t.Errorf("a line: %s", got)
	}
	k.say("100 g snark")
	for _, text := range []string{"for how many days is it", "yes", "ok thanks"} {
		if got := textOf(k.say(text)); strings.Contains(got, "more line") {
			t.Errorf("%q became a line: %s", text, got)
		}
	}
	k.say("leave it out")
	k.say("200 g kale, cooked")
	if got := textOf(k.say("save")); !strings.Contains(got, "Mix is saved") {
		t.Errorf("kept: %s", got)
	}
}
