package telegram

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"bowlwright/bot/delivery"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// Handler answers an event: *bot.Assistant. It puts the replies into the
// store's outbox.
type Handler interface {
	Handle(ctx context.Context, e talk.Event) error
}

// Metrics is told what happens to updates, from several goroutines. Outcomes
// are "handled", "ignored", "refused" (a stranger), "unreadable", "failed" and
// "flood".
type Metrics interface {
	Update(outcome string, took time.Duration)
}

// Options says how the adapter works.
type Options struct {
	Token   string            // of the bot
	API     string            // address of the platform; empty: https://api.telegram.org
	Allow   []string          // ids and usernames of the people it answers; empty: anybody
	Secret  string            // that webhook calls carry; used by Webhook alone
	Log     *slog.Logger      // nil: nothing is logged
	Metrics Metrics           // nil: nothing is counted
	Wake    func(chat string) // told of chats that have something in the outbox; may be nil
	// Aside sends what cannot be put into the outbox; nil: that is not sent. It
	// must not block.
	Aside func(m store.Outgoing)
	// Move moves what a group has when it has become another chat; may be nil.
	Move   func(ctx context.Context, from, to string) error
	Groups Groups           // told who is in a group; nil: nobody wants to know
	Now    func() time.Time // nil: time.Now
	Finish time.Duration    // for what is in hand at the end; 0: 5 s
	Beat   time.Duration    // for how long the platform may be silent until it is asked for an answer; 0: 1 min
}

// Groups is told which people are still in a group, so that they belong to its
// household, by the names that the adapter gives to chats and people:
// *bot.Assistant.
type Groups interface {
	// GroupOf returns the group in which a person has to be to belong to the
	// household of a chat; empty where there is none.
	GroupOf(ctx context.Context, chat, person string) (group string, err error)
	// StillIn and LeftGroup tell that somebody is in a group, and is not.
	StillIn(ctx context.Context, group, person string, at time.Time) error
	LeftGroup(ctx context.Context, group, person string, at time.Time) error
}

// publicAPI is the platform's own address.
const publicAPI = "https://api.telegram.org"

// Adapter receives updates and hands them to the assistant.
type Adapter struct {
	name     string // that it claims updates by
	handler  Handler
	store    store.Store
	o        Options
	client   *client
	sender   *sender
	allow    People
	lanes    *lanes
	open     atomic.Bool   // webhook calls are taken
	ready    atomic.Bool   // updates are being received and can be stored
	stands   atomic.Bool   // by, since another process receives the updates
	unstored atomic.Bool   // the last update that came by webhook could not be stored
	done     chan int64    // ids of updates that have been handled
	answers  chan string   // callbacks to answer
	look     chan struct{} // updates may wait in the inbox
	inHand   sync.Map      // ids of the updates that this process has in hand
	taking   sync.Mutex    // updates are stored and put into lanes in one order
	told     toldChats     // who was told of late that this is not for them
	asked    toldChats     // about whom the platform was asked of late whether they are in their group

	ended context.Context // the cause says why the adapter cannot go on
	end   context.CancelCauseFunc
}

// New returns an adapter; nothing is sent or received until Run. The error is
// ErrToken or says that the address is unusable.
func New(h Handler, s store.Store, o Options) (*Adapter, error) {
	o.API = cmp.Or(o.API, publicAPI)
	o.Log = cmp.Or(o.Log, slog.New(slog.DiscardHandler))
	o.Finish = cmp.Or(max(0, o.Finish), finishTimeout)
	o.Beat = cmp.Or(max(0, o.Beat), time.Minute)
	o.Metrics = cmp.Or[Metrics](o.Metrics, noMetrics{})
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Wake == nil {
		o.Wake = func(string) {}
	}
	if o.Aside == nil {
		o.Aside = func(store.Outgoing) {}
	}
	if o.Move == nil {
		o.Move = func(context.Context, string, string) error { return nil }
	}
	if _, err := http.NewRequest(http.MethodPost, o.API, nil); err != nil {
		return nil, errors.New("telegram: the platform's address is not usable")
	}
	c, err := newClient(o.Token, o.API, o.Now)
	if err != nil {
		return nil, err
	}
	a := &Adapter{name: rand.Text(), handler: h, store: s, o: o, client: c, sender: &sender{c: c, store: s, sent: map[uint64]int{}, lastSeen: map[target]int64{}}, allow: NewPeople(o.Allow),
		done: make(chan int64, mostWaiting), answers: make(chan string, mostWaiting), look: make(chan struct{}, 1)}
	a.ended, a.end = context.WithCancelCause(context.Background())
	a.lanes = newLanes(a.handle)
	return a, nil
}

