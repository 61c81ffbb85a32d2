package bot_test

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// world is a store with an assistant on it, and what has been said in each
// chat.
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
		t: t, store: s, a: bot.NewAssistant(s, nutrition.Default()), said: map[string][]say.Reply{},
		at: time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC),
	}
}

// event is one of a person in a private chat of the same name.
func (w *world) event(person string) talk.Event {
	w.n++
	return talk.Event{ID: fmt.Sprint("e", w.n), Chat: "x/" + person, Person: "x/" + person, Name: person, At: w.at}
}

// handle handles an event and returns what it says in its chat.
func (w *world) handle(e talk.Event) []say.Reply {
	w.t.Helper()
	if err := w.a.Handle(context.Background(), e); err != nil {
		w.t.Fatalf("%q %q: %v", e.Text, e.Press, err)
	}
	return w.read(e.Chat)
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
	e := w.event(person)
	e.Text = text
	return w.handle(e)
}

// presses has a person press a button, by its data.
func (w *world) presses(person, data string) []say.Reply {
	w.t.Helper()
	e := w.event(person)
	e.Press = data
	return w.handle(e)
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
		last, _ := tx.LastChange(household)
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

// button is the data of the button that a label begins.
func button(t testing.TB, rs []say.Reply, label string) string {
	t.Helper()
	for _, r := range rs {
		for _, row := range r.Buttons {
			for _, b := range row {
				if strings.HasPrefix(b.Label, label) {
					return b.Data
				}
			}
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
	w.says("Ines", "dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	w.says("Ines", "dog Bracken 34.8 kg 8 years neutered male low activity 7/9")
	w.says("Ines", "recipe Quay bowl\n500 g turkey thigh, no skin\n150 g beef heart\n60 g chicken liver")
	w.says("Ines", "recipe Rabbit and kale\n400 g turkey thigh, no skin\n50 g kale, cooked")
}

// invited brings a person into the household of Ines.
func (w *world) invited(person string) {
	w.t.Helper()
	w.says(person, "/start "+link(w.t, w.says("Ines", "/share")))
	if w.home(person) != w.home("Ines") {
		w.t.Fatalf("%s was not let in", person)
	}
}
