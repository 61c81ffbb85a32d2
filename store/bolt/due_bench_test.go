package bolt_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/robfig/cron/v3"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// Each household has four reminders: two meals, a supplement, the scale. Only
// its next time is in the index, so a million reminders are 250,000 records
// of it; the reminders themselves lie in the households.
const remindersEach, duePerTick = 4, 100

func reminders() []planner.Reminder {
	day := planner.DateOf(at)
	daily := func(clock planner.Clock) planner.Schedule {
		return planner.Schedule{EveryDays: 1, Anchor: day, Times: []planner.Clock{clock}}
	}
	return []planner.Reminder{
		{ID: "m1", Kind: planner.BowlReminder, Dog: "d1", Schedule: daily(planner.At(7, 30)), Since: at},
		{ID: "m2", Kind: planner.BowlReminder, Dog: "d1", Schedule: daily(planner.At(18, 0)), Since: at},
		{ID: "m3", Kind: planner.SupplementReminder, Dog: "d1", Since: at, Dose: &planner.Dose{Food: "vitamin-e", Count: 1},
			Schedule: planner.Schedule{EveryDays: 3, Anchor: day, Times: []planner.Clock{planner.At(7, 30)}}},
		{ID: "m4", Kind: planner.WeighReminder, Dog: "d1", Since: at,
			Schedule: planner.Schedule{Weekdays: []time.Weekday{time.Sunday}, Anchor: day, Times: []planner.Clock{planner.At(9, 0)}}},
	}
}

