package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

func TestParseAt(t *testing.T) {
	// The clock of synctest begins on 1 January 2000, which was a Saturday
	// (testing/synctest).
	from := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"30 3 * * *":                       "2000-01-01T03:30:00Z",
		"0 8 * * 1":                        "2000-01-03T08:00:00Z",
		"CRON_TZ=Europe/Oslo 30 3 * * *":   "2000-01-01T02:30:00Z",
		"CRON_TZ=Asia/Kathmandu 0 9 * * *": "2000-01-01T03:15:00Z",
		"@daily":                           "2000-01-02T00:00:00Z",
	} {
		at, err := parseAt(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := at.Next(from).UTC().Format(time.RFC3339); got != want {
			t.Errorf("%q comes at %s, want %s", text, got, want)
		}
	}
	for _, text := range []string{"", " ", "yesterday", "30 3 * *", "61 3 * * *", "0 0 31 2 *", "CRON_TZ=Europe/Oslo", "CRON_TZ=No/Where 1 1 * * *", "TZ=", "0 3 * * * *"} {
		if at, err := parseAt(text); err == nil {
			t.Errorf("%q comes at %v", text, at.Next(from))
		}
	}
}

func TestJobsConfig(t *testing.T) {
	for _, c := range []struct{ args, wrong string }{
		{"--backup-at x --backup-dir d", `--backup-at: "x" is no cron expression`},
		{"--backup-dir d", "--backup-at and --backup-dir go together"},
		{"--backup-at @daily", "--backup-at and --backup-dir go together"},
		{"--backup-keep 0", "--backup-keep is a number from 1"},
		{"--digest-at @never", "--digest-at"},
		{"--purge-at x", "--purge-at"},
	} {
		_, err := parseServe(strings.Fields(c.args), env("BOWLWRIGHT_TOKEN", standin.Token))
		if err == nil || !strings.Contains(err.Error(), c.wrong) {
			t.Errorf("%s: %v", c.args, err)
		}
	}
	c, err := parseServe(nil, env("BOWLWRIGHT_TOKEN", standin.Token, "BOWLWRIGHT_BACKUP_AT", "CRON_TZ=Europe/Oslo 30 3 * * *", "BOWLWRIGHT_BACKUP_DIR", "/backups"))
	if err != nil || c.backupAt == nil || c.backupDir != "/backups" || c.backupKeep != 7 || c.purgeAt == nil || c.digestAt != nil {
		t.Errorf("%+v, %v", c, err)
	}
}

// TestRunJobs lets a job take longer than until its time comes again, panic,
// and fail.
func TestRunJobs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		every, err := parseAt("0 * * * *")
		must(t, err)
		var mu sync.Mutex
		var began []time.Time
		results := map[string]int{}
		slow := func(_ context.Context, now time.Time) error {
			mu.Lock()
			began = append(began, now)
			n := len(began)
			mu.Unlock()
			switch n {
			case 1:
				time.Sleep(90 * time.Minute)
			case 2:
				panic("Juniper's secret")
			case 3:
				return errors.New("no room")
			}
			return nil
		}
		log := &lockedBuffer{}
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan struct{})
		start := time.Now()
		go func() {
			defer close(ended)
			runJobs(ctx, []job{{"slow", every, slow}, {"never", nil, nil}}, slog.New(slog.NewTextHandler(log, nil)), func(name string, ok bool) {
				mu.Lock()
				results[fmt.Sprint(name, ok)]++
				mu.Unlock()
			})
		}()
		time.Sleep(5*time.Hour + 30*time.Minute)
		cancel()
		<-ended
		var hours []int
		for _, b := range began {
			hours = append(hours, int(b.Sub(start).Hours()))
		}
		if !slices.Equal(hours, []int{1, 3, 4, 5}) {
			t.Errorf("began after %v hours", hours)
		}
		if results["slowtrue"] != 2 || results["slowfalse"] != 2 {
			t.Errorf("results %v", results)
		}
		text := log.String()
		for _, part := range []string{"still under way", "TestRunJobs", "no room"} {
			if !strings.Contains(text, part) {
				t.Errorf("the log lacks %q:\n%s", part, text)
			}
		}
		if strings.Contains(text, "secret") {
			t.Error("the log holds what was panicked with")
		}
	})
}

