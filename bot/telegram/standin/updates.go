package standin

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"
)

// mostUpdates is how many updates one answer holds (Bot API documentation).
const mostUpdates = 100

// getUpdates confirms what lies below the offset and waits for more. The
// answer is put together by hand so that malformed updates can be in it.
func (s *Server) getUpdates(ctx context.Context, c *Call) any {
	offset, limit := number(c.Fields["offset"]), int(number(c.Fields["limit"]))
	if limit <= 0 || limit > mostUpdates {
		limit = mostUpdates
	}
	deadline := time.Now().Add(min(time.Duration(number(c.Fields["timeout"]))*time.Second, 50*time.Second))
	defer s.locked()()
	s.kinds = c.Fields["allowed_updates"]
	if s.webhook != "" {
		return refusal{Code: http.StatusConflict, Description: "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first"}
	}
	if s.polls > 0 {
		return refusal{Code: http.StatusConflict, Description: "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running"}
	}
	s.polls++
	defer func() { s.polls-- }()
	for {
		for len(s.updates) > 0 && s.updates[0].ID < offset {
			s.updates = s.updates[1:]
		}
		left := time.Until(deadline)
		if len(s.updates) > 0 || left <= 0 || s.quick || ctx.Err() != nil {
			return s.batch(limit)
		}
		next := s.changed
		s.mu.Unlock()
		pauseFor(ctx, next, left)
		s.mu.Lock()
	}
}

// pauseFor waits, until something happens next where that is not nil; false where
// ctx ended.
func pauseFor(ctx context.Context, next chan struct{}, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-next:
	case <-t.C:
	case <-ctx.Done():
	}
	return ctx.Err() == nil
}

func (s *Server) batch(limit int) raw {
	var b bytes.Buffer
	b.WriteString(`{"ok":true,"result":[`)
	for i, u := range s.updates[:min(limit, len(s.updates))] {
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(u.Body)
	}
	b.WriteString("]}")
	return b.Bytes()
}

func (s *Server) setWebhook(c *Call) any {
	address, secret := c.Fields["url"], c.Fields["secret_token"]
	u, err := url.Parse(address)
	// The platform wants https; the stand-in calls on the loopback interface.
	if err != nil || u.Scheme != "https" && !strings.HasPrefix(u.Host, "127.0.0.1:") {
		return bad("bad webhook: An HTTPS URL must be provided for webhook")
	}
	if len(secret) > 256 || strings.Trim(secret, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-") != "" {
		return bad("secret token contains unallowed characters")
	}
	s.webhook, s.secret, s.kinds = address, secret, c.Fields["allowed_updates"]
	return true
}

// Deliver sends the updates that wait to the webhook, oldest first, and
// confirms those that were answered with 200. It returns the status of the
// last answer.
func (s *Server) Deliver(ctx context.Context) (status int, err error) {
	for {
		s.mu.Lock()
		waiting := s.updates
		if s.webhook == "" {
			waiting = nil
		}
		s.mu.Unlock()
		if len(waiting) == 0 {
			return status, nil
		}
		if status, err = s.hook(ctx, waiting[0]); err != nil || status != http.StatusOK {
			return status, err
		}
		s.mu.Lock()
		s.confirm(waiting[0])
		s.mu.Unlock()
	}
}

// confirm takes an update that was answered out. The lock is held.
func (s *Server) confirm(u Update) {
	s.updates = slices.DeleteFunc(slices.Clone(s.updates), func(is Update) bool { return is.ID == u.ID })
	s.notify()
}

// chatOf is the chat of a message, or of one with a button that was pressed.
func chatOf(body []byte) int64 {
	type in struct {
		Chat struct{ ID int64 }
	}
	var u struct {
		Message  in
		Callback struct{ Message in } `json:"callback_query"`
	}
	json.Unmarshal(body, &u) // else it is of none
	return cmp.Or(u.Message.Chat.ID, u.Callback.Message.Chat.ID)
}

// DeliverAll sends updates to the webhook until ctx ends, up to n at a time, those
// of a chat one after another. What is not answered with 200 is sent again.
func (s *Server) DeliverAll(ctx context.Context, n int) {
	slots := make(chan struct{}, n)
	busy := map[int64]bool{}
	for ctx.Err() == nil {
		s.mu.Lock()
		next := s.changed
		i := slices.IndexFunc(s.updates, func(u Update) bool { return !busy[u.chat] })
		if i < 0 || s.webhook == "" {
			s.mu.Unlock()
			pauseFor(ctx, next, time.Second)
			continue
		}
		u := s.updates[i]
		busy[u.chat] = true
		s.mu.Unlock()
		slots <- struct{}{}
		go func() {
			status, err := s.hook(ctx, u)
			taken := err == nil && status == http.StatusOK
			if !taken {
				pauseFor(ctx, nil, 100*time.Millisecond)
			}
			<-slots
			s.mu.Lock()
			defer s.mu.Unlock()
			delete(busy, u.chat)
			if taken {
				s.confirm(u)
			}
			s.notify()
		}()
	}
}

// hook sends an update to the webhook, and returns the status of the answer.
func (s *Server) hook(ctx context.Context, u Update) (status int, err error) {
	s.mu.Lock()
	address, secret := s.webhook, s.secret
	s.mu.Unlock()
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(u.Body))
	if err != nil {
		return 0, err
	}
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("X-Telegram-Bot-Api-Secret-Token", secret)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		return 0, err
	}
	resp.Body.Close()
	return resp.StatusCode, nil
}
