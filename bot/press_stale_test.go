package bot

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/weighing"
	"bowlwright/planner"
)

// weighed fills the household of Ines with two dogs on Sunday 1 March.
func weighed(t testing.TB) *world {
	w := newWorld(t)
	w.at = time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	w.says("Ines", "dog Bracken 34.6 kg 8 years neutered male low activity 7/9 healthy")
	w.says("Ines", "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	return w
}

// suggested is a household in which there is a suggestion for Juniper, who has
// gained 150 g a week, and what was said with it.
func suggested(t *testing.T) (w *world, rs []say.Reply) {
	w = weighed(t)
	w.says("Ines", "Juniper's ideal weight is 19.6 kg") // a goal that rests on no score of long ago
	for week := range 10 {
		w.at = w.at.AddDate(0, 0, 7)
		rs = w.says("Ines", fmt.Sprintf("Juniper %.2f", 19.6+0.15*float64(week+1)))
	}
	wantText(t, rs, "Still: ") // as the week before
	return w, rs
}

// TestApplyOfAnotherTime presses buttons that have had their time: once more,
// by another carer, after a correction, of a dog that is gone.
func TestApplyOfAnotherTime(t *testing.T) {
	t.Run("twice", func(t *testing.T) {
		w, rs := suggested(t)
		w.presses("Ines", button(t, rs, "Apply"))
		set := w.dog("Juniper").Kcal
		wantText(t, w.presses("Ines", button(t, rs, "Apply")), "no longer stands")
		if got := w.dog("Juniper").Kcal; got != set {
			t.Errorf("%v kcal, then %v", set, got)
		}
	})
	t.Run("by two carers", func(t *testing.T) {
		w, rs := suggested(t)
		before := len(w.entries(planner.KcalSet))
		done := make(chan error)
		for range 2 {
			e := w.eventOf("Ines", "", button(t, rs, "Apply"))
			go func() { done <- w.a.Handle(context.Background(), e) }()
		}
		for range 2 {
			if err := <-done; err != nil {
				t.Fatal(err)
			}
		}
		if n := len(w.entries(planner.KcalSet)) - before; n != 1 {
			t.Errorf("%d changes of the kcal", n)
		}
		wantText(t, w.read("x/Ines"), "Juniper gets", "no longer stands")
	})
	t.Run("after a correction", func(t *testing.T) {
		w, rs := suggested(t)
		w.says("Ines", "correct Juniper's last weigh-in")
		w.says("Ines", "19.3")
		wantText(t, w.presses("Ines", button(t, rs, "Apply")), "no longer stands")
	})
	t.Run("of a dog that is gone", func(t *testing.T) {
		w, rs := suggested(t)
		w.presses("Ines", button(t, w.says("Ines", "remove Juniper"), "Yes, remove"))
		for _, label := range []string{"Apply", "Keep", "Why", "Trend"} {
			wantText(t, w.presses("Ines", button(t, rs, label)), rooms().Words.Msg("press.gone"))
		}
	})
	t.Run("a plan that has begun", func(t *testing.T) {
		w := weighed(t)
		begin := button(t, w.says("Ines", "Bracken should lose weight"), "Begin with 870 kcal")
		w.presses("Ines", begin)
		wantText(t, w.presses("Ines", begin), "no longer stands")
	})
}

// TestOldRotationButtons presses a button of yesterday: what was meant for
// that day is not done today.
func TestOldRotationButtons(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	skip := button(t, w.says("Ines", "rotate Quay bowl 4, Rabbit and kale 3 for Juniper from today"), "Skip today's")
	before := w.kept()
	w.at = w.at.AddDate(0, 0, 1)
	wantText(t, w.presses("Ines", skip), "That button was for Mon 2 Mar")
	if w.kept() != before {
		t.Error("an old button changed something")
	}
	w.at = w.at.AddDate(0, 0, -1)
	if w.presses("Ines", skip); w.kept() == before {
		t.Error("on its day it did nothing")
	}
	w.does(":rotation:really:" + w.house().Rotations[0].ID)
	wantText(t, w.presses("Ines", skip), "no longer there")

	w.says("Ines", "switch Bracken from kibble 380 kcal per 100 g to Quay bowl over 7 days starting today")
	w.at = w.at.AddDate(0, 0, 3)
	if got := w.does(":stool:d2:20260302:firm"); !strings.Contains(got, "no step") {
		t.Errorf("a stool of days ago: %s", got)
	}
}

// TestStaleReminderButtons presses what is no longer there: nothing changes
// and the answer is clear.
func TestStaleReminderButtons(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	w.says("Ines", "pause Bracken from 3 to 10 April")
	shown := w.presses("Ines", button(t, w.says("Ines", "remind me to give Juniper zinc 15 mg every 3 days at 8:00"), "Change"))
	w.says("Ines", "stop reminding me of zinc")
	w.says("Ines", "resume Bracken")
	before := w.kept()
	for _, b := range buttons(shown) {
		if b.Label != "Reminders" {
			wantText(t, w.presses("Ines", b.Data), "no longer there")
		}
	}
	for _, data := range []string{"pause:longer:2026-04-03:d2", "pause:end:x:y", "supplement:from:d1:r9:0", "supplement:from:d1:r3:77", "supplement:from:d1:r3:-1",
		"supplement:stock:n1:9", "meals:times:d9", "remind:zone:keep:Mars/Base", "remind:zone", "remind", "supplement", "meals", "pause", "quiet", "meals:dance"} {
		w.does(":" + data)
	}
	if after := w.kept(); after != before {
		t.Errorf("changed:\n%s\nwas\n%s", after, before)
	}
}

// TestRemindersAreFew checks that a household cannot pile up reminders
// without end.
func TestRemindersAreFew(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.quayside()
	for i := range remind.MostReminders + 3 {
		w.says("Ines", fmt.Sprintf("remind me vet on Friday %d:%02d", 9+i/60, i%60)) // the same one is kept once
	}
	if n := len(w.house().Reminders); n != remind.MostReminders {
		t.Errorf("%d reminders", n)
	}
	for _, b := range buttons(w.says("Ines", "/remind")) {
		if len(b.Data) > 64 {
			t.Errorf("%d bytes: %s", len(b.Data), b.Data)
		}
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
}
