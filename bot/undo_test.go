package bot

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bowlwright/store/storetest"
)

// kept is the household of Ines and its journal, without what no /undo takes
// back.
func (w *world) kept() string {
	w.t.Helper()
	h := w.house()
	h.Rev, h.LastID, h.Told, h.Cautions = 0, 0, nil, nil
	data, err := json.Marshal([]any{h, w.entries()})
	if err != nil {
		w.t.Fatal(err)
	}
	return string(data)
}

// does types a message, or presses a button by its data after a colon, in the
// household of Ines.
func (w *world) does(what string) string {
	w.t.Helper()
	if data, ok := strings.CutPrefix(what, ":"); ok {
		return text(w.presses("Ines", w.home("Ines")[:8]+":"+data))
	}
	return text(w.says("Ines", what))
}

// wantTakenBack does something and takes it back: the household and the
// journal are what they were before.
func (w *world) wantTakenBack(what string) {
	w.t.Helper()
	before := w.kept()
	said := w.does(what)
	if w.kept() == before {
		w.t.Errorf("%q changed nothing:\n%s", what, said)
		return
	}
	back := w.does("/undo")
	if after := w.kept(); after != before {
		w.t.Errorf("%q is not taken back (%s):\n%s\nwas\n%s", what, back, after, before)
	}
}

// TestRemindersAreTakenBack takes back each change of what is reminded of.
func TestRemindersAreTakenBack(t *testing.T) {
	w := newWorld(t)
	for _, text := range []string{
		"dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy", "dog Pip 6.4 kg 2 years high activity healthy",
		"remind me vet on Friday 10:00", "remind me to give Juniper zinc 15 mg every 3 days at 8:00", "pause Pip from 3 to 10 April",
	} {
		w.does(text)
	}
	for _, what := range []string{
		"remind me to call Tomas tomorrow at 9",
		"remind me to give Pip vitamin E 100 IU every other day",
		"weigh Juniper on Wednesdays at 8",
		"check Pip's condition monthly on the 3rd",
		"feed Juniper at 6:30 and 17:00",
		"remind me to feed Pip at 7 and 19",
		"pause until Monday",
		"resume",
		"quiet hours 22:00 to 07:00",
		"stock 60 tablets of zinc",
		"stop reminding me of zinc",
		"stop reminding me of the vet",
		"time zone Lisbon",
		":dog:really:d1",
	} {
		w.wantTakenBack(what)
	}
	w.does(":dog:really:d1")
	for _, r := range w.house().Reminders {
		if r.Dog == "d1" {
			t.Errorf("a reminder of a dog that is gone: %+v", r)
		}
	}
}

// TestPlansAreTakenBack takes back each change of rotations and of switches to
// another food.
func TestPlansAreTakenBack(t *testing.T) {
	w := newWorld(t)
	for _, text := range []string{
		"dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy", "dog Bracken 34.8 kg 8 years neutered low 7/9 healthy", "dog Pip 6.4 kg 2 years high activity healthy",
		"recipe Turkey and heart\n600 g turkey thigh, boneless, no skin\n180 g turkey heart\n30 g lamb liver",
		"recipe Lamb and mackerel\n500 g lamb, leg and shoulder, lean\n150 g Atlantic mackerel\n40 g lamb liver",
		"how much for Juniper?", "how much for Bracken?", "how much for Pip?", // their amounts are in force
		"rotate turkey 4, lamb 3 for Juniper from today", "switch Bracken from kibble 380 kcal per 100 g to lamb over 10 days",
	} {
		w.does(text)
	}
	w.at = w.at.AddDate(0, 0, 1)
	for _, what := range []string{
		"/rotation skip", "/rotation repeat", "swap today with Friday",
		"rotate lamb 1, turkey 1 for Pip from tomorrow", "rotate lamb 1, turkey 1 for all dogs from today",
		":transition:hold:d2", ":stool:d2:20260303:loose", ":transition:really:d2", ":rotation:really:" + w.house().Rotations[0].ID,
		"switch Juniper from kibble 380 kcal per 100 g to the rotation over 7 days",
		"switch Pip from kibble 380 kcal per 100 g to the rotation over 7 days",
		":recipe:really:r5", ":dog:really:d1", ":dog:really:d2",
	} {
		w.wantTakenBack(what)
	}
}

// TestAnswersAreTakenBack answers what falls due in each way and takes the
// answer back.
func TestAnswersAreTakenBack(t *testing.T) {
	t.Parallel()
	const meal, dose, note = "n8:202603020730", "n11:202603020800", "n12:202603031000"
	for name, c := range map[string]struct {
		before string // done first, and not taken back
		does   string
	}{
		"fed":             {does: ":due:fed:" + meal},
		"fed again":       {before: ":due:fed:" + meal, does: ":due:again:" + meal},
		"skipped":         {does: ":due:skip:" + meal},
		"fed after all":   {before: ":due:skip:" + meal, does: ":due:fed:" + meal},
		"fed though late": {before: ":due:later:" + meal, does: ":due:fed:" + meal},
		"later":           {does: ":due:later:" + meal},
		"later still":     {before: ":due:later:" + meal, does: ":due:later:" + meal + ":180"},
		"another recipe":  {does: ":due:eat:" + meal + ":r4"},
		"given":           {does: ":due:given:" + dose},
		"not given":       {does: ":due:miss:" + dose},
		"given after all": {before: ":due:miss:" + dose, does: ":due:given:" + dose},
		"note done":       {does: ":due:done:" + note},
		"fed in words":    {does: "fed Juniper"},
		"given in words":  {does: "vitamin E given"},
		"a treat":         {does: "Juniper had a 130 kcal chew"},
		"treats off":      {does: ":treat:off:d1"},
		"treats kept":     {before: ":treat:off:d2", does: ":treat:keep:d2"},
		"fed from today":  {does: ":feed:d1"},
	} {
		t.Run(name, func(t *testing.T) {
			w := newKitchen(t, storetest.NewMemory())
			w.pass(2, 8, 5)
			if c.before != "" {
				w.does(c.before)
			}
			w.at = w.at.Add(time.Minute)
			w.wantTakenBack(c.does)
		})
	}
}