// TestBackupJob makes backups that can be restored, and keeps the newest.
func TestBackupJob(t *testing.T) {
	s, err := bolt.Open(filepath.Join(t.TempDir(), dataFile), bolt.Options{NoSync: true})
	must(t, err)
	defer s.Close()
	dir := filepath.Join(t.TempDir(), "backups")
	srv := &server{c: serveConfig{backupDir: dir, backupKeep: 2}, store: s}
	now := time.Date(2026, 3, 2, 2, 30, 0, 0, time.UTC)
	for day := range 4 {
		must(t, s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.PutHousehold{Household: &planner.Household{ID: fmt.Sprint("quayside", day)}}}}))
		if day == 1 {
			for _, name := range []string{"mine.db", "bowlwright-20260101T000000Z.db.part"} {
				must(t, os.WriteFile(filepath.Join(dir, name), nil, 0o600))
			}
		}
		must(t, srv.backup(t.Context(), now.AddDate(0, 0, day)))
	}
	entries, err := os.ReadDir(dir)
	must(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if want := []string{"bowlwright-20260304T023000Z.db", "bowlwright-20260305T023000Z.db", "mine.db"}; !slices.Equal(names, want) {
		t.Errorf("kept %v, want %v", names, want)
	}
	to := filepath.Join(t.TempDir(), dataFile)
	if _, err := bolt.Restore(filepath.Join(dir, names[1]), to, bolt.RestoreOptions{Keep: to + ".before"}); err != nil {
		t.Fatal(err)
	}
	back, err := bolt.Open(to, bolt.Options{NoSync: true})
	must(t, err)
	defer back.Close()
	if err := storetest.Look(t.Context(), back, func(tx store.Snapshot) error { _, err := tx.Household("quayside3"); return err }); err != nil {
		t.Errorf("the last household is not in the last backup: %v", err)
	}
	if err := srv.backup(t.Context(), now.AddDate(0, 0, 3)); err == nil {
		t.Error("a backup replaced another")
	}
}

// TestServeSaysWhatIsDue starts the whole program with something due.
func TestServeSaysWhatIsDue(t *testing.T) {
	t.Parallel()
	api := platform(t, standin.Options{})
	api.Say(ines, 0, "/start") // the platform lets a bot write to those who wrote to it
	data, health := t.TempDir(), freeAddress(t)
	log := &lockedBuffer{}
	args := []string{"--data", data, "--api-url", api.URL(), "--health", health}
	stop := serving(t, log, args...)
	waitFor(t, api, "an answer", func() bool { return len(api.FromBot(ines.ID)) > 0 })
	must(t, stop())
	before := len(api.FromBot(ines.ID))

	s := openIn(t, data)
	due := time.Now().UTC().Add(-5 * time.Minute)
	err := storetest.Change(t.Context(), s, func(tx store.Snapshot, put storetest.Put) error {
		who := fmt.Sprint("telegram/", ines.ID)
		id, err := tx.Member(who, who)
		if err != nil {
			return err
		}
		h, err := tx.Household(id)
		if err != nil {
			return err
		}
		h.Reminders = []planner.Reminder{{ID: "r1", Kind: planner.NoteReminder, Text: "vet at ten", Schedule: planner.Schedule{
			Once: true, Anchor: planner.DateOf(due), Times: []planner.Clock{planner.ClockOf(due)},
		}}}
		return put(store.PutHousehold{Household: h}, store.PutDue{Household: id, At: due, Through: due.Add(-time.Hour)})
	})
	must(t, errors.Join(err, s.Close()))

	stop = serving(t, log, args...)
	waitFor(t, api, "the reminder", func() bool { return len(api.FromBot(ines.ID)) > before })
	if m := api.FromBot(ines.ID)[before]; !strings.Contains(m.Text, "vet at ten") {
		t.Errorf("said %q", m.Text)
	}
	_, metrics := get(t, "http://"+health+"/metrics")
	for _, line := range []string{`bowlwright_reminders_total{outcome="said"} 1`, "bowlwright_due_households 0", "bowlwright_tick_seconds_count 1"} {
		if !strings.Contains(metrics, line) {
			t.Errorf("/metrics lacks %s", line)
		}
	}
	must(t, stop())
	if strings.Contains(log.String(), "vet at ten") {
		t.Error("the log holds a carer's words")
	}
}
