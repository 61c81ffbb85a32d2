package bot

import (
	"os"
	"strings"
	"testing"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// everyButton presses the buttons of a household one after another, those
// that its answers bring included, and returns the data of all. It works on
// its own copy of the conversation only as far as the buttons themselves do.
func everyButton(w *world, person string, most int) []string {
	w.t.Helper()
	var all []string
	known := map[string]bool{}
	learn := func(rs []say.Reply) {
		for _, r := range rs {
			for _, row := range r.Buttons {
				for _, b := range row {
					if !known[b.Data] {
						known[b.Data] = true
						all = append(all, b.Data)
					}
				}
			}
		}
	}
	for _, s := range openings {
		learn(w.says(person, s))
	}
	for i := 0; i < len(all) && i < most; i++ {
		if strings.Contains(all[i], ":really:") {
			continue // it is pressed by the others only: here it would remove what is to be guarded
		}
		learn(w.presses(person, all[i]))
	}
	return all
}

// openings are messages that bring buttons of every kind.
var openings = []string{
	"/start", "/help", "/dog", "/recipe", "/today", "/settings", "/undo", "/household", "/share", "/scale",
	"how much for Juniper?", "is Quay bowl complete?", "swap the hearts in Quay bowl", "19.9",
	"can Bracken eat salmon?", "food beef heart", "scale Quay bowl to 2 kg", "balance Quay bowl", "dog Pip",
	"stop", "feed all dogs at 7 and 18", "/remind", "remind me to give Juniper vitamin E 200 IU every 3 days at 07:30", "/supplement",
	"/weigh", "weigh Juniper", "treat 40 kcal", "fed Juniper", "/today", "week", "/rotation", "rotation Quay bowl 2, Quay bowl 3",
	"switch Bracken from kibble 380 kcal per 100 g to Quay bowl over 10 days", "/transition", "pause until Monday", "/export",
}

// secrets are what nobody outside the household may read.
// Other names of the demo world stand in examples that everybody gets.
var secrets = []string{"Bracken", "Quay bowl", "Ines"}

func wantNoSecret(t testing.TB, what string, rs []say.Reply) {
	t.Helper()
	for _, s := range secrets {
		if strings.Contains(text(rs), s) {
			t.Errorf("%s tells %q:\n%s", what, s, text(rs))
		}
	}
}

// TestButtonsOfAnotherHousehold presses every button of one household as
// somebody who never belonged to it, as somebody who was removed, and again
// much later; and with the mark of the presser's own, when they may do something
// there.
func TestButtonsOfAnotherHousehold(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.quayside()
	w.invited("Tomas")
	most := 120
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		most = 400
	}
	buttons := everyButton(w, "Tomas", most)
	if len(buttons) < 200 {
		t.Fatalf("only %d buttons", len(buttons))
	}
	t.Logf("%d buttons", len(buttons))
	t.Run("forged", func(t *testing.T) { forgedButtons(w.copied(t), buttons) })
	w.quayside() // whatever the buttons took away
	carers := w.says("Ines", "/household")
	sure := w.presses("Ines", button(t, carers, "Remove Tomas"))
	w.presses("Ines", button(t, sure, "Yes"))
	w.read("x/Tomas")
	w.says("Stranger", "dog Pip 6.4 kg")

	for _, person := range []string{"Stranger", "Tomas"} {
		w.says(person, "dog Pip 6.4 kg")
		theirs, mine := w.state(w.home("Ines")), w.state(w.home(person))
		for range 2 {
			for _, data := range buttons {
				rs := w.presses(person, data)
				if got := strings.TrimSpace(text(rs)); got != "That button isn't from this household." {
					t.Errorf("%s presses %q: %s", person, data, got)
				}
			}
			if w.state(w.home("Ines")) != theirs {
				t.Errorf("%s changed the household", person)
			}
			if w.state(w.home(person)) != mine {
				t.Errorf("%s's own household was changed", person)
			}
			w.at = w.at.AddDate(0, 2, 0)
		}
	}
}

// forgedButtons presses the buttons of one household with the mark of the presser's
// own.
func forgedButtons(w *world, buttons []string) {
	w.says("Stranger", "dog Pip 6.4 kg")
	menu := w.says("Stranger", "/household")
	mark, _, _ := strings.Cut(button(w.t, menu, "Invite"), ":")
	theirs := w.state(w.home("Ines"))
	for _, data := range buttons {
		_, rest, _ := strings.Cut(data, ":")
		wantNoSecret(w.t, data, w.presses("Stranger", mark+":"+rest))
	}
	if w.state(w.home("Ines")) != theirs {
		w.t.Error("a forged button changed the household")
	}
	if w.home("Stranger") == w.home("Ines") {
		w.t.Error("a forged button let a stranger in")
	}
}

