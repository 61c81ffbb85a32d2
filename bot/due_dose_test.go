package bot

import (
	"context"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// rehome changes the kitchen's household as it is kept.
func (k *kitchen) rehome(change func(h *planner.Household)) {
	k.t.Helper()
	k.update(func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household("quayside")
		if err != nil {
			return err
		}
		change(h)
		return put(store.PutHousehold{Household: h})
	})
}

// TestBowlNamesDosesOfItsDay asks for a bowl whose recipe has a supplement
// that a reminder says when to give: it stands under the bowl on its days, and
// until it is given.
func TestBowlNamesDosesOfItsDay(t *testing.T) {
	k := newKitchen(t)
	k.rehome(func(h *planner.Household) {
		h.Recipes[0].Doses = []planner.Dose{*h.Reminders[2].Dose, {Food: "zinc", Count: 1, Form: "capsule"}}
	})
	bowl := func() string { return k.answers("Ines", "how much for Juniper?") }
	k.at(2, 7, 0)
	if got := bowl(); !strings.Contains(got, "Also today: vitamin E 1 capsule") || strings.Contains(got, "With it: vitamin E") || !strings.Contains(got, "With it: zinc") {
		t.Errorf("on its day:\n%s", got)
	}
	k.at(2, 8, 10)
	k.types("Ines", "given")
	if got := bowl(); strings.Contains(got, "vitamin E") {
		t.Errorf("given:\n%s", got)
	}
	k.at(3, 7, 0)
	if got := bowl(); strings.Contains(got, "vitamin E") || !strings.Contains(got, "With it: zinc") {
		t.Errorf("on the day after:\n%s", got)
	}
}

// TestLateDosesWarnOfStock says two doses late in one message: the one whose
// stock ends within a week says so.
func TestLateDosesWarnOfStock(t *testing.T) {
	k := newKitchen(t)
	k.rehome(func(h *planner.Household) {
		other := h.Reminders[2]
		other.ID, other.Dog, other.Stock = "m10", "d2", &planner.Stock{Left: 90}
		h.Reminders[2].Stock = &planner.Stock{Left: 1}
		h.Reminders = append(h.Reminders, other)
	})
	k.now = time.Date(2026, 3, 2, 11, 0, 0, 0, k.zone)
	before := k.log.Len()
	if _, err := k.a.Tick(context.Background(), k.now); err != nil {
		t.Fatal(err)
	}
	k.read("--- 11:00\n")
	got := k.log.String()[before:]
	if !strings.Contains(got, "2 supplements came due") || strings.Count(got, "1 left, none for Thu 5 Mar: time to get more.") != 1 || strings.Contains(got, "90 left") {
		t.Errorf("late:\n%s", got)
	}
}
