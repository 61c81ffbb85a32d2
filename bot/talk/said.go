package talk

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// said is a text with a figure or a day, which one that follows may put right.
type said struct {
	At   time.Time `json:"at"`
	Last string    `json:"last"`           // the change that was the last then
	Made int       `json:"made,omitempty"` // how many it has made, each time it was said
	Text string    `json:"text"`
}

// Correctable is for how long after a figure was told "no, 14.5" is about it. Our own
// choice: once the scale is put away, nobody comes back to it in such words.
const Correctable = 15 * time.Minute

// longestSaid is how long a text is at most that is said again (our own choice).
const longestSaid = 120

// keepSaid keeps what was typed where it has a figure or a day.
func (t *Turn) keepSaid(text string) {
	made := 0
	if t.again != "" {
		text, made = t.again, t.Talk.Said.Made
	}
	if t.Event.Press != "" || len(text) > longestSaid || t.again == "" && read.Says("figure-right", text) || !strings.ContainsAny(text, "0123456789") && !read.Says("a-day", text) {
		return
	}
	t.Talk.Said = &said{t.Event.At, t.LastChange().ID, made, text}
	if t.Before != nil {
		t.Talk.Said.Last, t.Talk.Said.Made = t.change.ID, made+1
	}
}

// keepAsked keeps what was asked, for which "and Sjors?" may follow, or what a dog ate, for
// which "20 g" may.
func (t *Turn) keepAsked(text string) {
	_, _, of := DogsIn(t, text)
	if t.Event.Press == "" && len(text) <= longestSaid && t.Before == nil && t.lost == "" && t.Talk.Kind == "" && read.Find("and-of", text) == "" && (len(of) > 0 || read.IsQuestion(text) || read.SaysShe(text) && Likeliest(t, text).Intent == "treat.log") {
		t.Talk.Query = &said{At: t.Event.At, Text: text}
	}
}

// AskOfOther asks of another dog what was asked just before: "and Sjors?".
func AskOfOther(t *Turn, s string) bool {
	was, whose := t.Talk.Query, read.Find("and-of", s)
	if was == nil || whose == "" || t.Event.At.Sub(was.At) > Correctable || t.Talk.Kind != "" {
		return false
	}
	from, to, of := DogsIn(t, whose)
	if len(of) == 0 || strings.TrimSpace(whose[:from]+whose[to:]) != "" {
		return false
	}
	text := strings.TrimRight(was.Text, " ?.!") + " for " + whose
	from, to, named := DogsIn(t, was.Text)
	switch {
	case slices.Equal(named, of):
		return false
	case len(named) > 0:
		text = was.Text[:from] + whose + was.Text[to:]
	}
	t.Event.Text = text
	if t.RouteWords(text); t.lost != "" || len(t.Replies) == 0 || t.Before != nil {
		t.Replies, t.lost = nil, ""
		return false
	}
	was.At, was.Text = t.Event.At, text
	if lead, _, _ := strings.Cut(msg("taken-as", "text", "\n"), "\n"); !strings.HasPrefix(t.Replies[0].Body[0].Text, lead) {
		t.Replies[0].Begin(msg("taken-as", "text", say.Short(text)))
	}
	return true
}

// TellAmount takes how much it was of what a dog was told to have eaten just before: "20 g",
// "about 40 kcal", or that it is not known.
func TellAmount(t *Turn, s string) bool {
	was, much := t.Talk.Query, read.Find("how-much-alone", s)
	if was == nil || much == "" && !IsNotSure(s) || t.Event.At.Sub(was.At) > Correctable || t.Talk.Kind != "" {
		return false
	}
	ate := Likeliest(t, was.Text)
	food, d := ate.Slots["food"], TheDog(t)
	_, _, of := DogsIn(t, was.Text)
	if len(of) == 0 && d != nil {
		of = []*planner.Dog{d}
	}
	if ate.Intent != "treat.log" || food == "" || len(of) == 0 {
		return false
	}
	if much == "" {
		t.SayMsg("amount.not-known")
		return true
	}
	for _, d := range of {
		text := d.Name + " had " + much + " of " + food
		if read.Says("of-kcal", much) {
			text = d.Name + " treat " + much
		}
		t.As(text, func() bool { t.RouteWords(text); return true })
	}
	return true
}

