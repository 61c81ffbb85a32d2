package bot

import (
	"strings"
	"testing"

	"bowlwright/planner"
)

// answers are what was said to a carer since a place in the log.
func (k *kitchen) answers(who, text string) string {
	k.t.Helper()
	before := k.log.Len()
	k.types(who, text)
	got := k.log.String()[before:]
	_, got, _ = strings.Cut(got, "\n")
	return got
}

// TestFedInAWord answers reminders with one word: the only meal that is due is
// meant, and of several it is asked which.
func TestFedInAWord(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 40)
	if got := k.answers("Ines", "fed"); !strings.Contains(got, "[Juniper]") || !strings.Contains(got, "[Bracken]") || len(k.journal()) != 0 {
		t.Fatalf("two meals are due:\n%s", got)
	}
	k.press("Ines", "Bracken")
	if got := k.answers("Tomas", "fed"); !strings.Contains(got, "Juniper 07:30: fed by Tomas") {
		t.Errorf("one meal is left:\n%s", got)
	}
	k.at(2, 18, 5)
	k.types("Ines", "fed")
	k.press("Ines", "All of them")
	k.types("Ines", "undo")
	k.types("Ines", "all fed")
	if n := len(k.journal()); n != 4 {
		t.Errorf("%d meals, want 4:\n%s", n, k.log.String())
	}
}

// TestSkipAndLaterInWords leaves out one dog's meal and a dose, and puts
// another off by what is said.
func TestSkipAndLaterInWords(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 8, 5)
	if got := k.answers("Ines", "Bracken didn't eat"); !strings.Contains(got, "Bracken 07:30: skipped by Ines") {
		t.Errorf("a meal:\n%s", got)
	}
	if got := k.answers("Ines", "later, in 2 hours"); !strings.Contains(got, "Juniper vitamin E: again at 10:05") {
		t.Errorf("the dose came last:\n%s", got)
	}
	if got := k.answers("Ines", "did Juniper get her vitamin E?"); !strings.Contains(got, "[Given: Juniper vitamin E]") {
		t.Errorf("put off, it can be answered:\n%s", got)
	}
	k.types("Ines", "given")
	k.press("Ines", "Undo")
	if got := k.answers("Ines", "vitamin E not given"); !strings.Contains(got, "skipped by Ines") {
		t.Errorf("a dose:\n%s", got)
	}
	for _, e := range k.journal() {
		if e.Kind != planner.NotFed && e.Kind != planner.NotGiven {
			t.Errorf("entered: %+v", e)
		}
	}
}

// TestReminderAnsweredInADialogue types the answer to a reminder where
// something else is asked: it is entered, and the question stays. A word that
// answers the question is that answer.
func TestReminderAnsweredInADialogue(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 8, 5)
	k.types("Ines", "dog add")
	if got := k.answers("Ines", "later"); !strings.Contains(got, "vitamin E: again at") || !strings.Contains(got, "What is your dog's name?") {
		t.Errorf("at a name:\n%s", got)
	}
	k.types("Ines", "Pip")
	if got := k.answers("Ines", "skip Bracken"); !strings.Contains(got, "Bracken 07:30: skipped") {
		t.Errorf("at a weight:\n%s", got)
	}
	if got := k.answers("Ines", "fed"); !strings.Contains(got, "Juniper 07:30: fed by Ines") {
		t.Errorf("at a weight:\n%s", got)
	}
	k.types("Ines", "6.4")
	if got := k.answers("Ines", "skip"); strings.Contains(got, "skipped") || !strings.Contains(got, "Female") {
		t.Errorf("the question of the age is what is skipped:\n%s", got)
	}
	k.types("Ines", "stop")
	k.types("Ines", "recipe Rabbit and kale")
	k.types("Ines", "600 g snark")
	if got := k.answers("Ines", "who fed Juniper?"); !strings.Contains(got, "07:30 fed 08:05, Ines") || !strings.Contains(got, "snark") {
		t.Errorf("at a line:\n%s", got)
	}
}

