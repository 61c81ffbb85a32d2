package main

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"bowlwright/store"
)

// metrics counts what happens. It holds no chat, person or text.
type metrics struct {
	registry *prometheus.Registry
	updates  *prometheus.CounterVec
	handling prometheus.Histogram
	sends    *prometheus.CounterVec
	sending  prometheus.Histogram
}

// buckets of durations, in seconds; our own choice.
var buckets = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10}

func newMetrics(s *store.Bolt, log *slog.Logger) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		updates: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "bowlwright_updates_total", Help: "Updates by what became of them.",
		}, []string{"outcome"}),
		handling: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "bowlwright_update_seconds", Help: "From an update's arrival to the end of its handling.", Buckets: buckets,
		}),
		sends: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "bowlwright_sends_total", Help: "Attempts to send a message by their result.",
		}, []string{"result"}),
		sending: prometheus.NewHistogram(prometheus.HistogramOpts{
			Name: "bowlwright_send_seconds", Help: "How long attempts to send a message took.", Buckets: buckets,
		}),
	}
	m.registry.MustRegister(m.updates, m.handling, m.sends, m.sending, &storeCollector{s, log},
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, outcome := range []string{"handled", "ignored", "refused", "unreadable", "failed", "flood"} {
		m.updates.WithLabelValues(outcome)
	}
	return m
}

// Update implements telegram.Metrics.
func (m *metrics) Update(outcome string, took time.Duration) {
	m.updates.WithLabelValues(outcome).Inc()
	if outcome == "handled" {
		m.handling.Observe(took.Seconds())
	}
}

// Sent implements delivery.Metrics.
func (m *metrics) Sent(result string, took time.Duration) {
	m.sends.WithLabelValues(result).Inc()
	m.sending.Observe(took.Seconds())
}

// handler serves /healthz (the program runs), /readyz (updates come in and
// are stored) and /metrics.
func (m *metrics) handler(ready func() bool) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) {
		w.Write([]byte("ok\n")) // whoever asked may be gone
	})
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, _ *http.Request) {
		if !ready() {
			http.Error(w, "no updates are coming in", http.StatusServiceUnavailable)
			return
		}
		w.Write([]byte("ok\n"))
	})
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{}))
	return mux
}

// storeCollector measures the store whenever somebody asks.
type storeCollector struct {
	store *store.Bolt
	log   *slog.Logger
}

var (
	outboxDepth = prometheus.NewDesc("bowlwright_outbox_messages", "Messages waiting to be sent.", nil, nil)
	outboxAge   = prometheus.NewDesc("bowlwright_outbox_oldest_seconds", "Age of the oldest message waiting, 0 where none is.", nil, nil)
	inboxDepth  = prometheus.NewDesc("bowlwright_inbox_updates", "Updates received and not taken out yet.", nil, nil)
	deadDepth   = prometheus.NewDesc("bowlwright_dead_messages", "Messages that could not be delivered and are kept.", nil, nil)
	storeSize   = prometheus.NewDesc("bowlwright_store_bytes", "Size of the data file.", nil, nil)
	homes       = prometheus.NewDesc("bowlwright_households", "Households in the store.", nil, nil)
)

// Describe implements prometheus.Collector.
func (c *storeCollector) Describe(out chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{outboxDepth, outboxAge, inboxDepth, deadDepth, storeSize, homes} {
		out <- d
	}
}

// Collect implements prometheus.Collector.
func (c *storeCollector) Collect(out chan<- prometheus.Metric) {
	var oldest time.Duration
	err := c.store.View(context.Background(), func(tx store.Tx) error {
		first, err := tx.Pending("", 1)
		if len(first) > 0 {
			oldest = max(0, time.Since(first[0].At))
		}
		return err
	})
	size, sizeErr := c.store.Sizes()
	if err != nil || sizeErr != nil {
		c.log.Error("the store could not be measured")
		return
	}
	for d, v := range map[*prometheus.Desc]float64{
		outboxDepth: float64(size.Outbox), outboxAge: oldest.Seconds(), inboxDepth: float64(size.Inbox),
		deadDepth: float64(size.Dead), storeSize: float64(size.Bytes), homes: float64(size.Households),
	} {
		out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v)
	}
}
