package telegram_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
)

// hook makes a webhook call and returns the status.
func hook(p *phone, secret string, body io.Reader) int {
	r := httptest.NewRequest(http.MethodPost, "/", body)
	r.Header.Set("X-Telegram-Bot-Api-Secret-Token", secret)
	w := httptest.NewRecorder()
	p.adapter.Webhook().ServeHTTP(w, r)
	return w.Code
}

// secret is the wiring of a phone whose webhook calls carry a secret.
func secret(s string) wiring {
	return wiring{options: func(o *telegram.Options) { o.Secret = s }}
}

// runWebhook has a phone run by webhook until the test ends, and waits until
// calls are taken.
func runWebhook(t *testing.T, p *phone) {
	t.Helper()
	p.run(func(ctx context.Context) error { return p.adapter.RunWebhook(ctx, "https://bowl.example/hook") })
	p.waitFor("a webhook", func() bool { return p.api.State().Webhook != "" })
	p.waitReady() // it has yet to read the platform's answer
}

// failing is a store whose updates can be made to fail.
type failing struct {
	store.Store
	err error
}

func (f *failing) Commit(ctx context.Context, c store.Commit) error {
	if f.err != nil {
		return f.err
	}
	return f.Store.Commit(ctx, c)
}

func TestWebhook(t *testing.T) {
	t.Parallel()
	s := &failing{Store: openScratch(t)}
	w := secret("right-secret")
	w.store = s
	p, update := connect(t, w), typed(7, "/help")
	if code := hook(p, "right-secret", strings.NewReader(update)); code != http.StatusServiceUnavailable {
		t.Errorf("before it runs: %d", code)
	}
	runWebhook(t, p)
	p.api.Say(ines, 0, "/start") // makes the chat known
	for _, secret := range []string{"", "wrong-secret", "right-secre", "right-secret "} {
		if code := hook(p, secret, strings.NewReader(update)); code != http.StatusUnauthorized {
			t.Errorf("secret %q: %d", secret, code)
		}
	}
	for _, c := range []struct {
		name, body string
		want       int
	}{
		{"no JSON", "what", http.StatusBadRequest},
		{"no id", `{"message":{}}`, http.StatusBadRequest},
		{"empty", "", http.StatusBadRequest},
		{"too large", `{"update_id":8,"x":"` + strings.Repeat("a", 2<<20) + `"}`, http.StatusRequestEntityTooLarge},
	} {
		if code := hook(p, "right-secret", strings.NewReader(c.body)); code != c.want {
			t.Errorf("%s: %d, want %d", c.name, code, c.want)
		}
	}
	// Not stored, not acknowledged.
	s.err = &store.Error{Code: store.Full, Op: "update", Err: errors.New("no space")}
	for range 2 { // the second time is no news
		if code := hook(p, "right-secret", strings.NewReader(update)); code != http.StatusServiceUnavailable {
			t.Errorf("disk full: %d", code)
		}
	}
	p.waitFor("the news", func() bool { return p.api.State().Sent > 0 })
	if got := p.replies(ines.ID); got[0] != bot.FullText() {
		t.Errorf("told %q", got)
	}
	if p.adapter.Ready() {
		t.Error("ready though nothing can be stored")
	}
	s.err = nil
	if code := hook(p, "right-secret", strings.NewReader(update)); code != http.StatusOK {
		t.Errorf("again: %d", code)
	}
	if !p.adapter.Ready() {
		t.Error("not ready though all is well again")
	}
	p.tally.wait(t, 5) // the four that could not be read, and the one
	if n := len(p.replies(ines.ID)); n != 2 {
		t.Errorf("%d messages, want the news and one answer", n)
	}
	if err := p.stop(); err != nil {
		t.Fatal(err)
	}
	if code := hook(p, "right-secret", strings.NewReader(update)); code != http.StatusServiceUnavailable {
		t.Errorf("after the end: %d", code)
	}
}

// TestWebhookWithoutSecret lets nobody in where no secret was set.
func TestWebhookWithoutSecret(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	if code := hook(p, "", strings.NewReader(`{"update_id":7}`)); code != http.StatusUnauthorized {
		t.Errorf("answered %d", code)
	}
}

