package telegram_test

import (
	"slices"
	"testing"
	"time"
)

// report gives the median and the 99th percentile.
func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms/p50")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms/p99")
}
