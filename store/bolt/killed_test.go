package bolt_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"bowlwright/store/bolt"
)

const migratePath = "BOWLWRIGHT_TEST_MIGRATE"

// TestKilledMigrating kills a child at random instants while it brings a file of
// schema 8 to the form of now, again and again on the same file. What is there
// afterwards holds all that the old file held.
func TestKilledMigrating(t *testing.T) {
	if path := os.Getenv(migratePath); path != "" {
		fmt.Println("opening")
		s, err := bolt.Open(path, bolt.Options{})
		must(t, err)
		defer s.Close()
		fmt.Println("opened")
		time.Sleep(time.Minute) // until the kill
	}
	rounds := 8
	if n, err := strconv.Atoi(os.Getenv("BOWLWRIGHT_KILLS")); err == nil {
		rounds = max(4, n/20) // two kills each
	}
	random := rand.New(rand.NewPCG(8, 1))
	path, _ := oldFiles(t, oldNames[0])
	before, within := 0, 2*timeToOpen(t, path)
	for round := range rounds {
		path, want := oldFiles(t, oldNames[round%len(oldNames)])
		for range 2 { // the second finds what the first left
			// Half of the kills are to come before the file is open.
			if migrateAndKill(t, path, time.Duration(random.Int64N(int64(within)))) {
				within = within * 2 / 3
			} else {
				before++
				within = within * 3 / 2
			}
		}
		if _, err := bolt.Verify(path); err != nil {
			t.Errorf("round %d: %v", round, err)
		}
		wantOld(t, path, want)
		if t.Failed() {
			t.Fatalf("round %d", round)
		}
	}
	if before == 0 || before == 2*rounds {
		t.Error("it was always too late, or never")
	}
	t.Logf("%d kills, %d of them before the file was open", 2*rounds, before)
}

// timeToOpen is how long a child takes here and now to migrate a file.
func timeToOpen(t *testing.T, path string) time.Duration {
	t.Helper()
	var began time.Time
	var took time.Duration
	migrate(t, path, func(child *os.Process, said string) {
		switch said {
		case "opening":
			began = time.Now()
		case "opened":
			took = time.Since(began)
			child.Kill()
		}
	})
	return took
}

// migrateAndKill runs a child that opens a file, and kills it so long after it
// began. It reports whether that came too late.
func migrateAndKill(t *testing.T, path string, after time.Duration) (opened bool) {
	t.Helper()
	migrate(t, path, func(child *os.Process, said string) {
		switch said {
		case "opening":
			time.AfterFunc(after, func() { child.Kill() })
		case "opened":
			opened = true
		}
	})
	return opened
}

// migrate runs a child that opens a file and waits to be killed by what hears
// each line that it says.
func migrate(t *testing.T, path string, hear func(child *os.Process, said string)) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestKilledMigrating$")
	cmd.Env = append(os.Environ(), migratePath+"="+path)
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if said := lines.Text(); said == "opening" || said == "opened" {
			hear(cmd.Process, said)
		} else {
			t.Errorf("the child said %q", said)
		}
	}
	if err := cmd.Wait(); err == nil {
		t.Error("the child ended by itself")
	}
}
