package telegram_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// long skips a test that takes minutes, unless it is asked for.
func long(t testing.TB) {
	t.Helper()
	if os.Getenv("BOWLWRIGHT_KILLS") == "" {
		t.Skip("it kills the program for minutes: set BOWLWRIGHT_KILLS=40, or run .ci/kill")
	}
}

// built builds the program and returns its path.
func built(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "bowlwright")
	if out, err := exec.Command("go", "build", "-o", path, "bowlwright/cmd/bowlwright").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return path
}

// process is a run of the program against a stand-in.
type process struct {
	cmd   *exec.Cmd
	ended chan error
}

// spawn starts the program on a data directory; its log goes to w.
func spawn(t testing.TB, path, data string, api *standin.Server, w *syncBuffer, more ...string) *process {
	t.Helper()
	cmd := exec.Command(path, append([]string{"serve", "--data", data, "--api-url", api.URL()}, more...)...)
	cmd.Env = append(os.Environ(), "BOWLWRIGHT_TOKEN="+standin.Token)
	cmd.Stdout, cmd.Stderr = w, w
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	p := &process{cmd, make(chan error, 1)}
	gone := make(chan struct{})
	go func() { p.ended <- cmd.Wait(); close(gone) }()
	t.Cleanup(func() {
		cmd.Process.Kill()
		<-gone
		if t.Failed() {
			t.Log(tail(w))
		}
	})
	return p
}

// kill ends a process at once. It must not have ended by itself.
func (p *process) kill(t testing.TB) {
	t.Helper()
	select {
	case err := <-p.ended:
		t.Fatalf("the program ended by itself: %v", err)
	default:
	}
	p.cmd.Process.Kill()
	<-p.ended
}

// said is one message of a household: a dog, a weight or a recipe. Each
// changes the household once, which its revision counts.
type said struct {
	text   string
	reply  string // what its reply holds and no other's does
	weight float64
	recipe string
}

// home is one household that writes.
type home struct {
	person standin.Person
	all    []said
}

// next is the next message of a household. No weight comes twice among those
// that wait for an answer, and all are near enough to each other to be taken
// without a question.
func (h *home) next() said {
	n := len(h.all)
	kg := 40 + float64(n%20)/10
	weighed := fmt.Sprintf("Juniper %s kg.", strings.TrimSuffix(fmt.Sprintf("%.1f", kg), ".0"))
	m := said{text: fmt.Sprintf("%.1f kg again", kg), reply: weighed, weight: kg} // else it would replace the one before
	switch {
	case n == 0:
		m.text, m.reply = "dog Juniper 40 kg 4 years spayed moderate 5/9 healthy", "40 kg, 4 years"
	case n%7 == 3:
		// A number in the name would be read as an amount.
		name := "Lamb " + string(rune('A'+n/7/26)) + string(rune('A'+n/7%26))
		m = said{reply: name + " is saved", recipe: name, weight: h.all[n-1].weight,
			text: "recipe " + name + "\n600 g lamb, leg and shoulder, lean\n200 g lamb heart\n60 g lamb liver"}
	}
	h.all = append(h.all, m)
	return m
}

// acknowledged is how many messages of a household were answered, by the
// last one that was: they are handled in order. An answer that came twice would
// be taken for that of the same weight, twenty messages later.
func (h *home) acknowledged(api *standin.Server) int {
	replies, n := api.FromBot(h.person.ID), 0
	for _, r := range replies {
		for i := n; i < min(len(h.all), n+19); i++ {
			if strings.Contains(r.Text, h.all[i].reply) {
				n = i + 1
				break
			}
		}
	}
	return n
}

// crowd is households that write, each ahead of its answers by a few messages.
type crowd struct {
	t     *testing.T
	api   *standin.Server
	mu    sync.Mutex
	homes []*home
	ahead int // messages that a household writes without an answer
}

func newCrowd(t *testing.T, api *standin.Server, n int) *crowd {
	c := &crowd{t: t, api: api, ahead: 3}
	for i := range n {
		c.homes = append(c.homes, &home{person: standin.Person{ID: int64(5000 + i), Name: "Ines"}})
	}
	return c
}

// write has every household write on until ctx ends.
func (c *crowd) write(ctx context.Context) {
	c.api.Wait(ctx, func() bool { // ends with ctx alone
		c.mu.Lock()
		defer c.mu.Unlock()
		for _, h := range c.homes {
			if len(h.all)-h.acknowledged(c.api) < c.ahead && len(h.all) < 1000 {
				c.api.Say(h.person, 0, h.next().text)
			}
		}
		return false
	})
}

// wantKept opens the store of a program that does not run and looks for
// everything that was answered, or where it is to be complete, for everything.
func (c *crowd) wantKept(data string, complete bool) {
	c.t.Helper()
	c.wantAtLeast(data, c.answered(complete))
}

