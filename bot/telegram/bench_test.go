package telegram_test

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"runtime/debug"
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
	"bowlwright/store"
)

// backlog puts n weigh-ins of 500 carers into a stand-in.
func backlog(api *standin.Server, n int) {
	for i := range n {
		who := standin.Person{ID: int64(10000 + i%500), Name: fmt.Sprint("Carer ", i%500)}
		api.Say(who, 0, fmt.Sprintf("Juniper weighs %d.%d kg", 18+i%3, i%10))
	}
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

// BenchmarkBacklog works off a backlog of weigh-ins: the library's own loop
// with a handler that sends the text back, and ours, with each weigh-in in a
// file that survives a loss of power. The platform's limits are off in both.
// The processor's time for an update, the stand-in's own included, says more
// than updates a second where other programs run.
func BenchmarkBacklog(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // of both, as the program has it
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
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
		b.ReportMetric(perUpdate(b, used), "cpu-µs/update")
	})
	b.Run("ours", func(b *testing.B) {
		api := startStandin(b, standin.Options{})
		end := program(b, api, filepath.Join(b.TempDir(), "bench.db"), 500)
		defer end()
		before := api.Sent()
		backlog(api, b.N)
		b.ResetTimer()
		used := processorTime()
		answered(b, api, before+b.N)
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "updates/s")
		b.ReportMetric(perUpdate(b, used), "cpu-µs/update")
	})
}

// program runs adapter and delivery without limits on a file in which a
// number of carers have a dog already.
func program(b *testing.B, api *standin.Server, path string, carers int) (end func()) {
	s, err := store.Open(path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	g := s
	assistant := bot.NewAssistant(g, nutrition.Default())
	var d *delivery.Delivery
	a, err := telegram.New(assistant, g, telegram.Options{Token: standin.Token, API: api.URL(), Wake: func(chat string) { d.Wake(chat) }})
	if err != nil {
		b.Fatal(err)
	}
	d = delivery.New(g, a.Sender(), delivery.Options{Prefix: telegram.Prefix, Limits: &delivery.Limits{}})
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan struct{}, 2)
	go func() { a.Run(ctx); ended <- struct{}{} }()
	go func() { d.Run(ctx); ended <- struct{}{} }()
	for i := range carers {
		who := standin.Person{ID: int64(10000 + i), Name: fmt.Sprint("Carer ", i)}
		api.Say(who, 0, "dog Juniper 19.6 kg 4 years spayed moderate 5/9")
	}
	answered(b, api, carers)
	return func() {
		cancel()
		<-ended
		<-ended
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	}
}

// BenchmarkLatency gives 500 updates a second and reports how long an answer
// takes, from the update to the call that sends it.
func BenchmarkLatency(b *testing.B) {
	const perSecond = 500
	api := startStandin(b, standin.Options{})
	end := program(b, api, filepath.Join(b.TempDir(), "bench.db"), 500)
	defer end()
	n := max(b.N, 2*perSecond)
	said := make([]time.Time, n)
	first := len(api.Calls("sendMessage"))
	var i atomic.Int64
	tick := time.NewTicker(time.Second / perSecond)
	defer tick.Stop()
	b.ResetTimer()
	for k := range n {
		<-tick.C
		who := standin.Person{ID: int64(10000 + k%500), Name: "Carer"}
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
		chat := int64(10000 + k%500)
		took = append(took, byChat[chat][k/500].Sub(said[k]))
	}
	report(b, took)
}