// manyDue makes a file of households with so many reminders in all, of which
// those of duePerTick households fall due in each minute.
func manyDue(b *testing.B, path string, reminding int) (households int) {
	b.Helper()
	households = reminding / remindersEach
	s, err := bolt.Open(path, bolt.Options{NoSync: true})
	if err != nil {
		b.Fatal(err)
	}
	h := &planner.Household{
		Rev: 3, Zone: "Europe/Oslo", Created: at, LastID: 7, Reminders: reminders(), Carers: []planner.Carer{{Person: "terminal/Ines", Name: "Ines"}},
		Dogs: []planner.Dog{{ID: "d1", Name: "Juniper", Weight: 19.6, Weighed: at, Condition: 5, Recipe: "r1"}},
	}
	for from := 0; from < households; from += 10_000 {
		err := storetest.Change(b.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for i := from; i < min(from+10_000, households); i++ {
				h.ID = fmt.Sprintf("h%015d", i)
				due := store.Due{Household: h.ID, At: at.Add(time.Duration(i/duePerTick) * time.Minute), Through: at.Add(-time.Hour)}
				if err := put(store.PutHousehold{Household: h}, store.PutDue(due)); err != nil {
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
	f, err := os.Open(path) // so that the first tick does not wait for all of it
	if err == nil {
		err = errors.Join(f.Sync(), f.Close())
	}
	if err != nil {
		b.Fatal(err)
	}
	return households
}

// tick reads what is due at a time and moves it behind everything else.
func tick(s *bolt.Store, now time.Time, households int) (read, moved time.Duration, err error) {
	began := time.Now()
	var due []store.Due
	err = storetest.Look(background, s, func(tx store.Snapshot) (err error) {
		due, err = tx.DueBy(now, 1000)
		return err
	})
	read = time.Since(began)
	if err == nil && len(due) != duePerTick {
		err = fmt.Errorf("%d households are due", len(due))
	}
	if err != nil {
		return read, 0, err
	}
	began = time.Now()
	err = storetest.Change(background, s, func(tx store.Snapshot, put storetest.Put) error {
		for _, d := range due {
			d.Through, d.At = now, d.At.Add(time.Duration(households/duePerTick)*time.Minute)
			if err := put(store.PutDue(d)); err != nil {
				return err
			}
		}
		return nil
	})
	return read, time.Since(began), err
}

// BenchmarkTick opens a store and lets 100 households fall due at a time,
// with the disk waited for. It reports, besides the time of a tick, how long
// opening takes (the file being in the system's cache), how long reading and
// moving take, and the most that was on the heap.
func BenchmarkTick(b *testing.B) {
	for _, stored := range []int{10_000, 1_000_000} {
		b.Run(fmt.Sprint(stored, " reminders"), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "s.db")
			households := manyDue(b, path, stored)
			before := heap()
			began := time.Now()
			s, err := bolt.Open(path, bolt.Options{})
			if err != nil {
				b.Fatal(err)
			}
			opening := time.Since(began)
			defer s.Close()
			now := at
			var read, moved time.Duration
			ticks, most := 0, 0
			for b.Loop() {
				r, m, err := tick(s, now, households)
				if err != nil {
					b.Fatal(err)
				}
				now = now.Add(time.Minute)
				if read, moved, ticks = read+r, moved+m, ticks+1; ticks%25 == 0 {
					b.StopTimer()
					most = max(most, heap()-before)
					b.StartTimer()
				}
			}
			info, err := os.Stat(path)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(opening.Milliseconds()), "open-ms")
			b.ReportMetric(float64(read.Microseconds())/float64(ticks), "read-µs/op")
			b.ReportMetric(float64(moved.Microseconds())/float64(ticks), "move-µs/op")
			b.ReportMetric(float64(most)/1e6, "heap-MB")
			b.ReportMetric(float64(info.Size())/1e6, "file-MB")
		})
	}
}

// BenchmarkTickRatio lets ticks of a small and a large store take turns, so
// that both meet the same disk, and reports the median of each and their
// ratio.
func BenchmarkTickRatio(b *testing.B) {
	type side struct {
		s          *bolt.Store
		households int
		took       []time.Duration
	}
	var sides []*side
	for _, stored := range []int{10_000, 1_000_000} {
		path := filepath.Join(b.TempDir(), "s.db")
		households := manyDue(b, path, stored)
		s, err := bolt.Open(path, bolt.Options{})
		if err != nil {
			b.Fatal(err)
		}
		defer s.Close()
		sides = append(sides, &side{s: s, households: households})
	}
	for now := at; b.Loop(); now = now.Add(time.Minute) {
		for _, side := range sides {
			read, moved, err := tick(side.s, now, side.households)
			if err != nil {
				b.Fatal(err)
			}
			side.took = append(side.took, read+moved)
		}
	}
	median := func(n int) float64 {
		slices.Sort(sides[n].took)
		return float64(sides[n].took[len(sides[n].took)/2].Microseconds())
	}
	b.ReportMetric(median(0), "small-µs")
	b.ReportMetric(median(1), "large-µs")
	b.ReportMetric(median(1)/median(0), "ratio")
}

// heap is how much of the heap is in use, in bytes.
func heap() int {
	runtime.GC()
	runtime.GC() // what pools held goes with the second
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}

// soon falls due once, at a time.
type soon struct{ at time.Time }

func (s *soon) Next(after time.Time) time.Time {
	if after.Before(s.at) {
		return s.at
	}
	return time.Time{}
}

// BenchmarkCronEntries keeps the same reminders as entries of github.com/robfig/cron,
// which has them all in memory: 100 of them fall due at one instant. It
// reports how long it takes to start, how late the last of the 100 runs, and
// the memory of the entries. The schedules are the planner's; a job is
// one closure for all, as little as it can be. A round takes ten seconds:
// use -benchtime 1x.
func BenchmarkCronEntries(b *testing.B) {
	const entries = 1_000_000
	for b.Loop() {
		before := heap()
		began := time.Now()
		c := cron.New(cron.WithLocation(time.UTC))
		var ran atomic.Int64
		finished := make(chan time.Time, 1)
		job := cron.FuncJob(func() {
			if ran.Add(1) == duePerTick {
				finished <- time.Now()
			}
		})
		all := reminders()
		for i := range entries - duePerTick {
			c.Schedule(all[i%remindersEach].Schedule.In(time.UTC), job)
		}
		due := time.Now().Add(10 * time.Second)
		for range duePerTick {
			c.Schedule(&soon{due}, job)
		}
		c.Start()
		if n := len(c.Entries()); n != entries { // answered once it runs
			b.Fatal(errors.New("entries are missing"))
		}
		started := time.Since(began)
		memory := heap() - before
		if time.Now().After(due) {
			b.Fatal("it was still starting when the first fell due")
		}
		late := (<-finished).Sub(due)
		c.Stop()
		b.ReportMetric(float64(started.Milliseconds()), "open-ms")
		b.ReportMetric(float64(memory)/1e6, "resident-MB")
		b.ReportMetric(float64(late.Microseconds())/1e3, "late-ms")
		runtime.KeepAlive(c)
	}
}
