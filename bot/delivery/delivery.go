package delivery

import (
	"cmp"
	"context"
	"log/slog"
	"sync"
	"time"

	"bowlwright/store"
)

// Sender puts one message on the wire, and returns soon after ctx ends. Its
// error is nil or a *Failure; anything else counts as a failure of kind Retry.
type Sender interface {
	Send(ctx context.Context, m store.Outgoing) error
}

// Kind says what a failure to send means for the message.
type Kind string

// The kinds.
const (
	Retry   Kind = "retry"   // the network, or the platform's own trouble: the next try may succeed
	Wait    Kind = "wait"    // too many: not before After has passed
	Blocked Kind = "blocked" // the person does not want messages
	Never   Kind = "never"   // the platform will never take this message
	Moved   Kind = "moved"   // the group is now NewChat
)

// Failure is why a message was not sent. Its text goes into logs and into the
// dead letters, so Err holds neither the message nor a secret.
type Failure struct {
	Kind    Kind
	After   time.Duration // of Wait
	NewChat string        // of Moved, with the adapter's prefix
	Err     error
}

// Error returns the kind and the cause.
func (f *Failure) Error() string {
	if f.Err == nil {
		return string(f.Kind)
	}
	return string(f.Kind) + ": " + f.Err.Error()
}

// Options says how a Delivery works. The zero value of each field is usable,
// except Prefix.
type Options struct {
	Prefix  string                                           // of the chats it delivers to: "telegram/"
	Log     *slog.Logger                                     // nil: nothing is logged
	Metrics Metrics                                          // nil: nothing is counted
	IsGroup func(chat string) bool                           // nil: no chat is a group
	Moved   func(ctx context.Context, from, to string) error // moves what a group has, outbox and all; nil: its messages become dead letters
	Now     func() time.Time                                 // nil: time.Now

	Limits   *Limits       // nil: PlatformLimits
	Parallel int           // messages on their way at once; 0: 64
	Chats    int           // chats of the backlog that are remembered at once; 0: 10,000
	Rescan   time.Duration // how often the outbox is searched for what nobody woke; 0: 5 s
	Timeout  time.Duration // for one message; 0: 2 min
	Grace    time.Duration // for what is on its way when Run is to end; 0: 5 s
}

// Metrics is told what happens to messages. Its methods are called from several
// goroutines.
type Metrics interface {
	// Sent is called for each attempt and each message given up, with the
	// result "sent", "expired", "dead" or a Kind and how long the attempt took.
	Sent(result string, took time.Duration)
}

// The results besides the kinds that Metrics is told.
const (
	resultSent    = "sent"
	resultExpired = "expired"
	resultDead    = "dead"
)

// Delivery sends the outbox of the chats of one adapter. Its methods may be
// called from several goroutines; Run and Flush exclude one another.
type Delivery struct {
	store  store.Store
	sender Sender
	o      Options
	limits Limits
	turn   chan struct{} // held by Run or Flush

	mu     sync.Mutex
	woken  map[string]bool
	missed bool             // more were woken than are remembered
	unkept []store.Outgoing // from Aside
	bell   chan struct{}

	lanes   map[string]*lane
	ready   *ready
	waiting queue // lanes to be looked at later
	all     window
	pace    time.Time            // when the next message that nobody waits for may go
	began   time.Time            // when all limits were last used up, as far as known; zero: never
	last    time.Time            // when the last message went
	run     string               // the name of the last run of this delivery
	waits   map[string]time.Time // until when chats are to wait, by the platform's word
	trouble trouble
	woke    uint64           // how many lanes have been woken
	asides  []store.Outgoing // from Aside, still waiting
	flying  int              // messages on their way, to the platform or to the store
	backlog backlog
}

// New returns a delivery that does nothing until Run or Flush.
func New(s store.Store, sender Sender, o Options) *Delivery {
	o.Log = cmp.Or(o.Log, slog.New(slog.DiscardHandler))
	o.Metrics = cmp.Or[Metrics](o.Metrics, noMetrics{})
	if o.IsGroup == nil {
		o.IsGroup = func(string) bool { return false }
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	limits := *cmp.Or(o.Limits, &PlatformLimits)
	o.Parallel = cmp.Or(max(0, o.Parallel), 64)
	o.Chats = cmp.Or(max(0, o.Chats), 10_000)
	o.Rescan = cmp.Or(max(0, o.Rescan), 5*time.Second)
	o.Timeout = cmp.Or(max(0, o.Timeout), 2*time.Minute)
	o.Grace = cmp.Or(max(0, o.Grace), 5*time.Second)
	return &Delivery{
		store: s, sender: sender, o: o, limits: limits,
		turn: make(chan struct{}, 1), bell: make(chan struct{}, 1),
		waits: map[string]time.Time{}, lanes: map[string]*lane{}, ready: newReady(),
		waiting: queue{less: byTime}, all: window{limit: limits.All},
	}
}

type noMetrics struct{}

func (noMetrics) Sent(string, time.Duration) {}

// Wake says that somebody waits for what was put into the outbox of a chat; it
// goes before what nobody waits for. It never blocks. A chat that nobody woke
// is found within Options.Rescan.
func (d *Delivery) Wake(chat string) {
	d.mu.Lock()
	if d.woken == nil {
		d.woken = map[string]bool{}
	}
	if len(d.woken) < d.o.Chats {
		d.woken[chat] = true
	} else {
		d.missed = true
	}
	d.mu.Unlock()
	select {
	case d.bell <- struct{}{}:
	default:
	}
}

// Run delivers until ctx ends, and returns nil then. What is on its way at
// that moment has Options.Grace to arrive.
func (d *Delivery) Run(ctx context.Context) error { return d.deliver(ctx, false) }

// Flush sends what can be sent before ctx ends, and returns as soon as there is
// nothing more. What could not be sent stays in the outbox. Flush waits for a
// Run that is about to end.
func (d *Delivery) Flush(ctx context.Context) error { return d.deliver(ctx, true) }