type noMetrics struct{}

func (noMetrics) Update(string, time.Duration) {}

// Sender puts replies on the wire, for package delivery.
func (a *Adapter) Sender() delivery.Sender { return a.sender }

// Ready reports that updates are being received and stored, and that the
// platform is there.
func (a *Adapter) Ready() bool {
	return (a.ready.Load() || a.stands.Load()) && !a.unstored.Load() && a.Silent() < LongestSilence
}

// Silent is for how long the platform has not answered anything.
func (a *Adapter) Silent() time.Duration {
	return a.o.Now().Sub(time.Unix(0, a.client.heard.Load()))
}

// LongestSilence is how long the platform may be silent until that counts as
// gone; our own choice.
const LongestSilence = 5 * time.Minute

// listen asks the platform for an answer where there has been none for a while,
// as when nobody writes to a webhook, and logs that it is gone and back.
func (a *Adapter) listen(ctx context.Context) {
	for gone := false; store.Pause(ctx, a.o.Beat); {
		if a.Silent() >= a.o.Beat {
			if _, err := a.client.whoIs(ctx); err != nil && ctx.Err() == nil {
				a.o.Log.Debug("the platform does not answer", "error", err.Error())
			}
		}
		switch silent := a.Silent(); {
		case !gone && silent >= LongestSilence:
			gone = true
			a.o.Log.Error("the platform is gone: it has not answered", "for", silent.Round(time.Second).String())
		case gone && silent < LongestSilence:
			gone = false
			a.o.Log.Info("the platform answers again")
		}
	}
}

// Run receives updates by long polling until ctx ends, then finishes what is in
// hand. What it does not get to stays in the store for the next run. The error
// is nil at such an end, ErrToken, a *RefusedError, or a *store.Error of code
// Damaged.
func (a *Adapter) Run(ctx context.Context) error {
	return a.run(ctx, func(ctx context.Context) error {
		if err := a.untilDone(ctx, "deleteWebhook", a.client.removeWebhook); err != nil {
			return err
		}
		var err error
		a.stands.Store(true)
		led := a.store.Lead(ctx, Prefix+"poll", func(ctx context.Context) {
			a.stands.Store(false)
			err = a.poll(ctx)
		})
		return cmp.Or(err, led)
	})
}

// RunWebhook has the platform call address, which must lead to Webhook, until
// ctx ends. Otherwise it is like Run.
func (a *Adapter) RunWebhook(ctx context.Context, address string) error {
	return a.run(ctx, func(ctx context.Context) error {
		a.open.Store(true)
		set := func(ctx context.Context) error { return a.client.setWebhook(ctx, address, a.o.Secret) }
		if err := a.untilDone(ctx, "setWebhook", set); err != nil {
			return err
		}
		a.ready.Store(true)
		<-ctx.Done()
		return nil
	})
}

// Our own choices.
const (
	finishTimeout = 5 * time.Second
	answerWorkers = 8
)

