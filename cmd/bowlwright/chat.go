package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"golang.org/x/term"

	"bowlwright/bot"
	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/bolt"
)

// chatConfig is the command line of chat, checked whole.
type chatConfig struct {
	data    string
	scratch bool
	at      time.Time
}

func parseChat(args []string) (chatConfig, error) {
	var c chatConfig
	var at string
	f := newFlags("chat")
	f.StringVar(&c.data, "data", "", "directory of the data file")
	f.BoolVar(&c.scratch, "scratch", false, "keep nothing")
	f.StringVar(&at, "at", "", "first instant of the clock, as 2026-03-02T07:30:00+01:00")
	rest, err := anywhere(f, args)
	if err != nil {
		return c, err
	}
	if len(rest) > 0 {
		return c, usageError{fmt.Sprintf("chat takes no %q", rest[0])}
	}
	if c.scratch && c.data != "" {
		return c, usageError{"--scratch keeps nothing, so it takes no --data"}
	}
	if at != "" {
		if c.at, err = time.Parse(time.RFC3339, at); err != nil {
			return c, usageError{fmt.Sprintf("--at %q is not an instant such as 2026-03-02T07:30:00+01:00", at)}
		}
	}
	return c, nil
}

// newFlags returns a flag set that reports by its error alone.
func newFlags(name string) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	return f
}

// anywhere parses a command line whose flags may stand anywhere up to "--", and
// returns the rest of it.
func anywhere(f *flag.FlagSet, args []string) (rest []string, err error) {
	var literal []string
	if i := slices.Index(args, "--"); i >= 0 {
		args, literal = args[:i], args[i+1:]
	}
	for {
		if err := f.Parse(args); err != nil {
			return nil, usageError{err.Error()}
		}
		if f.NArg() == 0 {
			return append(rest, literal...), nil
		}
		rest, args = append(rest, f.Arg(0)), f.Args()[1:]
	}
}

// chat talks to the assistant on the standard streams.
func chat(ctx context.Context, args []string, stdin io.Reader, stdout io.Writer) error {
	c, err := parseChat(args)
	if err != nil {
		return err
	}
	go read.Ready() // while the first message is typed
	s, err := openStore(c.data, c.scratch)
	if err != nil {
		return err
	}
	pictures := filepath.Join(filepath.Dir(s.Path()), "pictures")
	a := bot.NewAssistant(s, nutrition.Default())
	now := c.at
	if now.IsZero() {
		now = time.Now()
	}
	if err := a.Forget(ctx, now); err != nil {
		return errors.Join(said(err), s.Close())
	}
	stopSharing := func() {}
	if !c.scratch {
		stopSharing, _ = share(s) // a chat works without
	}
	o := terminal.Options{In: terminal.NewScript(stdin), Out: stdout, At: c.at, Now: time.Now, Pictures: pictures}
	restore := func() {}
	if in, ok := stdin.(*os.File); ok && term.IsTerminal(int(in.Fd())) {
		if restore, err = keyboard(in, stdout, &o); err != nil {
			stopSharing()
			return err
		}
	}
	err = terminal.New(a, s, o).Run(ctx)
	restore()
	stopSharing()
	if compacted := s.Compact(ctx); err == nil && !c.scratch {
		err = compacted // what was erased is in no byte of the file
	}
	if closed := s.Close(); err == nil {
		err = closed
	}
	return said(err)
}

// keyboard puts a terminal into raw mode and the options onto it.
func keyboard(in *os.File, stdout io.Writer, o *terminal.Options) (restore func(), err error) {
	fd := int(in.Fd())
	old, err := term.MakeRaw(fd)
	if err != nil {
		return nil, fmt.Errorf("terminal: %w", err)
	}
	t := term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{in, stdout}, "")
	if w, h, err := term.GetSize(fd); err == nil && w > 0 {
		o.Width = w
		t.SetSize(w, h) // a size that does not suit only changes where lines break
	}
	o.In, o.Out, o.Live = terminal.NewKeyboard(t), t, o.At.IsZero()
	_, err = io.WriteString(t, bot.TerminalHint()+"\n\n")
	return func() {
		t.SetBracketedPasteMode(false)
		term.Restore(fd, old) // nothing can be done where it fails
		fmt.Fprintln(stdout)
	}, err
}

// dataFile is the name of the store in the data directory.
const dataFile = "bowlwright.db"

// openStore opens the store of a data directory, the user's own where none
// is named.
func openStore(dir string, scratch bool) (*bolt.Store, error) {
	if scratch {
		s, err := bolt.Scratch()
		return s, said(err)
	}
	path, err := storeFile(dir)
	if err != nil {
		return nil, err
	}
	s, err := bolt.Open(path, bolt.Options{})
	if store.CodeOf(err) == store.Internal {
		return nil, failure{fmt.Sprintf("%s cannot hold the data: %v", filepath.Dir(path), errors.Unwrap(err)), err}
	}
	return s, said(err)
}

// dataDir is where the operating system wants a user's data.
func dataDir() (string, error) {
	if d := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(d) {
		return filepath.Join(d, "bowlwright"), nil
	}
	switch runtime.GOOS {
	case "windows", "darwin", "ios", "plan9":
		d, err := os.UserConfigDir()
		return filepath.Join(d, "bowlwright"), err
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share", "bowlwright"), err
}

// said puts an error of the store into words.
func said(err error) error {
	var e *store.Error
	if errors.As(err, &e) {
		return failure{talk.TroubleText(err), err}
	}
	return err
}
