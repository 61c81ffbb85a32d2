package terminal_test

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// compareRecord holds what a conversation left in the store against its
// record: which dogs, recipes and reminders there are, what is eaten beside and what
// is in packs, and what happened to which dog on which day. A conversation whose record matters has one; begin
// it with an empty file and -update.
func compareRecord(t *testing.T, s store.Store, path string) {
	t.Helper()
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return
	}
	got := ""
	err := storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		home, err := tx.Member("terminal/Ines", "terminal/Ines")
		if err != nil {
			return err
		}
		h, err := tx.Household(home)
		if err != nil {
			return err
		}
		entries, err := tx.Entries(home, store.EntryQuery{})
		got = recordText(h, entries)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	compare(t, path, got)
}

// recordText is what is kept of a household, a line each.
func recordText(h *planner.Household, entries []planner.Entry) string {
	var b strings.Builder
	names := map[string]string{"": "-"}
	for _, r := range h.Recipes {
		names[r.ID] = r.Name
		fmt.Fprintf(&b, "recipe: %s\n", r.Name)
	}
	for _, d := range h.Dogs {
		names[d.ID] = d.Name
		fmt.Fprintf(&b, "dog: %s, %.5g kg, recipe %s, health %q\n", d.Name, float64(d.Weight), names[d.Recipe], d.Health)
	}
	for _, r := range h.Reminders {
		if r.Kind != planner.SupplementReminder && r.Kind != planner.NoteReminder {
			continue // they follow from the rest
		}
		fmt.Fprintf(&b, "reminder: %s of %s, %q", r.Kind, names[r.Dog], r.Text)
		if r.Dose != nil {
			fmt.Fprintf(&b, ", %s %q", r.Dose.Food, r.Dose.Typed)
		}
		if r.Stock != nil {
			fmt.Fprintf(&b, ", %g left", r.Stock.Left)
		}
		b.WriteString("\n")
	}
	for _, o := range h.Others {
		fmt.Fprintf(&b, "eats beside: %s, %s%s, %q meals, %s to %s\n", names[o.Dog], o.Name, names[o.Recipe], o.At, o.From, o.Until)
	}
	for _, l := range h.Packs {
		fmt.Fprintf(&b, "packs: %s, %s of %d g:", names[l.Dog], l.Name, l.Each)
		for _, m := range l.Moves {
			fmt.Fprintf(&b, " %s %d", m.Kind, m.Packs)
		}
		b.WriteString("\n")
	}
	var happened []string
	for _, e := range entries {
		if e.Kind == planner.KcalSet {
			continue // the amount that follows has tests of its own
		}
		line := fmt.Sprintf("%s: %s %s", e.Date, names[e.Dog], e.Kind)
		if e.Weight > 0 {
			line += fmt.Sprintf(" %.5g kg", float64(e.Weight))
		}
		if !e.Until.IsZero() {
			line += fmt.Sprintf(" until %s", e.Until)
		}
		if e.Text != "" {
			line += fmt.Sprintf(" %q", e.Text)
		}
		happened = append(happened, line+"\n")
	}
	slices.Sort(happened) // what happened at one instant has no order
	return b.String() + strings.Join(happened, "")
}
