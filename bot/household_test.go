package bot

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// names are what people may be called.
var names = []string{`<b>x</b>&"`, "{name}", "a:b:c", "  two\n lines ", "", "naïve 🐕", strings.Repeat("ä", 500), "%s", "_*[x](y)*_"}

func TestNamesAreShownAsTyped(t *testing.T) {
	for _, name := range names {
		w := newWorld(t)
		e := w.event("Ines")
		e.Name, e.Text = name, "dog Pip 6.4 kg"
		w.handle(e)
		want := strings.Join(strings.Fields(name), " ")
		switch {
		case want == "":
			want = "somebody"
		case len([]rune(want)) > 40:
			want = string([]rune(want)[:39]) + "…"
		}
		e = w.event("Ines")
		e.Name, e.Text = name, "/household"
		wantText(t, w.handle(e), "Carer: "+want+" (you).")
		e = w.event("Ines")
		e.Name, e.Text = name, "/share"
		w.says("Tomas", "/start "+link(t, w.handle(e)))
		rs := w.says("Tomas", "/undo")
		wantText(t, rs, "Pip added (by "+want+", 07:30)")
		sure := w.presses("Tomas", button(t, w.says("Tomas", "/household"), "Remove "+want))
		w.presses("Tomas", button(t, sure, "Yes"))
		if w.home("Ines") != "" {
			t.Errorf("%q cannot be removed", name)
		}
	}
}

// TestNewName follows a carer who changes their name.
func TestNewName(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	w.invited("Tomas")
	e := w.event("Tomas")
	e.Name, e.Text = "Tomas R.", "/help"
	w.handle(e)
	wantText(t, w.says("Ines", "/household"), "Ines (you) and Tomas R..")
}

func TestLeavingAlone(t *testing.T) {
	for _, c := range []struct {
		press string
		days  int
		kept  bool // the way back opens
		there bool // the data is there after a clean-up
	}{
		{"Leave, keep", 0, true, true},
		{"Leave, keep", 29, true, true},
		{"Leave, keep", 30, false, false},
		{"Leave, delete", 0, false, false},
	} {
		w := newWorld(t)
		w.quayside()
		id := w.home("Ines")
		rs := w.presses("Ines", button(t, w.says("Ines", "leave"), c.press))
		payload := "join-gone"
		if c.kept || c.days > 0 {
			payload = link(t, rs)
		}
		w.at = w.at.AddDate(0, 0, c.days)
		if err := w.a.Forget(context.Background(), w.at); err != nil {
			t.Fatal(err)
		}
		w.update(func(tx store.Snapshot, put storetest.Put) error {
			_, err := tx.Household(id)
			if (err == nil) != c.there {
				t.Errorf("%s, after %d days: the household: %v", c.press, c.days, err)
			}
			return nil
		})
		back := w.says("Ines", "/start "+payload)
		if got := strings.Contains(text(back), "Juniper"); got != c.kept {
			t.Errorf("%s, after %d days: %s", c.press, c.days, text(back))
		}
		// Who came back stays.
		w.at = w.at.AddDate(1, 0, 0)
		if err := w.a.Forget(context.Background(), w.at); err != nil {
			t.Fatal(err)
		}
		if c.kept && w.home("Ines") != id {
			t.Errorf("%s, after %d days: what was taken up again is forgotten", c.press, c.days)
		}
	}
}

// TestForgetMany forgets many households, but not one that has somebody again.
func TestForgetMany(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		for i := range 250 {
			if err := put(store.PutEnding{Household: strings.Repeat("z", 1+i), At: w.at}); err != nil {
				return err
			}
		}
		return put(store.PutEnding{Household: w.homeIn(tx, "Ines"), At: w.at}) // somebody belongs to it
	})
	if err := w.a.Forget(context.Background(), w.at.Add(time.Second)); err != nil {
		t.Error(err)
	}
	w.update(func(tx store.Snapshot, _ storetest.Put) error {
		left, err := tx.Endings(w.at.Add(time.Second), 1)
		if len(left) > 0 {
			t.Errorf("%q is still to be forgotten", left)
		}
		return err
	})
	wantText(t, w.says("Ines", "/dog"), "Juniper")
}

// brokenOff is a store that fails after some commits.
type brokenOff struct {
	store.Store
	left int
}