// TestAskedWhatWasFed asks of the journal: what is recorded is told, and what
// is not is not.
func TestAskedWhatWasFed(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 42)
	k.types("Tomas", "fed Juniper")
	k.at(2, 18, 5)
	k.types("Ines", "skip Bracken")
	k.at(3, 7, 0)
	for text, want := range map[string][]string{
		"did Juniper get her breakfast yesterday?": {"Juniper yesterday: fed 1 of 1.", "07:30 fed 07:42, Tomas 451 g"},
		"who fed Juniper last night":               {"Juniper yesterday: fed 0 of 1.", "18:00 not recorded"},
		"what was fed yesterday":                   {"fed 1 of 2.", "Bracken yesterday: fed 0 of 2.", "07:30 not recorded", "18:00 skipped 18:05, Ines"},
		"has Juniper been fed?":                    {"Juniper today: fed 0 of 2.", "07:30 to come", "Last fed by Tomas Mon 2 Mar 07:42."},
		"what was fed on Friday":                   {"Juniper Fri 27 Feb: nothing recorded."},
		"did Juniper get her vitamin E?":           {"Juniper vitamin E today: not recorded.", "[Given: Juniper vitamin E]"},
		"was the vitamin E given yesterday":        {"Juniper vitamin E yesterday: not recorded."},
		"when was the fish oil given":              {"There's no reminder for fish oil"},
	} {
		got := k.answers("Ines", text)
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%q:\n%swant %q", text, got, w)
			}
		}
	}
	if n := len(k.journal()); n != 2 {
		t.Errorf("asking entered something: %d entries, want 2", n)
	}
}

// TestFedAtATime tells of a meal after it: the entry has its time.
func TestFedAtATime(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 9, 30)
	if got := k.answers("Ines", "fed Juniper at half past seven"); !strings.Contains(got, "[07:30]") {
		t.Fatalf("the half of the day is asked:\n%s", got)
	}
	if got := k.answers("Ines", "in the morning"); !strings.Contains(got, "Juniper 07:30: fed by Ines 07:30.") {
		t.Errorf("fed:\n%s", got)
	}
	if got := k.answers("Ines", "fed Bracken at 11:00"); !strings.Contains(got, "still to come") || len(k.journal()) != 1 {
		t.Errorf("a time to come:\n%s", got)
	}
	if e := k.journal()[0]; e.At.In(k.zone).Format("15:04") != "07:30" || e.Of == "" || e.Kcal == 0 {
		t.Errorf("entered: %+v", e)
	}
}

// TestClockInWords makes reminders and times of words; where the half of the
// day is not clear it is asked, and what was typed goes on from the answer.
func TestClockInWords(t *testing.T) {
	k := rotating(t)
	k.say("remind me vet on Friday at quarter to eight")
	if n := kindOf(k.home(), planner.NoteReminder); n != 0 {
		t.Fatalf("%d reminders before it is clear when", n)
	}
	if got := textOf(k.say("evening")); !strings.Contains(got, "Fri 6 Mar at 19:45") {
		t.Errorf("a reminder: %s", got)
	}
	k.say("feed Juniper at seven and six")
	k.say("7:00")
	if got := textOf(k.say("pm")); !strings.Contains(got, "07:00 and 18:00") {
		t.Errorf("feeding times: %s", got)
	}
	k.say("feeding times of Bracken")
	k.say("half past seven and six in the evening")
	if got := textOf(k.say("morning")); !strings.Contains(got, "Bracken is fed at 07:30 and 18:00") {
		t.Errorf("in a dialogue: %s", got)
	}
	if got := textOf(k.say("quiet hours from half past nine in the evening to noon")); !strings.Contains(got, "21:30 to 12:00") {
		t.Errorf("quiet hours: %s", got)
	}
}

