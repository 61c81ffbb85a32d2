package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/hotcopy"
)

// The orders: what an operator has done to a store, whoever has it open.
const (
	retryOrder    = "retry"    // messages that could not be delivered go into the outbox again
	dropOrder     = "drop"     // or are forgotten
	withdrawOrder = "withdraw" // token, reason, time: nobody opens what is published any more
)

// orders are carried out on a store that is open here.
func orders(s store.Store) map[string]hotcopy.Order {
	return map[string]hotcopy.Order{
		retryOrder: func(ctx context.Context, _ []string) (string, error) {
			n, err := settleUndelivered(ctx, s, true)
			return fmt.Sprintf("%d in the outbox again\n", n), err
		},
		dropOrder: func(ctx context.Context, _ []string) (string, error) {
			n, err := settleUndelivered(ctx, s, false)
			return fmt.Sprintf("%d forgotten\n", n), err
		},
		withdrawOrder: func(ctx context.Context, args []string) (string, error) {
			if len(args) != 3 {
				return "", errors.New("a token, a reason and a time are needed")
			}
			now, err := time.Parse(time.RFC3339Nano, args[2])
			if err != nil {
				return "", err
			}
			return withdrawPublished(ctx, s, args[0], args[1], now)
		},
	}
}

// order has something done to the store of a file: by the program that has it
// open, or where none has, here.
func order(ctx context.Context, file, name string, args ...string) (said string, err error) {
	said, err = hotcopy.Do(ctx, filepath.Dir(file), name, args...)
	var refused hotcopy.Refused
	switch {
	case err == nil:
		return said, nil
	case errors.As(err, &refused):
		return "", failure{refused.Error(), err}
	case errors.Is(err, hotcopy.ErrUnknown):
		return "", failure{file + " is in use by another version of Bowlwright: end that first", err}
	case !errors.Is(err, hotcopy.ErrNobody):
		return "", err
	}
	s, err := bolt.Open(file, bolt.Options{})
	if err != nil {
		return "", aboutFile(err, file)
	}
	said, err = orders(s)[name](ctx, args)
	return said, aboutFile(errors.Join(err, s.Close()), file)
}
