package terminal_test

import (
	"context"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot/say"
	"bowlwright/store"
)

// overheard is a store that notes every reply that is kept in it.
type overheard struct {
	store.Store
	said *[]say.Reply
}

func (o overheard) Commit(ctx context.Context, c store.Commit) error {
	if err := o.Store.Commit(ctx, c); err != nil {
		return err
	}
	for _, w := range c.Writes {
		if m, ok := w.(store.Enqueue); ok {
			r, err := say.DecodeReply(m.Body)
			if err != nil {
				return err
			}
			*o.said = append(*o.said, r)
		}
	}
	return nil
}

// checkLengths holds every reply to the screen of a phone: its prose, but for what
// is whole by right, in lines, and its tables in columns.
func checkLengths(t *testing.T, said []say.Reply) {
	t.Helper()
	for _, r := range said {
		if n := say.ProseLines(r.Body); n > say.MostLines {
			t.Errorf("%d lines of prose, at most %d: shorten it, or let a part wait (say.Waits): %+v", n, say.MostLines, r.Body)
		}
		for _, b := range r.Body {
			for line := range strings.SplitSeq(b.Text, "\n") {
				if b.Table && text.StringWidth(line) > say.TableWidth {
					t.Errorf("a table of %d columns, at most %d: %q", text.StringWidth(line), say.TableWidth, line)
				}
			}
		}
	}
}
