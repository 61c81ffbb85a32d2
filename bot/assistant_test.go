package bot

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// talker is a person in a chat with an assistant on a store in memory.
type talker struct {
	t    *testing.T
	a    *talk.Assistant
	s    store.Store
	name string
	n    int
	do   func(t *talk.Turn) // what /testing does
}

func newTalker(t *testing.T) *talker {
	s := storetest.NewMemory()
	k := &talker{t: t, s: s, name: "Ines"}
	k.a = talk.NewAssistant(s, nutrition.Default(), rooms(talk.Room{
		Commands: map[string]talk.Command{"testing": {Do: func(t *talk.Turn, _ string) { k.do(t); t.Say(say.Para("done")) }}},
	}))
	return k
}

var talkTime = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

func (k *talker) event(text, press string) talk.Event {
	k.n++
	return talk.Event{ID: fmt.Sprintf("%s/%d", k.name, k.n), Chat: "test/" + k.name, Person: "test/" + k.name, Name: k.name,
		At: talkTime.Add(time.Duration(k.n) * time.Minute), Text: text, Press: press}
}

// say sends a message and returns the replies.
func (k *talker) say(text string) []say.Reply { return k.send(k.event(text, "")) }

func (k *talker) send(e talk.Event) []say.Reply {
	k.t.Helper()
	if err := k.a.Handle(context.Background(), e); err != nil {
		k.t.Fatalf("%q: %v", e.Text+e.Press, err)
	}
	return k.take(e.Chat)
}

