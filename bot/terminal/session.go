package terminal

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/store"
)

// Options says how a session talks.
type Options struct {
	In  LineReader
	Out io.Writer
	At  time.Time        // first instant of the session's clock; zero: Now goes on by itself
	Now func() time.Time // the clock where At is zero
	// Live says at once what falls due while the session waits for a message.
	// Out then gets text at any time, also while In reads.
	Live  bool
	Width int // columns to wrap running text at; 0: not at all
	// Pictures is the directory that pictures and documents are written to,
	// made where it is missing; empty: only what they show is said.
	Pictures string
	// Missed is told of a press that finds no button, or more than one; may be
	// nil.
	Missed func(line string)
}

// LineReader gives one message at a time, io.EOF at the end.
type LineReader interface {
	ReadMessage() (string, error)
}

// notes is what the session keeps in the store.
type notes struct {
	Home   string              `json:"home,omitempty"`   // the household of whoever is talking
	Called string              `json:"called,omitempty"` // what %home calls it; empty: the first
	Homes  map[string]string   `json:"homes,omitempty"`  // the others, by what %home calls them
	Person string              `json:"person,omitempty"` // who is talking
	Chats  []string            `json:"chats,omitempty"`  // one for each carer that has talked here
	Shown  map[string][]string `json:"shown,omitempty"`  // data of the buttons last shown in each chat
	Labels map[string][]string `json:"labels,omitempty"` // what stood on them
	Live   map[string]bool     `json:"live,omitempty"`   // the messages that change in place and were shown, by chat and name
}

// The terminal's own names in the store, and the first carer's.
const (
	notesKey    = "terminal"
	chatPrefix  = "terminal/"
	firstPerson = "Carer"
)

// Session is one run of the terminal chat.
type Session struct {
	assistant *talk.Assistant
	store     store.Store
	o         Options
	at        time.Time
	notes     notes
	run       string // makes event ids of this run unlike those of any other
	events    int
	mu        sync.Mutex // held while something is said
}

// New returns a session on an assistant and its store.
func New(a *talk.Assistant, s store.Store, o Options) *Session {
	return &Session{assistant: a, store: s, o: o, at: o.At, run: rand.Text()}
}

// Run reads messages and prints replies until the input ends, the output is
// closed or ctx is done; each of these is a clean end. Every message is
// durable before its reply is printed.
func (s *Session) Run(ctx context.Context) error {
	if err := s.load(ctx); err != nil {
		return err
	}
	if err := s.deliver(ctx); err != nil {
		return clean(err)
	}
	if s.o.Live {
		defer s.inBackground(ctx)()
	}
	for ctx.Err() == nil {
		line, err := s.o.In.ReadMessage()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("terminal: read: %w", err)
		}
		if err := s.message(ctx, line); err != nil {
			return clean(err)
		}
	}
	return nil
}

// clean turns a closed output into a clean end.
func clean(err error) error {
	if errors.Is(err, syscall.EPIPE) || errors.Is(err, io.ErrClosedPipe) {
		return nil
	}
	return err
}

func (s *Session) now() time.Time {
	if !s.at.IsZero() {
		return s.at
	}
	return s.o.Now()
}

func (s *Session) load(ctx context.Context) error {
	data, err := store.Look(ctx, s.store, func(snap store.Snapshot) ([]byte, error) { return snap.Adapter(notesKey) })
	s.notes = notesOf(firstPerson)
	if err == nil && len(data) > 0 {
		err = json.Unmarshal(data, &s.notes)
	}
	return err
}

// notesOf are those of a session in which nothing was said yet.
func notesOf(person string) notes {
	return notes{Person: person, Shown: map[string][]string{}, Labels: map[string][]string{}, Live: map[string]bool{}}
}

func (s *Session) chat() string { return chatPrefix + s.notes.Person }

// message takes one line.
func (s *Session) message(ctx context.Context, line string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if strings.HasPrefix(line, "%") {
		return s.steer(ctx, line)
	}
	if strings.TrimSpace(line) == "" {
		return nil
	}
	return s.say(ctx, line, talk.Event{Text: line})
}

// say hands on what a carer did.
func (s *Session) say(ctx context.Context, line string, e talk.Event) error {
	if p, ok := say.ReadPress(line); ok {
		i, problem := p.Among(s.labels())
		if problem != "" {
			if s.o.Missed != nil {
				s.o.Missed(line)
			}
			return s.print(problem)
		}
		e = talk.Event{Press: s.notes.Shown[s.chat()][i]}
	}
	// The button pressed was shown before the tick. A tick fails only with the
	// store, which says so below.
	if r, err := s.tick(ctx); err == nil && r.Said > 0 {
		if err := s.deliver(ctx); err != nil {
			return err
		}
	}
	s.events++
	e.ID = "terminal/" + s.run + "/" + strconv.Itoa(s.events)
	e.Chat, e.Person, e.Name, e.Home, e.At = s.chat(), s.chat(), s.notes.Person, s.notes.Home, s.now()
	if err := s.assistant.Handle(ctx, e); err != nil {
		return s.print(talk.TroubleText(err))
	}
	if err := s.deliver(ctx); err != nil {
		return err
	}
	// What it has others told of is told at once, as a scheduler would.
	if said, err := s.assistant.Errands(ctx, s.now()); err == nil && said > 0 {
		if err := s.deliver(ctx); err != nil {
			return err
		}
	}
	return s.forget(ctx)
}

