package talk

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestTickClockBack sets the clock back an hour: nothing comes twice, and
// nothing is missing.
func TestTickClockBack(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	p.add(quayside(daily("r1", planner.SupplementReminder, 1, planner.At(7, 0), planner.At(7, 45), planner.At(8, 15))), "ines")
	for _, minutes := range []int{60, 105, 120, 60, 90, 105, 120, 135, 150} {
		p.tick(monday.Add(time.Duration(minutes) * time.Minute))
	}
	p.want("ines", "due/quayside/r1/2026-03-02T07:00", "due/quayside/r1/2026-03-02T07:45", "due/quayside/r1/2026-03-02T08:15")
}

// TestTickClockAhead sets the clock a day ahead, and right again: what was
// said too early is not said again, and the rest comes in its time.
func TestTickClockAhead(t *testing.T) {
	for _, of := range []string{"Tick", "TickOf"} {
		p := newPost(t, storetest.NewMemory())
		p.add(quayside(
			daily("r1", planner.BowlReminder, 1, planner.At(7, 0), planner.At(18, 0)),
			daily("r2", planner.SupplementReminder, 1, planner.At(7, 30)),
		), "ines")
		tick := func(at time.Time) {
			t.Helper()
			if of == "Tick" {
				p.tick(at)
				return
			}
			if _, err := p.a.TickOf(t.Context(), []string{"quayside"}, at); err != nil {
				t.Fatal(err)
			}
			p.collect()
		}
		tick(monday.Add(time.Hour))
		p.want("ines", "due/quayside/r1/2026-03-02T07:00")
		tick(monday.AddDate(0, 0, 1).Add(2 * time.Hour)) // Tuesday 08:00
		p.want("ines",
			"due/quayside/r1/2026-03-03T07:00", "due/quayside/r2/2026-03-03T07:30")
		for at := monday.Add(65 * time.Minute); at.Before(monday.AddDate(0, 0, 2)); at = at.Add(5 * time.Minute) {
			tick(at)
		}
		p.want("ines", "due/quayside/r2/2026-03-02T07:30", "due/quayside/r1/2026-03-02T18:00", "due/quayside/r1/2026-03-03T18:00")
	}
}

// someHousehold is a household with reminders of every sort, at random.
func someHousehold(r *rand.Rand) *planner.Household {
	zones := []string{"UTC", "Europe/Berlin", "Australia/Lord_Howe", "America/New_York", "Asia/Kathmandu", "Africa/Cairo", "No/Zone"}
	h := &planner.Household{ID: "quayside", Amounts: true, Zone: zones[r.IntN(len(zones))]}
	for i := range 3 {
		h.Dogs = append(h.Dogs, planner.Dog{ID: fmt.Sprint("d", i), FeedAt: someClocks(r)})
	}
	for i := range 1 + r.IntN(7) {
		s := planner.Schedule{Anchor: planner.DateOf(monday).AddDays(r.IntN(20) - 10), Times: someClocks(r)}
		switch r.IntN(4) {
		case 0:
			s.EveryDays = 1 + r.IntN(4)
		case 1:
			s.Weekdays = []time.Weekday{time.Weekday(r.IntN(7))}
		case 2:
			s.MonthDay = 1 + r.IntN(31)
		case 3:
			s.Once, s.Anchor = true, planner.DateOf(monday).AddDays(r.IntN(40))
		}
		if r.IntN(6) == 0 {
			s.Until = s.Anchor.AddDays(r.IntN(30))
		}
		rem := planner.Reminder{ID: fmt.Sprint("r", i), Kind: dueOrder[r.IntN(len(dueOrder))], Schedule: s,
			Since: monday.AddDate(0, 0, r.IntN(10)-5), Off: r.IntN(8) == 0, WithMeal: r.IntN(4) == 0}
		if r.IntN(2) == 0 {
			rem.Dog = h.Dogs[r.IntN(len(h.Dogs))].ID
		}
		h.Reminders = append(h.Reminders, rem)
	}
	if r.IntN(2) == 0 {
		h.Quiet = planner.Quiet{From: planner.At(21+r.IntN(3), 0), To: planner.At(6, 15)}
	}
	if r.IntN(2) == 0 {
		from := planner.DateOf(monday).AddDays(r.IntN(20))
		h.Pauses = []planner.Pause{{From: from, Until: from.AddDays(1 + r.IntN(5))}}
	}
	for _, o := range planner.Agenda(h, monday.AddDate(0, 0, -3), monday) {
		if r.IntN(4) == 0 && !slices.ContainsFunc(h.Snoozes, func(s planner.Snooze) bool { return s.Of == o.ID }) {
			h.Snoozes = append(h.Snoozes, planner.Snooze{Of: o.ID, Until: monday.Add(time.Duration(r.IntN(3000)) * time.Minute), Times: 1})
		}
	}
	return h
}

