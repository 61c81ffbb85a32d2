package talk

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// faulty is a store that fails as it is told.
type faulty struct {
	store.Store
	mu     sync.Mutex
	before func() error // called before a commit; its error is the commit's
	after  func() error // called when one is durable, but for the tick's clock: the writer does not hear of it
	broken string       // the household that cannot be read
	panics string       // the household over which committing panics
}

var errFault = errors.New("as the test wants it")

func (s *faulty) Commit(ctx context.Context, c store.Commit) error {
	s.mu.Lock()
	before, after := s.before, s.after
	s.mu.Unlock()
	if before != nil {
		if err := before(); err != nil {
			return err
		}
	}
	for _, w := range c.Writes {
		if m, ok := w.(store.Enqueue); ok && s.panics != "" && m.Chat == "chat-"+s.panics {
			panic("Juniper's secret")
		}
	}
	err := s.Store.Commit(ctx, c)
	if err == nil && after != nil && !notesClock(c) {
		err = after()
	}
	return err
}

func notesClock(c store.Commit) bool {
	return slices.ContainsFunc(c.Writes, func(w store.Write) bool { _, ok := w.(store.PutAdapter); return ok })
}

func (s *faulty) Read(ctx context.Context) (store.Snapshot, error) {
	snap, err := s.Store.Read(ctx)
	return faultySnapshot{snap, s.broken}, err
}

type faultySnapshot struct {
	store.Snapshot
	broken string
}

func (t faultySnapshot) Household(id string) (*planner.Household, error) {
	if id == t.broken {
		return nil, &store.Error{Code: store.Damaged, Op: "household"}
	}
	return t.Snapshot.Household(id)
}

// TestTickBrokenOff fails before and after what was said is durable.
func TestTickBrokenOff(t *testing.T) {
	for _, name := range []string{"before", "after"} {
		t.Run(name, func(t *testing.T) {
			s := &faulty{Store: storetest.NewMemory()}
			p := newPost(t, s)
			for _, id := range []string{"a", "b"} {
				h := quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0)))
				h.ID = id
				p.add(h, "chat-"+id)
			}
			fail := func() error { return errFault }
			if name == "before" {
				s.before = fail
			} else {
				s.after = fail
			}
			if _, err := p.a.Tick(t.Context(), monday.Add(time.Hour)); err == nil {
				t.Error("a tick that could not write is no error")
			}
			s.before, s.after = nil, nil
			p.tick(monday.Add(61 * time.Minute))
			p.want("chat-a", "due/a/r1/2026-03-02T07:00")
			p.want("chat-b", "due/b/r1/2026-03-02T07:00")
		})
	}
}

// TestTickOneFails has one household of many that cannot be worked out, each
// in another way: the others are told, and it does not hold up the index.
func TestTickOneFails(t *testing.T) {
	const bad = "home1"
	for name, spoil := range map[string]func(p *post, s *faulty){
		"panic": func(p *post, _ *faulty) {
			do := p.a.reg.Due[planner.BowlReminder]
			p.a.reg.Due[planner.BowlReminder] = func(t *Turn, due []planner.Occurrence) {
				if t.Home.ID == bad {
					panic("Juniper's secret")
				}
				do(t, due)
			}
		},
		"error of a kind": func(p *post, _ *faulty) {
			do := p.a.reg.Due[planner.BowlReminder]
			p.a.reg.Due[planner.BowlReminder] = func(t *Turn, due []planner.Occurrence) {
				if do(t, due); t.Home.ID == bad {
					t.Fail(errors.New("Juniper's secret"))
				}
			}
		},
		"broken record":               func(_ *post, s *faulty) { s.broken = bad },
		"panic while it is committed": func(_ *post, s *faulty) { s.panics = bad },
		"cannot be written": func(p *post, _ *faulty) {
			do := p.a.reg.Due[planner.BowlReminder]
			p.a.reg.Due[planner.BowlReminder] = func(t *Turn, due []planner.Occurrence) {
				if do(t, due); t.Home.ID == bad {
					t.Write(store.PutHousehold{Household: &planner.Household{}}) // without an id
				}
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := &faulty{Store: storetest.NewMemory()}
			p := newPost(t, s)
			const homes = 300
			for i := range homes {
				h := quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0)))
				h.ID = fmt.Sprint("home", i)
				p.add(h, "chat-"+h.ID)
			}
			spoil(p, s)
			r := p.tick(monday.Add(time.Hour))
			for i := range homes {
				id := fmt.Sprint("home", i)
				if id != bad {
					p.want("chat-"+id, "due/"+id+"/r1/2026-03-02T07:00")
				}
			}
			if len(r.Failed) != 1 || r.Failed[0].Household != bad || strings.Contains(fmt.Sprint(r.Failed), "secret") {
				t.Errorf("failed: %+v", r.Failed)
			}
			switch name {
			case "panic":
				if !strings.Contains(r.Failed[0].Reason, "TestTickOneFails") {
					t.Errorf("where it failed is not said: %q", r.Failed[0].Reason)
				}
				fallthrough
			case "error of a kind":
				p.want("chat-"+bad, "07:00: a meal is due")
			default:
				p.want("chat-" + bad)
				if want := monday.Add(time.Hour + tickLater); !r.Next.Equal(want) {
					t.Errorf("tried again at %v, want %v", r.Next, want)
				}
				s.broken, s.panics = "", ""
				p.a.reg.Due = sayMarks()
				p.tick(monday.Add(time.Hour + tickLater))
				p.want("chat-"+bad, "due/"+bad+"/r1/2026-03-02T07:00")
			}
		})
	}
}

