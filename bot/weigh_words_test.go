package bot

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// scales is a carer with two dogs, whose clock a test moves.
type scales struct {
	*talker
	at time.Time
}

func newScales(t *testing.T) *scales {
	k := &scales{newTalker(t), time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)}
	k.types("dog Bracken 34.6 kg 8 years neutered male low activity 7/9")
	k.types("dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	return k
}

// types sends a message, a minute after the one before.
func (k *scales) types(text string) []say.Reply { return k.does(text, "") }

func (k *scales) does(text, press string) []say.Reply {
	k.t.Helper()
	k.at = k.at.Add(time.Minute)
	e := k.event(text, press)
	e.At = k.at
	return k.send(e)
}

// presses presses the button with a label of the last of some replies.
func (k *scales) presses(rs []say.Reply, label string) []say.Reply {
	k.t.Helper()
	return k.does("", labelled(k.t, rs, label))
}

// day moves the clock to eight o'clock of the n-th day.
func (k *scales) day(n int) { k.at = time.Date(2026, 3, 1+n, 8, 0, 0, 0, time.UTC) }

func (k *scales) home() *planner.Household {
	k.t.Helper()
	var home *planner.Household
	if err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) (err error) {
		id, err := tx.Member("test/Ines", "test/Ines")
		if err != nil {
			return err
		}
		home, err = tx.Household(id)
		return err
	}); err != nil {
		k.t.Fatal(err)
	}
	return home
}

func (k *scales) dog(name string) planner.Dog {
	k.t.Helper()
	for _, d := range k.home().Dogs {
		if d.Name == name {
			return d
		}
	}
	k.t.Fatalf("no dog %s", name)
	return planner.Dog{}
}

// entries are those of a kind in the household's journal.
func (k *scales) entries(kind planner.EntryKind) []planner.Entry {
	k.t.Helper()
	var all []planner.Entry
	if err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) (err error) {
		all, err = tx.Entries(k.home().ID, store.EntryQuery{Kinds: []planner.EntryKind{kind}})
		return err
	}); err != nil {
		k.t.Fatal(err)
	}
	return all
}

func (k *scales) want(rs []say.Reply, parts ...string) {
	k.t.Helper()
	for _, p := range parts {
		if !strings.Contains(textOf(rs), p) {
			k.t.Errorf("%q is missing in:\n%s", p, textOf(rs))
		}
	}
}

// gains weighs Juniper for some weeks, up by so much a week.
func (k *scales) gains(weeks int, aWeek float64) (last []say.Reply) {
	for week := range weeks {
		k.day(7 * (week + 1))
		last = k.types(fmt.Sprintf("Juniper %.2f", 19.6+aWeek*float64(week+1)))
	}
	return last
}

// suggested is a household in which there is a suggestion for Juniper.
func suggested(t *testing.T) (*scales, []say.Reply) {
	k := newScales(t)
	k.types("Juniper's ideal weight is 19.6 kg") // a goal that rests on no score of long ago
	rs := k.gains(10, 0.15)
	k.want(rs, "Still: ") // as the week before
	return k, rs
}

