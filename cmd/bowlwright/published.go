package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bowlwright/bot/publish"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// publishedPage is how much of what is published is read at once (our own choice).
const publishedPage = 1000

// published lists what households have published, or withdraws one of it.
func published(ctx context.Context, args []string, now time.Time, stdout io.Writer) error {
	var data, withdraw, why string
	f := newFlags("published")
	f.StringVar(&data, "data", "", "directory of the data file")
	f.StringVar(&withdraw, "withdraw", "", "the token of what is to be withdrawn")
	f.StringVar(&why, "why", "", "the reason, which its readers are told")
	if err := f.Parse(args); err != nil {
		return usageError{err.Error()}
	}
	why = publish.Line(why)
	if f.NArg() > 0 || (withdraw == "") != (why == "") {
		return usageError{"published takes --withdraw TOKEN and --why REASON, or neither, and nothing else"}
	}
	file, err := keptFile(data)
	if err != nil {
		return err
	}
	if withdraw == "" {
		return inCopy(ctx, file, func(snap store.Snapshot) error { return listPublished(snap, stdout) })
	}
	s, err := bolt.Open(file, bolt.Options{})
	if err != nil {
		return aboutFile(err, file)
	}
	var title string
	err = store.Answer(ctx, s, func(snap store.Snapshot) (c store.Commit, err error) {
		p, err := snap.Published(withdraw)
		if err != nil || !p.Withdrawn.At.IsZero() {
			return c, errors.Join(err, errNotPublished)
		}
		title = p.Title
		c.Expect = []store.Expectation{store.PublishedAt{Token: p.Token, Rev: p.Rev}}
		p.Withdrawn = planner.Withdrawal{At: now.UTC(), Why: why, Operator: true}
		p.Rev++
		c.Writes = []store.Write{store.PutPublished(p), store.PutDue{Household: store.Errand(store.TellErrand, p.Token), At: now.UTC()}}
		return c, nil
	})
	if closed := s.Close(); err == nil {
		err = closed
	}
	if errors.Is(err, errNotPublished) {
		return failure{fmt.Sprintf("nothing is published under %q", withdraw), err}
	}
	if err != nil {
		return aboutFile(err, file)
	}
	_, err = fmt.Fprintf(stdout, "%q is withdrawn; its readers are told when the program runs\n", title)
	return err
}

var errNotPublished = errors.New("nothing is published under this token")

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
