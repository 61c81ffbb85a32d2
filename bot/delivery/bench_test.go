package delivery_test

import (
	"context"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// sink is a Sender that takes everything at once.
type sink struct{ n atomic.Int64 }

func (s *sink) Send(context.Context, store.Outgoing) error {
	s.n.Add(1)
	return nil
}

// filled returns a store with so many messages to so many chats.
func filled(tb testing.TB, messages, chats int) *bolt.Store {
	tb.Helper()
	s, err := bolt.Open(filepath.Join(tb.TempDir(), "s.db"), bolt.Options{})
	must(tb, err)
	tb.Cleanup(func() { s.Close() })
	body := []byte(`{"body":[{"text":"Juniper weighs 19.6 kg."}]}`)
	for done := 0; done < messages; {
		must(tb, storetest.Change(tb.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
			for end := min(messages, done+10_000); done < end; done++ {
				m := store.Outgoing{Chat: fmt.Sprint(prefix, done%chats), At: time.Unix(0, 0), Body: body}
				put(store.Enqueue(m))
			}
			return nil
		}))
	}
	return s
}

// BenchmarkFlush sends a backlog durably, without the platform's limits.
func BenchmarkFlush(b *testing.B) {
	const messages = 10_000
	for _, chats := range []int{1, 64, messages} {
		b.Run(fmt.Sprint("chats=", chats), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				s := filled(b, messages, chats)
				to := &sink{}
				d := delivery.New(s, to, delivery.Options{Prefix: prefix, Limits: &delivery.Limits{}})
				b.StartTimer()
				if err := d.Flush(b.Context()); err != nil || to.n.Load() != messages {
					b.Fatalf("%d sent, %v", to.n.Load(), err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*messages), "ns/message")
		})
	}
}
