package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
)

// many fills a data directory with households of one carer and two dogs.
func many(b *testing.B, dir string, n int) {
	s, err := store.Open(filepath.Join(dir, dataFile), store.Options{NoSync: true})
	if err != nil {
		b.Fatal(err)
	}
	for from := 0; from < n; from += 10000 {
		err := s.Update(b.Context(), func(tx store.Tx) error {
			for i := from; i < from+10000; i++ {
				name := fmt.Sprintf("telegram/%08d", i)
				h := &planner.Household{ID: fmt.Sprintf("home%08d", i), Zone: "Europe/Lisbon", Carers: []planner.Carer{{Person: name, Name: "Ines"}},
					Dogs:    []planner.Dog{{ID: "d1", Name: "Juniper", Weight: 19.6}, {ID: "d2", Name: "Bracken", Weight: 34.8}},
					Recipes: []planner.Recipe{{ID: "r1", Name: "Turkey and heart", Ingredients: []planner.Ingredient{{Food: "turkey-thigh-skinless", Grams: 500}}}}}
				if err := tx.PutHousehold(h); err != nil {
					return err
				}
				if err := tx.PutMember(name, name, h.ID); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkStart measures the program's start with 100,000 households, from
// its beginning to its first answer, and the memory it then has resident: all
// of it, and its own without pages of the data file that the system can take
// back at any time (Linux).
func BenchmarkStart(b *testing.B) {
	data := b.TempDir()
	many(b, data, 100_000)
	for b.Loop() {
		api, err := standin.Start(standin.Options{})
		if err != nil {
			b.Fatal(err)
		}
		api.Say(ines, 0, "/help")
		began := time.Now()
		c := child(b, api, data)
		if err := api.Wait(b.Context(), func() bool { return len(api.FromBot(ines.ID)) > 0 }); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(time.Since(began).Milliseconds()), "ms/start")
		b.ReportMetric(memory(c.Process.Pid, "VmRSS"), "MB/resident")
		b.ReportMetric(memory(c.Process.Pid, "RssAnon"), "MB/own")
		c.Process.Kill() // the benchmark is about its start
		c.Wait()
		api.Close()
	}
}

// memory reads how much memory a process has, in MB; 0 where that cannot be
// told.
func memory(pid int, what string) float64 {
	f, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status")
	if err != nil {
		return 0
	}
	i := bytes.Index(f, []byte(what+":"))
	if i < 0 {
		return 0
	}
	kb, err := strconv.Atoi(string(bytes.Fields(f[i:])[1]))
	if err != nil {
		return 0
	}
	return float64(kb) / 1024
}
