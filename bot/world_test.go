package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// world is a store with an assistant on it, a clock, and what has been said in
// each chat. What a conversation alone shows is a script of terminal/testdata;
// here is what needs old buttons, faults, several at once, or a look into the
// store.
type world struct {
	t     testing.TB
	store store.Store
	a     *talk.Assistant
	at    time.Time
	n     int
	said  map[string][]say.Reply // by chat, since it was last asked
}

func newWorld(t testing.TB) *world {
	return worldOn(t, storetest.NewMemory())
}

func worldOn(t testing.TB, s store.Store) *world {
	return &world{
		t: t, store: s, a: NewAssistant(s, nutrition.Default()), said: map[string][]say.Reply{},
		at: time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC),
	}
}

// copied is a world in which all of that has happened which did here, for a test of
// its own. What was said and not read stays here.
func (w *world) copied(t testing.TB) *world {
	c := worldOn(t, w.store.(*storetest.Memory).Copy())
	c.at, c.n = w.at, w.n
	return c
}

// event is one of a person in a private chat of the same name.
func (w *world) event(person string) talk.Event {
	w.n++
	return talk.Event{ID: fmt.Sprint("e", w.n), Chat: "x/" + person, Person: "x/" + person, Name: person, At: w.at}
}

func (w *world) eventOf(person, text, press string) talk.Event {
	e := w.event(person)
	e.Text, e.Press = text, press
	return e
}

// handle handles an event and returns what it says in its chat.
func (w *world) handle(e talk.Event) []say.Reply {
	w.t.Helper()
	w.must(e)
	return w.read(e.Chat)
}

func (w *world) must(e talk.Event) {
	w.t.Helper()
	if err := w.a.Handle(context.Background(), e); err != nil {
		w.t.Fatalf("%q %q: %v", e.Text, e.Press, err)
	}
}

// read delivers everything and returns what was said in a chat since it was
// read last.
func (w *world) read(chat string) []say.Reply {
	w.t.Helper()
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		ms, err := tx.Pending("", 1000)
		for _, m := range ms {
			r, err := say.DecodeReply(m.Body)
			if err != nil {
				return err
			}
			w.said[m.Chat] = append(w.said[m.Chat], r)
			if err := put(store.Delivered(m.Number)); err != nil {
				return err
			}
		}
		return err
	})
	out := w.said[chat]
	delete(w.said, chat)
	return out
}

func (w *world) update(f func(store.Snapshot, storetest.Put) error) {
	w.t.Helper()
	if err := storetest.Change(context.Background(), w.store, f); err != nil {
		w.t.Fatal(err)
	}
}

// says has a person type something.
func (w *world) says(person, text string) []say.Reply {
	w.t.Helper()
	return w.handle(w.eventOf(person, text, ""))
}

// presses has a person press a button, by its data.
func (w *world) presses(person, data string) []say.Reply {
	w.t.Helper()
	return w.handle(w.eventOf(person, "", data))
}

// pass lets the time pass up to a day of March and a clock, says on the way
// what falls due, and returns what Ines was told.
func (w *world) pass(day, hour, minute int) []say.Reply {
	w.t.Helper()
	to := time.Date(2026, 3, day, hour, minute, 0, 0, time.UTC)
	for {
		var next time.Time
		w.update(func(tx store.Snapshot, _ storetest.Put) (err error) {
			next, err = store.NextDue(tx)
			return err
		})
		if next.IsZero() || next.After(to) {
			w.at = to
			return w.read("x/Ines")
		}
		w.at = next
		w.tick()
	}
}

// tick says what is due now.
func (w *world) tick() talk.TickResult {
	w.t.Helper()
	r, err := w.a.Tick(context.Background(), w.at)
	if err != nil {
		w.t.Fatal(err)
	}
	return r
}

// home is the household of a person in a private chat, empty where none.
func (w *world) home(person string) string {
	return w.member("x/"+person, "x/"+person)
}

func (w *world) member(chat, person string) (id string) {
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		id, _ = tx.Member(chat, person)
		return nil
	})
	return id
}

// house is the household of Ines as it is kept.
func (w *world) house() (h *planner.Household) {
	w.t.Helper()
	id := w.home("Ines")
	w.update(func(tx store.Snapshot, _ storetest.Put) (err error) {
		h, err = tx.Household(id)
		return err
	})
	return h
}

// dog is one of hers.
func (w *world) dog(name string) planner.Dog {
	w.t.Helper()
	for _, d := range w.house().Dogs {
		if d.Name == name {
			return d
		}
	}
	w.t.Fatalf("no dog %s", name)
	return planner.Dog{}
}