// forget forgets whose buttons were shown and what stood on them when the
// household of this terminal is there no more.
func (s *Session) forget(ctx context.Context) error {
	if s.notes.Home == "" {
		return nil
	}
	_, err := store.Look(ctx, s.store, func(snap store.Snapshot) (uint64, error) { return snap.Revision(s.notes.Home) })
	if !store.IsNotFound(err) {
		return err
	}
	if s.notes.Homes != nil { // the others go on
		s.notes.Home = ""
		return s.save(ctx)
	}
	s.notes = notesOf(s.notes.Person)
	return s.save(ctx, store.MarkSeen{Event: store.CompactMark}) // where a restore erased it, nothing else marks it
}

// labels are those of the buttons last shown to whoever is talking. Notes kept
// before there were labels have the buttons alone.
func (s *Session) labels() []string {
	if labels := s.notes.Labels[s.chat()]; len(labels) > 0 {
		return labels
	}
	return make([]string, len(s.notes.Shown[s.chat()]))
}

// steer does what a line that begins with "%" says.
func (s *Session) steer(ctx context.Context, line string) error {
	word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
	rest = strings.TrimSpace(rest)
	switch word {
	case "%at":
		at, err := time.Parse(time.RFC3339, rest)
		if err != nil {
			return s.print("%at takes an instant such as 2026-03-02T07:30:00+01:00.")
		}
		return s.goTo(ctx, at)
	case "%file":
		data, err := os.ReadFile(rest)
		if err != nil || len(data) == 0 {
			return s.print("%file takes the path of a file.")
		}
		return s.say(ctx, "", talk.Event{File: data})
	case "%home": // the next carer belongs to another household
		if s.notes.Homes == nil {
			s.notes.Homes = map[string]string{}
		}
		s.notes.Homes[s.notes.Called] = s.notes.Home
		s.notes.Called, s.notes.Home = rest, s.notes.Homes[rest]
		return s.save(ctx)
	case "%as":
		if rest == "" || len(rest) > 40 {
			return s.print("%as takes the name of a carer.")
		}
		s.notes.Person = rest
		if err := s.save(ctx); err != nil {
			return s.print(talk.TroubleText(err))
		}
		return s.deliver(ctx)
	}
	return s.print("Lines that begin with % are %at TIME, %as NAME, %home NAME and %file PATH.")
}

// deliver prints what the outbox holds for this terminal and takes it out. A
// message is taken out only after it was printed, so one that could not be
// printed comes again.
func (s *Session) deliver(ctx context.Context) error {
	if err := s.learn(ctx); err != nil {
		return err
	}
	wait, err := store.Look(ctx, s.store, func(snap store.Snapshot) ([]store.PendingChat, error) {
		return snap.PendingChats(chatPrefix, "", math.MaxInt)
	})
	for _, chat := range s.notes.Chats {
		if err == nil && slices.ContainsFunc(wait, func(w store.PendingChat) bool { return w.Chat == chat }) {
			err = s.printAll(ctx, chat)
		}
	}
	return err
}

// learn notes the household and the chat of whoever is talking.
func (s *Session) learn(ctx context.Context) error {
	if slices.Contains(s.notes.Chats, s.chat()) {
		return nil
	}
	s.notes.Chats = append(s.notes.Chats, s.chat())
	if s.notes.Home != "" {
		return nil
	}
	home, err := store.Look(ctx, s.store, func(snap store.Snapshot) (string, error) { return snap.Member(s.chat(), s.chat()) })
	if store.IsNotFound(err) {
		s.notes.Chats = s.notes.Chats[:len(s.notes.Chats)-1]
		return nil
	}
	s.notes.Home = home
	return err
}

func (s *Session) printAll(ctx context.Context, chat string) error {
	out, err := store.Look(ctx, s.store, func(snap store.Snapshot) ([]store.Outgoing, error) { return snap.Pending(chat, 1000) })
	if err != nil || len(out) == 0 {
		return err
	}
	var gone []store.Write
	for _, m := range out {
		r, err := say.DecodeReply(m.Body)
		if err != nil {
			return fmt.Errorf("terminal: %w", err)
		}
		if r.Quiet && !s.notes.Live[chat+" "+r.Live] {
			gone = append(gone, store.Delivered(m.Number))
			continue
		}
		if r.Live != "" {
			s.notes.Live[chat+" "+r.Live] = true
		}
		head := ""
		if chat != s.chat() {
			head = "(to " + strings.TrimPrefix(chat, chatPrefix) + ")\n"
		}
		if talk.Unasked(m) {
			head += m.At.Format("[Mon 2 Jan 15:04]") + "\n"
		}
		text, shown, labels := format(r, s.o.Width)
		if r.Picture != nil {
			text = s.picture(*r.Picture, m.Number) + text
		}
		if r.Document != nil {
			text = s.document(*r.Document, m.Number) + text
		}
		if len(shown) > 0 {
			s.notes.Shown[chat], s.notes.Labels[chat] = shown, labels
		}
		if err := s.print(head + text); err != nil {
			return err
		}
		gone = append(gone, store.Delivered(m.Number))
	}
	return s.save(ctx, gone...)
}

// save keeps the notes, together with other writes.
func (s *Session) save(ctx context.Context, w ...store.Write) error {
	data, err := json.Marshal(s.notes)
	if err != nil {
		return err
	}
	return s.store.Commit(ctx, store.Commit{Writes: append(w, store.PutAdapter{Chat: notesKey, Notes: data})})
}

// print writes a text and an empty line.
func (s *Session) print(text string) error {
	_, err := io.WriteString(s.o.Out, strings.TrimRight(text, "\n")+"\n\n")
	return err
}
