package talk

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// dueOrder is the order in which kinds are said that fall due together.
var dueOrder = []planner.ReminderKind{
	planner.MorningReminder, planner.BowlReminder, planner.SupplementReminder, planner.DoubtReminder, planner.WeighReminder,
	planner.StageReminder, planner.ConditionReminder, planner.StoolReminder, planner.FreezerReminder, planner.CookReminder, planner.PacksReminder, planner.NoteReminder,
}

// dueTurn is what is said to one household when something has fallen due.
type dueTurn struct {
	*Turn
	next     store.Due
	commit   store.Commit
	behind   bool                 // it goes behind all other messages
	topics   map[string]string    // of groups, in which they were spoken with last
	spoken   []planner.Occurrence // what is said
	repeated []planner.Occurrence // what was said before, by a clock that was ahead
	passed   int
	failures []TickFailure
}

// kindFailure is the panic or error of one kind's function.
type kindFailure struct {
	kind   planner.ReminderKind
	reason string
}

func (f *kindFailure) Error() string { return string(f.kind) + ": " + f.reason }

// dueTurn works out one household. A kind that fails is said in plain words; a
// household that fails altogether is put off.
func (a *Assistant) dueTurn(ctx context.Context, snap store.Snapshot, d store.Due, now time.Time) *dueTurn {
	plain := map[planner.ReminderKind]bool{}
	var failures []TickFailure
	for {
		w, err := a.tryDue(ctx, snap, d, now, plain)
		var kind *kindFailure
		switch {
		case err == nil:
			w.failures = failures
			return w
		case errors.As(err, &kind) && !plain[kind.kind]:
			plain[kind.kind] = true
			failures = append(failures, TickFailure{d.Household, kind.kind, kind.reason})
		default:
			w := &dueTurn{failures: []TickFailure{{Household: d.Household, Reason: reasonOf(err)}}}
			w.commit.Expect = []store.Expectation{store.DueIs(d)}
			d.At = now.Add(tickLater)
			w.commit.Writes = []store.Write{store.PutDue(d)}
			return w
		}
	}
}

// tryDue works out one household; the kinds in plain are said in plain words.
func (a *Assistant) tryDue(ctx context.Context, snap store.Snapshot, d store.Due, now time.Time, plain map[planner.ReminderKind]bool) (w *dueTurn, err error) {
	defer guard("", &err)
	w = &dueTurn{next: store.Due{Household: d.Household, Through: later(d.Through, now)}}
	w.commit.Expect = []store.Expectation{store.DueIs(d)}
	home, err := snap.Household(d.Household)
	if store.IsNotFound(err) { // nothing is left to say anything of
		w.commit.Writes = []store.Write{store.PutDue{Household: d.Household}}
		return w, nil
	}
	if err != nil {
		return nil, err
	}
	w.Turn = a.nobodysTurn(ctx, snap, home, now)
	w.Happened(&HouseholdEntered{})
	since := d.Through
	if since.IsZero() {
		since = now
	}
	due := planner.Agenda(home, since, now)
	if err := w.speak(due, plain); err != nil {
		return nil, err
	}
	w.dropSnoozes()
	w.next.At = w.nextDue(w.next.Through)
	w.keep()
	w.Snap = nil // nothing more is read
	return w, w.Err
}

// keep gathers what the turn has worked out.
func (w *dueTurn) keep() {
	w.keepHome()
	for _, o := range w.spoken {
		w.Write(store.MarkSeen{Event: dueMark(o), At: w.Event.At})
	}
	w.Write(store.PutDue(w.next))
	w.commit.Expect = append(append(w.commit.Expect, w.homeStands()), w.expect...)
	w.commit.Writes = w.writes
}