// TestWebhookCutShort makes calls whose bodies do not come whole; each is
// answered with an error, so that the platform sends the update again.
func TestWebhookCutShort(t *testing.T) {
	t.Parallel()
	p := connect(t, secret("s"))
	runWebhook(t, p)
	p.api.Greet(ines)
	srv := httptest.NewUnstartedServer(p.adapter.Webhook())
	srv.Config.ReadTimeout = 100 * time.Millisecond
	srv.Start()
	defer srv.Close()
	const head = "POST / HTTP/1.1\r\nHost: bowl.example\r\nX-Telegram-Bot-Api-Secret-Token: s\r\n"
	update := typed(7, "/help")
	chunk := fmt.Sprintf("%x\r\n%s\r\n", len(update), update)
	for i, c := range []struct {
		name, call string
		ends       bool // the sender says that no more will come
		want       int
	}{
		{"short of its length", head + "Content-Length: 900\r\n\r\n" + update, true, http.StatusBadRequest},
		{"nothing more comes", head + "Content-Length: 900\r\n\r\n" + update, false, http.StatusBadRequest},
		{"a malformed chunk", head + "Transfer-Encoding: chunked\r\n\r\n" + chunk + "wombat\r\n", false, http.StatusBadRequest},
		{"no last chunk", head + "Transfer-Encoding: chunked\r\n\r\n" + chunk, true, http.StatusBadRequest},
		{"whole", head + "Transfer-Encoding: chunked\r\n\r\n" + chunk + "0\r\n\r\n", false, http.StatusOK},
	} {
		if code := call(t, srv.Listener.Addr().String(), c.call, c.ends); code != c.want {
			t.Errorf("%s: answered %d, want %d", c.name, code, c.want)
		}
		p.tally.wait(t, i+1)
	}
	if n := p.tally.of("unreadable"); n != 4 || p.tally.of("handled") != 1 {
		t.Errorf("%d unreadable, %d handled", n, p.tally.of("handled"))
	}
	p.stop()
	if n := strings.Count(p.log.String(), "did not come whole"); n != 4 {
		t.Errorf("%d of them are in the log", n)
	}
}

// call writes bytes to a server and returns the status of its answer.
func call(t *testing.T, address, bytes string, ends bool) int {
	t.Helper()
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := io.WriteString(c, bytes); err != nil {
		t.Fatal(err)
	}
	if ends {
		c.(*net.TCPConn).CloseWrite() // a failure shows in the answer
	}
	resp, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		t.Errorf("no answer: %v", err)
		return 0
	}
	resp.Body.Close()
	return resp.StatusCode
}

// TestRetryAfterBeforeAll waits as long as the platform says before it asks
// again who it is, and for the webhook.
func TestRetryAfterBeforeAll(t *testing.T) {
	t.Parallel()
	w := secret("s")
	w.api = startStandin(t, standin.Options{})
	p := connect(t, w)
	for _, method := range []string{"getMe", "setWebhook"} {
		p.api.Fail(standin.Fault{Method: method, Code: 429, RetryAfter: 1, Description: "Too Many Requests: retry after 1"})
	}
	runWebhook(t, p)
	for _, method := range []string{"getMe", "setWebhook"} {
		calls := p.api.Calls(method)
		if len(calls) != 2 || calls[1].At.Sub(calls[0].At) < time.Second {
			t.Errorf("%s: %d calls, the second after %v", method, len(calls), calls[len(calls)-1].At.Sub(calls[0].At))
		}
	}
}

// TestWebhookRefused ends with what the platform says of the address.
func TestWebhookRefused(t *testing.T) {
	t.Parallel()
	p := connect(t, secret("s"))
	err := p.adapter.RunWebhook(t.Context(), "ftp://bowl.example/")
	var refused *telegram.RefusedError
	if !errors.As(err, &refused) || refused.Method != "setWebhook" || refused.Said != "bad webhook: An HTTPS URL must be provided for webhook" {
		t.Errorf("%v", err)
	}
	if n := len(p.api.Calls("setWebhook")); n != 1 {
		t.Errorf("asked %d times", n)
	}
}

// TestPlatformGone is ready no more when the platform has been silent for long,
// though nothing had to be sent, and is ready again once it answers.
func TestPlatformGone(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{options: func(o *telegram.Options) { o.Secret, o.Beat = "x", time.Millisecond }})
	runWebhook(t, p)
	p.api.Fail(standin.Fault{Times: -1, Page: true}) // something on the way to it answers
	p.clock.set(start.Add(telegram.LongestSilence - time.Second))
	if !p.adapter.Ready() {
		t.Error("given up too soon")
	}
	p.clock.set(start.Add(telegram.LongestSilence))
	if p.adapter.Ready() || p.adapter.Silent() != telegram.LongestSilence {
		t.Errorf("ready, after %v of silence", p.adapter.Silent())
	}
	asked := len(p.api.Calls("getMe"))
	p.waitFor("asked for an answer", func() bool { return len(p.api.Calls("getMe")) > asked+1 })
	p.api.Mend()
	p.waitReady()
	if err := p.stop(); err != nil {
		t.Error(err)
	}
	for _, said := range []string{"the platform is gone", "the platform answers again"} {
		if n := strings.Count(p.log.String(), said); n > 1 || n == 0 {
			t.Errorf("%q was logged %d times", said, n)
		}
	}
}
