package bot

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/bot/read/foodline"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// twelveLines is a recipe of twelve ingredients and a supplement.
const twelveLines = `400 g turkey thigh, boneless, no skin
150 g turkey heart
100 g lamb, leg and shoulder, lean
60 g Atlantic mackerel
40 g lamb liver
30 g lamb kidney
30 g lamb spleen
60 g kale, cooked
50 g broccoli, cooked
50 g carrot, cooked
40 g blueberries
6 g eggshell powder
vitamin E 200 IU every 3 days`

// homeInUse is a household as it is in use: a dog with a recipe, fed and
// reminded at two times, and a dose every third day.
func homeInUse(b testing.TB, id string) *planner.Household {
	said := foodline.RecipeText(twelveLines, nutrition.Default())
	recipe := said.Planner()
	if len(said.Problems) > 0 || len(recipe.Ingredients) != 12 {
		b.Fatal(said.Problems, recipe.Ingredients)
	}
	recipe.ID, recipe.Name = "p1", "Turkey and heart"
	meals := []planner.Clock{planner.At(7, 30), planner.At(18, 0)}
	bowls := daily("r1", planner.BowlReminder, 1, meals...)
	drops := daily("r2", planner.SupplementReminder, 3, planner.At(19, 0))
	bowls.Dog, drops.Dog = "d1", "d1"
	drops.Dose = &planner.Dose{Food: "vitamin-e", Count: 1, Form: "capsule"}
	return &planner.Household{
		ID: id, Rev: 3, Zone: "UTC", Created: monday, LastID: 5,
		Carers:    []planner.Carer{{Person: "x/" + id, Name: "Ines"}},
		Dogs:      []planner.Dog{{ID: "d1", Name: "Juniper", Weight: 19.6, Condition: 5, Activity: planner.ModerateCalm, Born: monday.AddDate(-4, 0, 0), FeedAt: meals, Recipe: "p1"}},
		Recipes:   []planner.Recipe{recipe},
		Reminders: []planner.Reminder{bowls, drops},
	}
}

// homesInUse fills a store with n households, and says up to monday. Each has
// a journal of twenty days.
func homesInUse(b *testing.B, s store.Store, n int) {
	b.Helper()
	for done := 0; done < n; {
		err := storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for end := min(n, done+1_000); done < end; done++ {
				h := homeInUse(b, fmt.Sprintf("h%09d", done))
				at, _ := planner.NextDue(h, monday)
				writes := []store.Write{
					store.PutMember{Chat: "x/" + h.ID, Person: "x/" + h.ID, Household: h.ID}, store.PutHousehold{Household: h},
					store.PutDue{Household: h.ID, At: at, Through: monday},
				}
				for day := -20; day < 0; day++ {
					at := monday.AddDate(0, 0, day)
					writes = append(writes, store.PutEntry{Household: h.ID, Entry: planner.Entry{ID: fmt.Sprint("e", day), Kind: planner.Fed, Dog: "d1", At: at, Date: planner.DateOf(at), Entered: at}})
				}
				if err := put(writes...); err != nil {
					return err
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
// minute into the outbox, durably: each worked out for its dog, with the dose of
// the day beside it.
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
				if err != nil || r.Said < n || len(r.Failed) > 0 {
					b.Fatalf("%d said, %d failed, %v", r.Said, len(r.Failed), err)
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
