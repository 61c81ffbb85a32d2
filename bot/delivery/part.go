package delivery

import "context"

// part is a Sender's wish to send another message for the one it was given.
type part struct {
	lane    *lane
	flight  uint64 // which of its messages
	granted chan struct{}
}

type partKey struct{}

// Another waits until one more message may go to the chat of the message for
// which a Sender was given ctx. Its error is that of ctx, if that ends first. A
// Sender that makes several calls for one message, each counted by the
// platform, calls it before each but the first. Outside of a delivery it
// returns at once.
func Another(ctx context.Context) error {
	wait, ok := ctx.Value(partKey{}).(func(context.Context) error)
	if !ok {
		return ctx.Err()
	}
	return wait(ctx)
}

// withParts lets Another wait for the turn of a lane.
func (r *run) withParts(ctx context.Context, l *lane, flight uint64) context.Context {
	return context.WithValue(ctx, partKey{}, func(ctx context.Context) error {
		p := &part{lane: l, flight: flight, granted: make(chan struct{})}
		select {
		case r.parts <- p:
		case <-r.ctx.Done():
			return context.Cause(r.ctx)
		case <-ctx.Done():
			return ctx.Err()
		}
		select {
		case <-p.granted:
			return nil
		case <-r.ctx.Done():
			return context.Cause(r.ctx)
		case <-ctx.Done():
			return ctx.Err()
		}
	})
}

// queuePart lets a part wait for its turn, unless its message has been given
// up meanwhile.
func (r *run) queuePart(p *part) {
	if l := p.lane; l.busy && l.flight == p.flight {
		r.arrived(l, r.o.Now()) // the part before it
		l.granted = p.granted
		r.place(l, r.o.Now())
	}
}