func (a *Adapter) run(ctx context.Context, receive func(context.Context) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	defer context.AfterFunc(a.ended, stop)()
	var side sync.WaitGroup
	sideCtx, stopSide := context.WithCancel(context.WithoutCancel(ctx))
	for range answerWorkers {
		side.Go(func() { a.answerCallbacks(sideCtx) })
	}
	side.Go(func() { a.listen(sideCtx) })
	defer store.Keep(sideCtx, a.store, a.name, inboxLease)()
	var reaped sync.WaitGroup
	reaped.Go(a.reap)

	err := a.start(ctx)
	if err == nil {
		looking, stopLooking := context.WithCancel(ctx)
		side.Go(func() { a.keepLooking(looking) })
		err = receive(ctx)
		stopLooking()
	}
	a.open.Store(false)
	a.ready.Store(false)
	a.stands.Store(false)
	late := time.AfterFunc(a.o.Finish, func() { a.end(errClosing) })
	a.lanes.close(a.o.Finish)
	late.Stop()
	stopSide()
	side.Wait()
	a.taking.Lock() // a webhook call under way is through, later ones are refused
	close(a.done)
	a.taking.Unlock()
	reaped.Wait()
	a.store.Release(context.Background(), a.name) // else the leases run out
	if cause := context.Cause(a.ended); cause != nil && !errors.Is(cause, errClosing) {
		return cause
	}
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// start learns who the bot is, sets the menu and takes up what an earlier run
// received and did not get to.
func (a *Adapter) start(ctx context.Context) error {
	if err := a.untilDone(ctx, "getMe", a.client.whoAmI); err != nil {
		return err
	}
	a.o.Log.Info("connected", "bot", a.client.me.ID)
	if err := a.client.setCommands(ctx); err != nil {
		a.o.Log.Warn("the menu of commands was not set", "error", err.Error())
	}
	a.check(a.draw(ctx)) // it looks again now and then
	return nil
}

// untilDone repeats a call that everything else depends on, with growing pauses
// and not before the platform allows, until it succeeds or ctx ends. ErrToken
// and a RefusedError are final.
func (a *Adapter) untilDone(ctx context.Context, name string, call func(context.Context) error) error {
	if left := a.waitsFor(ctx, name); left > 0 && !store.Pause(ctx, left) {
		return ctx.Err()
	}
	for pause := firstPause; ; pause = min(2*pause, longestPause) {
		err := call(ctx)
		var refused *RefusedError
		var failed *callError
		switch {
		case err == nil, errors.Is(err, ErrToken), errors.As(err, &refused):
			return err
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, &failed):
			if failed.after > 0 {
				pause = max(pause, failed.after)
				// For the next run too. It is among the adapter's notes, under a name that
				// no chat has.
				until := a.o.Now().Add(failed.after).UTC().Format(time.RFC3339Nano)
				a.commit(ctx, store.PutAdapter{Chat: Prefix + name, Notes: []byte(until)})
			}
		}
		a.o.Log.Warn("the platform cannot be reached", "call", name, "error", err.Error(), "pause", pause.String())
		if !store.Pause(ctx, pause) {
			return ctx.Err()
		}
	}
}

// waitsFor is how long a call still has to wait.
func (a *Adapter) waitsFor(ctx context.Context, name string) (left time.Duration) {
	data, err := store.Look(ctx, a.store, func(snap store.Snapshot) ([]byte, error) { return snap.Adapter(Prefix + name) })
	a.check(err)
	if until, err := time.Parse(time.RFC3339Nano, string(data)); err == nil {
		left = until.Sub(a.o.Now())
	}
	return min(left, longestWait)
}

// longestWait is how far ahead a time from another run is believed, since the
// clock may have been set in between; our own choice.
const longestWait = 24 * time.Hour

// Pauses after failures; our own choices.
const (
	firstPause   = 100 * time.Millisecond
	longestPause = 30 * time.Second
)

// allowed reports whether a person may use this bot.
func (a *Adapter) allowed(p user) bool {
	return len(a.allow) == 0 || a.allow.Has(strconv.FormatInt(p.ID, 10), p.Username)
}

// answerCallbacks tells the platform that presses arrived, so that the
// button stops spinning while the work is still being done. It is a courtesy:
// failures are of no consequence.
func (a *Adapter) answerCallbacks(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case id := <-a.answers:
			if err := a.client.answer(ctx, id); err != nil {
				a.o.Log.Debug("a press was not confirmed", "error", reason(err))
			}
		}
	}
}
