package bot

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// homeInUse is a household as it is in use: a dog with a recipe, fed and
// reminded at two times, two more recipes.
func homeInUse(id string) *planner.Household {
	lamb := func(id, name string) planner.Recipe {
		return planner.Recipe{ID: id, Name: name, Ingredients: []planner.Ingredient{
			{Food: "lamb-leg-shoulder-lean", Grams: 600, Typed: "600 g lamb, leg and shoulder, lean"},
			{Food: "lamb-heart", Grams: 200, Typed: "200 g lamb heart"},
			{Food: "lamb-liver", Grams: 60, Typed: "60 g lamb liver"},
		}}
	}
	meals := []planner.Clock{planner.At(7, 30), planner.At(18, 0)}
	bowls := daily("r1", planner.BowlReminder, 1, meals...)
	drops := daily("r2", planner.SupplementReminder, 3, planner.At(19, 0))
	bowls.Dog, drops.Dog = "d1", "d1"
	drops.Dose = &planner.Dose{Food: "vitamin-e", Count: 1, Form: "capsule"}
	return &planner.Household{
		ID: id, Rev: 3, Zone: "UTC", Created: monday, LastID: 5,
		Carers:    []planner.Carer{{Person: "x/" + id, Name: "Ines"}},
		Dogs:      []planner.Dog{{ID: "d1", Name: "Juniper", Weight: 19.6, Condition: 5, Activity: planner.ModerateCalm, Born: monday.AddDate(-4, 0, 0), FeedAt: meals, Recipe: "p1"}},
		Recipes:   []planner.Recipe{lamb("p1", "Lamb and mackerel"), lamb("p2", "Turkey and heart"), lamb("p3", "Rabbit and kale")},
		Reminders: []planner.Reminder{bowls, drops},
	}
}

// homesInUse fills a store with n households, and says up to monday.
func homesInUse(b *testing.B, s store.Store, n int) {
	b.Helper()
	for done := 0; done < n; {
		err := storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for end := min(n, done+5_000); done < end; done++ {
				h := homeInUse(fmt.Sprintf("h%09d", done))
				at, _ := planner.NextDue(h, monday)
				for _, err := range []error{
					put(store.PutMember{Chat: "x/" + h.ID, Person: "x/" + h.ID, Household: h.ID}), put(store.PutHousehold{Household: h}),
					put(store.PutDue{Household: h.ID, At: at, Through: monday}),
				} {
					if err != nil {
						return err
					}
				}
			}
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTick puts the bowls of so many households that are due in the same
// minute into the outbox, durably.
func BenchmarkTick(b *testing.B) {
	for _, n := range []int{100, 10_000} {
		b.Run(fmt.Sprint("due=", n), func(b *testing.B) {
			s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{})
			if err != nil {
				b.Fatal(err)
			}
			defer s.Close()
			homesInUse(b, s, n)
			a := NewAssistant(s, nutrition.Default())
			now := monday.Add(90 * time.Minute)
			said := 0
			for b.Loop() {
				r, err := a.Tick(b.Context(), now)
				if err != nil || r.Said < n {
					b.Fatalf("%+v, %v", r, err)
				}
				said += r.Said
				now = r.Next
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(said), "µs/said")
		})
	}
}

// BenchmarkTickNothingDue is what waking for nothing costs.
func BenchmarkTickNothingDue(b *testing.B) {
	s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{NoSync: true})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	homesInUse(b, s, 10_000)
	a := NewAssistant(s, nutrition.Default())
	b.ReportAllocs()
	for b.Loop() {
		if r, err := a.Tick(b.Context(), monday); err != nil || r.Households != 0 {
			b.Fatalf("%+v, %v", r, err)
		}
	}
}

// monday is when the households of these benchmarks begin: Monday, 06:00 UTC.
var monday = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)

// daily is a reminder of a kind at times of every n-th day.
func daily(id string, kind planner.ReminderKind, n int, times ...planner.Clock) planner.Reminder {
	return planner.Reminder{ID: id, Kind: kind, Schedule: planner.Schedule{EveryDays: n, Anchor: planner.DateOf(monday), Times: times}}
}
