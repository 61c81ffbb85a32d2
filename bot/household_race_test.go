package bot

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"bowlwright/bot/talk"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// between is a store in which something happens between the reading and the
// writing of the next event.
type between struct {
	store.Store
	happens func()
}

func (b *between) Commit(ctx context.Context, c store.Commit) error {
	if do := b.happens; do != nil {
		b.happens = nil
		do()
	}
	return b.Store.Commit(ctx, c)
}

// raced returns a world in which what the function is given happens between
// the reading and the writing of the event that is handled next.
func raced(t *testing.T) (w *world, meanwhile func(func())) {
	b := &between{Store: storetest.NewMemory()}
	w = worldOn(t, b)
	return w, func(f func()) { b.happens = f }
}

func TestOneLinkTwoPersons(t *testing.T) {
	w, meanwhile := raced(t)
	w.quayside()
	payload := link(t, w.says("Ines", "/share"))
	meanwhile(func() { w.must(w.eventOf("Tomas", "/start "+payload, "")) })
	w.must(w.eventOf("Stranger", "/start "+payload, ""))
	if w.home("Tomas") != w.home("Ines") || w.home("Stranger") == w.home("Ines") {
		t.Errorf("one link let in: Tomas %q, Stranger %q", w.home("Tomas"), w.home("Stranger"))
	}
	wantText(t, w.read("x/Stranger"), "no longer works")
}

func TestLinkTakenBackMeanwhile(t *testing.T) {
	w, meanwhile := raced(t)
	w.quayside()
	rs := w.says("Ines", "/share")
	meanwhile(func() { w.must(w.eventOf("Ines", "", button(t, rs, "Take it back"))) })
	w.must(w.eventOf("Tomas", "/start "+link(t, rs), ""))
	if w.home("Tomas") == w.home("Ines") {
		t.Error("a link that was taken back let somebody in")
	}

	// The other way round: it is used while it is taken back.
	rs = w.says("Ines", "/share")
	meanwhile(func() { w.must(w.eventOf("Tomas", "/start "+link(t, rs), "")) })
	w.must(w.eventOf("Ines", "", button(t, rs, "Take it back")))
	wantText(t, w.read("x/Ines"), "Tomas has already used it")
	if w.home("Tomas") != w.home("Ines") {
		t.Error("a link that was used let nobody in")
	}
}

func TestRemovedMeanwhile(t *testing.T) {
	w, meanwhile := raced(t)
	w.quayside()
	w.invited("Tomas")
	sure := w.presses("Ines", button(t, w.says("Ines", "/household"), "Remove Tomas"))
	meanwhile(func() { w.must(w.eventOf("Ines", "", button(t, sure, "Yes"))) })
	w.must(w.eventOf("Tomas", "dog Pip 6.4 kg", ""))
	if s := w.state(w.home("Ines")); strings.Contains(s, "Pip") {
		t.Error("a removed carer added a dog")
	}
	if w.home("Tomas") == w.home("Ines") || !strings.Contains(w.state(w.home("Tomas")), "Pip") {
		t.Error("the dog is not in a household of the removed carer's own")
	}
}

// TestLastTwoLeaveAtOnce lets both leave while the other seems to stay:
// nothing may be lost, and one of them can come back.
func TestLastTwoLeaveAtOnce(t *testing.T) {
	w, meanwhile := raced(t)
	w.quayside()
	w.invited("Tomas")
	id := w.home("Ines")
	sures := map[string]string{}
	for _, p := range []string{"Ines", "Tomas"} {
		sures[p] = button(t, w.says(p, "leave"), "Leave")
	}
	w.read("x/Tomas")
	meanwhile(func() { w.must(w.eventOf("Ines", "", sures["Ines"])) })
	w.must(w.eventOf("Tomas", "", sures["Tomas"]))
	w.read("x/Ines")
	back := link(t, w.read("x/Tomas"))
	wantText(t, w.says("Ines", "/start "+back), "no longer works")
	wantText(t, w.says("Tomas", "/start "+back), "Welcome back", "Juniper")
	if w.home("Tomas") != id {
		t.Error("the household is lost")
	}
}

// TestOldHouseholdChangesMeanwhile joins another household while a carer of
// the old one changes it.
func TestOldHouseholdChangesMeanwhile(t *testing.T) {
	w, meanwhile := raced(t)
	w.quayside()
	w.says("Tomas", "dog Pip 6.4 kg")
	w.says("Stranger", "/start "+link(t, w.says("Tomas", "/share")))
	sure := w.says("Tomas", "/start "+link(t, w.says("Ines", "/share")))
	meanwhile(func() { w.must(w.eventOf("Stranger", "dog Bracken 34.8 kg", "")) })
	w.must(w.eventOf("Tomas", "", button(t, sure, "Join")))
	old := w.state(w.home("Stranger"))
	if !strings.Contains(old, `"name":"Bracken"`) || !strings.Contains(old, `"name":"Pip"`) {
		t.Errorf("the old household lost a change: %s", old)
	}
	if w.home("Tomas") != w.home("Ines") {
		t.Error("Tomas did not get there")
	}
}

// TestManyAtOnce has many people join, change and leave at the same time.
func TestManyAtOnce(t *testing.T) {
	const people = 9 // as many as can be invited at once, but one
	w := newWorld(t)
	w.quayside()
	id := w.home("Ines")
	var events [people][]talk.Event
	dogs := strings.Fields("Pipa Pipb Pipc Pipd Pipe Pipf Pipg Piph Pipi")
	for i := range people {
		name := fmt.Sprint("Carer ", i)
		w.says(name, "dog Own 10 kg")
		payload := link(t, w.says("Ines", "/share"))
		events[i] = []talk.Event{
			w.eventOf(name, "/start "+payload, ""), w.eventOf(name, "yes", ""), w.eventOf(name, "dog "+dogs[i]+" 12 kg", ""),
		}
	}
	var wg sync.WaitGroup
	for i := range people {
		wg.Go(func() {
			for _, e := range events[i] {
				if err := w.a.Handle(context.Background(), e); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	s := w.state(id)
	for i := range people {
		if name := fmt.Sprint("Carer ", i); w.home(name) != id || !strings.Contains(s, `"name":"`+dogs[i]+`"`) {
			t.Errorf("%s or what it added is not there: %s", name, text(w.read("x/"+name)))
		}
	}
}

// TestTwoBeginAGroup has two persons write the first messages of a group at
// the same time: they are one household.
func TestTwoBeginAGroup(t *testing.T) {
	w, meanwhile := raced(t)
	meanwhile(func() { w.must(w.inGroup("Ines", "/dog Juniper 19.6 kg", false)) })
	w.must(w.inGroup("Tomas", "/dog Bracken 34.8 kg", false))
	w.read(group)
	wantText(t, w.handle(w.inGroup("Ines", "/dog", false)), "Juniper", "Bracken")
}
