package bot

import (
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"bowlwright/bot/publish"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// BenchmarkRelease queues a new version for 10,000 readers, then says it to
// each.
func BenchmarkRelease(b *testing.B) {
	const readers = 10_000
	for range b.N {
		b.StopTimer()
		s, err := bolt.Open(filepath.Join(b.TempDir(), "s.db"), bolt.Options{})
		if err != nil {
			b.Fatal(err)
		}
		released(b, s, readers, monday)
		tell := publish.Room().Errands[store.TellErrand]
		queue := talk.NewAssistant(s, nutrition.Default(), talk.Compose(talk.Hearing{}, talk.Room{Errands: map[string]talk.Errand{store.TellErrand: tell}}))
		peak := heapPeak()
		began := time.Now()
		b.StartTimer()
		if _, err := queue.Errands(b.Context(), monday); err != nil {
			b.Fatal(err)
		}
		b.StopTimer()
		b.ReportMetric(time.Since(began).Seconds(), "s-queued")
		b.ReportMetric(peak(), "MB-more")
		began = time.Now()
		r, err := NewAssistant(s, nutrition.Default()).Tick(b.Context(), monday.Add(time.Minute))
		if err != nil || r.Said != readers {
			b.Fatal(r.Said, r.Failed, err)
		}
		b.ReportMetric(time.Since(began).Seconds(), "s-said")
		s.Close()
	}
}

// heapPeak looks at the heap in use every millisecond from now on; what it
// returns stops that, and says by how many MB it was above what lives now.
func heapPeak() (stop func() float64) {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	least, most := m.HeapInuse, m.HeapInuse
	done, over := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(over)
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-done:
				return
			case <-tick.C:
				runtime.ReadMemStats(&m)
				most = max(most, m.HeapInuse)
			}
		}
	}()
	return func() float64 {
		close(done)
		<-over
		return float64(most-least) / 1e6
	}
}
