package standin

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
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
	s.mu.Lock()
	defer s.mu.Unlock()
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

func pauseFor(ctx context.Context, next chan struct{}, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-next:
	case <-t.C:
	case <-ctx.Done():
	}
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
func (s *Server) Deliver(ctx context.Context) (int, error) {
	status := 0
	for {
		s.mu.Lock()
		address, secret := s.webhook, s.secret
		var first Update
		waiting := len(s.updates) > 0
		if waiting {
			first = s.updates[0]
		}
		s.mu.Unlock()
		if !waiting || address == "" {
			return status, nil
		}
		req, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(first.Body))
		if err != nil {
			return status, err
		}
		req.Header.Set("Content-Type", "application/json")
		req.Header.Set("X-Telegram-Bot-Api-Secret-Token", secret)
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			return status, err
		}
		resp.Body.Close()
		if status = resp.StatusCode; status != http.StatusOK {
			return status, nil
		}
		s.mu.Lock()
		s.updates = s.updates[1:]
		s.notify()
		s.mu.Unlock()
	}
}

// Webhook is the address that the bot set, empty where none.
func (s *Server) Webhook() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.webhook
}