// entries are those of some kinds in her journal, of all where none is named.
func (w *world) entries(kinds ...planner.EntryKind) (all []planner.Entry) {
	w.t.Helper()
	id := w.home("Ines")
	w.update(func(tx store.Snapshot, _ storetest.Put) (err error) {
		all, err = tx.Entries(id, store.EntryQuery{Kinds: kinds})
		return err
	})
	return all
}

// change changes the household of Ines behind the assistant's back.
func (w *world) change(f func(h *planner.Household, tx store.Snapshot, put storetest.Put) error) {
	w.t.Helper()
	home := w.home("Ines")
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household(home)
		if err != nil {
			return err
		}
		if err := f(h, tx, put); err != nil {
			return err
		}
		h.Rev++
		return put(store.PutHousehold{Household: h})
	})
}

// state is everything that a household is and has, as text.
func (w *world) state(household string) string {
	var out strings.Builder
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household(household)
		if err != nil {
			return err
		}
		members, _ := tx.Members(household)
		invites, _ := tx.Invites(household)
		last, _ := tx.Change(household, 0)
		return json.NewEncoder(&out).Encode([]any{h, members, invites, last})
	})
	return out.String()
}

// text is all that some replies show.
func text(rs []say.Reply) string {
	var b strings.Builder
	for _, r := range rs {
		for _, block := range r.Body {
			b.WriteString(block.Text + "\n")
		}
		if r.Picture != nil {
			b.WriteString(r.Picture.Alt + "\n")
		}
		if r.Start != "" {
			b.WriteString("/start " + r.Start + "\n")
		}
		for _, row := range r.Buttons {
			for _, button := range row {
				b.WriteString("[" + button.Label + "] ")
			}
		}
	}
	return b.String()
}

// buttons are those under some replies.
func buttons(rs []say.Reply) (all []say.Button) {
	for _, r := range rs {
		for _, row := range r.Buttons {
			all = append(all, row...)
		}
	}
	return all
}

// button is the data of the button that a label begins.
func button(t testing.TB, rs []say.Reply, label string) string {
	t.Helper()
	for _, b := range buttons(rs) {
		if strings.HasPrefix(b.Label, label) {
			return b.Data
		}
	}
	t.Fatalf("no button %q under %s", label, text(rs))
	return ""
}

var linkForm = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// link is the payload of the link in some replies.
func link(t testing.TB, rs []say.Reply) string {
	t.Helper()
	for _, r := range rs {
		if r.Start != "" {
			if !linkForm.MatchString(r.Start) {
				t.Errorf("%q is no start payload", r.Start)
			}
			return r.Start
		}
	}
	t.Fatalf("no link in %s", text(rs))
	return ""
}

// wantText fails unless some replies show each of some texts.
func wantText(t testing.TB, rs []say.Reply, want ...string) {
	t.Helper()
	for _, s := range want {
		if !strings.Contains(text(rs), s) {
			t.Errorf("%q is not in:\n%s", s, text(rs))
		}
	}
}

// quayside fills the household of Ines.
func (w *world) quayside() {
	w.says("Ines", "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	w.says("Ines", "dog Bracken 34.8 kg 8 years neutered male low activity 7/9 healthy")
	w.says("Ines", "recipe Quay bowl\n500 g turkey thigh, no skin\n150 g beef heart\n60 g chicken liver")
	w.says("Ines", "recipe Rabbit and kale\n400 g turkey thigh, no skin\n50 g kale, cooked")
}

// newKitchen is the household of Ines and Tomas early on Monday 2 March: two
// dogs with reminders of their meals, a capsule every third day, of which three
// are left, the freezer in the evening and the vet the day after.
func newKitchen(t testing.TB, s store.Store) *world {
	w := worldOn(t, s)
	w.at = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)
	w.quayside()
	w.says("Ines", "Bracken eats Rabbit and kale")
	w.says("Ines", "how much for Juniper?")
	w.says("Ines", "how much for Bracken?")
	meals := w.presses("Ines", button(t, w.says("Ines", "feed Juniper and Bracken at 7:30 and 18:00"), "At each meal"))
	w.presses("Ines", button(t, w.presses("Ines", button(t, meals, "Freezer")), "20:00"))
	w.says("Ines", "remind me to give Juniper vitamin E 1 capsule 200 IU every 3 days at 8:00")
	w.says("Ines", "stock 3 capsules of vitamin E")
	w.says("Ines", "remind me vet tomorrow at 10:00")
	w.invited("Tomas")
	w.read("x/Ines")
	return w
}

// invited brings a person into the household of Ines.
func (w *world) invited(person string) {
	w.t.Helper()
	w.says(person, "/start "+link(w.t, w.says("Ines", "/share")))
	if w.home(person) != w.home("Ines") {
		w.t.Fatalf("%s was not let in", person)
	}
}