func (b *brokenOff) Commit(ctx context.Context, c store.Commit) error {
	if b.left--; b.left < 0 {
		return &store.Error{Code: store.Full, Op: "commit"}
	}
	return b.Store.Commit(ctx, c)
}

// TestForgetInSteps breaks off the forgetting of a household with a long journal
// after each commit: it goes on, and ends with the household.
func TestForgetInSteps(t *testing.T) {
	w := newWorld(t)
	err := storetest.Change(context.Background(), w.store, func(_ store.Snapshot, put storetest.Put) error {
		for n := range 2500 {
			put(store.PutEntry{Household: "mill", Entry: planner.Entry{ID: fmt.Sprint("n", n), Kind: planner.Fed, Dog: "d1", At: w.at}})
		}
		return put(store.PutHousehold{Household: &planner.Household{ID: "mill"}}, store.PutEnding{Household: "mill", At: w.at})
	})
	if err != nil {
		t.Fatal(err)
	}
	there := true
	for steps := 1; there; steps++ {
		broken := NewAssistant(&brokenOff{w.store, 1}, nutrition.Default())
		failed := broken.Forget(context.Background(), w.at)
		w.update(func(tx store.Snapshot, _ storetest.Put) error {
			left, err := tx.Entries("mill", store.EntryQuery{})
			_, home := tx.Household("mill")
			if there = home == nil; there && len(left) != 2500-1000*steps || !there && len(left) > 0 {
				t.Fatalf("after %d commits %d entries are left, the household is there: %v", steps, len(left), there)
			}
			return err
		})
		if there && failed == nil {
			t.Error("it was not broken off")
		}
	}
}

func (w *world) homeIn(tx store.Snapshot, person string) string {
	id, err := tx.Member("x/"+person, "x/"+person)
	if err != nil {
		w.t.Fatal(err)
	}
	return id
}

// TestOldQuestion answers the question whether to delete everything after the
// person has done something else, and long after it was asked.
func TestOldQuestion(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	id := w.home("Ines")
	sure := w.says("Ines", "leave")
	w.says("Ines", "how much for Juniper?")
	wantText(t, w.presses("Ines", button(t, sure, "Leave, delete")), "closed")
	sure = w.says("Ines", "leave")
	w.at = w.at.Add(61 * time.Minute)
	wantText(t, w.presses("Ines", button(t, sure, "Leave, delete")), "closed")
	if w.home("Ines") != id {
		t.Error("an old button deleted a household")
	}
}

// TestWhatIsTypedGoesAlong joins in the middle of adding a dog.
func TestWhatIsTypedGoesAlong(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	w.says("Tomas", "/dog")
	w.says("Tomas", "Pip")
	rs := w.says("Tomas", "/start "+link(t, w.says("Ines", "/share")))
	wantText(t, w.presses("Tomas", button(t, rs, "Go on")), "Pip")
	// What is about a dog of the old household does not: here it is another.
	w = newWorld(t)
	w.quayside()
	w.says("Tomas", "dog Pip 6.4 kg")
	e := w.presses("Tomas", button(t, w.says("Tomas", "dog Pip"), "Edit"))
	w.presses("Tomas", button(t, e, "Weight"))
	sure := w.says("Tomas", "/start "+link(t, w.says("Ines", "/share")))
	w.presses("Tomas", button(t, sure, "Join, keep"))
	before := w.state(w.home("Ines"))
	w.says("Tomas", "7.1")
	w.says("Tomas", "stop")
	if after := w.state(w.home("Ines")); strings.Contains(after, "7.1") {
		t.Errorf("an open question changed another dog:\n%s\n%s", before, after)
	}
}

func TestTooManyInvitations(t *testing.T) {
	w := newWorld(t)
	for range 10 {
		link(t, w.says("Ines", "/share"))
	}
	rs := w.says("Ines", "/share")
	wantText(t, rs, "10 invitations are open")
	w.presses("Ines", button(t, rs, "Take back"))
	link(t, w.says("Ines", "/share"))
	// Those that are over are forgotten and take no room.
	w.at = w.at.AddDate(0, 0, 7)
	link(t, w.says("Ines", "/share"))
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		invites, err := tx.Invites(w.homeIn(tx, "Ines"))
		if len(invites) != 1 {
			t.Errorf("%d invitations are kept, want 1", len(invites))
		}
		return err
	})
}

