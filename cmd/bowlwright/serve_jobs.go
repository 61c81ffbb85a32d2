package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/robfig/cron/v3"

	"bowlwright/store"
	"bowlwright/store/bolt"
)

// job is something that the program does for its operator by the clock.
type job struct {
	name string
	at   cron.Schedule // nil: never
	do   func(ctx context.Context, now time.Time) error
}

// parseAt reads a five-field cron expression, or one such as "@daily". It is
// in the machine's zone unless it begins with "CRON_TZ=Europe/Oslo ".
func parseAt(s string) (at cron.Schedule, err error) {
	defer func() {
		if recover() != nil { // the parser does so where only a zone is given
			err = errors.New("no fields")
		}
	}()
	if at, err = cron.ParseStandard(s); err != nil {
		return nil, err
	}
	if at.Next(time.Now()).IsZero() {
		return nil, errors.New("it names no day that there is")
	}
	return at, nil
}

// jobs are those of this configuration.
func (s *server) jobs() []job {
	return []job{
		{"purge", s.c.purgeAt, s.purge},
		{"backup", s.c.backupAt, s.backup},
		{"digest", s.c.digestAt, s.digest},
		{"unheard", s.c.unheardAt, s.unheard},
	}
}

// runJobs does each job when its time has come, until ctx ends. One that is
// still under way when its time comes again is left out, one that panics is
// logged and comes again.
func runJobs(ctx context.Context, all []job, log *slog.Logger, done func(name string, ok bool)) {
	quiet := cron.DiscardLogger
	c := cron.New(cron.WithLogger(quiet))
	for _, j := range all {
		if j.at == nil {
			continue
		}
		chain := cron.NewChain(cron.SkipIfStillRunning(skips{log, j.name}))
		c.Schedule(j.at, chain.Then(cron.FuncJob(func() {
			err := j.run(ctx)
			if ctx.Err() != nil {
				return
			}
			if err != nil {
				log.Error("a job failed", "job", j.name, "error", err.Error())
			}
			done(j.name, err == nil)
		})))
	}
	c.Start()
	<-ctx.Done()
	<-c.Stop().Done()
}

// run does the job. The error of a panic says where it was; what it was may
// be a carer's text.
func (j job) run(ctx context.Context) (err error) {
	defer func() {
		if recover() != nil {
			err = fmt.Errorf("panic: %s", debug.Stack())
		}
	}()
	return j.do(ctx, time.Now())
}

// skips logs that a job is still under way.
type skips struct {
	log  *slog.Logger
	name string
}

func (s skips) Info(string, ...any) {
	s.log.Warn("a job is still under way, and left out this time", "job", s.name)
}
func (s skips) Error(error, string, ...any) {}

// purge forgets handled updates of long ago, and households that nobody has
// taken up again. What was erased is then gone from the file too.
func (s *server) purge(ctx context.Context, now time.Time) error {
	return errors.Join(store.Purge(ctx, s.store, now.Add(-keepEvents)), s.bot.Forget(ctx, now), s.store.Compact(ctx))
}

// What the files of backups are called, by the time at which they were begun.
const backupForm = "bowlwright-20060102T150405Z.db"

var backupFile = regexp.MustCompile(`^bowlwright-\d{8}T\d{6}Z\.db$`)

// backup copies the store into the directory of backups, checks the copy, and
// then deletes the oldest that are too many.
func (s *server) backup(ctx context.Context, now time.Time) error {
	dir := s.c.backupDir
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	to := filepath.Join(dir, now.UTC().Format(backupForm))
	_, err := bolt.BackupTo(to, func(w io.Writer) error { return s.store.(*bolt.Store).Backup(ctx, w) })
	if err != nil {
		return aboutFile(err, to)
	}
	return thinOut(dir, s.c.backupKeep)
}

// thinOut deletes the oldest backups of a directory but for the newest keep,
// and what versions before this one left of those that were broken off. Files
// of other names stay.
func thinOut(dir string, keep int) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	var whole []string
	for _, e := range entries {
		name := e.Name()
		if part, ok := strings.CutSuffix(name, ".part"); ok && backupFile.MatchString(part) {
			err = errors.Join(err, os.Remove(filepath.Join(dir, name)))
		}
		if backupFile.MatchString(name) {
			whole = append(whole, name)
		}
	}
	slices.Sort(whole)
	for _, name := range whole[:max(0, len(whole)-keep)] {
		err = errors.Join(err, os.Remove(filepath.Join(dir, name)))
	}
	return err
}

// digest logs what there is and what was done since the last digest, in
// numbers alone.
func (s *server) digest(context.Context, time.Time) error {
	size, _, err := (&storeCollector{store: s.store}).waiting()
	if err != nil {
		return err
	}
	became := s.metrics.since(&s.metrics.digest)
	s.log.Info("digest", "households", size.Households, "said", became["said"], "passed", became["passed"], "failed", became["failed"],
		"outbox", size.Outbox, "dead", size.Dead, "megabytes", size.Bytes/1_000_000)
	return nil
}

// unheard logs how many messages were not understood since it last did, by the
// intent that they came nearest to; nothing is kept of their texts.
func (s *server) unheard(context.Context, time.Time) error {
	var counts []any
	all := s.metrics.since(&s.metrics.lost)
	for _, nearest := range slices.Sorted(maps.Keys(all)) {
		counts = append(counts, nearest, all[nearest])
	}
	s.log.Info("not understood", counts...)
	return nil
}

// backupsUntil is when as many backups have been made after a time as are kept,
// so that none of before is left.
func (c *serveConfig) backupsUntil(now time.Time) time.Time {
	for range c.backupKeep {
		now = c.backupAt.Next(now)
	}
	return now
}
