package talk

import (
	"context"
	"fmt"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// talker is a person in a chat with an assistant that has no room but one of the
// test's own: "/testing" does what the test wants in a turn.
type talker struct {
	t    *testing.T
	a    *Assistant
	s    store.Store
	do   func(t *Turn)
	name string
	n    int
}

var talkTime = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

func newTalker(t *testing.T) *talker {
	k := &talker{t: t, s: storetest.NewMemory(), name: "Ines"}
	k.on(k.s)
	k.turnOf(func(t *Turn) {
		t.Mutate("did.testing", "Juniper")
		d := planner.Dog{ID: "d1", Name: "Juniper", Weight: 19.6, Born: talkTime.AddDate(-4, 0, 0)}
		t.Home.Dogs = append(t.Home.Dogs, d)
		NoteDog(t, planner.Dog{}, d)
	})
	return k
}

// on has the talker speak with an assistant on a store.
func (k *talker) on(s store.Store) {
	testing := Room{
		Words:    say.Catalogue{"did.testing": "a test with {about}"},
		Commands: map[string]Command{"testing": {Do: func(t *Turn, _ string) { k.do(t); t.Say(say.Para("done")) }}},
	}
	k.a = NewAssistant(s, nutrition.Default(), Compose(Hearing{Lost: func(*Turn, string) {}}, OwnRoom(), testing))
}

func (k *talker) event(text string) Event {
	k.n++
	return Event{ID: fmt.Sprintf("%s/%d", k.name, k.n), Chat: "test/" + k.name, Person: "test/" + k.name, Name: k.name,
		At: talkTime.Add(time.Duration(k.n) * time.Minute), Text: text}
}

func (k *talker) send(e Event) {
	k.t.Helper()
	if err := k.a.Handle(context.Background(), e); err != nil {
		k.t.Fatalf("%q: %v", e.Text, err)
	}
}

// turnOf has the talker take a turn that does nothing but f.
func (k *talker) turnOf(f func(t *Turn)) Event {
	k.t.Helper()
	k.do = f
	e := k.event("/testing")
	k.send(e)
	return e
}
