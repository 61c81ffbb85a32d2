package telegram_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/store/bolt"
)

// inALot is how many kills one set of households goes through; our own choice.
const inALot = 50

// kills is how often the program is killed, by a variable that .ci/kill sets. A
// tenth of it is the matter of store/bolt, which kills migrations.
func kills(t *testing.T) int {
	t.Helper()
	n, err := strconv.Atoi(os.Getenv("BOWLWRIGHT_KILLS"))
	if err != nil || n < 1 {
		return 40
	}
	return n - n/10
}

// killed counts what was killed, and what came of it.
type killed struct {
	mu                              sync.Mutex
	starts, backups, full, anywhere int
	copies, messages, twice         int
}

// TestKilled kills the program at random instants while households write: as it
// starts, while a backup is made, on a full disk and anywhere else. It looks
// after each kill for everything that was answered, which is recorded once, and
// in the end for an answer to everything, in order.
func TestKilled(t *testing.T) {
	long(t)
	rounds, path := kills(t), built(t)
	var all killed
	t.Run("lots", func(t *testing.T) {
		for lot := 0; lot*inALot < rounds; lot++ {
			t.Run(strconv.Itoa(lot), func(t *testing.T) {
				t.Parallel()
				k := newKiller(t, path, lot, &all)
				k.lot(min(inALot, rounds-lot*inALot))
			})
		}
	})
	t.Logf("%d kills: %d at the start, %d during a backup, %d on a full disk, %d anywhere", rounds, all.starts, all.backups, all.full, all.anywhere)
	t.Logf("%d messages, all recorded once; %d answers came twice (%.2f %%); %d backups were whole", all.messages, all.twice, 100*float64(all.twice)/float64(all.messages), all.copies)
	if all.backups == 0 || rounds >= 2*inALot && (all.starts == 0 || all.copies == 0) {
		t.Error("some kinds of kills never happened")
	}
}

// killer kills one lot.
type killer struct {
	*crowd
	path, data string
	random     *rand.Rand
	log        *syncBuffer
	ballast    string // that fills the disk; empty: it cannot be filled
	// How long a start and a backup take, about: the kills come around that time.
	starting, copying time.Duration
	all               *killed
}

func newKiller(t *testing.T, path string, lot int, all *killed) *killer {
	k := &killer{path: path, data: t.TempDir(), random: rand.New(rand.NewPCG(4, uint64(lot))),
		log: &syncBuffer{&sync.Mutex{}, &bytes.Buffer{}}, all: all, starting: 50 * time.Millisecond, copying: 50 * time.Millisecond}
	if lot%4 == 1 && mounted(t, k.data, 64<<20) {
		k.ballast = filepath.Join(k.data, "ballast")
	}
	k.crowd = newCrowd(t, startStandin(t, standin.Options{}), 20)
	k.ahead = 15 // so that there is always something to be done, see next
	return k
}

func (k *killer) lot(rounds int) {
	writing, stop := context.WithCancel(k.t.Context())
	var writer sync.WaitGroup
	writer.Go(func() { k.write(writing) })
	defer func() { stop(); writer.Wait() }()
	for round := range rounds {
		what := k.round(round)
		k.mu.Lock()
		k.wantKept(k.data, false)
		k.mu.Unlock()
		if k.t.Failed() {
			k.t.Fatalf("round %d, killed %s\n%s", round, what, tail(k.log))
		}
	}
	stop()
	writer.Wait()
	k.makeRoom()
	p := spawn(k.t, k.path, k.data, k.api, k.log)
	k.settled(3 * time.Minute)
	p.endGently(k.t)
	k.wantKept(k.data, true)
	twice := k.wantAnswered()
	k.all.mu.Lock()
	defer k.all.mu.Unlock()
	k.all.messages += k.messages()
	k.all.twice += twice
}

