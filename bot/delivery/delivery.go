package delivery

import (
	"context"
	"log/slog"
	"time"

	"bowlwright/store"
)

// Sender puts one message on the wire. Its error is nil or a *Failure;
// anything else counts as a failure of kind Retry.
type Sender interface {
	Send(ctx context.Context, m store.Outgoing) error
}

// Kind says what a failure to send means for the message.
type Kind string

// The kinds.
const (
	Retry   Kind = "retry"   // the network, or the platform's own trouble: it may go the next time
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

// Unwrap returns the cause.
func (f *Failure) Unwrap() error { return f.Err }

// Options says how a Delivery works. The zero value of each field is usable,
// except Prefix.
type Options struct {
	Prefix  string                                           // of the chats it delivers to: "telegram/"
	Log     *slog.Logger                                     // nil: nothing is logged
	Metrics Metrics                                          // nil: nothing is counted
	IsGroup func(chat string) bool                           // nil: no chat is a group
	Moved   func(ctx context.Context, from, to string) error // a group has become another chat; nil: its messages are dead letters
	Now     func() time.Time                                 // nil: time.Now
}

// Metrics is told what becomes of messages. Its methods are called from
// several goroutines.
type Metrics interface {
	Sent(result string, took time.Duration) // one attempt: "sent", "expired" or a Kind
}

// Delivery sends the outbox of the chats of one adapter.
type Delivery struct {
	store  store.Store
	sender Sender
	o      Options
}

// New returns a delivery that does nothing until Run or Flush.
func New(s store.Store, sender Sender, o Options) *Delivery {
	return &Delivery{store: s, sender: sender, o: o}
}

// Run delivers until ctx ends, and returns nil then.
func (d *Delivery) Run(ctx context.Context) error { <-ctx.Done(); return nil }

// Wake says that something was put into the outbox of a chat.
func (d *Delivery) Wake(chat string) {}

// Flush sends what can still be sent before ctx ends; Run has returned by
// then.
func (d *Delivery) Flush(ctx context.Context) error { return nil }