// TestUndoOfAppliedKcal applies a suggestion, which the next bowl follows, and
// takes it back, which the next bowl follows too.
func TestUndoOfAppliedKcal(t *testing.T) {
	k, rs := suggested(t)
	k.types("recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	k.types("how much for Juniper?") // what the recipe lacks is said once a week
	before := textOf(k.types("how much for Juniper?"))
	journal := len(k.entries(planner.KcalSet))
	applied := k.presses(rs, "Apply")
	k.want(applied, "Juniper gets", "a day instead of")
	set := k.dog("Juniper").Kcal
	if set == 0 || len(k.entries(planner.KcalSet)) != journal+1 {
		t.Fatalf("kcal %v, %d entries", set, len(k.entries(planner.KcalSet)))
	}
	after := k.types("how much for Juniper?")
	k.want(after, say.Kcal(set)+" kcal")
	if textOf(after) == before {
		t.Error("the bowl is the same")
	}
	k.presses(applied, "Undo")
	if got := textOf(k.types("how much for Juniper?")); got != before {
		t.Errorf("the bowl after Undo:\n%s\nwant:\n%s", got, before)
	}
	if d := k.dog("Juniper"); d.InForce.Ground != planner.OnEquation || len(k.entries(planner.KcalSet)) != journal {
		t.Errorf("after Undo: %v kcal, %d entries", d.Kcal, len(k.entries(planner.KcalSet)))
	}
}

// TestApplyOfAnotherTime presses buttons that have had their time: once more,
// by another carer, after a correction, after a month.
func TestApplyOfAnotherTime(t *testing.T) {
	t.Run("twice", func(t *testing.T) {
		k, rs := suggested(t)
		k.presses(rs, "Apply")
		set := k.dog("Juniper").Kcal
		k.want(k.presses(rs, "Apply"), "no longer stands")
		if got := k.dog("Juniper").Kcal; got != set {
			t.Errorf("%v kcal, then %v", set, got)
		}
	})
	t.Run("by two carers", func(t *testing.T) {
		k, rs := suggested(t)
		data, before := labelled(t, rs, "Apply"), len(k.entries(planner.KcalSet))
		done := make(chan error)
		for i := range 2 {
			go func() {
				e := talk.Event{ID: fmt.Sprint("at once ", i), Chat: "test/Ines", Person: "test/Ines", Name: "Ines", At: k.at, Press: data}
				done <- k.a.Handle(context.Background(), e)
			}()
		}
		for range 2 {
			if err := <-done; err != nil {
				t.Fatal(err)
			}
		}
		if n := len(k.entries(planner.KcalSet)) - before; n != 1 {
			t.Errorf("%d changes of the kcal", n)
		}
		k.want(k.take("test/Ines"), "Juniper gets", "no longer stands")
	})
	t.Run("after a correction", func(t *testing.T) {
		k, rs := suggested(t)
		k.types("correct Juniper's last weigh-in")
		k.types("19.3")
		k.want(k.presses(rs, "Apply"), "no longer stands")
	})
	t.Run("of a dog that is gone", func(t *testing.T) {
		k, rs := suggested(t)
		k.presses(k.types("remove Juniper"), "Yes, remove")
		for _, label := range []string{"Apply", "Keep", "Why", "Trend"} {
			if got := textOf(k.presses(rs, label)); !strings.Contains(got, rooms().Msg("press.gone")) {
				t.Errorf("%s: %s", label, got)
			}
		}
	})
}

// TestRemovedDogsJournal leaves the journal of a dog that is gone alone, and
// has it again after Undo.
func TestRemovedDogsJournal(t *testing.T) {
	k, _ := suggested(t)
	n := len(k.entries(planner.Weighed))
	gone := k.presses(k.types("remove Juniper"), "Yes, remove")
	k.want(k.types("34.1"), "Bracken 34.1 kg")
	k.types("delete the last weigh-in")
	k.types("dog Juniper 12 kg 3 years spayed moderate 5/9")
	k.want(k.types("how is Juniper's weight?"), "12 kg", "3 more weigh-ins")
	k.types("/undo")
	k.types("/undo")
	k.types("/undo")
	k.presses(gone, "Undo")
	if got := len(k.entries(planner.Weighed)); got != n {
		t.Errorf("%d weigh-ins, want %d", got, n)
	}
	k.types("/undo")
}

// TestWhoseWeight offers the dogs that a bare weight fits first, and doubts
// the other one still.
func TestWhoseWeight(t *testing.T) {
	k := newScales(t)
	k.day(7)
	rs := k.types("34.2")
	if b := textButtons(rs); len(b) != 2 || b[0].Label != "Bracken" {
		t.Fatalf("%v", b)
	}
	if b := textButtons(k.types("19.4")); b[0].Label != "Juniper" {
		t.Fatalf("%v", b)
	}
	doubt := k.presses(rs, "Juniper")
	k.want(doubt, "34.2 kg for Juniper, after 19.6 kg")
	if len(k.entries(planner.Weighed)) != 2 {
		t.Error("recorded in doubt")
	}
	k.want(k.presses(doubt, "For Bracken"), "Bracken 34.2 kg")
	if d := k.dog("Bracken"); d.Weight != 34.2 {
		t.Errorf("%v", d.Weight)
	}
}

// TestAnswerToTheWeeklyQuestion takes a bare weight for the dog that was asked
// about, once, and not for one that it does not fit.
func TestAnswerToTheWeeklyQuestion(t *testing.T) {
	k := newScales(t)
	k.types("weigh Juniper on Sundays at 7:30")
	k.day(7)
	k.want(k.types("19.8"), "Juniper 19.8 kg.")
	k.want(k.types("19.9"), "which dog?")
	k.day(14)
	k.want(k.types("34.0"), "which dog?")
	k.day(16)
	k.want(k.types("19.9"), "which dog?") // two days later it is no answer
	k.types("weigh Bracken on Sundays at 7:30")
	k.day(21)
	k.want(k.types("19.9"), "which dog?") // both were asked about
	k.types("Bracken 34.1")
	k.want(k.types("19.9"), "Juniper 19.9 kg.")
}

// TestCorrections keep the journal right: another weight, another day, both,
// and a doubt.
func TestCorrections(t *testing.T) {
	k := newScales(t)
	k.day(7)
	k.types("Juniper 19.9")
	last := func() (e planner.Entry) {
		for _, x := range k.entries(planner.Weighed) {
			if x.Dog == k.dog("Juniper").ID {
				e = x
			}
		}
		return e
	}
	for _, c := range []struct {
		typed  string
		weight float64
		day    string
	}{
		{"19.7", 19.7, "2026-03-08"},
		{"19.8 on Friday", 19.8, "2026-03-06"},
		{"on Saturday", 19.8, "2026-03-07"},
	} {
		k.types("correct Juniper's last weigh-in")
		k.types(c.typed)
		if e := last(); float64(e.Weight) != c.weight || e.Date.String() != c.day || e.Person != "test/Ines" {
			t.Errorf("%q: %v kg on %s", c.typed, e.Weight, e.Date)
		}
		if d := k.dog("Juniper"); float64(d.Weight) != c.weight {
			t.Errorf("%q: the dog weighs %v", c.typed, d.Weight)
		}
	}
	k.types("correct Juniper's last weigh-in")
	k.want(k.types("tomorrow"), "isn't a weight")
	k.want(k.types("29.8"), "29.8 kg for Juniper, after 19.6 kg")
	k.want(k.types("19.5"), "now 19.5 kg")
	k.want(k.types("delete Juniper's last weigh-in"), "Deleted: Juniper 19.5 kg")
	if d := k.dog("Juniper"); d.Weight != 19.6 {
		t.Errorf("after the deletion it weighs %v", d.Weight)
	}
}

// TestBackdated is judged by what the dog weighed then, and changes what it
// weighs now only where it is the newest.
func TestBackdated(t *testing.T) {
	k := newScales(t)
	k.day(70)
	k.want(k.types("Bracken 31.0"), "Bracken 31 kg.")
	k.want(k.types("Bracken 32.9 on 5 April"), "Bracken 32.9 kg on Sun 5 Apr")
	if d := k.dog("Bracken"); d.Weight != 31 {
		t.Errorf("it weighs %v", d.Weight)
	}
	k.want(k.types("Bracken 34.4 on 3 March"), "Bracken 34.4 kg on Tue 3 Mar")
	k.want(k.types("Bracken 31.2 on 4 March"), "31.2 kg for Bracken, after 34.4 kg on Tue 3 Mar")
	k.want(k.types("Bracken 34.9 on 20 February"), "Bracken 34.9 kg on Fri 20 Feb")
	if d := k.dog("Bracken"); d.Weight != 31 {
		t.Errorf("it weighs %v", d.Weight)
	}
}
