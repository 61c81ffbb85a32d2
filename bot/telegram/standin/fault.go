package standin

import (
	"net/http"
	"time"
)

// Fault is a way to fail. The first that fits a call is used up once.
type Fault struct {
	Method      string // empty: any but getUpdates
	Times       int    // 0: once; below 0: for ever
	Code        int    // of the error: 429, 403, 400, 500
	RetryAfter  int    // seconds, of 429
	Description string
	Page        bool          // answer with an HTML page
	Body        string        // answer with this as it is
	Cut         bool          // cut the connection
	Slow        time.Duration // answer late
}

// Fail makes calls fail.
func (s *Server) Fail(f Fault) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if f.Times == 0 {
		f.Times = 1
	}
	s.faults = append(s.faults, &f)
}

// Mend takes all faults back.
func (s *Server) Mend() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.faults = nil
}

func (s *Server) faultFor(c *Call) *Fault {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, f := range s.faults {
		any := f.Method == "" && c.Method != "getUpdates"
		if f.Times == 0 || !any && f.Method != c.Method {
			continue
		}
		f.Times--
		return f
	}
	return nil
}

// answer is what a fault says, nil where the call goes on.
func (f *Fault) answer() any {
	switch {
	case f.Cut:
		return nil
	case f.Page:
		return page("<html><body><h1>502 Bad Gateway</h1></body></html>")
	case f.Body != "":
		return raw(f.Body)
	case f.Code == 0:
		return nil
	}
	no := refusal{Code: f.Code, Description: f.Description}
	if no.Description == "" {
		no.Description = http.StatusText(f.Code)
	}
	if f.RetryAfter > 0 {
		no.Parameters = &parameters{RetryAfter: f.RetryAfter}
	}
	return no
}