// take empties the outbox of a chat.
func (k *talker) take(chat string) []say.Reply {
	k.t.Helper()
	var out []say.Reply
	err := storetest.Change(context.Background(), k.s, func(tx store.Snapshot, put storetest.Put) error {
		pending, err := tx.Pending(chat, 1000)
		if err != nil {
			return err
		}
		for _, m := range pending {
			r, err := say.DecodeReply(m.Body)
			if err != nil {
				return err
			}
			out = append(out, r)
			if err := put(store.Delivered(m.Number)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return out
}

// textOf is all that replies say.
func textOf(replies []say.Reply) string {
	var b strings.Builder
	for _, r := range replies {
		for _, block := range r.Body {
			b.WriteString(block.Text + "\n")
		}
	}
	return b.String()
}

// TestEveryFoodIsAnswered asks of every food of the table whether dogs may
// have it, in common wordings.
func TestEveryFoodIsAnswered(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	wordings := []string{"can dogs eat %s?", "can Juniper have %s?", "is %s safe for dogs?", "can she eat %s"}
	for i, f := range nutrition.Default().Foods() {
		if f.Has(nutrition.Supplement) {
			continue
		}
		got := textOf(k.say(fmt.Sprintf(wordings[i%len(wordings)], f.Name)))
		first, _, _ := strings.Cut(got, "\n")
		if how := recipes.HowMay((&talk.Turn{Home: &planner.Household{}}), f); !strings.HasPrefix(first, strings.Split(rooms().Msg("may."+how, "food", f.Name, "kcal", "|"), "|")[0]) {
			t.Errorf("%s: %q", fmt.Sprintf(wordings[i%len(wordings)], f.Name), got)
		}
	}
}

// refusedWords name each refused food as carers do (FEDIAF annex on risks of
// some human foods; FDA and veterinary poison-line lists, from memory).
var refusedWords = map[string]string{
	"grape": "grapes", "allium": "onion", "chocolate": "dark chocolate", "caffeine": "coffee", "xylitol": "xylitol gum",
	"macadamia": "macadamia nuts", "alcohol": "beer", "dough": "raw bread dough", "hops": "hops", "cooked-bone": "cooked chicken bones",
	"mould": "mouldy cheese", "avocado": "avocado", "nutmeg": "nutmeg", "salt-excess": "salt water", "fruit-stone": "cherry stones",
	"green-potato": "green potatoes", "rhubarb-leaf": "rhubarb leaves", "sulphite": "pet mince",
}

func TestEveryRefusedFoodIsRefused(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	for _, key := range nutrition.RefusalKeys {
		words, ok := refusedWords[key]
		if !ok {
			t.Errorf("no wording for %q", key)
			continue
		}
		for _, wording := range []string{"can dogs eat %s?", "can she have %s?", "is %s bad for dogs?"} {
			got := textOf(k.say(fmt.Sprintf(wording, words)))
			if !strings.HasPrefix(got, "No ") || !strings.Contains(got, rooms().Msg("refuse."+key)) {
				t.Errorf("%s: %q", fmt.Sprintf(wording, words), got)
			}
		}
		if key == "sulphite" {
			continue // eaten once, it is nothing to call a vet for
		}
		got := k.say("she ate some " + words)
		first := rooms().Msg("urgent.now")
		if key == "cooked-bone" {
			first = rooms().Msg("urgent.today") // where nothing more is told
		}
		if text := textOf(got); len(got) != 1 || !strings.HasPrefix(text, first+"\n"+rooms().Msg("refuse."+key)+"\nDo not wait for signs") {
			t.Errorf("she ate some %s: %q", words, text)
		}
	}
}

// TestRepeatedEventChangesNothing delivers one event twice.
func TestRepeatedEventChangesNothing(t *testing.T) {
	k := newTalker(t)
	e := k.event("dog Pip 6.4 kg", "")
	first := k.send(e)
	if again := k.send(e); len(first) != 1 || len(again) != 0 {
		t.Errorf("%d replies, then %d", len(first), len(again))
	}
	if got := textOf(k.say("/dog")); !strings.Contains(got, "1 dog") {
		t.Errorf("after a repeated event: %q", got)
	}
}

// TestForeignButtonDoesNothing presses a button of one household in another.
func TestForeignButtonDoesNothing(t *testing.T) {
	ines := newTalker(t)
	stranger := &talker{t: t, a: ines.a, s: ines.s, name: "Stranger"}
	ines.say("dog Juniper 19.6 kg")
	stranger.say("dog Bracken 34.8 kg")
	for _, row := range textButtons(ines.say("/dog Juniper")) {
		got := textOf(stranger.send(stranger.event("", row.Data)))
		if got != rooms().Msg("press.foreign")+"\n" {
			t.Errorf("%s pressed elsewhere: %q", row.Label, got)
		}
	}
	if got := textOf(stranger.say("/dog Bracken")); !strings.Contains(got, "34.8 kg") {
		t.Errorf("the stranger's dog: %q", got)
	}
}

func textButtons(replies []say.Reply) []say.Button {
	var out []say.Button
	for _, r := range replies {
		for _, row := range r.Buttons {
			out = append(out, row...)
		}
	}
	return out
}

// TestButtonDataFits holds every button of a long conversation to the 64
// bytes that a phone's platform takes.
func TestButtonDataFits(t *testing.T) {
	k := newTalker(t)
	for _, text := range []string{"/start", "dog Juniper 19.6 kg 4 years spayed moderate 5/9", "/dog", "/dog Juniper",
		"recipe A\n300 g pink salmon, canned without salt\n100 g chicken dark meat, boneless, no skin\n50 g beef liver\n100 g salmon",
		"#", "/settings", "is A complete?", "balance A", "swap the salmon", "/scale", "/recipe", "/food", "food salmon"} {
		for _, b := range textButtons(k.say(text)) {
			if len(b.Data) < 1 || len(b.Data) > 64 || b.Label == "" {
				t.Errorf("after %q: button %q has data %q of %d bytes", text, b.Label, b.Data, len(b.Data))
			}
		}
	}
}

// TestConcurrentEvents sends events of one household at once: none is lost.
func TestConcurrentEvents(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg")
	const dogs = 20
	var events []talk.Event
	for i := range dogs {
		events = append(events, k.event(fmt.Sprintf("dog Pup%c 10 kg", 'a'+i), ""))
	}
	var wg sync.WaitGroup
	for _, e := range events {
		wg.Go(func() {
			if err := k.a.Handle(context.Background(), e); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	k.take("test/Ines")
	if got := textOf(k.say("/dog")); !strings.Contains(got, fmt.Sprintf("%d dogs", dogs+1)) {
		t.Errorf("after %d events at once: %q", dogs, got)
	}
}

// TestTroubleIsSaidPlainly holds that no technical text reaches a person.
func TestTroubleIsSaidPlainly(t *testing.T) {
	for _, code := range []store.Code{store.Busy, store.ReadOnly, store.Full, store.Newer, store.Damaged, store.Internal, store.NotFound} {
		got := talk.TroubleText(&store.Error{Code: code, Op: "secret operation", Err: errors.New("secret cause")})
		if got == "" || strings.Contains(got, "secret") {
			t.Errorf("%s: %q", code, got)
		}
	}
	if got := talk.TroubleText(errors.New("secret")); got != rooms().Msg("trouble.internal") {
		t.Errorf("an unknown error: %q", got)
	}
}

// TestNamesOfDogsAreShownAsTyped keeps what looks like markup as it is.
func TestNamesOfDogsAreShownAsTyped(t *testing.T) {
	k := newTalker(t)
	const name = `<b>x</b>&"{n}`
	k.say("/dog add")
	for _, answer := range []string{name, "g and kg", "10 kg", "not sure", "not sure", "not sure", "not sure", "none", "2", "Oslo"} {
		k.say(answer)
	}
	if got := textOf(k.say("/dog")); !strings.Contains(got, name[:8]) {
		t.Errorf("the name became %q", got)
	}
}

// BenchmarkMessage answers a question about a bowl, store in memory.
func BenchmarkMessage(b *testing.B) {
	s := storetest.NewMemory()
	a := NewAssistant(s, nutrition.Default())
	send := func(i int, text string) {
		e := talk.Event{ID: fmt.Sprint(i), Chat: "c", Person: "p", Name: "Ines", At: talkTime, Text: text}
		if err := a.Handle(context.Background(), e); err != nil {
			b.Fatal(err)
		}
	}
	send(-2, "dog Juniper 19.6 kg 4 years")
	send(-1, "recipe Turkey:\n500 g turkey thigh\n100 g beef heart\n2 eggs")
	for i := range b.N {
		send(i, "how much for Juniper?")
	}
}

// turnOf has a talker take a turn that does nothing but f.
func (k *talker) turnOf(f func(t *talk.Turn)) {
	k.t.Helper()
	k.do = f
	k.say("/testing")
}
