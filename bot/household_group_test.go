package bot

import (
	"context"
	"strings"
	"testing"

	"bowlwright/bot/talk"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

const group = "x/-100"

// inGroup is an event of a person in the group.
func (w *world) inGroup(person, text string, addressed bool) talk.Event {
	e := w.event(person)
	e.Chat, e.Text, e.Group, e.Addressed = group, text, true, addressed
	return e
}

func TestGroupHearsOnlyWhatIsMeant(t *testing.T) {
	for _, c := range []struct {
		text      string
		addressed bool
		answered  bool
	}{
		{"/today", false, true},
		{"/TODAY now", false, true},
		{"  /dog Pip 6.4 kg", false, true},
		{"/today@itsname", true, true},
		{"how much for a 12 kg dog?", true, true},
		{"today", true, true},
		{"today", false, false},
		{"how much for a 12 kg dog?", false, false},
		{"20.1", false, false},
		{"I saw no words in /today", false, false},
		{"can dogs eat grapes?", false, false},
		{"/today@another", false, false},
		{"/vote", false, false},
		{"/", false, false},
		{"", false, false},
		{"join-AAAA", false, false},
	} {
		w := newWorld(t)
		rs := w.handle(w.inGroup("Ines", c.text, c.addressed))
		if (len(rs) > 0) != c.answered {
			t.Errorf("%q, addressed %v: %s", c.text, c.addressed, text(rs))
		}
		if got := w.member(group, "") != ""; got != c.answered {
			t.Errorf("%q, addressed %v: a household is kept: %v", c.text, c.addressed, got)
		}
	}
}

func TestGroupIsTheHousehold(t *testing.T) {
	w := newWorld(t)
	w.handle(w.inGroup("Ines", "/dog Juniper 19.6 kg", false))
	wantText(t, w.handle(w.inGroup("Tomas", "/today", false)), "Juniper")
	rs := w.handle(w.inGroup("Tomas", "/undo", false))
	wantText(t, rs, "isn't yours: Juniper added (by Ines, 07:30)") // asked, since it is another's
	press := w.inGroup("Tomas", "", false)
	press.Press = button(t, rs, "Undo that")
	wantText(t, w.handle(press), "Taken back: Juniper added (by Ines, 07:30)")
	w.handle(w.inGroup("Tomas", "/dog Bracken 34.8 kg", false))
	rs = w.handle(w.inGroup("Tomas", "/household", false))
	wantText(t, rs, "Ines and Tomas (you)", "Bracken", "Everybody in the group counts as a carer")

	// What one types to the assistant in private is another household ...
	if rs := w.says("Tomas", "/household"); strings.Contains(text(rs), "Bracken") {
		t.Errorf("the group's dogs in private:\n%s", text(rs))
	}
	// ... until a link brings the person to that of the group.
	payload := link(t, w.handle(w.inGroup("Ines", "/share", false)))
	wantText(t, w.says("Tomas", "/start "+payload), "You and Ines feed together now", "Bracken")
	wantText(t, w.read(group), "Tomas has joined this household, invited by Ines")
	w.says("Tomas", "dog Pip 6.4 kg")
	wantText(t, w.handle(w.inGroup("Ines", "/dog", false)), "Pip", "Bracken")

	// Removed, the person is out in private, and the group is told what stays.
	sure := w.handle(w.inGroup("Ines", "/household", false))
	e := w.inGroup("Ines", "", false)
	e.Press = button(t, sure, "Remove Tomas")
	e2 := w.inGroup("Ines", "", false)
	e2.Press = button(t, w.handle(e), "Yes")
	wantText(t, w.handle(e2), "Tomas is removed", "take Tomas out of the group too")
	if w.home("Tomas") != "" {
		t.Error("the removed person still belongs to it in private")
	}
}

// TestButtonOfAnotherInTheGroup presses, as one person, the answer to a
// question that another was asked.
func TestButtonOfAnotherInTheGroup(t *testing.T) {
	w := newWorld(t)
	w.handle(w.inGroup("Ines", "/dog Juniper 19.6 kg", false))
	ask := w.inGroup("Ines", "", false)
	ask.Press = button(t, w.handle(w.inGroup("Ines", "/household", false)), "Leave")
	sure := w.handle(ask)
	press := w.inGroup("Tomas", "", false)
	press.Press = button(t, sure, "Leave, delete")
	wantText(t, w.handle(press), "closed")
	wantText(t, w.handle(w.inGroup("Ines", "/dog", false)), "Juniper")
}

func TestGroupBecomesAnother(t *testing.T) {
	w := newWorld(t)
	w.handle(w.inGroup("Ines", "/dog Juniper 19.6 kg", false))
	menu := w.handle(w.inGroup("Ines", "/dog", false))
	before := w.member(group, "")
	w.handle(w.inGroup("Ines", "/dog add", false)) // a question is open
	const later = "x/-100200"
	late := w.inGroup("Tomas", "/today", false)
	late.Chat = later
	w.handle(late) // the new group has been heard before the move is known
	for range 2 {  // each of the two groups tells of it
		if err := w.a.MoveChat(context.Background(), group, later); err != nil {
			t.Fatal(err)
		}
	}
	e := w.inGroup("Ines", "Bracken", true)
	e.Chat = later
	wantText(t, w.handle(e), "What does Bracken weigh?")
	e = w.inGroup("Ines", "", false)
	e.Chat, e.Press = later, button(t, menu, "Add a dog")
	wantText(t, w.handle(e), "name")
	if w.member(later, "") != before || w.member(group, "") != "" {
		t.Error("the group has lost its household")
	}
}

// TestMoveKeepsWhatIsOnItsWay moves a group with messages in the outbox.
func TestMoveKeepsWhatIsOnItsWay(t *testing.T) {
	w := newWorld(t)
	for _, s := range []string{"/dog Juniper 19.6 kg", "/today"} {
		if err := w.a.Handle(context.Background(), w.inGroup("Ines", s, false)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.a.MoveChat(context.Background(), group, "x/-2"); err != nil {
		t.Fatal(err)
	}
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		ms, err := tx.Pending("x/-2", 10)
		if len(ms) != 2 {
			t.Errorf("%d messages are on their way, want 2", len(ms))
		}
		return err
	})
}

// TestGroupLeaves takes a group out of its household, with and without a
// private chat that goes on in it.
func TestGroupLeaves(t *testing.T) {
	for _, private := range []bool{false, true} {
		w := newWorld(t)
		w.handle(w.inGroup("Ines", "/dog Juniper 19.6 kg", false))
		w.handle(w.inGroup("Tomas", "/today", false))
		id := w.member(group, "")
		if private {
			w.says("Ines", "/start "+link(t, w.handle(w.inGroup("Ines", "/share", false))))
		}
		sure := w.handle(w.inGroup("Tomas", "/leave", false))
		press := w.inGroup("Tomas", "", false)
		press.Press = button(t, sure, "Leave")
		rs := w.handle(press)
		if w.member(group, "") != "" {
			t.Errorf("private chat %v: the group is still in it", private)
		}
		if private {
			wantText(t, sure, "Take this group out")
			wantText(t, w.read("x/Ines"), "Tomas has taken the group out")
			// Tomas was there by the group alone.
			wantText(t, w.says("Ines", "/household"), "Carer: Ines (you).", "Juniper")
			continue
		}
		wantText(t, sure, "This group is the whole household")
		back := link(t, rs)
		if w.says("Ines", "/start "+back); w.home("Ines") == id {
			t.Error("the way back is open to another")
		}
		wantText(t, w.handle(w.inGroup("Tomas", "/start "+back, false)), "Juniper")
		if w.member(group, "") != id {
			t.Error("the group has lost its household")
		}
	}
}

func TestGroupStopsADialogue(t *testing.T) {
	w := newWorld(t)
	w.handle(w.inGroup("Ines", "/dog", false))
	wantText(t, w.handle(w.inGroup("Ines", "/cancel", false)), "Stopped")
}
