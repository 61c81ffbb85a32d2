package telegram

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"io"
	"net/http"
	"strings"
	"time"

	tg "github.com/go-telegram/bot"
)

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
