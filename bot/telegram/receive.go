package telegram

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"

	tg "github.com/go-telegram/bot"

	"bowlwright/store"
)

// Our own choices.
const (
	mostUnread = 3           // times that an update comes unreadable before it is given up
	emptyPause = time.Second // between two answers that hold nothing, at least
)

// poll asks for updates until ctx ends, and confirms them once they are
// stored. Failures are retried with growing pauses.
func (a *Adapter) poll(ctx context.Context) error {
	offset, pause := int64(0), firstPause
	timeout := time.Duration(0) // the first answer, which says that all is well, is not waited for
	var s sieve
	for ctx.Err() == nil {
		asked := time.Now()
		all, err := a.client.getUpdates(ctx, offset, timeout)
		got, next, gaveUp, again := s.sift(all, offset)
		if err == nil && len(got) > 0 {
			err = a.take(ctx, got)
		}
		if err == nil {
			for _, id := range gaveUp {
				a.o.Log.Error("an update is given up: it cannot be read", "update", id)
				a.o.Metrics.Update("unreadable", 0)
			}
			rest := time.Duration(0)
			switch {
			case again:
				a.o.Log.Warn("an update cannot be read, it is asked for again", "update", s.id)
				rest = firstPause
			case next == offset && timeout > 0:
				// Nothing came. Where that took no time, asking at once would
				// go round and round.
				rest = emptyPause - time.Since(asked)
			}
			offset, pause, timeout = next, firstPause, longPoll
			a.ready.Store(true)
			store.Pause(ctx, rest)
			continue
		}
		if ctx.Err() != nil {
			break
		}
		a.ready.Store(false)
		timeout = 0
		var failed *callError
		switch {
		case errors.Is(err, ErrToken):
			return err
		case errors.As(err, &failed):
			pause = max(pause, failed.after)
		}
		a.o.Log.Warn("no updates", "error", err.Error(), "pause", pause.String())
		if !store.Pause(ctx, pause) {
			break
		}
		pause = min(2*pause, longestPause)
	}
	return nil
}

// sieve parts the updates that can be read from those that cannot. It holds
// how often the one that stands in the way has come.
type sieve struct {
	id    int64 // of that one; where it has none, of its place
	times int
}

// sift returns the updates that can be taken, and the offset that confirms
// them. Where one cannot be read, what follows is left and asked for again
// with it, until it has come mostUnread times; then it is given up.
func (s *sieve) sift(all []received, offset int64) (got []received, next int64, gaveUp []int64, again bool) {
	next = offset
	for _, r := range all {
		if r.id != 0 && r.read() != nil {
			got, next = append(got, r), max(next, r.id+1)
			continue
		}
		id := cmp.Or(r.id, next)
		if s.id != id {
			*s = sieve{id: id}
		}
		if s.times++; s.times < mostUnread {
			return got, next, gaveUp, true
		}
		gaveUp = append(gaveUp, id)
		if r.id != 0 { // else only what comes after it leads past it
			next = max(next, r.id+1)
		}
	}
	return got, next, gaveUp, false
}

var (
	startOfResult = regexp.MustCompile(`^\s*\{\s*"ok"\s*:\s*true\s*,\s*"result"\s*:\s*\[`)
	updateID      = regexp.MustCompile(`"update_id"\s*:\s*(-?\d{1,19})`)
)

// salvage reads the updates of an answer of which a part is no JSON. Those
// that cannot be read are in their places, by their ids as far as these can
// be told.
func salvage(body []byte) (all []received) {
	begin := startOfResult.FindIndex(body)
	if begin == nil {
		return nil
	}
	from := begin[1] // what lies between here and the next update that can be read is lost
	for at := from; ; {
		open := bytes.IndexByte(body[at:], '{')
		if open < 0 {
			break
		}
		at += open
		var raw json.RawMessage
		d := json.NewDecoder(bytes.NewReader(body[at:]))
		if d.Decode(&raw) != nil {
			at++
			continue
		}
		if id, ok := idOf(raw); ok {
			all = append(append(all, lostIn(body[from:at])...), received{id: id, body: raw})
			at += int(d.InputOffset())
			from = at
			continue
		}
		at++
	}
	return append(all, lostIn(body[from:])...)
}

// lostIn are the updates in what could not be read; one without an id where
// there is something, but no id in it.
func lostIn(body []byte) (lost []received) {
	for _, m := range updateID.FindAllSubmatch(body, -1) {
		if id, err := strconv.ParseInt(string(m[1]), 10, 64); err == nil {
			lost = append(lost, received{id: id})
		}
	}
	if lost == nil && len(bytes.Trim(body, ", \t\r\n]}")) > 0 {
		lost = []received{{}}
	}
	return lost
}

