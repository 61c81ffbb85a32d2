package terminal_test

import (
	"bytes"
	"context"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// reminded is a store whose terminal has a household with a dog and a note
// every day at a time, on the clock of Berlin.
func reminded(t *testing.T, now time.Time, at planner.Clock) store.Store {
	t.Helper()
	s := storetest.NewMemory()
	talk(t, s, now, "dog Juniper 19.6 kg\n%as Tomas\n/dog\n")
	err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		id, err := tx.Member("terminal/Carer", "terminal/Carer")
		if err != nil {
			return err
		}
		h, err := tx.Household(id)
		if err != nil {
			return err
		}
		h.Zone = "Europe/Berlin"
		h.Reminders = []planner.Reminder{{ID: "r1", Kind: planner.NoteReminder, Text: "drops", Schedule: planner.Schedule{
			EveryDays: 1, Anchor: planner.DateOf(now), Times: []planner.Clock{at},
		}}}
		next, _ := planner.NextDue(h, now)
		return put(store.PutHousehold{Household: h}, store.PutDue{Household: id, At: next, Through: now})
	})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func talk(t *testing.T, s store.Store, now time.Time, script string) string {
	t.Helper()
	var out bytes.Buffer
	o := terminal.Options{In: terminal.NewScript(strings.NewReader(script)), Out: &out, At: now}
	if err := terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// heads are the lines that say when, and for whom.
func heads(screen string) string {
	var out []string
	for _, line := range strings.Split(screen, "\n") {
		if strings.HasPrefix(line, "[Mon") || strings.HasPrefix(line, "[Tue") || strings.HasPrefix(line, "[Sun") || strings.HasPrefix(line, "(to ") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// TestClockSaysWhatIsDue moves the session's clock over what falls due, back,
// and over it again.
func TestClockSaysWhatIsDue(t *testing.T) {
	s := reminded(t, start, planner.At(19, 0))
	got := talk(t, s, start, "%at 2026-03-03T20:00:00Z\n")
	want := "(to Carer)\n[Mon 2 Mar 19:00]\n[Mon 2 Mar 19:00]\n(to Carer)\n[Tue 3 Mar 19:00]\n[Tue 3 Mar 19:00]"
	if heads(got) != want || strings.Count(got, "drops") != 4 {
		t.Errorf("said:\n%s\nwant:\n%s\nin:\n%s", heads(got), want, got)
	}
	got = talk(t, s, start, "%at 2026-03-03T20:00:00Z\n%at 2026-03-02T00:00:00Z\n/dog\n%at 2026-03-03T20:00:00Z\n")
	if heads(got) != "" {
		t.Errorf("said again:\n%s", got)
	}
	got = talk(t, s, time.Date(2026, 3, 29, 20, 0, 0, 0, time.UTC), "/dog\n")
	if heads(got) != "[Sun 29 Mar 22:00]\n(to Carer)\n[Sun 29 Mar 22:00]" && heads(got) != "(to Carer)\n[Sun 29 Mar 22:00]\n[Sun 29 Mar 22:00]" {
		t.Errorf("late:\n%s", got)
	}
}

// lines gives messages as they come from a channel.
type lines chan string

func (l lines) ReadMessage() (string, error) {
	s, ok := <-l
	if !ok {
		return "", io.EOF
	}
	return s, nil
}

// screen is an output that several may write to.
type screen struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *screen) Write(p []byte) (int, error) { s.mu.Lock(); defer s.mu.Unlock(); return s.b.Write(p) }
func (s *screen) String() string              { s.mu.Lock(); defer s.mu.Unlock(); return s.b.String() }

// TestLive says what falls due while the session waits for a message.
func TestLive(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		now := time.Now().UTC() // 2000-01-01 00:00
		s := reminded(t, now, planner.At(7, 30))
		in, out := make(lines), &screen{}
		ended := make(chan error)
		go func() {
			o := terminal.Options{In: in, Out: out, Now: time.Now, Live: true}
			ended <- terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(context.Background())
		}()
		time.Sleep(now.Add(6*time.Hour + 29*time.Minute).Sub(now))
		if strings.Contains(out.String(), "drops") {
			t.Error("said before it is due")
		}
		time.Sleep(time.Minute + time.Second)
		if !strings.Contains(out.String(), "[Sat 1 Jan 07:30]") || strings.Count(out.String(), "drops") != 2 {
			t.Errorf("on the screen:\n%s", out)
		}
		in <- "/dog"
		synctest.Wait()
		if !strings.Contains(out.String(), "Juniper") {
			t.Errorf("the answer is missing:\n%s", out)
		}
		close(in)
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}
