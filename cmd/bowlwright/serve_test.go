package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
)

var ines = standin.Person{ID: 4711, Name: "Ines", Username: "ines"}

// env is an environment.
func env(pairs ...string) func(string) string {
	return func(name string) string {
		for i := 0; i < len(pairs); i += 2 {
			if pairs[i] == name {
				return pairs[i+1]
			}
		}
		return ""
	}
}

// lockedBuffer is a log.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}
func (b *lockedBuffer) String() string { b.mu.Lock(); defer b.mu.Unlock(); return b.b.String() }

// platform stands in for the platform until the test ends.
func platform(t testing.TB, o standin.Options) *standin.Server {
	t.Helper()
	api, err := standin.Start(o)
	must(t, err)
	t.Cleanup(func() { api.Close() })
	return api
}

// serving runs serve until stop is called, which returns its error.
func serving(t *testing.T, log io.Writer, args ...string) (stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		err := serve(ctx, append([]string{"--log-level", "debug"}, args...), env("BOWLWRIGHT_TOKEN", standin.Token), log)
		if err != nil && ctx.Err() == nil {
			t.Errorf("serve ended: %v", err)
		}
		ended <- err
	}()
	return sync.OnceValue(func() error { cancel(); return <-ended })
}

// nextPort is the port that freeAddress tries next: below those that the
// system gives to whoever asks for any, so that no connection of another test
// takes it between this look and the program's own.
var nextPort = func() *atomic.Int32 {
	var p atomic.Int32
	p.Store(20000 + int32(os.Getpid()*37%12000))
	return &p
}()

// freeAddress is an address of this machine that nobody listens to.
func freeAddress(t *testing.T) string {
	t.Helper()
	for range 100 {
		address := fmt.Sprintf("127.0.0.1:%d", 20000+nextPort.Add(1)%12000)
		if l, err := net.Listen("tcp", address); err == nil {
			l.Close()
			return address
		}
	}
	t.Fatal("no free port")
	return ""
}

func waitFor(t *testing.T, api *standin.Server, what string, cond func() bool) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if err := api.Wait(ctx, cond); err != nil {
		t.Fatalf("%s: never", what)
	}
}

func get(t *testing.T, url string) (int, string) {
	t.Helper()
	resp, err := http.Get(url)
	must(t, err)
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	must(t, err)
	return resp.StatusCode, string(body)
}