// TestCommandsOfAnotherHousehold types every command, with names of the
// other household, as somebody who was removed from it.
func TestCommandsOfAnotherHousehold(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	w.invited("Tomas")
	w.says("Tomas", "how much for Juniper?") // the dog last spoken of
	sure := w.presses("Ines", button(t, w.says("Ines", "/household"), "Remove Tomas"))
	w.presses("Ines", button(t, sure, "Yes"))
	w.read("x/Tomas")
	theirs := w.state(w.home("Ines"))
	for _, s := range []string{
		"/start", "/help", "/today", "/dog", "/recipe", "/settings", "/undo", "/household", "/share", "/scale", "20.5 kg",
		"/resume", "today", "list my dogs", "list my recipes", "#1", "is it complete?", "leave", "delete",
	} {
		rs := w.says("Tomas", s)
		if s == "/help" {
			continue // its examples are of the demo world
		}
		for _, secret := range []string{"34.8", "Bracken", "Quay bowl", "Ines"} {
			if strings.Contains(text(rs), secret) {
				t.Errorf("%s tells %q:\n%s", s, secret, text(rs))
			}
		}
		w.says("Tomas", "stop")
	}
	for _, s := range []string{
		"Juniper weighs 30 kg", "remove Juniper", "dog Juniper", "recipe Quay bowl", "remove Quay bowl",
		"scale Quay bowl to 2 kg", "how much for Bracken?", "rename Juniper to Pip", "is Quay bowl complete?",
	} {
		rs := w.says("Tomas", s)
		for _, secret := range []string{"19.6", "1025", "34.8", "beef heart"} {
			if strings.Contains(text(rs), secret) {
				t.Errorf("%s tells %q:\n%s", s, secret, text(rs))
			}
		}
		w.says("Tomas", "stop")
	}
	if w.state(w.home("Ines")) != theirs {
		t.Error("the household was changed")
	}
}

// TestLinksThatOpenNothing follows links that were used, taken back or are
// too old, and what looks like one.
func TestLinksThatOpenNothing(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	used := link(t, w.says("Ines", "/share"))
	w.says("Tomas", "/start "+used)
	rs := w.says("Ines", "/share")
	back := link(t, rs)
	w.presses("Ines", button(t, rs, "Take it back"))
	old := link(t, w.says("Ines", "invite somebody"))
	byTomas := link(t, w.says("Tomas", "/share"))
	sure := w.presses("Ines", button(t, w.says("Ines", "/household"), "Remove Tomas"))
	w.presses("Ines", button(t, sure, "Yes"))
	w.read("x/Tomas")
	theirs := w.state(w.home("Ines"))
	closed := text(w.says("Stranger", "/start join-"+strings.Repeat("A", 32)))
	opensNothing := func(name, payload string) {
		t.Helper()
		for _, person := range []string{"Stranger", "Tomas"} {
			if got := text(w.says(person, "/start "+payload)); got != closed {
				t.Errorf("%s: a different answer tells what the link was:\n%s", name, got)
			}
			if w.home(person) == w.home("Ines") {
				t.Errorf("%s: %s was let in", name, person)
			}
		}
	}
	opensNothing("used", used)
	opensNothing("taken back", back)
	opensNothing("made by a removed carer", byTomas)
	opensNothing("cut", old[:len(old)-1])
	opensNothing("longer", old+"A")
	opensNothing("other case", "join-"+strings.ToLower(old[len("join-"):]))
	w.at = w.at.AddDate(0, 0, 7)
	opensNothing("too old", old)
	w.at = w.at.AddDate(0, 0, -7)
	if w.state(w.home("Ines")) != theirs {
		t.Error("the household was changed")
	}
	// To the last moment the link is good.
	w.at = w.at.AddDate(0, 0, 7).Add(-1)
	if w.says("Stranger", "/start "+old); w.home("Stranger") != w.home("Ines") {
		t.Error("a good link opened nothing")
	}
}

// TestRedeliveredEvents handles events a second time.
func TestRedeliveredEvents(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	e := w.event("Ines")
	e.Text = "/share"
	payload := link(t, w.handle(e))
	join := w.event("Tomas")
	join.Text = "/start " + payload
	w.handle(join)
	w.read("x/Ines")
	before := w.state(w.home("Ines"))
	for _, again := range []talk.Event{e, join} {
		if rs := w.handle(again); len(rs) > 0 {
			t.Errorf("a repeated event says %s", text(rs))
		}
	}
	if w.state(w.home("Ines")) != before {
		t.Error("a repeated event changed the household")
	}
}