// round kills the program once, and says how. How long things take depends on
// the machine: a start is killed at some time of those that starts take, and
// else it waits until the program is at work.
func (k *killer) round(round int) string {
	at := func(most time.Duration) time.Duration { return time.Duration(k.random.Int64N(int64(most))) }
	k.makeRoom()
	asked := k.api.State().Asked
	full := k.ballast != "" && round%3 == 2 && exists(filepath.Join(k.data, "bowlwright.db")) // else it cannot begin
	if full {
		fill(k.t, k.ballast)
	}
	p := spawn(k.t, k.path, k.data, k.api, k.log)
	kind := k.random.IntN(10)
	if !full && kind < 3 && round > 1 {
		k.counts(&k.all.starts)
		time.Sleep(at(2 * k.starting))
		if k.api.State().Asked > asked { // half of them before it is at work
			k.starting -= k.starting / 6
		} else {
			k.starting += k.starting / 5
		}
		p.kill(k.t)
		return "at the start"
	}
	ctx, cancel := context.WithTimeout(k.t.Context(), time.Minute)
	defer cancel()
	if k.api.Wait(ctx, func() bool { return k.api.State().Asked > asked }) != nil {
		select {
		case err := <-p.ended:
			k.t.Fatalf("it ended by itself: %v\n%s", err, tail(k.log))
		default:
			k.t.Fatalf("it does not begin\n%s", tail(k.log))
		}
	}
	switch {
	case full:
		k.counts(&k.all.full)
		time.Sleep(at(500 * time.Millisecond))
		p.kill(k.t)
		return "on a full disk"
	case kind < 5 || round == 1:
		k.counts(&k.all.backups)
		time.Sleep(at(200 * time.Millisecond))
		k.backup(p, at(4*k.copying), at(4*k.copying))
		return "during a backup"
	}
	k.counts(&k.all.anywhere)
	if sent := k.api.State().Sent + k.random.IntN(40); kind > 7 {
		// After a kill no chat is sent anything for 3 seconds, see package delivery.
		k.api.Wait(ctx, func() bool { return k.api.State().Sent > sent })
	}
	time.Sleep(at(300 * time.Millisecond))
	p.kill(k.t)
	return "anywhere"
}

func (k *killer) counts(n *int) { k.all.mu.Lock(); *n++; k.all.mu.Unlock() }

func (k *killer) makeRoom() {
	if k.ballast == "" {
		return
	}
	if err := os.Remove(k.ballast); err != nil && !errors.Is(err, fs.ErrNotExist) {
		k.t.Fatal(err)
	}
}

// backup makes a backup and kills it and the program, each after a time. What
// has the name of the backup is whole, and holds what was answered before.
func (k *killer) backup(p *process, copying, serving time.Duration) {
	k.mu.Lock()
	before := k.answered(false)
	k.mu.Unlock()
	dir := k.t.TempDir()
	to := filepath.Join(dir, "bowlwright.db")
	c := exec.Command(k.path, "backup", to, "--data", k.data)
	if err := c.Start(); err != nil {
		k.t.Fatal(err)
	}
	defer time.AfterFunc(copying, func() { c.Process.Kill() }).Stop()
	time.Sleep(serving)
	p.kill(k.t)
	c.Wait() // it may have been killed, or found nothing to copy
	if !exists(to) {
		k.copying += k.copying / 5
		return
	}
	k.copying -= k.copying / 6
	k.counts(&k.all.copies)
	if _, err := bolt.Verify(to); err != nil {
		k.t.Errorf("a backup that was broken off: %v", err)
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.wantAtLeast(dir, before)
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// mounted puts a small file system on a directory, where that can be done.
func mounted(t *testing.T, dir string, size int) bool {
	t.Helper()
	if os.Geteuid() != 0 || exec.Command("mount", "-t", "tmpfs", "-o", fmt.Sprint("size=", size), "tmpfs", dir).Run() != nil {
		return false
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", dir).CombinedOutput(); err != nil {
			t.Errorf("unmounting: %s", out)
		}
	})
	return true
}
