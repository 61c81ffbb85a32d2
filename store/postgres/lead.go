package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/store"
)

// leadAgain is the pause after a session could not be had; our own choice.
const leadAgain = 250 * time.Millisecond

// Lead implements store.Store. The session of a leader holds the lock of the
// role; where the session is lost the context ends, and it waits to lead again.
func (s *Store) Lead(ctx context.Context, role string, f func(context.Context)) error {
	const op = "lead"
	for {
		lost, err := s.leadOnce(ctx, role, f)
		switch {
		case ctx.Err() != nil && err != nil:
			return &store.Error{Code: store.Internal, Op: op, Err: ctx.Err()}
		case err == nil && (!lost || ctx.Err() != nil):
			return nil
		case err != nil:
			pause(ctx, leadAgain)
		}
	}
}

// leadOnce leads in one session. The error is of before it led.
func (s *Store) leadOnce(ctx context.Context, role string, f func(context.Context)) (lost bool, err error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	conn, err := pgx.ConnectConfig(ctx, s.config.Copy())
	if err != nil {
		return false, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, `SELECT pg_advisory_lock($1)`, lockOf("lead", role)); err != nil {
		return false, err
	}
	leading, stop := context.WithCancel(ctx)
	watching, over := context.WithCancel(context.WithoutCancel(ctx))
	watched := make(chan bool)
	go func() {
		_, err := conn.WaitForNotification(watching) // which nobody sends: it returns with the session, or with over
		watched <- err != nil && watching.Err() == nil
		stop()
	}()
	f(leading)
	over()
	lost = <-watched
	stop()
	return lost, nil
}
