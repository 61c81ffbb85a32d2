package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
)

// metric waits for a line of /metrics, and returns all of them.
func metric(t *testing.T, health, line string) string {
	t.Helper()
	for late := time.Now().Add(time.Minute); ; {
		var all []byte
		if resp, err := http.Get("http://" + health + "/metrics"); err == nil { // else it has just been started
			all, _ = io.ReadAll(resp.Body)
			resp.Body.Close()
		}
		switch {
		case bytes.Contains(all, []byte("\n"+line+"\n")):
			return string(all)
		case time.Now().After(late):
			t.Fatalf("/metrics never had %s:\n%s", line, all)
		}
	}
}

// TestServeRefused has messages refused by somebody who blocked the bot, and by
// a chat that is gone: neither is in the gauges that alarms watch.
func TestServeRefused(t *testing.T) {
	t.Parallel()
	api := platform(t, standin.Options{})
	health := freeAddress(t)
	stop := serving(t, io.Discard, "--data", t.TempDir(), "--api-url", api.URL(), "--health", health)
	api.Fail(standin.Fault{Method: "sendMessage", Code: http.StatusForbidden, Description: "Forbidden: bot was blocked by the user"})
	api.Fail(standin.Fault{Method: "sendMessage", Code: http.StatusBadRequest, Description: "Bad Request: chat not found"})
	for _, p := range []standin.Person{ines, {ID: 4712, Name: "Tomas"}} {
		api.Say(p, 0, "/start")
	}
	all := metric(t, health, "bowlwright_refused_messages 2")
	for _, line := range []string{"bowlwright_outbox_messages 0", "bowlwright_outbox_oldest_seconds 0", "bowlwright_dead_messages 0"} {
		if !strings.Contains(all, "\n"+line+"\n") {
			t.Errorf("/metrics lacks %s", line)
		}
	}
	api.Say(ines, 0, "/dog")
	waitFor(t, api, "what was kept, once somebody is back", func() bool { return len(api.FromBot(ines.ID)) == 2 })
	metric(t, health, "bowlwright_refused_messages 1")
	must(t, stop())
}

// TestServeEndsWhilePlatformHangs ends in good order within 8 seconds though
// nothing that was sent is answered, and sends it at the next start.
func TestServeEndsWhilePlatformHangs(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it waits for the end of a program that hangs: left out with -short")
	}
	api := platform(t, standin.Options{})
	data, health := t.TempDir(), freeAddress(t)
	log := &lockedBuffer{}
	args := []string{"--data", data, "--api-url", api.URL(), "--health", health}
	stop := serving(t, log, args...)
	waitFor(t, api, "asked for updates", func() bool { return api.State().Asked > 0 })
	api.AddGroup(-100200, "Quayside")
	api.Fail(standin.Fault{Times: -1, Slow: time.Hour})
	api.Say(ines, -100200, "/start@"+standin.Username) // it asks whether she is in it, and hangs
	for id := range int64(5) {
		api.Say(standin.Person{ID: 4720 + id, Name: "Carer"}, 0, "/start")
	}
	metric(t, health, `bowlwright_updates_total{outcome="handled"} 6`)
	began := time.Now()
	must(t, stop())
	took := time.Since(began)
	if took > 8*time.Second {
		t.Errorf("the end took %v", took)
	}
	t.Logf("the end took %v", took.Round(10*time.Millisecond))
	if !strings.Contains(log.String(), "msg=stopped") {
		t.Errorf("it did not end in good order:\n%s", log)
	}
	api.Mend()
	stop = serving(t, log, args...)
	waitFor(t, api, "the answers", func() bool {
		for id := range int64(5) {
			if len(api.FromBot(4720+id)) != 1 {
				return false
			}
		}
		return true
	})
	must(t, stop())
}

// TestServeSaysInJSON holds every line of a log in JSON to be JSON, also the one
// that says why it ends; exit codes stay.
func TestServeSaysInJSON(t *testing.T) {
	data := t.TempDir()
	must(t, os.WriteFile(filepath.Join(data, dataFile), []byte("no store"), 0o600))
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--log", "json", "--data", data}, 1, "is damaged"},
		{[]string{"--log", "json", "--log-level", "loud"}, 2, "--log-level is"},
		{[]string{"--log", "json", "--loud"}, 2, "not defined: -loud"},
	} {
		var out bytes.Buffer
		err := serve(t.Context(), c.args, env("BOWLWRIGHT_TOKEN", standin.Token), &out)
		if code := report(err, &out); code != c.code || !strings.Contains(out.String(), c.want) {
			t.Errorf("%q: %d\n%s", c.args, code, out.String())
		}
		for line := range strings.Lines(out.String()) {
			if !json.Valid([]byte(line)) {
				t.Errorf("%q: no JSON: %s", c.args, line)
			}
		}
	}
	var out bytes.Buffer
	if code := report(serve(t.Context(), []string{"--log-level", "loud"}, env("BOWLWRIGHT_TOKEN", standin.Token), &out), &out); code != 2 || strings.Contains(out.String(), "{") {
		t.Errorf("as text: %d\n%s", code, out.String())
	}
}

// TestServeWarns warns of what may not be meant.
func TestServeWarns(t *testing.T) {
	file := filepath.Join(t.TempDir(), "token")
	must(t, os.WriteFile(file, []byte(standin.Token), 0o600))
	warnings := func(args ...string) string {
		c, err := parseServe(append(args, "--token-file", file), env())
		must(t, err)
		return strings.Join(c.warnings, "\n")
	}
	if got := warnings("--allow", "4711"); got != "" {
		t.Errorf("warned without need: %s", got)
	}
	if got := warnings(); !strings.Contains(got, "anyone on the platform can use this bot") {
		t.Errorf("nobody is named: %q", got)
	}
	must(t, os.Chmod(file, 0o644))
	if got := warnings("--allow", "4711"); !strings.Contains(got, "can read the token file") {
		t.Errorf("the file is open to all: %q", got)
	}
	// A warning is logged before anything else, and is no error.
	var out bytes.Buffer
	err := serve(t.Context(), []string{"--data", filepath.Join(file, "x")}, env("BOWLWRIGHT_TOKEN", standin.Token), &out)
	if errors.As(err, new(usageError)) || !strings.Contains(out.String(), "anyone on the platform") {
		t.Errorf("%v\n%s", err, out.String())
	}
}