// TestLaterDogIsOfferedMeals adds a dog to a household whose dogs have
// reminders of their meals: a tap gives it theirs.
func TestLaterDogIsOfferedMeals(t *testing.T) {
	k := newKitchen(t)
	if got := k.answers("Ines", "dog Pip 6.4 kg 2 years high activity"); !strings.Contains(got, "No meal reminders for Pip yet") {
		t.Fatalf("added:\n%s", got)
	}
	k.press("Ines", "Pip at 07:30 and 18:00 too")
	k.at(2, 7, 31)
	if got := k.log.String(); !strings.Contains(got, "Pip has no recipe yet. Type for example \"Pip eats Turkey and heart\".") {
		t.Errorf("nothing is said of Pip's meal:\n%s", got)
	}
	k = newKitchen(t)
	k.rehome(func(h *planner.Household) { h.Reminders = nil })
	if got := k.answers("Ines", "dog Pip 6.4 kg 2 years high activity"); strings.Contains(got, "meal reminders") {
		t.Errorf("where no dog has them:\n%s", got)
	}
}

// TestBothAndTreats says of both dogs that they were fed, and asks what is left
// for treats.
func TestBothAndTreats(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 40)
	k.types("Ines", "fed them both")
	if n := len(k.journal()); n != 2 {
		t.Errorf("%d meals, want 2:\n%s", n, k.log.String())
	}
	k.types("Ines", "Juniper had a 60 kcal chew")
	// A tenth of the day's 1025 kcal, told in steps of 5.
	if got := k.answers("Ines", "how many treats can Juniper have?"); !strings.Contains(got, "Juniper has 40 kcal left for treats") {
		t.Errorf("left:\n%s", got)
	}
}

// TestSeriesWithoutRemindMe types a series as one types an appointment.
func TestSeriesWithoutRemindMe(t *testing.T) {
	k := rotating(t)
	for text, want := range map[string]string{
		"flea drops on the 1st of every month": "Flea drops on the 1st of each month at 09:00",
		"brush teeth daily at 8 pm":            "Brush teeth every day at 20:00",
		"worming every 12 weeks":               "Worming every 12 weeks on Monday at 09:00",
		"defrost every other sunday":           "Defrost every 2 weeks on Sunday at 09:00",
		"Juniper runs every day":               "What should change for Juniper?", // no reminder
		"the postman comes daily":              "beyond me",
	} {
		if got := textOf(k.say(text)); !strings.Contains(got, want) {
			t.Errorf("%q: %s", text, got)
		}
	}
}

// TestPartOfAMeal tells that a dog left some of its meal: the entry has that
// much, however often it is told.
func TestPartOfAMeal(t *testing.T) {
	k := newKitchen(t)
	k.at(2, 7, 40)
	k.types("Ines", "fed Juniper")
	full := k.journal()[0].Kcal
	k.at(2, 8, 10)
	k.types("Ines", "Juniper left a quarter of her bowl")
	if got := k.answers("Tomas", "Juniper only ate half"); !strings.Contains(got, "Juniper: 255 of 510 kcal, fed by") {
		t.Errorf("told:\n%s", got)
	}
	all := k.journal()
	if len(all) != 1 || all[0].Kcal < full*0.499 || all[0].Kcal > full*0.501 || all[0].Of == "" {
		t.Errorf("entered: %+v; the whole was %v", all, full)
	}
	if got := k.answers("Ines", "Bracken left half of his food"); !strings.Contains(got, "Bracken: 280 of 560 kcal") || len(k.journal()) != 2 {
		t.Errorf("of the meal that is due:\n%s", got)
	}
}

// TestNothingWaits answers where nothing is due: it says so, and at a question
// it becomes no answer.
func TestNothingWaits(t *testing.T) {
	k := rotating(t)
	if got := textOf(k.say("later")); !strings.Contains(got, "Nothing is waiting") {
		t.Errorf("later: %s", got)
	}
	k.say("fed Juniper")
	if got := textOf(k.say("did anyone feed Juniper?")); !strings.Contains(got, "fed 1 of 2.") {
		t.Errorf("one of its two meals: %s", got)
	}
	k.say("switch Bracken to Lamb and mackerel")
	k.say("not now")
	if got := textOf(k.say("kibble")); !strings.Contains(got, "100 g of the kibble") {
		t.Errorf("the old food: %s", got)
	}
	n := newKitchen(t)
	n.at(3, 7, 0)
	if got := n.answers("Ines", "given"); !strings.Contains(got, "Juniper vitamin E: given by Ines 07:00") {
		t.Errorf("a dose of the day before:\n%s", got)
	}
}
