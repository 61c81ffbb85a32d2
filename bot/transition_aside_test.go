package bot

import (
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// TestTreatIsNoLabel types a treat while the kcal of the old food's label are
// asked: it counts as a treat, the question stays, and the label is taken
// after it.
func TestTreatIsNoLabel(t *testing.T) {
	k := rotating(t)
	k.say("switch Bracken from kibble to Turkey over 10 days")
	if got := textOf(k.say("treat 40 kcal for Juniper")); !strings.Contains(got, "40 kcal") || strings.Contains(got, "in 10 steps") {
		t.Errorf("treat: %s", got)
	}
	if n := len(k.home().Transitions); n != 0 {
		t.Fatalf("%d switches after a treat, want none", n)
	}
	k.say("380 kcal per 100 g")
	if h := k.home(); len(h.Transitions) != 1 || h.Transitions[0].OldPer100 != 380 {
		t.Errorf("switches: %+v", h.Transitions)
	}
}

// TestReminderWhileADayIsAsked types an appointment while the first day of a
// rotation is asked: it is kept, and the day can be answered after it.
func TestReminderWhileADayIsAsked(t *testing.T) {
	k := rotating(t)
	k.say("rotate Turkey 4, Lamb 3")
	k.say("Juniper")
	k.say("vet on Friday 10:00")
	if n := kindOf(k.home(), planner.NoteReminder); n != 1 {
		t.Errorf("%d reminders, want the vet's", n)
	}
	k.say("tomorrow")
	if n := len(k.home().Rotations); n != 1 {
		t.Errorf("%d rotations, want 1", n)
	}
}

// TestTodayIsADayOnlySoon types "today" at once after the first day of a
// rotation was asked for, and hours later, when it means today's bowls.
func TestTodayIsADayOnlySoon(t *testing.T) {
	k := rotating(t)
	k.say("rotate Turkey 4, Lamb 3")
	k.say("Juniper")
	later := func(text string, hours int) string {
		e := k.event(text, "")
		e.At = e.At.Add(time.Duration(hours) * time.Hour)
		return textOf(k.send(e))
	}
	got := later("today", 5)
	if n := len(k.home().Rotations); n != 0 || !strings.Contains(got, "Turkey and heart") || !strings.Contains(got, "On which day") {
		t.Fatalf("five hours later, %d rotations:\n%s", n, got)
	}
	later("today", 5) // the question has just been asked again
	if n := len(k.home().Rotations); n != 1 {
		t.Errorf("%d rotations, want 1", n)
	}
}

// TestQuestionOfAnAsideIsOpen types the wish for a reminder where a dog's
// weight is asked: the question that it opens is the one that is answered, and
// the dog can be gone on with.
func TestQuestionOfAnAsideIsOpen(t *testing.T) {
	k := rotating(t)
	k.say("dog add")
	k.say("Rex")
	if got := textOf(k.say("give Bracken zinc 15 mg")); !strings.Contains(got, "How often?") || strings.Contains(got, "weigh?") {
		t.Errorf("asked: %s", got)
	}
	k.say("every 2 days")
	if got := textOf(k.say("7:30")); !strings.Contains(got, "Zinc supplement 15 mg for Bracken every 2 days") {
		t.Errorf("kept: %s", got)
	}
	if got := textOf(k.say("resume")); !strings.Contains(got, "What does Rex weigh?") {
		t.Errorf("gone on with: %s", got)
	}
}
