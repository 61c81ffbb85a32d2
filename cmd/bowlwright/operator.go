package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bowlwright/bot/publish"
	"bowlwright/bot/telegram"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// mostUndelivered is how many messages are listed or dealt with at a time.
const mostUndelivered = 10_000

// undelivered lists the messages that could never be delivered, without their
// text and without naming anybody; it can put them into the outbox again or
// forget them.
func undelivered(ctx context.Context, args []string, now time.Time, stdout io.Writer) error {
	var retry, drop bool
	f := newFlags("undelivered")
	where := placeFlags(f, os.Getenv)
	f.BoolVar(&retry, "retry", false, "put them into the outbox again")
	f.BoolVar(&drop, "drop", false, "forget them")
	rest, err := anywhere(f, args)
	if err != nil {
		return err
	}
	if len(rest) > 0 || retry && drop {
		return usageError{"undelivered takes --retry or --drop, or neither, and nothing else"}
	}
	data, err := where()
	if err != nil {
		return err
	}
	if !retry && !drop {
		return data.read(ctx, func(snap store.Snapshot) error { return listUndelivered(snap, now, stdout) })
	}
	name := dropOrder
	if retry {
		name = retryOrder
	}
	said, err := data.order(ctx, name)
	if err != nil {
		return err
	}
	_, err = io.WriteString(stdout, said)
	return err
}

// inCopy reads a copy of a store: a program may have the file open.
func inCopy(ctx context.Context, file string, read func(store.Snapshot) error) error {
	dir, err := os.MkdirTemp("", "bowlwright-")
	if err != nil { // a container may have no other place than that of its data
		dir, err = os.MkdirTemp(filepath.Dir(file), ".copy-")
	}
	if err != nil {
		return failure{fmt.Sprintf("no copy could be made: %v", err), err}
	}
	defer os.RemoveAll(dir)
	part := filepath.Join(dir, dataFile)
	copied, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	if err := errors.Join(copyOut(ctx, file, copied), copied.Close()); err != nil {
		return err
	}
	s, err := bolt.Open(part, bolt.Options{NoSync: true})
	if err != nil {
		return aboutFile(err, file)
	}
	defer s.Close()
	snap, err := s.Read(ctx)
	if err != nil {
		return aboutFile(err, file)
	}
	defer snap.Close()
	return aboutFile(read(snap), file)
}

// listUndelivered prints a line for each.
func listUndelivered(snap store.Snapshot, now time.Time, stdout io.Writer) error {
	dead, err := snap.Dead(mostUndelivered)
	if err != nil {
		return err
	}
	var out strings.Builder
	for _, d := range dead {
		kind := "private"
		if telegram.IsGroup(d.Message.Chat) {
			kind = "group"
		}
		fmt.Fprintf(&out, "%d\t%s\t%s ago\t%s\n", d.Message.Number, kind, now.Sub(d.At).Round(time.Minute), d.Reason)
	}
	fmt.Fprintf(&out, "%d could not be delivered\n", len(dead))
	_, err = io.WriteString(stdout, out.String())
	return err
}

// settleUndelivered forgets the messages, after putting them at the end of the
// outbox where they are to be tried again.
func settleUndelivered(ctx context.Context, s store.Store, retry bool) (n int, err error) {
	err = store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		dead, err := snap.Dead(mostUndelivered)
		for _, d := range dead {
			if retry { // a bowl of last week still expires: nobody should feed it now
				c.Writes = append(c.Writes, store.Enqueue(d.Message))
			}
			c.Writes = append(c.Writes, store.DeleteDead(d.Message.Number))
		}
		n = len(dead)
		return c, err
	})
	return n, err
}

// publishedPage is how much of what is published is read at once (our own choice).
const publishedPage = 1000

// published lists what households have published, or withdraws one of it.
func published(ctx context.Context, args []string, now time.Time, stdout io.Writer) error {
	var withdraw, why string
	f := newFlags("published")
	where := placeFlags(f, os.Getenv)
	f.StringVar(&withdraw, "withdraw", "", "the token of what is to be withdrawn")
	f.StringVar(&why, "why", "", "the reason, which its readers are told")
	rest, err := anywhere(f, args)
	if err != nil {
		return err
	}
	why = publish.Line(why)
	if len(rest) > 0 || (withdraw == "") != (why == "") {
		return usageError{"published takes --withdraw TOKEN and --why REASON, or neither, and nothing else"}
	}
	data, err := where()
	if err != nil {
		return err
	}
	if withdraw == "" {
		return data.read(ctx, func(snap store.Snapshot) error { return listPublished(snap, stdout) })
	}
	said, err := data.order(ctx, withdrawOrder, withdraw, why, now.Format(time.RFC3339Nano))
	if err != nil {
		return err
	}
	_, err = io.WriteString(stdout, said)
	return err
}

// withdrawPublished closes what is published under a token, and has its readers
// told.
func withdrawPublished(ctx context.Context, s store.Store, token, why string, now time.Time) (said string, err error) {
	err = store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		p, err := snap.Published(token)
		if store.IsNotFound(err) || err == nil && !p.Withdrawn.At.IsZero() {
			return c, failure{fmt.Sprintf("nothing is published under %q", token), err}
		}
		if err != nil {
			return c, err
		}
		said = fmt.Sprintf("%q is withdrawn; its readers are told when the program runs\n", p.Title)
		c.Expect = []store.Expectation{store.PublishedAt{Token: p.Token, Rev: p.Rev}}
		p.Withdrawn = planner.Withdrawal{At: now.UTC(), Why: why, Operator: true}
		p.Rev++
		c.Writes = []store.Write{store.PutPublished(p), store.PutDue{Household: store.Errand(store.TellErrand, p.Token), At: now.UTC()}}
		return c, nil
	})
	return said, err
}

// listPublished prints a line for each: its token, since when, versions,
// readers, state, and what its author calls it and herself.
func listPublished(snap store.Snapshot, stdout io.Writer) error {
	var out strings.Builder
	n := 0
	for after := ""; ; {
		page, err := snap.PublishedAfter(after, publishedPage)
		if err != nil {
			return err
		}
		for _, p := range page {
			after = p.Token
			if len(p.Versions) == 0 {
				continue // its author is gone
			}
			readers, err := countReaders(snap, p.Token)
			if err != nil {
				return err
			}
			state := "open"
			switch {
			case !p.Withdrawn.At.IsZero():
				state = "withdrawn"
			case p.Closed:
				state = "closed"
			}
			n++
			fmt.Fprintf(&out, "%s\t%s\t%d versions\t%d readers\t%s\t%q by %q\n", p.Token, p.Versions[0].At.Format(time.DateOnly), len(p.Versions), readers, state, p.Title, p.Author)
		}
		if len(page) < publishedPage {
			break
		}
	}
	fmt.Fprintf(&out, "%d published\n", n)
	_, err := io.WriteString(stdout, out.String())
	return err
}

func countReaders(snap store.Snapshot, token string) (n int, err error) {
	for after := ""; ; {
		page, err := snap.Readers(token, after, publishedPage)
		n += len(page)
		if err != nil || len(page) < publishedPage {
			return n, err
		}
		after = page[len(page)-1].Household
	}
}
