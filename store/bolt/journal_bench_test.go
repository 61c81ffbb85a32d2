package bolt_test

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// keptJournal makes a store whose one household has entered, for so many
// days, two meals, a dose and a treat of each of two dogs, and its weight
// once a week. It returns how many entries that are.
func keptJournal(b *testing.B, days int) (s *bolt.Store, entries int) {
	b.Helper()
	s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{NoSync: true})
	must(b, err)
	b.Cleanup(func() { s.Close() })
	entry := func(when time.Time, kind planner.EntryKind, dog string) store.Write {
		entries++
		return store.PutEntry{Household: "quayside", Entry: planner.Entry{
			ID: fmt.Sprint("n", entries), Kind: kind, Dog: dog, At: when, Date: planner.DateOf(when), Person: "terminal/Ines",
			Entered: when, Of: "quayside/m1/" + when.Format("2006-01-02T15:04"), Kcal: 406, Recipe: "r1",
		}}
	}
	for from := 0; from < days; from += 100 {
		must(b, storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for day := from; day < min(from+100, days); day++ {
				kinds := []planner.EntryKind{planner.Fed, planner.Given, planner.Treat, planner.Fed}
				if day%7 == 0 {
					kinds = append(kinds, planner.Weighed)
				}
				for n, kind := range kinds {
					for _, dog := range []string{"d1", "d2"} {
						put(entry(at.AddDate(0, 0, day-days).Add(time.Duration(n)*time.Hour), kind, dog))
					}
				}
			}
			return nil
		}))
	}
	return s, entries
}

// BenchmarkJournal reads the journal of one household after a quarter and after
// twenty years of daily entries.
func BenchmarkJournal(b *testing.B) {
	weighed := []planner.EntryKind{planner.Weighed}
	for _, days := range []int{91, 7305} {
		s, entries := keptJournal(b, days)
		reads := func(name string, q store.EntryQuery) {
			b.Run(fmt.Sprintf("%d entries/%s", entries, name), func(b *testing.B) {
				found := 0
				for b.Loop() {
					must(b, storetest.Look(b.Context(), s, func(tx store.Snapshot) error {
						all, err := tx.Entries("quayside", q)
						found = len(all)
						return err
					}))
				}
				b.ReportMetric(float64(found), "entries")
			})
		}
		reads("last weigh-in", store.EntryQuery{Kinds: weighed, Dog: "d1", Newest: true, Limit: 1})
		reads("yesterday", store.EntryQuery{From: at.AddDate(0, 0, -1)})
		reads("a dog's quarter", store.EntryQuery{Dog: "d1", From: at.AddDate(0, 0, -91)})
		reads("five years of weigh-ins", store.EntryQuery{Kinds: weighed, Dog: "d1", From: at.AddDate(-5, 0, 0)})
		reads("ten newest", store.EntryQuery{Newest: true, Limit: 10})
	}
}
