package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// kept is the household and the journal as they are kept, without what no
// /undo takes back.
func (k *kitchen) kept() string {
	k.t.Helper()
	var h *planner.Household
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) (err error) {
		h, err = tx.Household("quayside")
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	journal, err := json.Marshal(k.journal())
	if err != nil {
		k.t.Fatal(err)
	}
	return plain(k.t, h) + "\n" + string(journal)
}

// journal is everything that was entered.
func (k *kitchen) journal() (all []planner.Entry) {
	k.t.Helper()
	err := storetest.Look(context.Background(), k.s, func(tx store.Snapshot) (err error) {
		all, err = tx.Entries("quayside", store.EntryQuery{})
		return err
	})
	if err != nil {
		k.t.Fatal(err)
	}
	return all
}

// due presses a button of a reminder, whether or not it is still to be seen.
func (k *kitchen) due(args string) {
	k.t.Helper()
	k.handle(talk.Event{Chat: "Ines", Person: "Ines", Name: "Ines", Press: "quayside:" + args, Message: "m"}, args)
}

// TestAnswersAreTakenBack answers what falls due in each way and takes the
// answer back: the household and the journal are what they were before.
func TestAnswersAreTakenBack(t *testing.T) {
	for name, c := range map[string]struct {
		before []string // pressed first, and not taken back
		does   string   // a press, or something typed
	}{
		"fed":             {does: "due:fed:m5:202603020730"},
		"fed again":       {before: []string{"due:fed:m5:202603020730"}, does: "due:again:m5:202603020730"},
		"skipped":         {does: "due:skip:m5:202603020730"},
		"fed after all":   {before: []string{"due:skip:m5:202603020730"}, does: "due:fed:m5:202603020730"},
		"fed though late": {before: []string{"due:later:m5:202603020730"}, does: "due:fed:m5:202603020730"},
		"later":           {does: "due:later:m5:202603020730"},
		"later still":     {before: []string{"due:later:m5:202603020730"}, does: "due:later:m5:202603020730:180"},
		"another recipe":  {does: "due:eat:m5:202603020730:r4"},
		"given":           {does: "due:given:m7:202603020800"},
		"not given":       {does: "due:miss:m7:202603020800"},
		"given after all": {before: []string{"due:miss:m7:202603020800"}, does: "due:given:m7:202603020800"},
		"note done":       {does: "due:done:m9:202603031000"},
		"fed in words":    {does: "fed Juniper"},
		"given in words":  {does: "vitamin E given"},
		"a treat":         {does: "Juniper had a 130 kcal chew"},
		"treats off":      {does: "treat:off:d1"},
		"treats kept":     {does: "treat:keep:d2"},
		"fed from today":  {does: "feed:d1"},
	} {
		t.Run(name, func(t *testing.T) {
			k := newKitchen(t)
			k.at(2, 8, 5)
			do := func(what string) {
				if strings.Contains(what, ":") {
					k.due(what)
				} else {
					k.types("Ines", what)
				}
			}
			for _, what := range c.before {
				do(what)
			}
			before := k.kept()
			do(c.does)
			if k.kept() == before {
				t.Fatalf("%q changed nothing:\n%s", c.does, k.log.String())
			}
			k.types("Ines", "undo")
			if after := k.kept(); after != before {
				t.Errorf("%q is not taken back:\n%s\nwas\n%s", c.does, after, before)
			}
		})
	}
}

// TestTwoCarersAtOnce has two carers answer the same meal at the same time, on
// a file: it is entered once, as fed where one of them fed it, and both learn
// what became of it.
func TestTwoCarersAtOnce(t *testing.T) {
	for _, other := range []string{"fed", "skip"} {
		t.Run("fed and "+other, func(t *testing.T) {
			s, err := bolt.Open(filepath.Join(t.TempDir(), "s.db"), bolt.Options{NoSync: true})
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			k := newKitchenOn(t, s)
			for day := 2; day < 22; day++ {
				k.at(day, 7, 31)
				stamp := fmt.Sprintf("202603%02d0730", day)
				k.log.Reset()
				before := len(k.journal())
				var both sync.WaitGroup
				for who, action := range map[string]string{"Ines": "fed", "Tomas": other} {
					both.Go(func() {
						e := talk.Event{ID: fmt.Sprint(who, day), At: k.now, Chat: who, Person: who, Name: who,
							Press: "quayside:due:" + action + ":m5:" + stamp, Message: "m"}
						if err := k.a.Handle(context.Background(), e); err != nil {
							t.Error(err)
						}
					})
				}
				both.Wait()
				k.read("")
				fresh := k.journal()[before:]
				if len(fresh) != 1 || fresh[0].Kind != planner.Fed {
					t.Fatalf("day %d: entered %+v", day, fresh)
				}
				for _, who := range []string{"Ines", "Tomas"} {
					if !strings.Contains(k.log.String(), "to "+who+":") {
						t.Errorf("day %d: %s learns nothing:\n%s", day, who, k.log.String())
					}
				}
				if other == "fed" && !strings.Contains(k.log.String(), "already fed by") {
					t.Errorf("day %d: nobody is warned:\n%s", day, k.log.String())
				}
			}
		})
	}
}

// TestSaidButNotDelivered ends the program between what a tick writes and its
// delivery: what was said waits in the file, and is said no second time.
func TestSaidButNotDelivered(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	open := func() *bolt.Store {
		s, err := bolt.Open(path, bolt.Options{NoSync: true})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := open()
	k := newKitchenOn(t, s)
	now := time.Date(2026, 3, 2, 7, 30, 0, 0, k.zone)
	if r, err := k.a.Tick(t.Context(), now); err != nil || r.Said != 2 {
		t.Fatalf("%+v, %v", r, err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = open()
	defer s.Close()
	if r, err := NewAssistant(s, nutrition.Default()).Tick(t.Context(), now.Add(time.Minute)); err != nil || r.Said != 0 {
		t.Errorf("after the restart: %+v, %v", r, err)
	}
	var chats []string
	err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		all, err := tx.Pending("", 100)
		for _, m := range all {
			chats = append(chats, m.Chat)
		}
		return err
	})
	if slices.Sort(chats); err != nil || !slices.Equal(chats, []string{"Ines", "Ines", "Tomas", "Tomas"}) {
		t.Errorf("wait for %q, %v", chats, err)
	}
}

// TestStockIsLow warns with the dose that is due, once, though nobody has
// pressed Given.
func TestStockIsLow(t *testing.T) {
	k := newKitchen(t)
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household("quayside")
		if err != nil {
			return err
		}
		h.Reminders[2].Stock.Left = 1
		return put(store.PutHousehold{Household: h})
	})
	k.at(12, 0, 0)
	if n := strings.Count(k.log.String(), "1 left, none for Thu 5 Mar"); n != 1 {
		t.Errorf("warned %d times:\n%s", n, k.log.String())
	}
}