// TestServe talks to the whole program by long polling, stops it, and finds
// everything again after a start. Neither token nor text is in its log.
func TestServe(t *testing.T) {
	t.Parallel()
	api := platform(t, standin.Options{Rates: true})
	data, health := t.TempDir(), freeAddress(t)
	log := &lockedBuffer{}
	args := []string{"--data", data, "--api-url", api.URL(), "--health", health}
	stop := serving(t, log, args...)
	api.Say(ines, 0, "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	waitFor(t, api, "an answer", func() bool { return len(api.FromBot(ines.ID)) == 1 })
	if m := api.FromBot(ines.ID)[0]; !strings.Contains(m.Text, "Juniper is in.") || len(m.Buttons) == 0 {
		t.Errorf("answered %+v", m)
	}
	if code, _ := get(t, "http://"+health+"/healthz"); code != http.StatusOK {
		t.Errorf("/healthz: %d", code)
	}
	if code, _ := get(t, "http://"+health+"/readyz"); code != http.StatusOK {
		t.Errorf("/readyz: %d", code)
	}
	// An update is counted only after its answer is on its way.
	_, metrics := get(t, "http://"+health+"/metrics")
	for late := time.Now().Add(10 * time.Second); !strings.Contains(metrics, `{outcome="handled"} 1`) && time.Now().Before(late); {
		_, metrics = get(t, "http://"+health+"/metrics")
	}
	for _, line := range []string{`bowlwright_updates_total{outcome="handled"} 1`, "bowlwright_households 1", "bowlwright_outbox_messages", "bowlwright_store_bytes"} {
		if !strings.Contains(metrics, line) {
			t.Errorf("/metrics lacks %s", line)
		}
	}
	if err := stop(); err != nil {
		t.Fatalf("stopped: %v", err)
	}

	api.Say(ines, 0, "/dog")
	stop = serving(t, log, args...)
	waitFor(t, api, "an answer after a restart", func() bool { return len(api.FromBot(ines.ID)) == 2 })
	if m := api.FromBot(ines.ID)[1]; !strings.Contains(m.Text, "Juniper") {
		t.Errorf("after a restart: %q", m.Text)
	}
	if err := stop(); err != nil {
		t.Fatalf("stopped: %v", err)
	}
	if len(api.Calls("setMyCommands")) != 2 {
		t.Error("the menu of commands was not set at each start")
	}
	for _, b := range api.State().Breaches {
		t.Error(b)
	}
	for _, private := range []string{standin.Token, "standin-token", "Juniper", "Ines"} {
		if strings.Contains(log.String(), private) {
			t.Errorf("the log holds %q:\n%s", private, log)
		}
	}
}

// TestServeByWebhook has the platform call.
func TestServeByWebhook(t *testing.T) {
	t.Parallel()
	api := platform(t, standin.Options{})
	listen := freeAddress(t)
	stop := serving(t, io.Discard, "--data", t.TempDir(), "--api-url", api.URL(), "--listen", listen, "--webhook-url", "http://"+listen+"/from-the-platform")
	waitFor(t, api, "a webhook", func() bool { return api.State().Webhook != "" })
	api.Say(ines, 0, "/start")
	status, err := api.Deliver(t.Context())
	if err != nil || status != http.StatusOK {
		t.Fatalf("%d, %v", status, err)
	}
	waitFor(t, api, "an answer", func() bool { return len(api.FromBot(ines.ID)) == 1 })
	resp, err := http.Post("http://"+listen+"/from-the-platform", "application/json", strings.NewReader(`{"update_id":1}`))
	must(t, err)
	resp.Body.Close()
	if resp.StatusCode != http.StatusUnauthorized {
		t.Errorf("without the secret: %d", resp.StatusCode)
	}
	if code, _ := get(t, "http://"+listen+"/elsewhere"); code != http.StatusNotFound {
		t.Errorf("elsewhere: %d", code)
	}
	must(t, stop())
}

func TestServeRefusesToken(t *testing.T) {
	api := platform(t, standin.Options{})
	err := serve(t.Context(), []string{"--data", t.TempDir(), "--api-url", api.URL()}, env("BOWLWRIGHT_TOKEN", "1:AAAAAAAAAAAAAAAAAAAAAAAAAAAA"), io.Discard)
	var f failure
	if !errors.As(err, &f) || !strings.Contains(err.Error(), "does not know this token") || strings.Contains(err.Error(), "AAAA") {
		t.Errorf("%v", err)
	}
}

// TestServeRefusedWebhook ends with what the platform says of the webhook.
func TestServeRefusedWebhook(t *testing.T) {
	api := platform(t, standin.Options{})
	api.Fail(standin.Fault{Method: "setWebhook", Code: 400, Description: "Bad Request: bad webhook: Failed to resolve host"})
	listen := freeAddress(t)
	err := serve(t.Context(), []string{"--data", t.TempDir(), "--api-url", api.URL(), "--listen", listen, "--webhook-url", "http://" + listen + "/x"},
		env("BOWLWRIGHT_TOKEN", standin.Token), io.Discard)
	var f failure
	if !errors.As(err, &f) || err.Error() != "Telegram refuses setWebhook: bad webhook: Failed to resolve host" {
		t.Errorf("%v", err)
	}
}

// TestServeConfig holds what is set in a wrong way to a usage error that says
// so, and does not repeat a token.
func TestServeConfig(t *testing.T) {
	file := filepath.Join(t.TempDir(), "token")
	must(t, os.WriteFile(file, []byte(standin.Token+"\n"), 0o600))
	tok := env("BOWLWRIGHT_TOKEN", standin.Token)
	for _, c := range []struct {
		name string
		args []string
		env  func(string) string
		want string // in the error; empty: none
	}{
		{"from the environment", nil, tok, ""},
		{"from a file", []string{"--token-file", file}, env(), ""},
		{"file named by a variable", nil, env("BOWLWRIGHT_TOKEN_FILE", file), ""},
		{"all of it", []string{"--allow", "4711,@ines", "--health", "127.0.0.1:0", "--webhook-url", "https://bowl.example/x", "--listen", ":8080", "--log", "json"}, tok, ""},
		{"no token", nil, env(), "no token"},
		{"both", []string{"--token-file", file}, tok, "use one"},
		{"on the command line", []string{"--token", standin.Token}, env(), "can be read by every user"},
		{"no such file", []string{"--token-file", file + "x"}, env(), "cannot be read"},
		{"no token in it", nil, env("BOWLWRIGHT_TOKEN", "not-a-token"), "does not hold a token"},
		{"several", []string{"--log", "xml", "--health", "8081", "extra"}, tok, `no "extra"`},
		{"several", []string{"--log", "xml", "--health", "8081", "extra"}, tok, "--log is"},
		{"several", []string{"--log", "xml", "--health", "8081", "extra"}, tok, "--health is"},
		{"plain http", []string{"--webhook-url", "http://bowl.example/x", "--listen", ":1"}, tok, "https://"},
		{"nowhere to listen", []string{"--webhook-url", "https://bowl.example/x"}, tok, "needs --listen"},
		{"nothing to listen for", []string{"--listen", ":1"}, tok, "--webhook-url only"},
		{"a level", nil, env("BOWLWRIGHT_TOKEN", standin.Token, "BOWLWRIGHT_LOG_LEVEL", "loud"), "--log-level"},
		{"nobody", []string{"--allow", ","}, tok, "names nobody"},
		{"odd person", []string{"--allow", "In es!"}, tok, "neither an id"},
		{"an address", []string{"--api-url", "ftp://x"}, tok, "--api-url"},
	} {
		got, err := parseServe(c.args, c.env)
		var u usageError
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (!errors.As(err, &u) || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want a usage error with %q", c.name, err, c.want)
		case err != nil && (strings.Contains(err.Error(), "not-a-token") || strings.Contains(err.Error(), standin.Token)):
			t.Errorf("%s: the error repeats the token: %v", c.name, err)
		case c.want == "" && string(got.token) != standin.Token:
			t.Errorf("%s: another token", c.name)
		}
	}
}
