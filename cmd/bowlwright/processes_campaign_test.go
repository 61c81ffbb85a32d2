package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/postgres/pgtest"
	"bowlwright/store/storetest"
)

// writer is one person who tells of a dog and weighs it again and again.
type writer struct {
	standin.Person
	said int
}

// newWriters are others than those of remindedHomes.
func newWriters(n int) (all []*writer) {
	for i := range n {
		all = append(all, &writer{Person: standin.Person{ID: int64(10_000 + i), Name: "Ines"}})
	}
	return all
}

// kg is the weight of the k-th message, and its reply what only its reply holds
// of those near it.
func kg(k int) float64 { return 40 + float64(k%20)/10 }

func replyTo(k int) string {
	if k == 0 {
		return "Juniper is in."
	}
	return fmt.Sprintf("Juniper %s kg.", strconv.FormatFloat(kg(k), 'f', -1, 64))
}

func (w *writer) say(api *standin.Server) {
	text := fmt.Sprintf("%.1f kg again", kg(w.said)) // else it would replace the one before
	if w.said == 0 {
		text = "dog Juniper 40 kg 4 years spayed moderate 5/9 healthy"
	}
	w.said++
	api.Say(w.Person, 0, text)
}

// answered is how many messages were answered, in order, and how many answers
// came once more; those out of order are told by wrong.
func (w *writer) answered(api *standin.Server) (n, twice int, wrong string) {
	for _, m := range api.FromBot(w.ID) {
		switch {
		case n < w.said && strings.HasPrefix(m.Text, replyTo(n)):
			n++
		case n > 0 && strings.HasPrefix(m.Text, replyTo(n-1)):
			twice++
		case strings.Contains(m.Text, "errand"):
		default:
			wrong = m.Text
		}
	}
	return n, twice, wrong
}

// TestProcesses has people write to three processes on one database, which are
// killed one after another, whose connections are cut and whose database is
// restarted twice. All that was said is recorded once and answered in order,
// nothing due is said twice, and the platform's limits hold. With
// ".ci/kill processes" it is 2,000 chats and 200 messages a second for three minutes with the limits
// of both sides raised tenfold, and 20 a second with the real ones.
func TestProcesses(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it runs processes for half a minute: left out with -short")
	}
	type campaign struct {
		chats, perSecond, times int
		during, every           time.Duration
	}
	all := []campaign{{60, 10, 1, 9 * time.Second, 1500 * time.Millisecond}}
	if os.Getenv("BOWLWRIGHT_PROCESSES") == "" {
		t.Skip("with other tests beside it a process may not begin in time: .ci/kill processes runs it alone")
	}
	if os.Getenv(long) != "" {
		all = []campaign{{2000, 200, 10, 3 * time.Minute, 4 * time.Second}, {2000, 20, 1, 3 * time.Minute, 4 * time.Second}}
	}
	for _, c := range all {
		t.Run(fmt.Sprintf("%d a second", c.perSecond), func(t *testing.T) {
			db, err := pgtest.Start(pgtest.Programs(t), "fsync=off") // no machine crashes here
			must(t, err)
			t.Cleanup(db.End)
			f := newFleet(t, db, 3, c.times, true)
			f.campaign(c.chats, c.perSecond, c.during, c.every)
		})
	}
}

func (f *fleet) campaign(chats, perSecond int, during, every time.Duration) {
	t := f.t
	writers, random := newWriters(chats), rand.New(rand.NewPCG(16, uint64(perSecond)))
	notes := chats / 10
	s := pgtest.Open(t, f.address)
	remindedHomes(t, f.api, s, notes, 2, random, during)
	waitFor(t, f.api, "a webhook", func() bool { return f.api.State().Webhook != "" })
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go f.api.DeliverAll(ctx, 40) // as many as the platform at most (Bot API documentation: setWebhook)
	writing, over := context.WithCancel(ctx)
	kills := 0
	go func() {
		defer over()
		kills = f.disturb(ctx, random, every, during)
	}()
	for n := 0; store.Pause(writing, time.Second/time.Duration(perSecond)); n++ {
		writers[n%chats].say(f.api)
	}
	began := time.Now()
	unanswered := func() (n int) {
		for _, w := range writers {
			got, _, _ := w.answered(f.api)
			n += w.said - got
		}
		return n
	}
	// As long as answers come, the machine is only slow.
	for left, since := unanswered(), began; left > 0 && time.Since(since) < 2*time.Minute && store.Pause(ctx, time.Second); {
		if now := unanswered(); now < left {
			left, since = now, time.Now()
		}
	}
	said, doubled := 0, 0
	for _, w := range writers {
		got, twice, wrong := w.answered(f.api)
		if said, doubled = said+w.said, doubled+twice; got < w.said || wrong != "" {
			t.Errorf("%d: %d of %d messages were answered in order; and %.60q", w.ID, got, w.said, wrong)
		}
	}
	f.wantRecorded(s, writers)
	f.wantNotes(notes, 2)
	for _, b := range f.api.State().Breaches {
		t.Errorf("the platform's limits were broken: %s", b)
	}
	t.Logf("%d messages; %d kills; %d answers came twice (%.2f %%); the last came %v after the end",
		said, kills, doubled, 100*float64(doubled)/float64(said), time.Since(began).Round(time.Second))
	if os.Getenv(long) != "" && doubled*100 > said {
		t.Errorf("%d of %d answers came twice", doubled, said)
	}
}