// answered is how many messages of each household were answered, or were
// written.
func (c *crowd) answered(complete bool) (least []int) {
	for _, h := range c.homes {
		if complete {
			least = append(least, len(h.all))
			continue
		}
		least = append(least, h.acknowledged(c.api))
	}
	return least
}

// wantAtLeast opens a store. What a household wrote is handled in order, so it
// must stand as after a number of its messages, not below a least one, each
// counted once.
func (c *crowd) wantAtLeast(data string, least []int) {
	t := c.t
	t.Helper()
	path := filepath.Join(data, "bowlwright.db")
	if _, err := os.Stat(path); os.IsNotExist(err) && slices.Max(least) == 0 {
		return
	}
	s, err := bolt.Open(path, bolt.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	err = storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		for i, h := range c.homes {
			if err := c.wantHome(tx, h, least[i]); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

func (c *crowd) wantHome(tx store.Snapshot, h *home, least int) error {
	t := c.t
	t.Helper()
	who := fmt.Sprint("telegram/", h.person.ID)
	id, err := tx.Member(who, who)
	if isNotFound(err) && least == 0 {
		return nil
	}
	if err != nil {
		t.Errorf("%s was answered %d times and is in no household: %v", who, least, err)
		return nil
	}
	kept, err := tx.Household(id)
	if err != nil {
		return err
	}
	n := int(kept.Rev)
	if n < least || n > len(h.all) {
		t.Errorf("%s: %d messages are recorded, %d of %d were answered", who, n, least, len(h.all))
		return nil
	}
	weighed, err := tx.Entries(id, store.EntryQuery{Kinds: []planner.EntryKind{planner.Weighed}})
	if err != nil {
		return err
	}
	wantAfter(t, who, kept, weighed, h.all[:n])
	return nil
}

// wantAfter compares a household with what its first messages make of it.
// Its weigh-ins are those that were typed, each once; what they make of the
// dog's weight is for others to test.
func wantAfter(t *testing.T, who string, kept *planner.Household, weighed []planner.Entry, done []said) {
	t.Helper()
	var recipes []string
	var typed, have []float64
	for _, m := range done {
		if m.recipe != "" {
			recipes = append(recipes, m.recipe)
		} else {
			typed = append(typed, m.weight)
		}
	}
	for _, e := range weighed {
		have = append(have, float64(e.Weight))
	}
	slices.Sort(typed)
	slices.Sort(have)
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
	if len(kept.Dogs) != 1 || !slices.EqualFunc(have, typed, near) {
		t.Errorf("%s after %d messages: %d dogs, weighed %v, want one, weighed %v", who, len(done), len(kept.Dogs), have, typed)
	}
	var named []string
	for _, r := range kept.Recipes {
		named = append(named, r.Name)
	}
	if strings.Join(named, ",") != strings.Join(recipes, ",") {
		t.Errorf("%s after %d messages has the recipes %v, want %v", who, len(done), named, recipes)
	}
}

func isNotFound(err error) bool {
	var e *store.Error
	return errors.As(err, &e) && e.Code == store.NotFound
}

// wantAnswered wants an answer to every message, the first answers in the
// order of the messages, and returns how many came more than once.
func (c *crowd) wantAnswered() (twice int) {
	for _, h := range c.homes {
		replies, n := c.api.FromBot(h.person.ID), 0
		for _, r := range replies {
			switch {
			case n < len(h.all) && strings.Contains(r.Text, h.all[n].reply):
				n++
			case n > 0 && strings.Contains(r.Text, h.all[n-1].reply):
				twice++
			case r.Text == bot.FullText(): // that is news, and no answer
			default:
				c.t.Errorf("%d: reply %d is out of order or to nothing: %.60q", h.person.ID, n, r.Text)
			}
		}
		if n < len(h.all) {
			c.t.Errorf("%d: %d of %d messages were answered", h.person.ID, n, len(h.all))
		}
	}
	return twice
}

// settled waits until every message is answered.
func (c *crowd) settled(limit time.Duration) {
	c.t.Helper()
	ctx, cancel := context.WithTimeout(c.t.Context(), limit)
	defer cancel()
	err := c.api.Wait(ctx, func() bool {
		for _, h := range c.homes {
			if h.acknowledged(c.api) < len(h.all) {
				return false
			}
		}
		return true
	})
	if err != nil {
		c.t.Error("not every message was answered in time")
	}
}

func (c *crowd) messages() (n int) {
	for _, h := range c.homes {
		n += len(h.all)
	}
	return n
}

// endGently asks a process to stop and wants a clean end.
func (p *process) endGently(t *testing.T) {
	t.Helper()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	select {
	case err := <-p.ended:
		if err != nil {
			t.Errorf("stopped: %v", err)
		}
	case <-time.After(20 * time.Second):
		t.Error("it does not stop")
	}
}

func all(b *syncBuffer) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.String()
}

func tail(b *syncBuffer) string {
	s := all(b)
	return s[max(0, len(s)-4000):]
}
