package talk

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/say"
)

// long are the last replies of which lines wait behind a button.
type long struct {
	By      string    `json:"by"` // the change that the event would be that they answer
	At      time.Time `json:"at"`
	Newest  string    `json:"newest"` // the household's newest change then
	Last    bool      `json:"last"`   // nothing was said since
	Replies []longOne `json:"replies"`
}

type longOne struct {
	Body    []say.Block    `json:"body"`
	Buttons [][]say.Button `json:"buttons,omitempty"`
	Apart   bool           `json:"apart,omitempty"` // it had a picture or file, which text cannot take the place of
}

// keepLong cuts the turn's replies to a phone's screen, and keeps them for the
// button under each.
func (t *Turn) keepLong() {
	l := long{By: ChangeID(t.Event.ID), At: t.Event.At}
	for i := range t.Replies {
		r := &t.Replies[i]
		first, cut := say.FirstScreen(r.Body)
		if !cut {
			continue
		}
		l.Replies = append(l.Replies, longOne{r.Body, slices.Clone(r.Buttons), r.Picture != nil || r.Document != nil})
		r.Body = first
		r.Offer(t.Button(msg("button.all"), "all", l.By, strconv.Itoa(len(l.Replies)-1)))
	}
	switch {
	case len(l.Replies) > 0:
		l.Newest, l.Last = t.newestChange(), true
		t.Talk.Long = &l
	case t.Talk.Long != nil:
		t.Talk.Long.Last = false
	}
}

// allSaid does what the button under the only reply that was just cut does,
// where its words are typed: beside an open question too.
func (t *Turn) allSaid(s string) bool {
	l := t.Talk.Long
	if l == nil || !l.Last || len(l.Replies) != 1 || !strings.EqualFold(strings.Trim(s, " .!"), msg("button.all")) {
		return false
	}
	t.pressAll([]string{l.By, "0"})
	return true
}

// pressAll says a reply that was cut in full, in its place. Where something has
// changed since, it may be wrong by now and is asked for anew.
func (t *Turn) pressAll(args []string) {
	l := t.Talk.Long
	n, err := strconv.Atoi(Arg(args, 1))
	if l == nil || err != nil || n < 0 || n >= len(l.Replies) || l.By != Arg(args, 0) ||
		t.Event.At.Sub(l.At) > openFor || l.Newest != t.newestChange() {
		t.SayMsg("press.all-stale")
		return
	}
	r := t.Say(l.Replies[n].Body...)
	for i := range r.Body {
		r.Body[i].Whole, r.Body[i].Waits = true, false
	}
	if r.Buttons = l.Replies[n].Buttons; !l.Replies[n].Apart {
		r.InPlace = t.Event.Message
	}
}

// newestChange is the id of the household's newest change, this turn's included.
func (t *Turn) newestChange() string {
	if t.Before != nil {
		return t.change.ID
	}
	return t.LastChange().ID
}
