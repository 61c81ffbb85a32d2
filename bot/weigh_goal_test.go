package bot

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/say"
	"bowlwright/bot/weighing"
	"bowlwright/planner"
)

// labels are those of the buttons of some replies.
func labels(rs []say.Reply) []string {
	var all []string
	for _, b := range textButtons(rs) {
		all = append(all, b.Label)
	}
	return all
}

// TestPlanStart begins a plan at the resting energy at the ideal weight for a
// dog that is 20 % over it (70 x 28.83^0.75 = 871 kcal by hand for 34.6 kg at
// condition 7), and offers no such cut to one that is a little over.
func TestPlanStart(t *testing.T) {
	k := newScales(t)
	rs := k.types("Bracken should lose weight")
	k.want(rs, "870 kcal a day", "vet")
	k.want(k.presses(rs, "Begin with 870 kcal"), "Bracken gets 870 kcal")
	if d := k.dog("Bracken"); d.Kcal < 868 || d.Kcal > 874 || d.Goal != planner.LoseGoal {
		t.Errorf("%v kcal, goal %q", d.Kcal, d.Goal)
	}
	k.want(k.presses(rs, "Begin with 870 kcal"), "no longer stands")
	rs = k.types("Juniper should lose weight to 18 kg")
	if slices.ContainsFunc(labels(rs), func(s string) bool { return strings.HasPrefix(s, "Begin") }) {
		t.Errorf("offered to %v", labels(rs))
	}
	k.want(rs, "Goal: down to 18 kg")
}

// TestPlanStartALittleOver begins at four fifths of what the equation gives (90
// x 19.6^0.75 = 838 kcal for condition 6 of 21.6 kg, 671 by hand).
func TestPlanStartALittleOver(t *testing.T) {
	k := newScales(t)
	k.types("dog Pip 21.6 kg 4 years female moderate 6/9")
	rs := k.types("Pip should lose weight")
	k.want(rs, "a fifth less", "vet", "Four weigh-ins over three weeks first")
	k.want(k.presses(rs, "Begin with 670 kcal"), "Pip gets 670 kcal")
}

// TestFloorTold lets Bracken lose half a percent a week on the resting energy at
// its ideal weight: the carer is told that less is for a vet, and how long it takes
// at that rate; and no cut is offered.
func TestFloorTold(t *testing.T) {
	k := newScales(t)
	k.presses(k.types("Bracken should lose weight"), "Begin with 870 kcal")
	kg := 34.6
	var rs []say.Reply
	for week := range 9 {
		k.day(7 * (week + 1))
		kg *= 0.995
		rs = k.types(fmt.Sprintf("Bracken %.2f", kg))
	}
	k.want(rs, "ask a vet before feeding less", "more slowly than planned: 28.8 kg not before Fri 23 Oct 2026, and maybe not within two years")
	if slices.Contains(labels(rs), "Apply") {
		t.Errorf("%v", labels(rs))
	}
	d := k.dog("Bracken")
	if d.Kcal < 868 || d.Kcal > 874 {
		t.Errorf("fed %v kcal", d.Kcal)
	}
	// Of the weight that holds there is no day.
	k = newScales(t)
	k.presses(k.types("Bracken should lose weight"), "Begin with 870 kcal")
	for week := range 12 {
		k.day(7 * (week + 1))
		rs = k.types("Bracken 34.6")
	}
	k.want(rs, "ask a vet before feeding less", "isn't likely within two years")
}

// TestGoalsThatCannotBe change nothing.
func TestGoalsThatCannotBe(t *testing.T) {
	k := newScales(t)
	k.types("dog Pip 3.2 kg 10 weeks puppy")
	for text, want := range map[string]string{
		"Juniper should lose weight to 22 kg": "the other way",
		"Bracken should gain weight":          "the other way",
		"Pip should lose weight":              "won't cut",
		"Juniper's ideal weight is 300 kg":    "can't be the ideal weight",
	} {
		before := k.home().Rev
		k.want(k.types(text), want)
		if k.home().Rev != before {
			t.Errorf("%q changed the household", text)
		}
	}
}

// TestVetLineFirst says the vet line before all that follows from a weight, and
// keeps no suggestion back for it.
func TestVetLineFirst(t *testing.T) {
	k := newScales(t)
	rs := k.gains(5, 0.45) // 2.3 % a week
	text := textOf(rs)
	vet, food := strings.Index(text, "have a vet look"), strings.Index(text, "kcal a day")
	if vet < 0 || food >= 0 && food < vet {
		t.Errorf("%s", text)
	}
	if !slices.Contains(labels(rs), "Apply") {
		t.Errorf("%v", labels(rs))
	}
	k.presses(k.presses(k.presses(rs, "A vet has seen it"), "Today"), "Nothing")
	k.day(43)
	if rs := k.types(fmt.Sprintf("%s 21.9", "Juniper")); strings.Contains(textOf(rs), "in a month") {
		t.Errorf("after a vet has seen it: %s", textOf(rs))
	}
	k = newScales(t)
	k.types("dog Pip 19.6 kg 4 years female moderate 5/9")
	for week := range 10 {
		k.day(7 * (week + 1))
		rs = k.types(fmt.Sprintf("Pip %.2f", 19.6+0.15*float64(week+1)))
	}
	k.want(rs, "Still: ")
	k.types("Pip is pregnant")
	k.day(77)
	if rs := k.types("Pip 21.2"); slices.Contains(labels(rs), "Apply") || !strings.Contains(textOf(rs), "vet") {
		t.Errorf("pregnant: %s %v", textOf(rs), labels(rs))
	}
}

// TestThreeQuestions lead to the points in whose lines such ribs, waist and
// belly stand.
func TestThreeQuestions(t *testing.T) {
	for answers, want := range map[[3]string]int{
		{"seen", "deep", "deep"}:     2,
		{"easy", "clear", "clear"}:   5,
		{"fat", "slight", "slight"}:  6,
		{"hard", "none", "none"}:     8,
		{"easy", "slight", "slight"}: 6,
		{"fat", "clear", "clear"}:    6,
	} {
		if got := weighing.ScoreOf(answers[0], answers[1], answers[2]); got < want-1 || got > want+1 {
			t.Errorf("%v = %d, want about %d", answers, got, want)
		}
	}
	k := newScales(t)
	rs := k.types("score Juniper's body condition")
	rs = k.presses(rs, "Not sure: three questions")
	rs = k.presses(rs, "felt under some fat")
	k.want(k.types("how much for Juniper?"), "kcal") // a question in between is answered
	rs = k.presses(rs, "slight")
	rs = k.presses(rs, "goes up a little")
	k.want(rs, "It was 5/9 before.")
	if d := k.dog("Juniper"); d.Condition < 6 || d.Condition > 7 {
		t.Errorf("condition %d", d.Condition)
	}
	k.types("/undo")
	if d := k.dog("Juniper"); d.Condition != 5 || len(k.entries(planner.Scored)) != 2 {
		t.Errorf("after Undo: condition %d, %d scores", d.Condition, len(k.entries(planner.Scored)))
	}
}
