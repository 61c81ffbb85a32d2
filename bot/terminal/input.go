package terminal

import (
	"bufio"
	"errors"
	"io"
	"strings"

	"golang.org/x/term"
)

// Script reads one message a line from a stream that is not a terminal.
type Script struct{ in *bufio.Reader }

// NewScript returns a reader of messages from r.
func NewScript(r io.Reader) *Script { return &Script{bufio.NewReader(r)} }

// ReadMessage returns the next line without its end; lines that end in a
// backslash are joined with the next by a line break.
func (s *Script) ReadMessage() (string, error) {
	var lines []string
	for {
		line, err := s.in.ReadString('\n')
		if err != nil && (!errors.Is(err, io.EOF) || line == "" && len(lines) == 0) {
			return "", err
		}
		line = strings.TrimRight(line, "\r\n")
		before, more := strings.CutSuffix(line, `\`)
		lines = append(lines, before)
		if !more || err != nil {
			return strings.Join(lines, "\n"), nil
		}
	}
}

// Keyboard reads messages from a terminal in raw mode, with editing of the
// line. Lines pasted together are one message, sent by Enter.
type Keyboard struct{ t *term.Terminal }

// Prompts of the keyboard: for a message, and for more of one.
const (
	prompt     = "> "
	promptMore = ". "
)

// NewKeyboard returns a reader of messages typed at a terminal that is in raw
// mode; replies must be written through the same terminal.
func NewKeyboard(t *term.Terminal) *Keyboard {
	t.SetBracketedPasteMode(true)
	return &Keyboard{t}
}

// ReadMessage returns the next message; io.EOF on Ctrl-D and Ctrl-C.
func (k *Keyboard) ReadMessage() (string, error) {
	k.t.SetPrompt(prompt)
	var lines []string
	for {
		line, err := k.t.ReadLine()
		pasted := errors.Is(err, term.ErrPasteIndicator)
		if err != nil && !pasted {
			return "", err
		}
		before, more := strings.CutSuffix(line, `\`)
		if pasted {
			before, more = line, true
		}
		if more || before != "" || len(lines) == 0 {
			lines = append(lines, before)
		}
		if !more {
			return strings.Join(lines, "\n"), nil
		}
		k.t.SetPrompt(promptMore)
	}
}