// TestTickAndCarerAtOnce has a carer change the household while a tick is
// worked out.
func TestTickAndCarerAtOnce(t *testing.T) {
	s := &faulty{Store: storetest.NewMemory()}
	p := newPost(t, s)
	p.add(quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0)), daily("r2", planner.SupplementReminder, 1, planner.At(7, 0))), "ines")
	times := 0
	s.before = func() error {
		if times++; times > 2 {
			return nil
		}
		return storetest.Change(t.Context(), s.Store, func(tx store.Snapshot, put storetest.Put) error {
			h, err := tx.Household("quayside")
			if err != nil {
				return err
			}
			h.Reminders[times-1].Off = true
			h.Rev++
			return put(store.PutHousehold{Household: h})
		})
	}
	p.tick(monday.Add(time.Hour))
	p.want("ines")
}

// TestTickKeepsMoving has a household change whenever a tick is about to
// write: the tick ends, and what is due is said later.
func TestTickKeepsMoving(t *testing.T) {
	s := &faulty{Store: storetest.NewMemory()}
	p := newPost(t, s)
	p.add(quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0))), "ines")
	s.before = func() error {
		return storetest.Change(t.Context(), s.Store, func(tx store.Snapshot, put storetest.Put) error {
			h, err := tx.Household("quayside")
			if err != nil {
				return err
			}
			h.Rev++
			return put(store.PutHousehold{Household: h})
		})
	}
	r, err := p.a.Tick(t.Context(), monday.Add(time.Hour))
	if err != nil || r.Said != 0 || r.Next.After(monday.Add(time.Hour)) {
		t.Errorf("%+v, %v", r, err)
	}
	s.before = nil
	p.tick(monday.Add(time.Hour + time.Second))
	p.want("ines", "due/quayside/r1/2026-03-02T07:00")
}

// TestTickLeavesWhatAnotherHolds has another process say what is due, and end
// before it did.
func TestTickLeavesWhatAnotherHolds(t *testing.T) {
	p := newPost(t, storetest.NewMemory())
	p.add(quayside(daily("r1", planner.BowlReminder, 1, planner.At(7, 0))), "ines")
	at := monday.Add(time.Hour)
	if due, err := p.s.ClaimDue(t.Context(), store.Claim{By: "another", N: 1, Lease: time.Hour}, at); len(due) != 1 || err != nil {
		t.Fatalf("%v, %v", due, err)
	}
	p.tick(at)
	p.want("ines")
	if err := p.s.Release(t.Context(), "another"); err != nil {
		t.Fatal(err)
	}
	p.tick(at)
	p.want("ines", "due/quayside/r1/2026-03-02T07:00")
}