func someClocks(r *rand.Rand) []planner.Clock {
	var out []planner.Clock
	for range 1 + r.IntN(3) {
		out = append(out, planner.Clock(r.IntN(96)*15))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// marksOf are the marks of occurrences, in alphabetical order.
func marksOf(due []planner.Occurrence) []string {
	var out []string
	for _, o := range due {
		out = append(out, dueMark(o))
	}
	slices.Sort(out)
	return out
}

// saidMarks are the marks said in a chat, in alphabetical order, without what
// else was said.
func (p *post) saidMarks(chat string) []string {
	var out []string
	for _, line := range p.said[chat] {
		if strings.HasPrefix(line, "due/") {
			out = append(out, line)
		}
	}
	slices.Sort(out)
	return out
}

// restarting is a store that is closed and opened between ticks.
func restarting(t *testing.T) (open func() store.Store) {
	path := filepath.Join(t.TempDir(), "s.db")
	var s *bolt.Store
	t.Cleanup(func() {
		if s != nil {
			s.Close()
		}
	})
	return func() store.Store {
		if s != nil {
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
		}
		var err error
		if s, err = bolt.Open(path, bolt.Options{NoSync: true}); err != nil {
			t.Fatal(err)
		}
		return s
	}
}

// sampled is how many rounds to try: all where campaigns are to be whole, else few.
func sampled(all, few int) int {
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		return all
	}
	return few
}

// TestTickSaysTheAgenda ticks at random instants over six weeks, some twice,
// some broken off before or after they are durable, with restarts between:
// what is said is the whole agenda less what each tick had to leave out.
func TestTickSaysTheAgenda(t *testing.T) {
	rounds := sampled(40, 10)
	total := 0
	for seed := range uint64(rounds) {
		r := rand.New(rand.NewPCG(seed, 5))
		open := restarting(t)
		s := &faulty{Store: open()}
		p := newPost(t, s)
		h := someHousehold(r)
		p.add(h, "ines")
		end := monday.AddDate(0, 0, 42)
		var want, left []planner.Occurrence
		through := monday
		for now := monday; now.Before(end); {
			now = sooner(end, now.Add(time.Duration(r.ExpFloat64()*float64(3*time.Hour))))
			switch r.IntN(5) {
			case 0:
				s.before = func() error { return errFault }
			case 1:
				s.after = func() error { return errFault }
			}
			expect := func() {
				say, passed := planner.CatchUp(h, planner.Agenda(h, through, now), now)
				want, left, through = append(want, say...), append(left, passed...), now
			}
			if s.before == nil {
				expect()
			}
			_, err := p.a.Tick(context.Background(), now)
			if err != nil && s.before == nil && s.after == nil {
				t.Fatal(err)
			}
			s.before, s.after = nil, nil
			p.collect()
			switch r.IntN(6) {
			case 0:
				p.tick(now)
				expect()
			case 1:
				s.Store = open()
			}
		}
		p.tick(end)
		say, passed := planner.CatchUp(h, planner.Agenda(h, through, end), end)
		want, left = append(want, say...), append(left, passed...)
		if got := p.saidMarks("ines"); !slices.Equal(got, marksOf(want)) {
			t.Errorf("seed %d: %s", seed, unlike(got, marksOf(want)))
		}
		all := marksOf(planner.Agenda(h, monday, end))
		if got := marksOf(append(want, left...)); !slices.Equal(got, all) {
			t.Errorf("seed %d: said and left out are not the agenda: %s", seed, unlike(got, all))
		}
		total += len(want)
	}
	if total < 10*rounds {
		t.Errorf("only %d occurrences in %d rounds", total, rounds)
	}
}

// TestTickWhateverTheClock ticks every few minutes with a clock that jumps
// ahead by up to three days and is put right, and jumps back by up to a day
// and goes on: each occurrence is said exactly once.
func TestTickWhateverTheClock(t *testing.T) {
	rounds := sampled(16, 5)
	for seed := range uint64(rounds) {
		r := rand.New(rand.NewPCG(seed, 6))
		p := newPost(t, storetest.NewMemory())
		h := someHousehold(r)
		for i := range h.Reminders {
			// What a clock that was ahead left out as the last of its series
			// does not come again, but for notes, which are never left out.
			r := &h.Reminders[i]
			if r.Schedule.Until = (planner.Date{}); r.Schedule.Once {
				r.Kind, r.WithMeal, r.Schedule.Times = planner.NoteReminder, false, r.Schedule.Times[:1]
			}
		}
		p.add(h, "ines")
		end := monday.AddDate(0, 0, 21)
		var want []planner.Occurrence // with a clock that is right
		for now := monday; now.Before(end); now = now.Add(5 * time.Minute) {
			next := now.Add(5 * time.Minute)
			say, _ := planner.CatchUp(h, planner.Agenda(h, now, next), next)
			want = append(want, say...)
		}
		for now := monday; now.Before(end); now = now.Add(5 * time.Minute) {
			p.tick(now)
			if now.Before(monday.Add(2 * time.Hour)) {
				continue
			}
			switch r.IntN(300) {
			case 0:
				p.tick(now.Add(time.Duration(r.IntN(3*24*60)) * time.Minute))
			case 1:
				now = later(monday.Add(2*time.Hour), now.Add(-time.Duration(r.IntN(24*12))*5*time.Minute))
			}
		}
		p.tick(end)
		got, all := p.saidMarks("ines"), marksOf(want)
		got = slices.DeleteFunc(got, func(m string) bool { return !slices.Contains(all, m) && beyond(m, end) })
		if !slices.Equal(got, all) {
			t.Errorf("seed %d: %s", seed, unlike(got, all))
		}
	}
}

// beyond reports that a mark is of a time about another or after it: a clock
// that was ahead said it too early.
func beyond(mark string, end time.Time) bool {
	mark, _, _ = strings.Cut(strings.TrimPrefix(mark, "due/"), "/1")
	_, _, m, err := planner.ParseOccurrence(mark)
	return err == nil && !m.Date.Before(planner.DateOf(end).AddDays(-1))
}

// unlike says what is in one sorted list and not in the other.
func unlike(got, want []string) string {
	var out []string
	for _, g := range got {
		if !slices.Contains(want, g) {
			out = append(out, "too much: "+g)
		}
	}
	for i := 1; i < len(got); i++ {
		if got[i] == got[i-1] {
			out = append(out, "twice: "+got[i])
		}
	}
	for _, w := range want {
		if !slices.Contains(got, w) {
			out = append(out, "missing: "+w)
		}
	}
	return strings.Join(out[:min(len(out), 12)], "\n")
}

// TestWriteDue has turns move the next time with what they write.
func TestWriteDue(t *testing.T) {
	k := newTalker(t)
	due := func() (d store.Due, id string) {
		t.Helper()
		err := storetest.Look(t.Context(), k.s, func(tx store.Snapshot) (err error) {
			if id, err = tx.Member("test/Ines", "test/Ines"); err == nil {
				d, err = tx.Due(id)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return d, id
	}
	d, id := due()
	if d != (store.Due{}) {
		t.Errorf("without reminders: %+v", d)
	}
	select {
	case <-k.a.Sooner():
		t.Error("rung for nothing")
	default:
	}
	err := storetest.Change(t.Context(), k.s, func(tx store.Snapshot, put storetest.Put) error {
		h, err := tx.Household(id)
		if err != nil {
			return err
		}
		h.Reminders = []planner.Reminder{daily("r1", planner.BowlReminder, 1, planner.At(18, 0))}
		h.Rev++
		return put(store.PutHousehold{Household: h}, store.PutDue{Household: id})
	})
	if err != nil {
		t.Fatal(err)
	}
	inZone := func(zone string) func(*Turn) {
		return func(t *Turn) { t.Mutate("did.testing", zone); t.Home.Zone = zone }
	}
	k.turnOf(inZone("Europe/Berlin"))
	d, _ = due()
	if !d.At.Equal(time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)) || !d.Through.Equal(talkTime.Add(time.Duration(k.n)*time.Minute)) {
		t.Errorf("in Berlin: %+v", d)
	}
	select {
	case <-k.a.Sooner():
	default:
		t.Error("nobody was told")
	}
	// What is still to be said stays to be said.
	k.do = inZone("UTC")
	late := k.event("/testing")
	late.At = d.At.Add(time.Minute)
	k.send(late)
	if d, _ = due(); !d.At.Equal(time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)) || d.Through.After(talkTime.Add(time.Hour)) {
		t.Errorf("with something due: %+v", d)
	}
	k.send(k.event("/undo"))
	if d, _ = due(); !d.At.Equal(time.Date(2026, 3, 2, 17, 0, 0, 0, time.UTC)) {
		t.Errorf("after /undo: %+v", d)
	}
}
