package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/store"
)

// Our own choices.
const (
	// leadAgain is the pause after a session could not be had.
	leadAgain = 250 * time.Millisecond
	// leadGrace is the time for whoever led before to notice that it does no more:
	// its session may have been lost.
	leadGrace = 250 * time.Millisecond
)

// Lead implements store.Store. The session of a leader holds the lock of the
// role; where the session is lost the context ends, and it waits to lead again.
func (s *Store) Lead(ctx context.Context, role string, f func(context.Context)) error {
	for again := false; ; again = true {
		lost, err := s.leadOnce(ctx, role, again, f)
		switch {
		case ctx.Err() != nil && err != nil:
			return &store.Error{Code: store.Internal, Op: "lead", Err: ctx.Err()}
		case err == nil && (!lost || ctx.Err() != nil):
			return nil
		case err != nil:
			store.Pause(ctx, leadAgain)
		}
	}
}

// leadOnce leads in one session. The error is of before it led.
func (s *Store) leadOnce(ctx context.Context, role string, again bool, f func(context.Context)) (lost bool, err error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	conn, err := pgx.ConnectConfig(ctx, s.config.Copy())
	if err != nil {
		return false, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	free := false
	if err := conn.QueryRow(ctx, `SELECT pg_try_advisory_lock($1)`, lockOf("lead", role)).Scan(&free); err != nil {
		return false, err
	}
	if !free {
		if _, err := conn.Exec(ctx, `SELECT pg_advisory_lock($1)`, lockOf("lead", role)); err != nil {
			return false, err
		}
	}
	if again || !free {
		store.Pause(ctx, leadGrace)
	}
	leading, stop := context.WithCancel(ctx)
	defer stop()
	watching, over := context.WithCancel(context.WithoutCancel(ctx))
	watched := make(chan error, 1)
	go func() {
		_, err := conn.WaitForNotification(watching) // which nobody sends: it returns with the session, or with over
		watched <- err
		stop()
	}()
	f(leading)
	lost = leading.Err() != nil && ctx.Err() == nil
	over()
	<-watched
	return lost, nil
}