// nextDue is when something falls due next. A time that is not ahead would keep
// the tick going for ever.
func (w *dueTurn) nextDue(after time.Time) time.Time {
	at, ok := planner.NextDue(w.Home, after)
	if !ok {
		return time.Time{}
	}
	return later(at, w.Event.At.Add(time.Second))
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// guard turns a panic into an error. What a panic says may hold a carer's
// words; where it happened does not.
func guard(kind planner.ReminderKind, err *error) {
	p := recover()
	if p == nil {
		return
	}
	reason := "panic"
	for skip := 2; skip < 12; skip++ {
		pc, _, line, ok := runtime.Caller(skip)
		if !ok {
			break
		}
		if name := runtime.FuncForPC(pc).Name(); strings.HasPrefix(name, "bowlwright/") {
			reason = fmt.Sprintf("panic in %s, line %d", name, line)
			break
		}
	}
	*err = &kindFailure{kind, reason}
}

// duePrefix is what the events of ticks, and the marks of what was said, begin
// with.
const duePrefix = "due/"

// Unasked reports that a message says something that fell due. At is then by
// the household's clock.
func Unasked(m store.Outgoing) bool { return strings.HasPrefix(m.Event, duePrefix) }

// nobodysTurn is a turn of a household that no person has begun.
func (a *Assistant) nobodysTurn(ctx context.Context, snap store.Snapshot, home *planner.Household, now time.Time) *Turn {
	e := Event{ID: duePrefix + home.ID + "/" + now.UTC().Format(time.RFC3339Nano), At: now}
	t := &Turn{Ctx: ctx, Snap: snap, reg: a.reg, Event: e, Base: a.table, Home: home, asWas: home.Clone(), Rev: home.Rev}
	t.Event.At = now.In(home.Location())
	t.Foods = planner.Shelf(home, t.Base)
	return t
}

// dueMark is the name under which the store remembers that an occurrence was
// said. One that was put off comes again under another.
func dueMark(o planner.Occurrence) string {
	if o.Snoozed == 0 {
		return duePrefix + o.ID
	}
	return fmt.Sprintf("%s%s/%d", duePrefix, o.ID, o.Snoozed)
}

// unsaid parts what was said before from the rest.
func unsaid(snap store.Snapshot, due []planner.Occurrence) (fresh, before []planner.Occurrence, err error) {
	for _, o := range due {
		seen, err := snap.Seen(dueMark(o))
		switch {
		case err != nil:
			return nil, nil, err
		case seen:
			before = append(before, o)
		default:
			fresh = append(fresh, o)
		}
	}
	return fresh, before, nil
}

// speak says what is still of use in every chat of the household.
func (w *dueTurn) speak(due []planner.Occurrence, plain map[planner.ReminderKind]bool) error {
	if len(due) == 0 {
		return nil
	}
	chats, err := w.openChats()
	if err != nil {
		return err
	}
	if len(chats) == 0 {
		w.passed = len(due)
		return nil
	}
	say, passed := planner.CatchUp(w.Home, due, w.Event.At)
	if w.leftOut(say, passed) {
		w.send(chats, time.Time{})
	}
	w.spoken, w.repeated, err = unsaid(w.Snap, say)
	if err != nil {
		return err
	}
	w.passed = len(passed)
	for _, g := range w.byKind(w.spoken) {
		if err := w.sayKind(g, plain[g.kind]); err != nil {
			return err
		}
		w.send(chats, w.expires(g))
	}
	for _, m := range w.told {
		w.put(m.chat, m.reply, time.Time{})
	}
	return w.Err
}

// openChats are the household's chats that take messages.
func (w *dueTurn) openChats() ([]string, error) {
	members, err := w.Snap.Members(w.Home.ID)
	if err != nil {
		return nil, err
	}
	var chats []string
	w.topics = map[string]string{}
	for _, m := range members {
		if slices.Contains(chats, m.Chat) {
			continue
		}
		since, err := w.Snap.Blocked(m.Chat)
		if err != nil {
			return nil, err
		}
		if !since.IsZero() {
			continue
		}
		chats = append(chats, m.Chat)
		if m.Person != "" {
			continue // no group
		}
		w.topics[m.Chat] = w.topicOf(m.Chat)
	}
	return chats, nil
}

// sameKind are the occurrences of one kind that are said together.
type sameKind struct {
	kind planner.ReminderKind
	due  []planner.Occurrence
}

// byKind groups occurrences by kind, in the order in which the first of each
// is to be said, and in dueOrder where that is together.
func (w *dueTurn) byKind(say []planner.Occurrence) []sameKind {
	kinds := map[string]planner.ReminderKind{}
	for _, r := range w.Home.Reminders {
		kinds[r.ID] = r.Kind
	}
	var out []sameKind
	for _, o := range say {
		k, ok := kinds[o.Reminder]
		if r := w.Reminder(o.Reminder); !ok && r != nil {
			k = r.Kind // a meal that the morning's message stands for, put off
		}
		i := slices.IndexFunc(out, func(g sameKind) bool { return g.kind == k })
		if i < 0 {
			i, out = len(out), append(out, sameKind{kind: k})
		}
		out[i].due = append(out[i].due, o)
	}
	slices.SortStableFunc(out, func(a, b sameKind) int {
		if c := a.due[0].Send.Compare(b.due[0].Send); c != 0 {
			return c
		}
		return slices.Index(dueOrder, a.kind) - slices.Index(dueOrder, b.kind)
	})
	return out
}

// sayKind lets a kind's function speak.
func (w *dueTurn) sayKind(g sameKind, plain bool) (err error) {
	defer guard(g.kind, &err)
	do := w.reg.Due[g.kind]
	if do == nil || plain {
		do = (*Turn).sayPlainly
	}
	do(w.Turn, g.due)
	if w.Err != nil {
		return &kindFailure{g.kind, reasonOf(w.Err)}
	}
	return nil
}

// send puts what was said on its way to some chats.
func (w *dueTurn) send(chats []string, expires time.Time) {
	for _, r := range w.Replies {
		say.OneVet(&r)
		for _, chat := range chats {
			w.put(chat, r, expires)
		}
	}
	w.Replies = nil
}

func (w *dueTurn) put(chat string, r say.Reply, expires time.Time) {
	w.Write(store.Enqueue{Chat: chat, Topic: w.topics[chat], Event: w.Event.ID, At: w.Event.At, Expires: expires, Behind: w.behind, Body: say.EncodeReply(r)})
}

// snoozeKept is how long a snooze is kept that was not said: a clock that was
// ahead may have passed it over.
const snoozeKept = 7 * 24 * time.Hour

// dropSnoozes forgets what was put off and has been said since; what was brought forward
// is kept until its own time is over.
func (w *dueTurn) dropSnoozes() {
	kept := slices.DeleteFunc(slices.Clone(w.Home.Snoozes), func(s planner.Snooze) bool {
		put := func(o planner.Occurrence) bool { return o.ID == s.Of && o.Snoozed == s.Times }
		o, _, _ := w.Home.Occurrence(s.Of)
		return !o.At.After(w.Event.At) && (slices.ContainsFunc(w.spoken, put) || slices.ContainsFunc(w.repeated, put) ||
			s.Until.Before(w.Event.At.Add(-snoozeKept)))
	})
	if len(kept) < len(w.Home.Snoozes) {
		w.Home.Snoozes, w.Changed = kept, true
	}
}
