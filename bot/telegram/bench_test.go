package telegram_test

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot"
	"bowlwright/bot/delivery"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// carers is how many households a benchmark has; each has a dog.
const carers = 500

// backlog puts n weigh-ins into a stand-in, none of them so far from the one
// before that it would be doubted and not recorded.
func backlog(api *standin.Server, n int) {
	for i := range n {
		who := standin.Person{ID: int64(10000 + i%carers), Name: fmt.Sprint("Carer ", i%carers)}
		api.Say(who, 0, fmt.Sprintf("Juniper weighs 19.%d kg", 4+(i+i/carers)%5))
	}
}

// recorded counts the weigh-ins that a store holds.
func recorded(b *testing.B, s store.Store) (n int) {
	err := storetest.Look(b.Context(), s, func(tx store.Snapshot) error {
		for i := range carers {
			who := fmt.Sprint(telegram.Prefix, 10000+i)
			home, err := tx.Member(who, who)
			if err != nil {
				return err
			}
			all, err := tx.Entries(home, store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}})
			if err != nil {
				return err
			}
			n += len(all)
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return n
}

// answered waits until the bot has sent n messages.
func answered(b *testing.B, api *standin.Server, n int) {
	ctx, cancel := context.WithTimeout(b.Context(), 5*time.Minute)
	defer cancel()
	if err := api.Wait(ctx, func() bool { return api.Sent() >= n }); err != nil {
		b.Fatalf("%d of %d messages", api.Sent(), n)
	}
}

// perUpdate is the processor's time for an update, in µs.
func perUpdate(b *testing.B, from time.Duration) float64 {
	return float64((processorTime() - from).Microseconds()) / float64(b.N)
}

func tuned() *http.Client {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxIdleConns, t.MaxIdleConnsPerHost, t.MaxConnsPerHost = 128, 128, 128
	return &http.Client{Transport: t}
}

// BenchmarkBacklog works off a backlog of weigh-ins, each of which is in a file
// that survives a loss of power, in three ways:
//
//   - echo: the library's own loop, with a handler that sends the text back;
//   - answered: ours, until every answer has been sent, the platform's limits
//     being off as in echo;
//   - kept: ours with the limits that the program keeps, until every weigh-in
//     is recorded and its answer in the outbox; from there the answers go at
//     the pace that the platform allows.
//
// The processor's time for an update, the stand-in's own included, says more
// than updates a second where other programs run.
func BenchmarkBacklog(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // of all, as the program has it
	b.Run("echo", func(b *testing.B) {
		api := startStandin(b, standin.Options{})
		backlog(api, b.N)
		echo, err := tg.New(standin.Token, tg.WithServerURL(api.URL()), tg.WithHTTPClient(time.Minute, tuned()),
			tg.WithDefaultHandler(func(ctx context.Context, t *tg.Bot, u *models.Update) {
				t.SendMessage(ctx, &tg.SendMessageParams{ChatID: u.Message.Chat.ID, Text: u.Message.Text})
			}))
		if err != nil {
			b.Fatal(err)
		}
		b.ResetTimer()
		used := processorTime()
		go echo.Start(b.Context())
		answered(b, api, b.N)
		pace(b, used)
	})
	b.Run("answered", func(b *testing.B) {
		ours(b, &delivery.Limits{}, func(p *running) { answered(b, p.api, carers+b.N) })
	})
	b.Run("kept", func(b *testing.B) {
		ours(b, nil, func(p *running) { <-p.handled.reach(carers + b.N) })
	})
}

// ours has the program work off a backlog, done when over returns, and makes
// sure that it is recorded.
func ours(b *testing.B, limits *delivery.Limits, over func(*running)) {
	p := run(b, limits)
	before := recorded(b, p.store)
	backlog(p.api, b.N)
	b.ResetTimer()
	used := processorTime()
	over(p)
	pace(b, used)
	b.StopTimer()
	if n := recorded(b, p.store) - before; n != b.N {
		b.Errorf("%d of %d weigh-ins are recorded", n, b.N)
	}
	p.end()
}

func pace(b *testing.B, used time.Duration) {
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
	b.ReportMetric(perUpdate(b, used), "cpu-µs/update")
}

// running is adapter and delivery on a file in which the carers have a dog
// already.
type running struct {
	api     *standin.Server
	store   store.Store
	handled counter
	end     func()
}

// counter counts updates that came to their end.
type counter struct {
	mu      sync.Mutex
	n, goal int
	reached chan struct{}
}

func (c *counter) Update(string, time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.n++; c.n == c.goal {
		close(c.reached)
	}
}

// reach returns a channel that is closed when there have been n.
func (c *counter) reach(n int) <-chan struct{} {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.goal, c.reached = n, make(chan struct{})
	if c.n >= n {
		close(c.reached)
	}
	return c.reached
}

func run(b *testing.B, limits *delivery.Limits) *running {
	s, err := bolt.Open(filepath.Join(b.TempDir(), "bench.db"), bolt.Options{})
	if err != nil {
		b.Fatal(err)
	}
	p := &running{api: startStandin(b, standin.Options{}), store: s}
	var d *delivery.Delivery
	a, err := telegram.New(bot.NewAssistant(s, nutrition.Default()), s, telegram.Options{
		Token: standin.Token, API: p.api.URL(), Metrics: &p.handled, Wake: func(chat string) { d.Wake(chat) }})
	if err != nil {
		b.Fatal(err)
	}
	d = delivery.New(s, a.Sender(), delivery.Options{Prefix: telegram.Prefix, Limits: limits})
	ctx, cancel := context.WithCancel(context.Background())
	var ran sync.WaitGroup
	ran.Go(func() { a.Run(ctx) })
	ran.Go(func() { d.Run(ctx) })
	for i := range carers {
		who := standin.Person{ID: int64(10000 + i), Name: fmt.Sprint("Carer ", i)}
		p.api.Say(who, 0, "dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	}
	<-p.handled.reach(carers)
	if limits != nil {
		answered(b, p.api, carers)
	}
	p.end = func() {
		cancel()
		ran.Wait()
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	}
	return p
}

// BenchmarkLatency gives 500 updates a second and reports how long an answer
// takes, from the update to the call that sends it.
func BenchmarkLatency(b *testing.B) {
	const perSecond = 500
	p := run(b, &delivery.Limits{})
	defer p.end()
	api := p.api
	n := max(b.N, 2*perSecond)
	said := make([]time.Time, n)
	first := len(api.Calls("sendMessage"))
	var i atomic.Int64
	tick := time.NewTicker(time.Second / perSecond)
	defer tick.Stop()
	b.ResetTimer()
	for k := range n {
		<-tick.C
		who := standin.Person{ID: int64(10000 + k%carers), Name: "Carer"}
		said[k] = time.Now()
		api.Say(who, 0, "Juniper weighs 19.2 kg")
		i.Add(1)
	}
	answered(b, api, first+n)
	b.StopTimer()
	byChat := map[int64][]time.Time{}
	for _, c := range api.Calls("sendMessage")[first:] {
		byChat[c.Chat] = append(byChat[c.Chat], c.At)
	}
	var took []time.Duration
	for k := range n {
		chat := int64(10000 + k%carers)
		took = append(took, byChat[chat][k/carers].Sub(said[k]))
	}
	report(b, took)
}

// report gives the median and the 99th percentile.
func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms/p50")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms/p99")
}