// SayAgain takes a figure or a day in place of one that was told just before: "not 14,
// 14.5", "i meant Saturday". What that did is taken back, and it is said again with this one.
func SayAgain(t *Turn, s string) bool {
	was := t.Talk.Said
	if was == nil || t.again != "" || t.Event.At.Sub(was.At) > Correctable || t.Talk.Kind != "" {
		return false
	}
	if _, _, of := DogsIn(t, t.AsTyped()); slices.ContainsFunc(of, func(d *planner.Dog) bool { return !read.HasName(was.Text, d.Name) }) {
		return false
	}
	text := cmp.Or(read.WithFigure(was.Text, s), read.WithDay(was.Text, s))
	last := t.LastChange()
	if text == "" || last.ID != was.Last {
		return false
	}
	home, notes, typed := t.Home, t.notes, t.Event.Text
	for n := range was.Made {
		if c, err := t.Snap.Change(t.Home.ID, n); err == nil {
			t.takeBack(c)
			t.Mutate(last.Kind, last.About)
		}
	}
	t.Event.Text, t.again = text, text
	t.RouteWords(text)
	if t.vague || t.lost != "" || len(t.Replies) == 0 { // it means nothing with this one
		t.Home, t.notes, t.Changed, t.Before, t.Replies = home, notes, false, nil, nil
		t.Event.Text, t.again, t.lost, t.vague = typed, "", "", false
		return false
	}
	t.Replies[0].Begin(msg("taken-as", "text", say.Short(text)))
	return true
}

// sayTaken says in an answer for what a question was taken where that is not so
// sure, and offers what else it may be: nobody is to read another answer than the
// one asked for without seeing that.
func (t *Turn) sayTaken(st read.Statement, out *say.Reply) {
	best := st.Readings[0]
	full := best.InFull()
	if best.P >= surelyElse || full == "" || best.Intent == "help" || read.CostOf(best.Intent) != read.Reads {
		return
	}
	out.Begin(msg("taken-as", "text", full))
	others := slices.DeleteFunc(t.inFull(st.Readings[1:], leastOffered), func(r read.Reading) bool {
		return r.Intent == "help" || r.InFull() == full || slices.ContainsFunc(slices.Concat(out.Buttons...), func(b say.Button) bool { return b.Label == r.InFull() })
	})
	if len(others) > 0 {
		OfferAlso(t, out, st.Text, others)
	}
}

// As does something with a part of what was typed as if that were all, and reports what it
// reports: the day of one clause is none of the next.
func (t *Turn) As(part string, do func() bool) bool {
	text, typed := t.Event.Text, t.typed
	t.Event.Text, t.typed = part, ""
	done := do()
	t.Event.Text, t.typed = text, typed
	return done
}

// unlikely reports that a weight is named that is half of, or half more than, what a dog of
// the household weighs at most (our own choice), or less than nothing.
func (t *Turn) unlikely(r read.Reading) bool {
	weight := cmp.Or(r.Slots["weight"], r.Slots["target"])
	w, err := span.BodyWeight(weight, t.Home.Units)
	fits := func(d *planner.Dog) bool { return w >= d.Weight/2 && w <= d.Weight*3/2 }
	return weight != "" && read.In("of-weighing", r.Intent) && len(t.Home.Dogs) > 0 && (err != nil || !slices.ContainsFunc(t.Living(), fits))
}

// ofSex is a sentence about a dog that it does not name, as it is said of a male one where
// one is meant.
func (t *Turn) ofSex(full string) string {
	if d := TalkedOf(t); d == nil || d.Sex != planner.Male {
		return full
	}
	return read.Without("of-her", full)
}

// orderedReminder is what a part of a text says that orders a reminder, or to end one.
var orderedReminder = read.Reading{Intent: "remind.set", P: 1}

// ordersReminder reports that a part of a text orders a reminder, or to end one, of which
// nothing is done.
func (t *Turn) ordersReminder(part string) bool {
	return t.Before != nil && t.Talk.Kind == "" && read.Says("orders-reminder", part) && !t.did("remind")
}

// kindOf is the kind of an intent.
func kindOf(r read.Reading) string {
	kind, _, _ := strings.Cut(r.Intent, ".")
	return kind
}

// written counts what the turn has changed so far.
func (t *Turn) written() int {
	return len(t.notes.added) + len(t.notes.removed) + len(t.abouts) + len(t.change.Also)
}
