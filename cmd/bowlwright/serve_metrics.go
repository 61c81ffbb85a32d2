package main

import (
	"cmp"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/store"
)

// metrics counts what happens. It holds no chat, person or text.
type metrics struct {
	registry *prometheus.Registry
	updates  *prometheus.CounterVec
	handling prometheus.Histogram
	sends    *prometheus.CounterVec
	sending  prometheus.Histogram
	due      *prometheus.CounterVec
	ticking  prometheus.Histogram
	jobs     *prometheus.CounterVec
	jobAt    *prometheus.GaugeVec

	leads  atomic.Bool // what the store holds is measured here, and in no other process
	mu     sync.Mutex
	digest map[string]int // what became of reminders since the last digest
	lost   map[string]int // messages not understood, by the intent that came nearest
}

// buckets of durations, in seconds; our own choice.
var buckets = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10}

func newMetrics(s keeper, log *slog.Logger) *metrics {
	counter := func(name, help string, labels ...string) *prometheus.CounterVec {
		return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, labels)
	}
	took := func(name, help string) prometheus.Histogram {
		return prometheus.NewHistogram(prometheus.HistogramOpts{Name: name, Help: help, Buckets: buckets})
	}
	m := &metrics{
		registry: prometheus.NewRegistry(),
		updates:  counter("bowlwright_updates_total", "Updates by what became of them.", "outcome"),
		handling: took("bowlwright_update_seconds", "From an update's arrival to the end of its handling."),
		sends:    counter("bowlwright_sends_total", "Attempts to send a message by their result.", "result"),
		sending:  took("bowlwright_send_seconds", "How long attempts to send a message took."),
		due:      counter("bowlwright_reminders_total", "What fell due by what became of it.", "outcome"),
		ticking:  took("bowlwright_tick_seconds", "How long it took to put what was due into the outbox."),
		jobs:     counter("bowlwright_jobs_total", "Jobs by the clock by their name and result.", "job", "result"),
		jobAt: prometheus.NewGaugeVec(prometheus.GaugeOpts{
			Name: "bowlwright_job_last_success_timestamp_seconds", Help: "When a job last came to a good end since the start.",
		}, []string{"job"}),
		digest: map[string]int{},
		lost:   map[string]int{},
	}
	about := prometheus.NewGauge(prometheus.GaugeOpts{
		Name: "bowlwright_build_info", Help: "1, with the version of the program.", ConstLabels: prometheus.Labels{"version": version()},
	})
	about.Set(1)
	m.registry.MustRegister(about, m.updates, m.handling, m.sends, m.sending, m.due, m.ticking, m.jobs, m.jobAt, &storeCollector{s, log, &m.leads},
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	for _, outcome := range []string{"handled", "ignored", "refused", "unreadable", "failed", "flood"} {
		m.updates.WithLabelValues(outcome)
	}
	for _, outcome := range dueOutcomes {
		m.due.WithLabelValues(outcome)
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

// What becomes of what falls due.
var dueOutcomes = []string{"said", "passed", "failed"}

// Ticked implements scheduler.Metrics.
func (m *metrics) Ticked(r talk.TickResult, err error, took time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, n := range []int{r.Said, r.Passed, len(r.Failed)} {
		m.due.WithLabelValues(dueOutcomes[i]).Add(float64(n))
		m.digest[dueOutcomes[i]] += n
	}
	m.ticking.Observe(took.Seconds())
}

// since returns what was counted since it was last called, and counts anew.
func (m *metrics) since(counts *map[string]int) map[string]int {
	m.mu.Lock()
	defer m.mu.Unlock()
	is := *counts
	*counts = map[string]int{}
	return is
}

// Unheard counts a message that was not understood.
func (m *metrics) Unheard(nearest string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.lost[nearest]++
}

// jobDone counts a job by the clock.
func (m *metrics) jobDone(name string, ok bool) {
	if !ok {
		m.jobs.WithLabelValues(name, "failed").Inc()
		return
	}
	m.jobs.WithLabelValues(name, "done").Inc()
	m.jobAt.WithLabelValues(name).SetToCurrentTime()
}

// platformState is what is known of the platform: *telegram.Adapter.
type platformState interface {
	Ready() bool
	Silent() time.Duration
}

// watch measures whether the platform is there.
func (m *metrics) watch(p platformState) {
	m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{
		Name: "bowlwright_platform_silent_seconds", Help: "For how long the platform has not answered; it is asked once a minute.",
	}, func() float64 { return p.Silent().Seconds() }))
}

// handler serves /healthz (the program runs), /readyz (updates come in and
// are stored, and the platform is there) and /metrics.
func (m *metrics) handler(p platformState, s store.Store) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, _ *http.Request) {
		w.Write([]byte("ok\n")) // whoever asked may be gone
	})
	mux.HandleFunc("GET /readyz", func(w http.ResponseWriter, r *http.Request) {
		wrong := ""
		switch silent := p.Silent(); {
		case silent >= telegram.LongestSilence:
			wrong = "the platform has not answered for " + silent.Round(time.Second).String()
		case !p.Ready():
			wrong = "no updates are coming in"
		case !answers(r.Context(), s):
			wrong = "the store does not answer"
		default:
			w.Write([]byte("ok\n"))
			return
		}
		http.Error(w, wrong, http.StatusServiceUnavailable)
	})
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{}))
	return mux
}

