package bot

import (
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/say"
	"bowlwright/planner"
)

// press presses the button with a label of the last replies.
func (k *talker) press(replies []say.Reply, label string) []say.Reply {
	k.t.Helper()
	for _, b := range textButtons(replies) {
		if b.Label == label {
			return k.send(k.event("", b.Data))
		}
	}
	k.t.Fatalf("no button %q in %q", label, textOf(replies))
	return nil
}

// TestOpenLineIsKept types a further line and a question while a line is
// open: neither takes its place.
func TestOpenLineIsKept(t *testing.T) {
	k := newTalker(t)
	k.say("recipe Mix\n500 g turkey thigh, no skin\n250 g chicken neck")
	k.say("100 g carrots")
	last := k.say("can dogs eat onion powder?")
	got := textOf(k.press(last, "chicken neck, no skin, bone-in"))
	for _, want := range []string{"250 g chicken neck, no skin, bone-in", "carrot", "Mix is saved"} {
		if !strings.Contains(got, want) {
			t.Errorf("lacks %q:\n%s", want, got)
		}
	}
}

// TestSecondDialogueParksTheFirst begins a recipe while another is open and
// goes back to it.
func TestSecondDialogueParksTheFirst(t *testing.T) {
	k := newTalker(t)
	k.say("recipe First\n500 g turkey thigh\n250 g chicken neck")
	second := k.say("/recipe Second")
	if got := textOf(k.press(second, "Go on with what was unfinished")); !strings.Contains(got, "500 g turkey thigh") || !strings.Contains(got, "250 g chicken neck") {
		t.Errorf("came back as %q", got)
	}
}

// TestUndoKeepsWhatIsBeingTyped leaves a recipe that is open,
// and mends an open line that is not the first.
func TestUndoKeepsWhatIsBeingTyped(t *testing.T) {
	k := newTalker(t)
	k.say("dog Pip 6.4 kg")
	k.say("recipe First\n500 g turkey thigh\n250 g chicken neck\n-5 g kale")
	if got := textOf(k.say("kale 40 g")); strings.Contains(got, "-5 g kale") {
		t.Errorf("the mended line is still open: %q", got)
	}
	got := textOf(k.press(k.say("/undo"), "Go on with it"))
	if !strings.Contains(got, "500 g turkey thigh") || !strings.Contains(got, "40 g kale") {
		t.Errorf("came back as %q", got)
	}
}

// TestLinesOneByOne types a recipe one line a message.
func TestLinesOneByOne(t *testing.T) {
	k := newTalker(t)
	for _, s := range []string{"recipe Five", "500 g turkey thigh, no skin", "100 g beef heart"} {
		k.say(s)
	}
	if got := textOf(k.say("done")); !strings.Contains(got, "Five is saved") || !strings.Contains(got, "beef heart") {
		t.Errorf("%q", got)
	}
}

// TestStrangerTellsOfADog begins as one who knows no command does.
func TestStrangerTellsOfADog(t *testing.T) {
	k := newTalker(t)
	k.say("hello")
	if got := textOf(k.say("my dogs are hungry")); !strings.Contains(got, "What is your dog's name?") {
		t.Errorf("before any dog: %s", got)
	}
	if got := textOf(k.say("bella is a labrador, 5 years, 28 kg")); !strings.Contains(got, "bella is in.") || strings.Contains(got, "labrador") {
		t.Errorf("told of: %s", got)
	}
	k.say("she's spayed")
	k.say("no chicken for bella")
	k.say("bella is 6 years old")
	if d := k.home().Dogs[0]; d.Neutered != planner.Yes || d.Sex != planner.Female || !slices.Equal(d.Excludes, []string{"chicken"}) || d.Born.Year() != 2020 {
		t.Errorf("told of her: %+v", d)
	}
	if got := textOf(k.say("add another dog")); !strings.Contains(got, "What is your dog's name?") {
		t.Errorf("another: %s", got)
	}
	k.say("Max")
	k.say("13")
	k.say("3")
	if got := textOf(k.say("years")); !strings.Contains(got, "Max is") {
		t.Errorf("an age in two messages: %s", got)
	}
	for _, text := range []string{"male", "2 hours a day", "normal", "nope", "2"} {
		k.say(text)
	}
	if d := k.home().Dogs[1]; d.Name != "Max" || d.Condition != 5 || d.Health != "" {
		t.Errorf("answered as people do: %+v", d)
	}
	for _, text := range []string{"turkey thigh 28 kg", "bella 28 kg 5 years", "the weather, 5 years"} {
		k.say(text)
	}
	if n := len(k.home().Dogs); n != 2 {
		t.Errorf("%d dogs, want 2", n)
	}
}

// TestWeightTellsTheUnits answers the question of the units, and that of a
// weight, as people do.
func TestWeightTellsTheUnits(t *testing.T) {
	k := newTalker(t)
	k.say("dog add")
	k.say("Luna")
	rs := k.say("what?")
	if b := textButtons(rs); len(b) < 2 {
		t.Errorf("asked again without its buttons: %s %v", textOf(rs), b)
	}
	if got := textOf(k.say("luna 18lbs")); !strings.Contains(got, "How old is Luna") {
		t.Fatalf("a weight: %s", got)
	}
	for _, text := range []string{"2 years", "male", "low", "5", "none", "2", "Oslo"} {
		k.say(text)
	}
	h := k.home()
	if len(h.Dogs) != 1 || !h.Units.Pounds || h.Dogs[0].Weight < 8.16 || h.Dogs[0].Weight > 8.17 {
		t.Errorf("kept: %+v, %+v", h.Units, h.Dogs)
	}
	k.say("dog Max")
	if got := textOf(k.say("he weighs about 20 lb")); !strings.Contains(got, "How old is Max") {
		t.Errorf("in a sentence: %s", got)
	}
}
