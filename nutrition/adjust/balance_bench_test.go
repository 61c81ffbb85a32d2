package adjust

import (
	"context"
	"testing"
)

// twenty makes a request of twenty ingredients and twelve foods to add.
func twenty(b *testing.B, seed uint64) Request {
	req := randomRequest(seed)
	for more := seed + 1000; len(req.Mixture.Items) < 20; more++ {
		req.Mixture.Items = append(req.Mixture.Items, randomRequest(more).Mixture.Items[6:]...)
	}
	req.Mixture.Items = req.Mixture.Items[:20]
	return req
}

func benchmarkBalance(b *testing.B, explain bool) {
	var reqs []Request
	for seed := range uint64(100) {
		req := twenty(b, seed)
		req.Explain = explain
		reqs = append(reqs, req)
	}
	for i := 0; b.Loop(); i++ {
		Balance(context.Background(), reqs[i%len(reqs)])
	}
}

func BenchmarkBalanceTwenty(b *testing.B)        { benchmarkBalance(b, false) }
func BenchmarkBalanceTwentyReasons(b *testing.B) { benchmarkBalance(b, true) }
