package bot

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/day"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// rotating is a household of three dogs and two recipes. A conversation of
// the tests runs on Monday 2 March 2026.
func rotating(t *testing.T) *talker {
	k := newTalker(t)
	for _, text := range []string{"dog Juniper 19.6 kg 4 years spayed moderate 5/9", "dog Bracken 34.8 kg 8 years neutered low 7/9", "dog Pip 6.4 kg 2 years high activity",
		"recipe Turkey and heart\n600 g turkey thigh, boneless, no skin\n180 g turkey heart\n30 g lamb liver",
		"recipe Lamb and mackerel\n500 g lamb, leg and shoulder, lean\n150 g Atlantic mackerel\n40 g lamb liver"} {
		k.say(text)
	}
	return k
}

// on sends a text or a press some days later.
func (k *talker) on(days int, text, press string) []say.Reply {
	k.t.Helper()
	e := k.event(text, press)
	e.At = e.At.AddDate(0, 0, days)
	return k.send(e)
}

// home is the talker's household as it is stored.
func (k *talker) home() (h *planner.Household) {
	k.t.Helper()
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) error {
		id, err := tx.Member("test/"+k.name, "test/"+k.name)
		if err != nil {
			return err
		}
		h, err = tx.Household(id)
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return h
}

// labelled is the data of the button with a label.
func labelled(t *testing.T, replies []say.Reply, label string) string {
	t.Helper()
	for _, b := range textButtons(replies) {
		if b.Label == label {
			return b.Data
		}
	}
	t.Fatalf("no button %q in:\n%s", label, textOf(replies))
	return ""
}

// plans is what of a household rotations and transitions are.
func plans(h *planner.Household) string {
	b, _ := json.Marshal(struct {
		R []planner.Rotation
		T []planner.Transition
		N []planner.Reminder
		D []planner.Dog
	}{h.Rotations, h.Transitions, h.Reminders, h.Dogs})
	return string(b)
}

// TestUndoCoversPlans takes each change back at once, and the household is
// what it was.
func TestUndoCoversPlans(t *testing.T) {
	k := rotating(t)
	k.say("rotate turkey 4, lamb 3 for Juniper from today")
	k.say("switch Bracken from kibble 380 kcal per 100 g to lamb over 10 days")
	for _, c := range []struct{ text, press string }{
		{"/rotation skip", ""}, {"/rotation repeat", ""}, {"swap today with Friday", ""},
		{"rotate lamb 1, turkey 1 for Pip from tomorrow", ""}, {"rotate lamb 1, turkey 1 for all dogs from today", ""},
		{"", "transition:hold:d2"}, {"", "stool:d2:20260303:loose"}, {"", "transition:really:d2"},
		{"", "rotation:really:" + k.home().Rotations[0].ID},
		{"switch Juniper from kibble 380 kcal per 100 g to the rotation over 7 days", ""},
		{"switch Pip from kibble 380 kcal per 100 g to the rotation over 7 days", ""},
		{"", "recipe:really:r5"}, {"", "dog:really:d1"}, {"", "dog:really:d2"},
	} {
		before := plans(k.home())
		press := c.press
		if press != "" {
			press = k.home().ID[:8] + ":" + press
		}
		said := textOf(k.on(1, c.text, press))
		if plans(k.home()) == before {
			t.Errorf("%q changed nothing:\n%s", c.text+c.press, said)
			continue
		}
		k.on(1, "/undo", "")
		if after := plans(k.home()); after != before {
			t.Errorf("%q taken back:\n%s\nwas\n%s", c.text+c.press, after, before)
		}
	}
}

func TestPlanButtonsFit(t *testing.T) {
	k := rotating(t)
	for _, text := range []string{"/rotation", "Turkey 4, Lamb 3", "Juniper and Pip", "today", "/rotation", "/rotation swap", "stop", "/rotation cycle", "/rotation stop",
		"/transition", "Bracken", "lamb", "kibble", "380", "10", "/transition", "soft", "/transition stop"} {
		for _, b := range textButtons(k.say(text)) {
			if len(b.Data) > 64 || b.Label == "" {
				t.Errorf("after %q: button %q has data %q of %d bytes", text, b.Label, b.Data, len(b.Data))
			}
		}
	}
}

// TestOldRotationButtons presses a button of yesterday: what was meant for
// that day is not done today.
func TestOldRotationButtons(t *testing.T) {
	k := rotating(t)
	skip := labelled(t, k.say("rotate turkey 4, lamb 3 for Juniper from today"), "Skip today's")
	before := plans(k.home())
	if said := textOf(k.on(1, "", skip)); plans(k.home()) != before || !strings.Contains(said, "That button was for Mon 2 Mar") {
		t.Errorf("an old button:\n%s", said)
	}
	if said := textOf(k.on(0, "", skip)); plans(k.home()) == before {
		t.Errorf("on its day:\n%s", said)
	}
	k.on(0, "", k.home().ID[:8]+":rotation:really:"+k.home().Rotations[0].ID)
	if said := textOf(k.on(0, "", skip)); !strings.Contains(said, "no longer there") {
		t.Errorf("a rotation that is gone:\n%s", said)
	}
}

// TestBowlFollowsTheRotation asks for the bowl day by day.
func TestBowlFollowsTheRotation(t *testing.T) {
	k := rotating(t)
	k.say("rotate turkey 2, lamb 1 for Juniper from tomorrow")
	for day, want := range []string{"", "Turkey and heart", "Turkey and heart", "Lamb and mackerel", "Turkey and heart"} {
		if said := textOf(k.on(day, "how much for Juniper?", "")); !strings.Contains(said, "a day of "+want) {
			t.Errorf("day %d:\n%s", day, said)
		}
	}
	if said := textOf(k.on(3, "how much Turkey and heart for Juniper?", "")); !strings.Contains(said, "a day of Turkey and heart") {
		t.Errorf("a recipe that is named:\n%s", said)
	}
}