// secretHeader carries the secret of a webhook call (Telegram Bot API
// documentation: setWebhook).
const secretHeader = "X-Telegram-Bot-Api-Secret-Token"

// longestUpdate is how many bytes a webhook call may have; our own choice,
// far above what an update of a text message takes.
const longestUpdate = 1 << 20

// Webhook takes updates that the platform sends. It answers 401 to a wrong
// secret, 413 to a body that is too large, 400 to what is no update or did not
// come whole, 503 where the update could not be stored, and 200 once it is
// stored. The platform sends again what is not answered with 200.
func (a *Adapter) Webhook() http.Handler {
	want := sha256.Sum256([]byte(a.o.Secret))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// Compares checksums, so that not even the length of the secret shows.
		got := sha256.Sum256([]byte(r.Header.Get(secretHeader)))
		if a.o.Secret == "" || subtle.ConstantTimeCompare(got[:], want[:]) != 1 {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		if r.Method != http.MethodPost {
			w.WriteHeader(http.StatusMethodNotAllowed)
			return
		}
		body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, longestUpdate))
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			a.refuse(w, http.StatusRequestEntityTooLarge, "it is too large", len(body))
			return
		case err != nil:
			// The connection may still be there; without an answer the server's
			// own would be 200.
			a.refuse(w, http.StatusBadRequest, "it did not come whole", len(body))
			return
		}
		id, ok := idOf(body)
		if !ok {
			a.refuse(w, http.StatusBadRequest, "it is no update", len(body))
			return
		}
		// Once storing has begun it is finished, even if the caller hangs up.
		if err := a.takeOpen(context.WithoutCancel(r.Context()), received{id: id, body: body}); err != nil {
			w.Header().Set("Retry-After", "1")
			w.WriteHeader(http.StatusServiceUnavailable)
			return
		}
		w.WriteHeader(http.StatusOK)
	})
}

// refuse answers a webhook call that cannot be read with an error.
func (a *Adapter) refuse(w http.ResponseWriter, code int, why string, bytes int) {
	a.o.Metrics.Update("unreadable", 0)
	a.o.Log.Warn("a webhook call cannot be read", "why", why, "bytes", bytes, "answer", code)
	w.WriteHeader(code)
}

// takeOpen takes an update unless the adapter is not running.
func (a *Adapter) takeOpen(ctx context.Context, r received) error {
	a.taking.Lock()
	defer a.taking.Unlock()
	if !a.open.Load() {
		return errClosing
	}
	err := a.takeLocked(ctx, []received{r})
	a.unstored.Store(err != nil)
	return err
}

func (c *client) setWebhook(ctx context.Context, address, secret string) error {
	_, err := call(ctx, "setWebhook", c.bot.SetWebhook, tg.SetWebhookParams{URL: address, SecretToken: secret, AllowedUpdates: kinds})
	return err
}

func (c *client) removeWebhook(ctx context.Context) error {
	_, err := call(ctx, "deleteWebhook", c.bot.DeleteWebhook, tg.DeleteWebhookParams{})
	return err
}

// answer tells the platform that a press arrived.
func (c *client) answer(ctx context.Context, id string) error {
	_, err := call(ctx, "answerCallbackQuery", c.bot.AnswerCallbackQuery, tg.AnswerCallbackQueryParams{CallbackQueryID: id})
	return err
}

// RefusedError says that the platform refuses what it was asked for, and will
// refuse it again.
type RefusedError struct {
	Method string
	Said   string // by the platform
}

func (e *RefusedError) Error() string { return "telegram: " + e.Method + ": " + e.Said }

// callError is a call that may succeed later.
type callError struct {
	text  string
	after time.Duration // not before this, where the platform says so
}

func (e *callError) Error() string { return e.text }

// call makes a call that is not waited for longer than sendTimeout.
func call[P, R any](ctx context.Context, method string, do func(context.Context, *P) (R, error), with P) (R, error) {
	ctx, cancel := context.WithTimeout(ctx, sendTimeout)
	defer cancel()
	r, err := do(ctx, &with)
	return r, named(method, err)
}

// named makes an error of the library one that can be logged.
func named(method string, err error) error {
	var many *tg.TooManyRequestsError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, tg.ErrorUnauthorized), errors.Is(err, tg.ErrorNotFound):
		return ErrToken
	case errors.Is(err, tg.ErrorBadRequest):
		return &RefusedError{method, strings.TrimPrefix(reason(err), "bad request: Bad Request: ")}
	}
	e := &callError{text: "telegram: " + method + ": " + reason(err)}
	if errors.As(err, &many) {
		e.after = time.Duration(many.RetryAfter) * time.Second
	}
	return e
}