// TestFileOpensNothing looks for a link's payload in what is stored.
func TestFileOpensNothing(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	payload := link(t, w.says("Ines", "invite Tomas"))
	if s := w.state(w.home("Ines")); strings.Contains(s, payload[len("join-"):]) || !strings.Contains(s, `"for":"Tomas"`) {
		t.Errorf("the invitation as kept: %s", s)
	}
}

// reminderPresses are buttons of reminders, weights and all that recurs, and
// such as no household has: without a stamp, of a day that there is not, of
// times without number.
var reminderPresses = []string{
	"due", "due:fed", "due:fed:n5", "due:fed:n5:", "due:fed:n5:202603020700", "due:again:n5:202603020700", "due:skip:n6:202603020700",
	"due:other:n5:202603020700", "due:eat:n5:202603020700:r3", "due:eat:n5:202603020700:nowhere", "due:given:n7:202603020730",
	"due:miss:n7:202603020730", "due:days:n7:202603020730", "due:done:n7:202603020730", "due:later:n5:202603020700:99999999999999999999",
	"due:later:n5:202603020700:-30", "due:fed:n5:202602300700", "due:fed:n5:000001010000", "due:fed:n5:999912312359", "due:nothing:n5:202603020700",
	"feed", "feed:d1", "treat", "treat:d1:40", "treat:d1:-1e308", "weigh", "weigh:trend:d1", "weigh:goal:d1", "score:d1", "score:d1:9:9:9",
	"rotation", "rotation:skip:d1", "transition", "stool:d1:20260302:loose", "stool:d1:20260230:loose", "supplement:n7", "supplement:stock:n7:-1",
	"remind", "remind:off:n5", "meals:d1", "pause", "pause:on:20260399", "quiet:25", "export:weights:d1", "export:recipe:", "today:x",
}

func FuzzPress(f *testing.F) {
	w := newWorld(f)
	w.quayside()
	for i, data := range everyButton(w, "Ines", 60) {
		if i%12 > 0 && os.Getenv("BOWLWRIGHT_LONG") == "" {
			continue // TestButtonsOfAnotherHousehold presses them all
		}
		f.Add(data)
		_, rest, _ := strings.Cut(data, ":")
		f.Add(rest)
	}
	for _, data := range []string{"", ":", "::", "x", "carers", "\xff:\x00", strings.Repeat("a:", 40)} {
		f.Add(data)
	}
	for _, data := range reminderPresses {
		f.Add(data)
	}
	before := newWorld(f)
	before.quayside()
	before.says("Ines", "feed all dogs at 7 and 18")
	before.says("Ines", "remind me to give Juniper vitamin E 200 IU every 3 days at 07:30")
	before.says("Stranger", "dog Pip 6.4 kg")
	f.Fuzz(func(t *testing.T, data string) {
		w := before.copied(t)
		theirs := w.state(w.home("Ines"))
		mark, _, _ := strings.Cut(button(t, w.says("Ines", "/household"), "Invite"), ":")
		own, _, _ := strings.Cut(button(t, w.says("Stranger", "/household"), "Invite"), ":")
		for _, d := range []string{data, mark + ":" + data, own + ":" + data} {
			if d == "" {
				continue
			}
			if rs := w.presses("Stranger", d); len(rs) == 0 {
				t.Errorf("%q is not answered", d)
			}
			if w.state(w.home("Ines")) != theirs {
				t.Fatalf("%q changed another household", d)
			}
		}
		w.presses("Ines", mark+":"+data) // in one's own anything but a failure
	})
}

func FuzzStart(f *testing.F) {
	for _, p := range []string{"", "join-", "join-" + strings.Repeat("A", 32), "join-\x00", "x", strings.Repeat("-", 64), "\u202e"} {
		f.Add(p)
	}
	before := newWorld(f)
	before.quayside()
	f.Fuzz(func(t *testing.T, payload string) {
		w := before.copied(t)
		good := link(t, w.says("Ines", "/share"))
		theirs := w.state(w.home("Ines"))
		e := w.event("Stranger")
		e.Text = "/start " + payload
		rs := w.handle(e)
		if strings.Contains(payload, good) {
			return
		}
		if len(rs) == 0 {
			t.Errorf("%q is not answered", payload)
		}
		if w.home("Stranger") == w.home("Ines") || w.state(w.home("Ines")) != theirs {
			t.Errorf("%q opened a household", payload)
		}
	})
}
