package bot

import (
	"context"
	"math"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// asBefore makes of the household of a test one that was kept before daily
// amounts were records, with its newest change.
func (k *scales) asBefore() {
	k.t.Helper()
	older := func(h *planner.Household) {
		h.Amounts = false
		for i := range h.Dogs {
			d := &h.Dogs[i]
			d.Withdraw()
			d.Ideal, d.IdealFrom, d.IdealScore = 0, "", 0
		}
	}
	home := k.home()
	older(home)
	err := storetest.Change(context.Background(), k.s, func(tx store.Snapshot, put storetest.Put) error {
		if err := put(store.PutHousehold{Household: home}); err != nil {
			return err
		}
		entries, err := tx.Entries(home.ID, store.EntryQuery{Kinds: []planner.EntryKind{planner.KcalSet}})
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := put(store.DeleteEntry{Household: home.ID, ID: e.ID}); err != nil {
				return err
			}
		}
		c, err := tx.LastChange(home.ID)
		if err != nil {
			return err
		}
		older(c.Before)
		if err := put(store.PopChange(home.ID)); err != nil {
			return err
		}
		return put(store.PushChange{Household: home.ID, Change: c})
	})
	if err != nil {
		k.t.Fatal(err)
	}
}

// TestAdoptedOnce: a household kept before amounts were records is fed on as it
// was, and what it was fed is frozen: neither a fact nor a weigh-in nor /undo
// into an older snapshot moves it.
func TestAdoptedOnce(t *testing.T) {
	k := newScales(t)
	k.types("recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	for week, kg := range []string{"19.8", "20.0", "20.3"} {
		k.day(7 * (week + 1))
		k.types("Juniper " + kg)
	}
	k.asBefore()
	k.day(22)
	k.types("how much for Juniper?")
	d := k.dog("Juniper")
	now := 110 * math.Pow(20.3, 0.75) // the equation at the latest weight: as it was reckoned
	if math.Abs(float64(d.Kcal)-now) > 0.01 || d.InForce.Ground != planner.OnEquation || math.Abs(float64(d.Ideal)-19.6) > 0.05 {
		t.Fatalf("%v kcal on %q, want %.0f; goal %v, want 19.6", d.Kcal, d.InForce.Ground, now, d.Ideal)
	}
	fed := len(k.entries(planner.KcalSet))
	k.types("Juniper is very active")
	k.day(29)
	k.types("Juniper 20.9")
	k.types("/undo")
	k.types("/undo")
	k.types("/undo") // the last weigh-in before: its snapshot knows of no amount
	if d := k.dog("Juniper"); math.Abs(float64(d.Kcal)-now) > 0.01 || d.Ideal == 0 || !k.home().Amounts {
		t.Errorf("after /undo %v kcal, goal %v", d.Kcal, d.Ideal)
	}
	if n := len(k.entries(planner.KcalSet)); n != fed {
		t.Errorf("%d entries of the amount, %d before: what was fed was frozen for good", n, fed)
	}
}

// TestFirstBowlSetsTheAmount: before it the facts of a dog set the amount, from
// then on a carer's tap alone, and a button of another time does nothing.
func TestFirstBowlSetsTheAmount(t *testing.T) {
	k := newScales(t)
	k.types("recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	k.want(k.types("Juniper is very active"), "1515 kcal")
	k.types("Juniper is moderately active")
	if d := k.dog("Juniper"); d.Kcal != 0 {
		t.Errorf("%v kcal in force before a bowl was shown", d.Kcal)
	}
	k.types("how much for Juniper?")
	asked := k.types("Juniper is very active")
	k.want(asked, "1515 kcal a day instead of 1025")
	other := k.types("Juniper is low activity")
	k.want(k.presses(other, "Change to 885"), "Juniper gets 885 kcal")
	k.want(k.presses(asked, "Change to 1515"), "has changed since")
	if d := k.dog("Juniper"); math.Abs(float64(d.Kcal)-885) > 1 || d.InForce.Ground != planner.OnFact || d.InForce.By != "test/Ines" {
		t.Errorf("%v kcal on %q by %q", d.Kcal, d.InForce.Ground, d.InForce.By)
	}
	before := k.dog("Juniper").Kcal
	k.day(7)
	k.types("Juniper 21.0")
	if now := k.dog("Juniper").Kcal; now != before {
		t.Errorf("a gain made %v of %v kcal", now, before)
	}
}
