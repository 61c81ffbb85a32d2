package standin

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"
)

// Token is the bot's token, ID and Username are the bot's own.
const (
	Token    = "7000001:standin-token-of-no-value"
	ID       = 7000001
	Username = "bowlwright_bot"
)

// Options changes what the stand-in does.
type Options struct {
	Rates bool             // note breaches of the platform's limits of sending
	Now   func() time.Time // nil: time.Now
	// Times raises the limits of sending so many times; 0: as they are.
	Times int
	// LargestDocument is the most bytes of a document, 0 the platform's.
	LargestDocument int
}

// LargestDocument is the platform's limit, in bytes.
const LargestDocument = 50 << 20

// Server is a running stand-in. Its methods may be called from several
// goroutines.
type Server struct {
	o    Options
	http *http.Server
	url  string

	mu       sync.Mutex
	changed  chan struct{} // closed and replaced whenever something happens
	updates  []Update      // not confirmed yet
	nextID   int64         // of an update
	messages int64         // last message id
	chats    map[int64]*chat
	calls    []Call
	faults   []*Fault
	files    map[string][]byte // that people sent
	answered map[string]bool   // callbacks
	webhook  string
	secret   string
	kinds    string // of updates that the bot asked for, as JSON
	rates    rates
	polls    int // getUpdates calls under way
	asked    int // how often updates were asked for
	sent     int // messages
	quick    bool
}

// Update is one update as the platform gives it out.
type Update struct {
	ID   int64
	Body json.RawMessage
	chat int64 // 0 where it is of none
}

// Call is one call of a method that the bot made.
type Call struct {
	Method string
	Chat   int64
	Fields map[string]string
	Files  map[string]Upload
	At     time.Time
	Code   int      // what was answered: 200, or the error's code
	Result *Message // the message that was sent or edited, as it stood then
}

// Start starts a stand-in on a free port of the loopback interface.
func Start(o Options) (*Server, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("standin: %w", err)
	}
	s := &Server{
		o: o, url: "http://" + l.Addr().String(), changed: make(chan struct{}), nextID: 1000,
		chats: map[int64]*chat{}, answered: map[string]bool{}, files: map[string][]byte{},
	}
	s.http = &http.Server{Handler: s, IdleTimeout: time.Minute}
	go s.http.Serve(l) // ends with Close
	return s, nil
}

// URL is the address to give as the platform's.
func (s *Server) URL() string { return s.url }

// Close stops the stand-in and cuts its connections.
func (s *Server) Close() {
	s.mu.Lock()
	s.quick = true
	s.notify()
	s.mu.Unlock()
	s.http.Close() // nothing is left to be told
}

// notify wakes whoever waits for a change. The lock is held.
func (s *Server) notify() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// Wait waits until cond, which is called with the server unlocked after each
// change, or until ctx ends.
func (s *Server) Wait(ctx context.Context, cond func() bool) error {
	for {
		s.mu.Lock()
		next := s.changed
		s.mu.Unlock()
		if cond() {
			return nil
		}
		select {
		case <-next:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// ServeHTTP answers a call of the Bot API.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if s.serveFile(w, r) {
		return
	}
	method, ok := strings.CutPrefix(r.URL.Path, "/bot"+Token+"/")
	if !ok {
		write(w, refusal{Code: http.StatusUnauthorized, Description: "Unauthorized"})
		return
	}
	c := Call{Method: method, At: s.o.Now()}
	var err error
	if c.Fields, c.Files, err = form(r); err != nil {
		write(w, bad("malformed request"))
		return
	}
	c.Chat = number(c.Fields["chat_id"])
	answer := s.call(r, &c)
	if answer == nil {
		panic(http.ErrAbortHandler) // the connection is cut
	}
	write(w, answer)
}

// refusal is an answer that is not ok.
type refusal struct {
	OK          bool        `json:"ok"`
	Code        int         `json:"error_code"`
	Description string      `json:"description"`
	Parameters  *parameters `json:"parameters,omitempty"`
}

type parameters struct {
	RetryAfter int   `json:"retry_after,omitempty"`
	MigrateTo  int64 `json:"migrate_to_chat_id,omitempty"`
}

func bad(why string) refusal {
	return refusal{Code: http.StatusBadRequest, Description: "Bad Request: " + why}
}

// page is an answer that does not come from the platform but from something
// on the way to it.
type page string

func write(w http.ResponseWriter, answer any) {
	code := http.StatusOK
	switch a := answer.(type) {
	case refusal:
		code = a.Code
	case page:
		w.Header().Set("Content-Type", "text/html")
		w.WriteHeader(http.StatusBadGateway)
		fmt.Fprint(w, string(a))
		return
	case raw:
		w.Header().Set("Content-Type", "application/json")
		w.Write(a) // the bot may be gone
		return
	default:
		answer = map[string]any{"ok": true, "result": a}
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(answer) // the bot may be gone
}

// raw is an answer written as it is.
type raw []byte
