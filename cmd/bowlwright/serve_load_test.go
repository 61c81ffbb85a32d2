package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// firstCarer is the id of the carer of the first household.
const firstCarer = 100_000_000

// used fills a store with n households as they are after some use: a dog, two
// recipes, a change that can be taken back, an event.
func used(b *testing.B, data string, n int) {
	b.Helper()
	s := openIn(b, data)
	at := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	for from := 0; from < n; from += 10_000 {
		must(b, storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for i := from; i < min(from+10_000, n); i++ {
				putUsed(put, i, at)
			}
			return nil
		}))
	}
	must(b, s.Close())
}

func putUsed(put storetest.Put, i int, at time.Time) {
	who := fmt.Sprintf("telegram/%d", firstCarer+i)
	lamb := func(id, name string) planner.Recipe {
		return planner.Recipe{ID: id, Name: name, Ingredients: []planner.Ingredient{
			{Food: "lamb-leg-shoulder-lean", Grams: 600, Typed: "600 g lamb, leg and shoulder, lean"},
			{Food: "lamb-heart", Grams: 200, Typed: "200 g lamb heart"},
			{Food: "lamb-liver", Grams: 60, Typed: "60 g lamb liver"},
		}}
	}
	h := &planner.Household{
		ID: fmt.Sprintf("h%09d", i), Rev: 3, Zone: "Europe/Berlin", Created: at, LastID: 3,
		Carers:  []planner.Carer{{Person: who, Name: "Ines"}},
		Recipes: []planner.Recipe{lamb("2", "Plain lamb"), lamb("3", "Sunday lamb")},
		Dogs: []planner.Dog{{ID: "1", Name: "Juniper", Weight: 19.6, Weighed: at, Born: at.AddDate(-4, 0, 0), BornAbout: true,
			Sex: planner.Female, Neutered: "yes", Activity: "moderate", Condition: 5, Recipe: "2"}},
	}
	before := *h
	before.Recipes = before.Recipes[:1]
	event := fmt.Sprintf("telegram/%d", -i) // no id that the stand-in gives out
	put(store.PutMember{Chat: who, Person: who, Household: h.ID}, store.PutHousehold{Household: h}, store.MarkSeen{Event: event, At: at},
		store.PushChange{Household: h.ID, Change: store.Change{ID: event, At: at, Person: who, Kind: "recipe-added", About: "Sunday lamb", Before: &before}})
}

// BenchmarkManyHouseholds starts the program on 100,000 households that have
// been in use, has a few thousand of them weigh their dogs, and reports the
// time to the first answer, and the most memory of its own (RssAnon, Linux) that
// it had until that came, and until the weights were recorded. What is resident
// of the file comes on top of it, and belongs to the system.
func BenchmarkManyHouseholds(b *testing.B) {
	const households, weighings = 100_000, 8000
	data := b.TempDir()
	used(b, data, households)
	info, err := os.Stat(filepath.Join(data, dataFile))
	must(b, err)
	api := platform(b, standin.Options{})
	random := rand.New(rand.NewPCG(4, 100))
	carer := func() standin.Person {
		return standin.Person{ID: int64(firstCarer + random.IntN(households)), Name: "Ines"}
	}
	var start time.Duration
	var first, loaded float64
	for b.Loop() {
		before := len(api.Calls("sendMessage"))
		api.Say(carer(), 0, "/dog")
		began := time.Now()
		c := child(b, api, data)
		b.Cleanup(func() { c.Process.Kill() })
		await(b, api, func() bool { return len(api.Calls("sendMessage")) > before })
		start += time.Since(began)
		first = max(first, memory(c.Process.Pid, "RssAnon"))
		for range weighings {
			api.Say(carer(), 0, "19.4 kg")
		}
		await(b, api, func() bool {
			loaded = max(loaded, memory(c.Process.Pid, "RssAnon"))
			return api.State().Unconfirmed == 0
		})
		c.Process.Kill() // the messages that wait to be sent are not the matter here
		c.Wait()         // says that it was killed
	}
	b.ReportMetric(float64(info.Size())/1e6, "MB-file")
	b.ReportMetric(start.Seconds()*1000/float64(b.N), "ms/start")
	b.ReportMetric(first, "MB-started")
	b.ReportMetric(loaded, "MB-used")
}

func await(b *testing.B, api *standin.Server, cond func() bool) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.Context(), time.Minute)
	defer cancel()
	if err := api.Wait(ctx, cond); err != nil {
		b.Fatal("the program does not answer")
	}
}

// memory reads how much memory a process has, in MB; 0 where that cannot be
// told.
func memory(pid int, what string) float64 {
	f, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status")
	if err != nil {
		return 0
	}
	_, after, _ := strings.Cut(string(f), what+":")
	fields := strings.Fields(after)
	if len(fields) == 0 {
		return 0
	}
	kb, err := strconv.Atoi(fields[0])
	if err != nil {
		return 0
	}
	return float64(kb) * 1024 / 1e6
}
