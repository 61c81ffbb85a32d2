package telegram_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"path/filepath"
	"runtime/debug"
	"slices"
	"testing"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot/delivery"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
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
	if err := api.Wait(ctx, func() bool { return api.State().Sent >= n }); err != nil {
		b.Fatalf("%d of %d messages", api.State().Sent, n)
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
		ours(b, &delivery.Limits{}, func(p *phone) { answered(b, p.api, carers+b.N) })
	})
	b.Run("kept", func(b *testing.B) {
		ours(b, nil, func(p *phone) { p.tally.wait(b, carers+b.N) })
	})
}

// ours has the program work off a backlog, done when over returns, and makes
// sure that it is recorded.
func ours(b *testing.B, limits *delivery.Limits, over func(*phone)) {
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
	p.stop()
}

func pace(b *testing.B, used time.Duration) {
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
	b.ReportMetric(perUpdate(b, used), "cpu-µs/update")
}

// run runs adapter and delivery on a file in which the carers have a dog
// already.
func run(b *testing.B, limits *delivery.Limits) *phone {
	s, err := bolt.Open(filepath.Join(b.TempDir(), "bench.db"), bolt.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	var d *delivery.Delivery
	p := connect(b, wiring{store: s, api: startStandin(b, standin.Options{}), options: func(o *telegram.Options) {
		o.Wake, o.Now, o.Log = func(chat string) { d.Wake(chat) }, nil, nil
	}})
	d = delivery.New(s, p.adapter.Sender(), delivery.Options{Prefix: telegram.Prefix, Limits: limits})
	p.run(func(ctx context.Context) error {
		sent := make(chan error, 1)
		go func() { sent <- d.Run(ctx) }()
		return errors.Join(p.adapter.Run(ctx), <-sent)
	})
	for i := range carers {
		who := standin.Person{ID: int64(10000 + i), Name: fmt.Sprint("Carer ", i)}
		p.api.Say(who, 0, "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	}
	p.tally.wait(b, carers)
	if limits != nil {
		answered(b, p.api, carers)
	}
	return p
}

// BenchmarkLatency gives 500 updates a second and reports how long an answer
// takes, from the update to the call that sends it.
func BenchmarkLatency(b *testing.B) {
	const perSecond = 500
	p := run(b, &delivery.Limits{})
	defer p.stop()
	api := p.api
	n := max(b.N, 2*perSecond)
	said := make([]time.Time, n)
	first := len(api.Calls("sendMessage"))
	tick := time.NewTicker(time.Second / perSecond)
	defer tick.Stop()
	b.ResetTimer()
	for k := range n {
		<-tick.C
		who := standin.Person{ID: int64(10000 + k%carers), Name: "Carer"}
		said[k] = time.Now()
		api.Say(who, 0, "Juniper weighs 19.2 kg")
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
