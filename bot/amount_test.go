package bot

import (
	"math"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// asBefore makes of the household of a test one that was kept before daily
// amounts were records, with its newest change.
func (w *world) asBefore() {
	w.t.Helper()
	older := func(h *planner.Household) {
		h.Amounts = false
		for i := range h.Dogs {
			d := &h.Dogs[i]
			d.Withdraw()
			d.Ideal, d.IdealFrom, d.IdealScore = 0, "", 0
		}
	}
	set := w.entries(planner.KcalSet)
	w.change(func(h *planner.Household, tx store.Snapshot, put storetest.Put) error {
		older(h)
		for _, e := range set {
			if err := put(store.DeleteEntry{Household: h.ID, ID: e.ID}); err != nil {
				return err
			}
		}
		c, err := tx.Change(h.ID, 0)
		if err != nil {
			return err
		}
		older(c.Before)
		return put(store.PopChange(h.ID), store.PushChange{Household: h.ID, Change: c})
	})
}

// TestAdoptedOnce: a household kept before amounts were records is fed on as it
// was, and what it was fed is frozen: neither a fact nor a weigh-in nor /undo
// into an older snapshot moves it.
func TestAdoptedOnce(t *testing.T) {
	t.Parallel()
	w := weighed(t)
	w.says("Ines", "recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	for week, kg := range []string{"19.8", "20.0", "20.3"} {
		w.at = time.Date(2026, 3, 1+7*(week+1), 8, 0, 0, 0, time.UTC)
		w.says("Ines", "Juniper "+kg)
	}
	w.asBefore()
	w.at = time.Date(2026, 3, 1+22, 8, 0, 0, 0, time.UTC)
	w.says("Ines", "how much for Juniper?")
	d := w.dog("Juniper")
	now := 110 * math.Pow(20.3, 0.75) // the equation at the latest weight: as it was reckoned
	if math.Abs(float64(d.Kcal)-now) > 0.01 || d.InForce.Ground != planner.OnEquation || math.Abs(float64(d.Ideal)-19.6) > 0.05 {
		t.Fatalf("%v kcal on %q, want %.0f; goal %v, want 19.6", d.Kcal, d.InForce.Ground, now, d.Ideal)
	}
	fed := len(w.entries(planner.KcalSet))
	w.says("Ines", "Juniper is very active")
	w.at = time.Date(2026, 3, 1+29, 8, 0, 0, 0, time.UTC)
	w.says("Ines", "Juniper 20.9")
	w.says("Ines", "/undo")
	w.says("Ines", "/undo")
	w.says("Ines", "/undo") // the last weigh-in before: its snapshot knows of no amount
	if d := w.dog("Juniper"); math.Abs(float64(d.Kcal)-now) > 0.01 || d.Ideal == 0 || !w.house().Amounts {
		t.Errorf("after /undo %v kcal, goal %v", d.Kcal, d.Ideal)
	}
	if n := len(w.entries(planner.KcalSet)); n != fed {
		t.Errorf("%d entries of the amount, %d before: what was fed was frozen for good", n, fed)
	}
}

// TestFirstBowlSetsTheAmount: before it the facts of a dog set the amount, from
// then on a carer's tap alone, and a button of another time does nothing.
func TestFirstBowlSetsTheAmount(t *testing.T) {
	w := weighed(t)
	w.says("Ines", "recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	wantText(t, w.says("Ines", "Juniper is very active"), "1515 kcal")
	w.says("Ines", "Juniper is moderately active")
	if d := w.dog("Juniper"); d.Kcal != 0 {
		t.Errorf("%v kcal in force before a bowl was shown", d.Kcal)
	}
	w.says("Ines", "how much for Juniper?")
	asked := w.says("Ines", "Juniper is very active")
	wantText(t, asked, "1515 kcal a day instead of 1025")
	other := w.says("Ines", "Juniper is low activity")
	wantText(t, w.presses("Ines", button(t, other, "Change to 885")), "Juniper gets 885 kcal")
	wantText(t, w.presses("Ines", button(t, asked, "Change to 1515")), "has changed since")
	if d := w.dog("Juniper"); math.Abs(float64(d.Kcal)-885) > 1 || d.InForce.Ground != planner.OnFact || d.InForce.By != "x/Ines" {
		t.Errorf("%v kcal on %q by %q", d.Kcal, d.InForce.Ground, d.InForce.By)
	}
	before := w.dog("Juniper").Kcal
	w.at = time.Date(2026, 3, 1+7, 8, 0, 0, 0, time.UTC)
	w.says("Ines", "Juniper 21.0")
	if now := w.dog("Juniper").Kcal; now != before {
		t.Errorf("a gain made %v of %v kcal", now, before)
	}
}
