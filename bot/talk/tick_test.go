package talk

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// monday is when the households of these tests begin: Monday, 06:00 UTC.
var monday = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)

// sayMarks are what says of every kind of reminder the marks of what is due,
// one a line.
func sayMarks() map[planner.ReminderKind]DueKind {
	kinds := map[planner.ReminderKind]DueKind{}
	for _, k := range dueOrder {
		kinds[k] = func(t *Turn, due []planner.Occurrence) {
			var marks []string
			for _, o := range due {
				marks = append(marks, dueMark(o))
			}
			t.Say(say.Para(strings.Join(marks, "\n")))
		}
	}
	return kinds
}

// post is a store with households that are reminded, and what was said in
// each chat.
type post struct {
	tb   testing.TB
	s    store.Store
	a    *Assistant
	said map[string][]string // by chat: the lines, in order
}

func newPost(tb testing.TB, s store.Store) *post {
	a := NewAssistant(s, nutrition.Default(), Compose(Hearing{}, OwnRoom()))
	a.reg.Due = sayMarks()
	return &post{tb: tb, s: s, a: a, said: map[string][]string{}}
}

func (p *post) update(f func(store.Snapshot, storetest.Put) error) {
	p.tb.Helper()
	if err := storetest.Change(context.Background(), p.s, f); err != nil {
		p.tb.Fatal(err)
	}
}

// daily is a reminder of a kind at times of every n-th day.
func daily(id string, kind planner.ReminderKind, n int, times ...planner.Clock) planner.Reminder {
	return planner.Reminder{ID: id, Kind: kind, Schedule: planner.Schedule{EveryDays: n, Anchor: planner.DateOf(monday), Times: times}}
}

// add puts a household into the store whose members are in some chats, told
// up to monday.
func (p *post) add(h *planner.Household, chats ...string) {
	p.tb.Helper()
	p.update(func(tx store.Snapshot, put storetest.Put) error {
		for _, c := range chats {
			if err := put(store.PutMember{Chat: c, Person: c, Household: h.ID}); err != nil {
				return err
			}
		}
		at, _ := planner.NextDue(h, monday)
		return put(store.PutHousehold{Household: h}, store.PutDue{Household: h.ID, At: at, Through: monday})
	})
}

func (p *post) tick(now time.Time) TickResult {
	p.tb.Helper()
	r, err := p.a.Tick(context.Background(), now)
	if err != nil {
		p.tb.Fatalf("tick at %v: %v", now, err)
	}
	p.collect()
	return r
}

// collect takes everything out of the outbox.
func (p *post) collect() {
	p.tb.Helper()
	p.update(func(tx store.Snapshot, put storetest.Put) error {
		all, err := tx.Pending("", 100_000)
		for _, m := range all {
			r, err := say.DecodeReply(m.Body)
			if err != nil {
				return err
			}
			for _, b := range r.Body {
				p.said[m.Chat] = append(p.said[m.Chat], strings.Split(b.Text, "\n")...)
			}
			if err := put(store.Delivered(m.Number)); err != nil {
				return err
			}
		}
		return err
	})
}

func (p *post) want(chat string, marks ...string) {
	p.tb.Helper()
	if !slices.Equal(p.said[chat], marks) {
		p.tb.Errorf("in %s:\n%s\nwant:\n%s", chat, strings.Join(p.said[chat], "\n"), strings.Join(marks, "\n"))
	}
	delete(p.said, chat)
}

func quayside(rs ...planner.Reminder) *planner.Household {
	return &planner.Household{ID: "quayside", Amounts: true, Zone: "UTC", Dogs: []planner.Dog{{ID: "d1", Name: "Juniper"}}, Reminders: rs}
}

func TestTick(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	drops := daily("r2", planner.SupplementReminder, 3, planner.At(7, 30))
	p.add(quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 30), planner.At(18, 0)), drops), "ines", "tomas")
	p.update(func(tx store.Snapshot, put storetest.Put) error {
		return put(store.PutBlocked{Chat: "tomas", Since: monday})
	})

	if r := p.tick(monday.Add(time.Hour)); r.Households != 0 || !r.Next.Equal(monday.Add(90*time.Minute)) {
		t.Errorf("before anything is due: %+v", r)
	}
	r := p.tick(monday.Add(90 * time.Minute))
	if r.Households != 1 || r.Said != 2 || r.Passed != 0 || !r.Next.Equal(monday.Add(12*time.Hour)) {
		t.Errorf("at 07:30: %+v", r)
	}
	p.want("ines", "due/quayside/r1/2026-03-02T07:30", "due/quayside/r2/2026-03-02T07:30")
	p.want("tomas")
	p.tick(monday.Add(90 * time.Minute)) // repeated
	p.want("ines")
	p.update(func(tx store.Snapshot, put storetest.Put) error {
		return put(store.PutBlocked{Chat: "tomas", Since: time.Time{}})
	})
	p.tick(monday.Add(12 * time.Hour))
	p.want("ines", "due/quayside/r1/2026-03-02T18:00")
	p.want("tomas", "due/quayside/r1/2026-03-02T18:00")
}

// TestTickExpires: a message is not worth sending when the next has come.
func TestTickExpires(t *testing.T) {
	s := storetest.NewMemory()
	p := newPost(t, s)
	p.add(quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0), planner.At(13, 0)),
		daily("r2", planner.NoteReminder, 1, planner.At(7, 0))), "ines")
	if _, err := p.a.Tick(t.Context(), monday.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	var got []store.Outgoing
	err := storetest.Look(t.Context(), s, func(tx store.Snapshot) (err error) { got, err = tx.Pending("", 10); return err })
	if err != nil || len(got) != 2 {
		t.Fatalf("%d messages, %v", len(got), err)
	}
	if e := got[0].Expires; !e.Equal(monday.Add(7 * time.Hour)) {
		t.Errorf("the bowl of 07:00 expires at %v", e)
	}
	if !got[1].Expires.IsZero() || !Unasked(got[1]) {
		t.Errorf("the note: %+v", got[1])
	}
}

