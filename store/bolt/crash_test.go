package bolt_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

var background = context.Background()

const crashPath = "BOWLWRIGHT_TEST_CRASH"

// TestCrash kills a child at random moments while it commits event after
// event, and looks for everything it said it had committed.
func TestCrash(t *testing.T) {
	t.Parallel()
	if path := os.Getenv(crashPath); path != "" {
		commitForEver(t, path)
	}
	path := filepath.Join(t.TempDir(), "s.db")
	random := rand.New(rand.NewPCG(1, 1))
	last := 0
	const rounds, more = 12, 8 // more where the machine is too slow to commit in the first
	for round := 0; round < rounds || last == 0 && round < rounds+more; round++ {
		// The first rounds are short enough to hit the creation of the file.
		moment := time.Duration(random.IntN(1+round*20)) * time.Millisecond
		if round >= rounds {
			moment = 100 * time.Millisecond << (round - rounds)
		}
		acknowledged := runAndKill(t, path, moment)
		last = max(last, acknowledged)
		if _, err := os.Stat(path); os.IsNotExist(err) && last == 0 {
			continue
		}
		last = wantEvents(t, path, last)
		if t.Failed() {
			t.Fatalf("round %d", round)
		}
	}
	if last == 0 {
		t.Error("nothing was ever committed")
	}
	t.Logf("%d events committed", last)
}

// commitForEver commits events numbered on from those in the store, and
// says each number once it is committed.
func commitForEver(t *testing.T, path string) {
	s, err := bolt.Open(path, bolt.Options{})
	must(t, err)
	n := 0
	err = storetest.Look(background, s, func(tx store.Snapshot) error {
		if h, err := tx.Household("quayside"); err == nil {
			n = h.LastID
		}
		return nil
	})
	for err == nil {
		n++
		err = commit(s, append(append(event(storetest.Quayside(), n), noted("quayside", n)...), store.Delivered(n-3))...)
		fmt.Printf("committed %d\n", n)
	}
	t.Fatal(err)
}

// runAndKill runs a child for a time from its start and returns the last
// number it said it had committed.
func runAndKill(t *testing.T, path string, d time.Duration) (last int) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestCrash$")
	cmd.Env = append(os.Environ(), crashPath+"="+path)
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	kill := time.AfterFunc(10*time.Millisecond+d, func() { cmd.Process.Kill() })
	defer kill.Stop()
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var n int
		if _, err := fmt.Sscanf(lines.Text(), "committed %d", &n); err == nil {
			last = n
		} else {
			t.Errorf("the child said %q", lines.Text())
		}
	}
	if err := cmd.Wait(); err == nil {
		t.Error("the child ended by itself")
	}
	return last
}

// wantEvents opens the store after a crash and looks for every event up to
// the last that was acknowledged; one more may have been committed and not
// said. It returns the last that is there.
func wantEvents(t *testing.T, path string, acknowledged int) (last int) {
	t.Helper()
	s, err := bolt.Open(path, bolt.Options{})
	must(t, err)
	defer checkAndClose(t, s)
	must(t, storetest.Look(background, s, func(tx store.Snapshot) error {
		if h, err := tx.Household("quayside"); err == nil {
			last = h.LastID
		} else if acknowledged > 0 {
			return err
		}
		if last != acknowledged && last != acknowledged+1 {
			t.Errorf("event %d is the last, and %d was the last acknowledged", last, acknowledged)
		}
		for n := 1; n <= last; n++ {
			if ok, err := tx.Seen(fmt.Sprint("event-", n)); !ok || err != nil {
				t.Errorf("event %d: %v, %v", n, ok, err)
			}
		}
		journal, err := tx.Entries("quayside", store.EntryQuery{})
		if err != nil || len(journal) != last {
			t.Errorf("%d entries, %v, want %d", len(journal), err, last)
		}
		due, err := tx.DueBy(at.AddDate(9, 0, 0), 10)
		if err != nil || len(due) != min(1, last) || last > 0 && !due[0].Through.Equal(at.Add(time.Duration(last)*time.Hour)) {
			t.Errorf("due %+v, %v after event %d", due, err, last)
		}
		ms, err := tx.Pending("", 100)
		if want := min(3, last); err == nil && len(ms) != want {
			t.Errorf("%d messages, want %d", len(ms), want)
		}
		for i, m := range ms {
			if want := uint64(last - len(ms) + 1 + i); m.Number != want {
				t.Errorf("message %d, want %d", m.Number, want)
			}
		}
		return err
	}))
	return last
}