// TestTransitionToTheEnd goes through a transition to a rotation: the bowl of
// each day has both foods, a held step puts off the rotation's first day, and
// when it is over the rotation has begun.
func TestTransitionToTheEnd(t *testing.T) {
	k := rotating(t)
	k.say("rotate turkey 2, lamb 1 for Bracken from today")
	k.say("switch Bracken from kibble 380 kcal per 100 g to the rotation over 7 days starting today")
	at := k.home().ID[:8]
	if got := k.home().Rotations[0].Start.String(); got != "2026-03-09" {
		t.Fatalf("the rotation begins on %s", got)
	}
	k.on(1, "", at+":stool:d2:20260303:loose")
	if got := k.home().Rotations[0].Start.String(); got != "2026-03-10" {
		t.Errorf("after a held step it begins on %s", got)
	}
	if said := textOf(k.on(2, "", at+":stool:d2:20260304:soft")); strings.Contains(said, "See a vet") {
		t.Errorf("soft after loose:\n%s", said)
	}
	if said := textOf(k.on(3, "", at+":stool:d2:20260305:loose")); !strings.Contains(said, "See a vet") || !strings.Contains(said, "step 1 of 7") {
		t.Errorf("two bad days:\n%s", said)
	}
	if said := textOf(k.on(3, "", at+":stool:d2:20260303:firm")); !strings.Contains(said, "no step") {
		t.Errorf("a stool of days ago:\n%s", said)
	}
	for day := 4; day < 11; day++ {
		said := textOf(k.on(day, "how much for Bracken?", ""))
		if both := strings.Contains(said, "kibble and"); both != (day < 10) || !strings.Contains(said, "Turkey and heart") {
			t.Errorf("day %d:\n%s", day, said)
		}
	}
	if said := textOf(k.on(11, "how much for Bracken?", "")); !strings.Contains(said, "a day of Turkey and heart") {
		t.Errorf("the rotation's first day:\n%s", said)
	}
	if said := textOf(k.on(13, "how much for Bracken?", "")); !strings.Contains(said, "a day of Lamb and mackerel") {
		t.Errorf("the rotation's third day:\n%s", said)
	}
}

// TestStoolIsAskedOnce lets the evenings come: the question is asked on each
// day of the transition that nobody has answered, the end is said once.
func TestStoolIsAskedOnce(t *testing.T) {
	k := rotating(t)
	k.say("switch Pip from kibble 380 kcal per 100 g to lamb over 7 days starting tomorrow")
	asked, over := 0, 0
	for day := range 14 {
		now := time.Date(2026, 3, 2+day, 19, 0, 30, 0, time.UTC)
		if day == 3 {
			k.on(3, "firm", "")
		}
		if _, err := k.a.Tick(context.Background(), now); err != nil {
			t.Fatal(err)
		}
		said := textOf(k.take("test/" + k.name))
		asked += strings.Count(said, "how was the stool today?")
		over += strings.Count(said, "has done all the steps")
	}
	if h := k.home(); asked != 6 || over != 1 || len(h.Reminders) != 0 || !h.Transitions[0].Done {
		t.Errorf("asked %d times, said the end %d times; %s", asked, over, plans(h))
	}
}

// TestMealsOfATransition lets a day's messages come: meals, the morning's
// plan and what to thaw are of both foods as the day's step has them.
func TestMealsOfATransition(t *testing.T) {
	k := rotating(t)
	k.say("switch Pip from kibble 380 kcal per 100 g to lamb over 10 days starting tomorrow")
	pip := "d3"
	k.turnOf(func(t *talk.Turn) {
		for _, days := range []struct {
			n          int
			meal, thaw string
		}{{0, "kibble", ""}, {5, "kibble and Lamb and mackerel", "220 g Lamb"}, {10, "Lamb and mackerel", "435 g Lamb"}, {11, "Lamb and mackerel", "435 g Lamb"}} {
			d, day_ := t.Dog(pip), t.Date().AddDays(days.n)
			m, trouble := day.MealFor(t, d, day_, 0)
			if m == nil {
				k.t.Fatal(trouble)
			}
			var sum float64
			for _, row := range m.Bowl.Rows {
				sum += float64(row.Day)
			}
			if m.Recipe.Name != days.meal || m.Recipe.ID == "" || sum != float64(m.Bowl.Day) {
				k.t.Errorf("day %d: %q, %v g of %v", days.n, m.Recipe.Name, m.Bowl.Day, m.Bowl.Rows)
			}
			t.Replies = nil
			day.SayFreezer(t, []planner.Occurrence{{Moment: planner.Moment{Date: day_.AddDays(-1)}}})
			said := textOf(t.Replies)
			if !strings.Contains(said, days.thaw) || strings.Contains(said, "kibble") || strings.Contains(said, "Lamb") != (days.thaw != "") {
				k.t.Errorf("day %d: thaw\n%s", days.n, said)
			}
		}
	})
}

// TestIllDogIsNotSwitched closes the plan of a dog that falls ill.
func TestIllDogIsNotSwitched(t *testing.T) {
	k := rotating(t)
	k.say("switch Pip from kibble 380 kcal per 100 g to lamb over 10 days")
	k.turnOf(func(t *talk.Turn) {
		t.Mutate("did.dog-changed", "Pip")
		t.Dog("d3").Health = "kidney disease"
	})
	for _, text := range []string{"/transition", "how much for Pip?", "/transition hold"} {
		if said := textOf(k.say(text)); strings.Contains(said, "a day for Pip") || !strings.Contains(said, "your vet") {
			t.Errorf("%q:\n%s", text, said)
		}
	}
}
