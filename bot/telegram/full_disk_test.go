package telegram_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/telegram/standin"
)

// TestDiskFull lets the disk fill up while households write, kills the
// program in that state too, and makes room again.
func TestDiskFull(t *testing.T) {
	long(t)
	path, data := built(t), t.TempDir()
	if !mounted(t, data, 4<<20) {
		t.Skip("no small file system can be mounted here: only root can on Linux")
	}
	api := startStandin(t, standin.Options{})
	c := newCrowd(t, api, 50)
	log := &syncBuffer{&sync.Mutex{}, &bytes.Buffer{}}
	writing, stop := context.WithCancel(t.Context())
	var writer sync.WaitGroup
	writer.Go(func() { c.write(writing) })
	defer func() { stop(); writer.Wait() }()

	p := spawn(t, path, data, api, log)
	until(t, "some answers", func() bool { return len(api.Calls("sendMessage")) > 100 })
	ballast := filepath.Join(data, "ballast")
	fill(t, ballast)
	until(t, "a word about the disk", func() bool { return strings.Contains(tail(log), "code=full") })
	until(t, "the news to somebody", func() bool {
		return slices.ContainsFunc(api.Calls("sendMessage"), func(c standin.Call) bool {
			return c.Result != nil && c.Result.Text == bot.FullText()
		})
	})
	p.kill(t)
	c.mu.Lock()
	c.wantKept(data, false)
	c.mu.Unlock()

	before := len(all(log))
	p = spawn(t, path, data, api, log) // on a disk that is still full
	until(t, "another word about the disk", func() bool { return strings.Contains(all(log)[before:], "code=full") })
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	stop()
	writer.Wait()
	c.settled(2 * time.Minute)
	p.endGently(t)
	c.wantKept(data, true)
	c.wantAnswered()
	t.Logf("%d messages", c.messages())
	if t.Failed() {
		t.Log(tail(log))
	}
}

func until(t *testing.T, what string, cond func() bool) {
	t.Helper()
	// A full disk is felt only once the free pages within the file are used up.
	for deadline := time.Now().Add(2 * time.Minute); !cond(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("%s: never", what)
		}
	}
}

// fill writes a file until there is no space at all.
func fill(t *testing.T, path string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
}
