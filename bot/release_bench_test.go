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
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		began := time.Now()
		b.StartTimer()
		if _, err := queue.Errands(b.Context(), monday); err != nil {
			b.Fatal(err)
		}
		b.StopTimer()
		b.ReportMetric(time.Since(began).Seconds(), "s-queued")
		runtime.ReadMemStats(&after)
		b.ReportMetric(float64(after.HeapSys-min(after.HeapSys, before.HeapSys))/1e6, "MB-more")
		began = time.Now()
		r, err := NewAssistant(s, nutrition.Default()).Tick(b.Context(), monday.Add(time.Minute))
		if err != nil || r.Said != readers {
			b.Fatal(r.Said, r.Failed, err)
		}
		b.ReportMetric(time.Since(began).Seconds(), "s-said")
		s.Close()
	}
}