// TestTickSnoozed says what was put off again, and forgets that it was.
func TestTickSnoozed(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	p.add(quayside(daily("r1", planner.SupplementReminder, 1, planner.At(7, 0))), "ines")
	p.tick(monday.Add(time.Hour))
	p.want("ines", "due/quayside/r1/2026-03-02T07:00")
	for i := 1; i <= 2; i++ {
		until := monday.Add(time.Hour + time.Duration(i)*30*time.Minute)
		p.update(func(tx store.Snapshot, put storetest.Put) error {
			h, err := tx.Household("quayside")
			if err != nil {
				return err
			}
			h.Snoozes = []planner.Snooze{{Of: "quayside/r1/2026-03-02T07:00", Until: until, Times: i}}
			h.Rev++
			return put(store.PutHousehold{Household: h}, store.PutDue{Household: h.ID, At: until, Through: until.Add(-time.Minute)})
		})
		p.tick(until)
		p.tick(until)
		p.want("ines", fmt.Sprintf("due/quayside/r1/2026-03-02T07:00/%d", i))
		p.update(func(tx store.Snapshot, put storetest.Put) error {
			h, err := tx.Household("quayside")
			if err == nil && len(h.Snoozes) > 0 {
				t.Errorf("still put off: %v", h.Snoozes)
			}
			return err
		})
	}
}

// TestTicksAtOnce has several ticks for many households at the same time.
func TestTicksAtOnce(t *testing.T) {
	scratch, err := bolt.Scratch()
	if err != nil {
		t.Fatal(err)
	}
	defer scratch.Close()
	for name, s := range map[string]store.Store{"bolt": scratch, "memory": storetest.NewMemory()} {
		if b, ok := s.(*bolt.Store); ok {
			s = b
		}
		p := newPost(t, s)
		for i := range 300 {
			h := quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0)))
			h.ID = fmt.Sprint("home", i)
			p.add(h, fmt.Sprint("chat", i))
		}
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				if _, err := p.a.Tick(context.Background(), monday.Add(time.Hour)); err != nil {
					t.Error(err)
				}
			})
		}
		wg.Wait()
		p.collect()
		for i := range 300 {
			if got := p.said[fmt.Sprint("chat", i)]; len(got) != 1 {
				t.Errorf("%s: home %d was told %q", name, i, got)
			}
		}
	}
}

// TestTickAMonthBehind says of each reminder what is still of use, and that
// the rest has passed.
func TestTickAMonthBehind(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	p.add(quayside(
		daily("r1", planner.BowlReminder, 1, planner.At(7, 0), planner.At(18, 0)),
		daily("r2", planner.SupplementReminder, 3, planner.At(7, 30)),
		daily("r3", planner.WeighReminder, 7, planner.At(9, 0)),
	), "ines")
	now := monday.AddDate(0, 0, 30).Add(8 * time.Hour) // 1 April, 14:00
	r := p.tick(now)
	if r.Said != 2 || r.Passed != 61+10+4 {
		t.Errorf("a month behind: %+v", r)
	}
	p.want("ines",
		"61 reminders came due while I couldn't send (Mon 2 Mar 07:00 to 07:00). I'm leaving them out.",
		"due/quayside/r3/2026-03-30T09:00", "due/quayside/r2/2026-04-01T07:30")
	if !r.Next.Equal(now.Add(4 * time.Hour)) {
		t.Errorf("next at %v", r.Next)
	}
}

// TestTickBegins has a household of which it is not known up to when it was
// told: nothing of before is said.
func TestTickBegins(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	h := quayside(daily("r1", planner.NoteReminder, 1, planner.At(7, 0)))
	p.add(h, "ines")
	p.update(func(tx store.Snapshot, put storetest.Put) error {
		return put(store.PutDue{Household: h.ID, At: monday})
	})
	p.tick(monday.Add(90 * time.Minute))
	p.want("ines")
	p.tick(monday.Add(25 * time.Hour))
	p.want("ines", "due/quayside/r1/2026-03-03T07:00")
}

// TestTickZoneUnknown is a household whose zone the program does not know.
func TestTickZoneUnknown(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	h := quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0)))
	h.Zone = "Nowhere/Else"
	p.add(h, "ines")
	p.tick(monday.Add(time.Hour))
	p.want("ines", "due/quayside/r1/2026-03-02T07:00")
}

// TestTickPlainly says every kind in words of its own where nothing else is
// known.
func TestTickPlainly(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	clear(p.a.reg.Due)
	var rs []planner.Reminder
	for i, k := range dueOrder {
		r := daily(fmt.Sprint("r", i), k, 1, planner.At(7, 0))
		if k == planner.NoteReminder {
			r.Text = "vet at ten"
		} else {
			r.Dog = "d1"
		}
		rs = append(rs, r)
	}
	p.add(quayside(rs...), "ines")
	p.tick(monday.Add(time.Hour))
	got := p.said["ines"]
	if len(got) != len(dueOrder) || got[1] != "07:00: Juniper: a meal is due" || got[len(got)-1] != "07:00: vet at ten" {
		t.Errorf("said %q", got)
	}
}
