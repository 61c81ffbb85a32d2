package nutrition

import (
	"context"
	"slices"
	"testing"
	"time"
)

// twenty makes a request of twenty ingredients and twelve foods to add.
func twenty(b *testing.B, seed uint64) BalanceRequest {
	req := randomRequest(seed)
	for more := seed + 1000; len(req.Mixture.Items) < 20; more++ {
		req.Mixture.Items = append(req.Mixture.Items, randomRequest(more).Mixture.Items[6:]...)
	}
	req.Mixture.Items = req.Mixture.Items[:20]
	return req
}

// report reports the middle, the 99th percentile and the most of some times.
func report(b *testing.B, times []time.Duration) {
	slices.Sort(times)
	at := func(q float64) float64 {
		return float64(times[int(q*float64(len(times)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(at(0.5), "median-ms")
	b.ReportMetric(at(0.99), "p99-ms")
	b.ReportMetric(at(1), "most-ms")
	b.ReportMetric(0, "ns/op")
}

func benchmarkBalance(b *testing.B, explain bool) {
	var reqs []BalanceRequest
	for seed := range uint64(100) {
		req := twenty(b, seed)
		req.Explain = explain
		reqs = append(reqs, req)
	}
	var times []time.Duration
	solves := 0
	for i := 0; b.Loop(); i++ {
		start := time.Now()
		solves += Balance(context.Background(), reqs[i%len(reqs)]).Solves
		times = append(times, time.Since(start))
	}
	report(b, times)
	b.ReportMetric(float64(solves)/float64(len(times)), "solves/op")
}

func BenchmarkBalanceTwenty(b *testing.B)        { benchmarkBalance(b, false) }
func BenchmarkBalanceTwentyReasons(b *testing.B) { benchmarkBalance(b, true) }

// BenchmarkBalanceRandom goes through 2000 requests whatever b.N is.
func BenchmarkBalanceRandom(b *testing.B) {
	var times []time.Duration
	for b.Loop() {
		for seed := range uint64(2000) {
			req := randomRequest(seed)
			start := time.Now()
			Balance(context.Background(), req)
			times = append(times, time.Since(start))
		}
	}
	report(b, times)
}