// wantRecorded wants each weigh-in recorded once.
func (f *fleet) wantRecorded(s store.Store, writers []*writer) {
	must(f.t, storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		for _, w := range writers {
			if w.said == 0 {
				continue
			}
			chat := fmt.Sprint("telegram/", w.ID)
			id, err := tx.Member(chat, chat)
			if err != nil {
				return err
			}
			es, err := tx.Entries(id, store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}})
			if err != nil {
				return err
			}
			var have, want []string
			for _, e := range es {
				have = append(have, fmt.Sprintf("%.1f", e.Weight))
			}
			for k := range w.said {
				want = append(want, fmt.Sprintf("%.1f", kg(k)))
			}
			slices.Sort(have)
			slices.Sort(want)
			if !slices.Equal(have, want) {
				f.t.Errorf("%d: recorded %v, want %v", w.ID, have, want)
			}
		}
		return nil
	}))
}

// wantNotes wants everything that was due to have been said once.
func (f *fleet) wantNotes(households, notes int) {
	put := f.put()
	for h := range households {
		all := strings.Join(put[fmt.Sprint("telegram/", 6000+h)], "")
		for k := range notes {
			if n := strings.Count(all, errand(h, k)); n != 1 {
				f.t.Errorf("note %d of household %d was said %d times", k, h, n)
			}
		}
	}
}

// TestProcessTakesOver kills the process that asks for updates and sends, and
// ends another as a rolling update does: who writes hardly notices.
func TestProcessTakesOver(t *testing.T) {
	t.Parallel() // what it wants is several times what it takes
	if testing.Short() {
		t.Skip("it runs processes for some seconds: left out with -short")
	}
	f := newFleet(t, pgtest.Shared(t), 2, 1, false)
	w := newWriters(1)[0]
	says := func(what string, most time.Duration) {
		t.Helper()
		began := time.Now()
		w.say(f.api)
		ctx, cancel := context.WithTimeout(t.Context(), 2*most)
		defer cancel()
		if f.api.Wait(ctx, func() bool { n, _, _ := w.answered(f.api); return n == w.said }) != nil {
			t.Fatalf("%s: never answered", what)
		}
		took := time.Since(began)
		if t.Logf("%s: answered after %v", what, took.Round(10*time.Millisecond)); took > most {
			t.Errorf("%s: answered after %v, want %v", what, took, most)
		}
	}
	const soon = 15 * time.Second
	f.ready(0)
	f.ready(1)
	says("at the start", soon)
	rounds := 1
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		rounds = 2 // the second time it is the first that leads
	}
	for range rounds {
		f.kill(0)
		says("one is killed", soon)
		f.start(0)
		f.ready(0)
		says("and there again", soon)
		f.end(1)
		says("the other is updated", soon)
		f.start(1)
		f.ready(1)
		says("and there again", soon)
	}
	if _, twice, wrong := w.answered(f.api); wrong != "" || twice > 2 { // once for each kill
		t.Errorf("%d answers came twice; and %q", twice, wrong)
	}
	f.wantRecorded(pgtest.Open(t, f.address), []*writer{w})
	told := 0 // what the store holds is measured by one of them, so that it adds up
	for _, at := range f.well {
		_, figures := get(t, "http://"+at+"/metrics")
		told += strings.Count(figures, "\nbowlwright_households 1\n")
	}
	if told != 1 {
		t.Errorf("%d processes measure the store", told)
	}
}
