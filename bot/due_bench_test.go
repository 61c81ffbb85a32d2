package bot

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/bot/read"
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

// BenchmarkBowlsDue puts 10,000 bowls that are due in the same minute into
// the outbox, durably: of a recipe of twelve ingredients, with the dose of
// the day beside it, each worked out for its dog.
func BenchmarkBowlsDue(b *testing.B) {
	const homes = 10_000
	s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	homesInUse(b, s, homes)
	said := read.RecipeText(twelveLines, nutrition.Default())
	if len(said.Problems) > 0 {
		b.Fatal(said.Problems)
	}
	recipe := said.Planner()
	recipe.ID, recipe.Name = "p1", "Turkey and heart"
	if len(recipe.Ingredients) != 12 {
		b.Fatalf("%d ingredients", len(recipe.Ingredients))
	}
	for done := 0; done < homes; done += 1000 {
		err := storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for i := done; i < done+1000; i++ {
				h, err := tx.Household(fmt.Sprintf("h%09d", i))
				if err != nil {
					return err
				}
				h.Recipes[0] = recipe
				for day := -20; day < 0; day++ { // a journal behind it
					at := monday.AddDate(0, 0, day)
					if err := put(store.PutEntry{Household: h.ID, Entry: planner.Entry{ID: fmt.Sprint("e", day), Kind: planner.Fed, Dog: "d1", At: at, Date: planner.DateOf(at), Entered: at}}); err != nil {
						return err
					}
				}
				if err := put(store.PutHousehold{Household: h}); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	a := NewAssistant(s, nutrition.Default())
	now, bowls := monday.Add(90*time.Minute), 0
	for b.Loop() {
		r, err := a.Tick(b.Context(), now)
		if err != nil || r.Said != homes || len(r.Failed) > 0 {
			b.Fatalf("%d said, %d failed, %v", r.Said, len(r.Failed), err)
		}
		bowls += r.Said
		now = r.Next
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(bowls)*homes, "s/10000")
}