// answers reports that the store can be read within healthTimeout.
func answers(ctx context.Context, s store.Store) bool {
	ctx, cancel := context.WithTimeout(ctx, healthTimeout)
	defer cancel()
	snap, err := s.Read(ctx)
	if err != nil {
		return false
	}
	snap.Close()
	return true
}

// mostWaiting is how many households that wait are counted; our own choice.
const mostWaiting = 1000

// storeCollector measures the store whenever somebody asks, where it leads.
type storeCollector struct {
	store keeper
	log   *slog.Logger
	leads *atomic.Bool
}

var (
	outboxDepth = prometheus.NewDesc("bowlwright_outbox_messages", "Messages waiting to be sent, without those for chats that refuse them.", nil, nil)
	outboxAge   = prometheus.NewDesc("bowlwright_outbox_oldest_seconds", "Age of the oldest of these messages, 0 where none is.", nil, nil)
	refused     = prometheus.NewDesc("bowlwright_refused_messages", "Messages kept for chats that refuse them, in case somebody comes back.", nil, nil)
	inboxDepth  = prometheus.NewDesc("bowlwright_inbox_updates", "Updates received and not taken out yet.", nil, nil)
	deadDepth   = prometheus.NewDesc("bowlwright_dead_messages", "Messages that could not be delivered and are kept.", nil, nil)
	storeSize   = prometheus.NewDesc("bowlwright_store_bytes", "Size of the data file.", nil, nil)
	dueHomes    = prometheus.NewDesc("bowlwright_due_households", "Households for which something is due and not said yet; 1000 stands for more.", nil, nil)
	dueAge      = prometheus.NewDesc("bowlwright_due_oldest_seconds", "For how long the oldest of it has been due, 0 where nothing is.", nil, nil)
	homes       = prometheus.NewDesc("bowlwright_households", "Households in the store.", nil, nil)
)

// Describe implements prometheus.Collector.
func (c *storeCollector) Describe(out chan<- *prometheus.Desc) {
	prometheus.DescribeByCollect(c, out)
}

// Collect implements prometheus.Collector.
func (c *storeCollector) Collect(out chan<- prometheus.Metric) {
	if !c.leads.Load() {
		return
	}
	size, due, err := c.waiting()
	if err != nil {
		c.log.Error("the store could not be measured", "error", err)
		return
	}
	var oldest, waited time.Duration
	if !size.Oldest.IsZero() {
		oldest = max(0, time.Since(size.Oldest))
	}
	if len(due) > 0 {
		waited = max(0, time.Since(due[0].At))
	}
	for d, v := range map[*prometheus.Desc]float64{
		outboxDepth: float64(size.Outbox), outboxAge: oldest.Seconds(), refused: float64(size.Refused), inboxDepth: float64(size.Inbox),
		dueHomes: float64(len(due)), dueAge: waited.Seconds(), deadDepth: float64(size.Dead), storeSize: float64(size.Bytes), homes: float64(size.Households),
	} {
		out <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, v)
	}
}

// waiting is what there is, and what is due.
func (c *storeCollector) waiting() (size store.Sizes, due []store.Due, err error) {
	snap, err := c.store.Read(context.Background())
	if err != nil {
		return size, nil, err
	}
	defer snap.Close()
	if size, err = snap.Sizes(); err != nil {
		return size, nil, err
	}
	due, err = snap.DueBy(time.Now(), mostWaiting)
	return size, due, err
}

// healthTimeout is how long a healthy program may take to say so; our own
// choice.
const healthTimeout = 3 * time.Second

// health asks a running program how it is, for a container that has nothing
// else to ask with. Without an address it asks at the one that serve has from
// the same variables.
func health(ctx context.Context, args []string, getenv func(string) string) error {
	f := newFlags("health")
	rest, err := anywhere(f, args)
	if err != nil {
		return err
	}
	url := cmp.Or(append(rest, getenv("BOWLWRIGHT_HEALTH"))...)
	if len(rest) > 1 || url == "" {
		return usageError{"health takes one address, as 127.0.0.1:8081, or BOWLWRIGHT_HEALTH"}
	}
	asked := url
	if !strings.Contains(url, "://") {
		url = "http://" + url + "/healthz"
	}
	ctx, cancel := context.WithTimeout(ctx, healthTimeout)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return usageError{fmt.Sprintf("%q is no address to ask", asked)}
	}
	t := &http.Transport{DisableKeepAlives: true} // and no proxy
	resp, err := t.RoundTrip(r)
	if err != nil {
		return failure{fmt.Sprintf("not well: %v", err), err}
	}
	resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		return failure{"not well: " + resp.Status, nil}
	}
	return nil
}
