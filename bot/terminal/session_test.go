package terminal_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot"
	"bowlwright/bot/say"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/postgres/pgtest"
	"bowlwright/store/storetest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// echo prints each message before its reply, as it stands on a screen.
type echo struct {
	in  terminal.LineReader
	out io.Writer
}

func (e echo) ReadMessage() (string, error) {
	line, err := e.in.ReadMessage()
	if err == nil {
		fmt.Fprintf(e.out, "> %s\n", strings.ReplaceAll(line, "\n", "\n. "))
	}
	return line, err
}

// start is when every scripted conversation begins unless it says otherwise.
var start = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

// TestMain lets garbage lie longer: conversations by the hundred leave much, and the
// machine has the memory.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	pgtest.M{M: m}.Run()
}

// keeping finds a place for a store, and returns how the store there is opened,
// each time until it is closed or the test ends.
type keeping func(*testing.T) (open func() store.Store)

// inMemory keeps a store that is gone with the test.
func inMemory(*testing.T) func() store.Store {
	return func() store.Store { return storetest.NewMemory() }
}

// inFile keeps a store in a file.
func inFile(t *testing.T) func() store.Store {
	dir := t.TempDir()
	return func() store.Store {
		s, err := bolt.Open(filepath.Join(dir, "test.db"), bolt.Options{NoSync: true})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		return s
	}
}

// inTurns keeps a store in a database, in a file, and in a database again: each
// time that it is opened it moves.
func inTurns(t *testing.T) func() store.Store {
	var before func() store.Store
	n := 0
	return func() store.Store {
		open := inFile(t)
		if n++; n%2 == 1 {
			address := pgtest.Database(t)
			open = func() store.Store { return pgtest.Open(t, address) }
		}
		if before != nil {
			from, to := before(), open()
			if _, err := store.Move(t.Context(), from.(store.Movable), to.(store.Movable)); err != nil {
				t.Fatal(err)
			}
			if err := errors.Join(from.Close(), to.Close()); err != nil {
				t.Fatal(err)
			}
		}
		before = open
		return open()
	}
}

// converse feeds a script to a new assistant and session on a store, and returns
// what stands on the screen after it. seen are the links that were shown so far.
func converse(t *testing.T, s store.Store, script string, seen *[]string) string {
	t.Helper()
	var out bytes.Buffer
	in := echo{&links{in: terminal.NewScript(strings.NewReader(script)), out: &out, seen: seen}, &out}
	o := terminal.Options{In: in, Out: &out, At: start, Missed: missed(t, &out)}
	if err := terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(context.Background()); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	for n, link := range *seen {
		text = strings.ReplaceAll(text, link, fmt.Sprintf("TOKEN%d", n+1))
	}
	return text
}

// missed fails the test where a script presses what stands on no button.
func missed(t *testing.T, screen *bytes.Buffer) func(string) {
	return func(line string) {
		t.Helper()
		before := screen.Bytes()
		t.Fatalf("no button, or more than one, for %s after:\n%s", line, before[max(0, len(before)-600):])
	}
}

// TestConversations runs every script of testdata against its golden file, and
// each fortieth on the store in a file, with restarts too; all of them so in a long
// run. Those of several carers,
// who follow links, are in a directory of their own: on a phone a link is another.
func TestConversations(t *testing.T) {
	t.Parallel()
	for n, path := range scripts(t) {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".chat"), func(t *testing.T) {
			t.Parallel()
			if sampled(n, 40) {
				conversation(t, path, inFile, true)
			} else {
				conversation(t, path, inMemory, false)
			}
		})
	}
}

// sampled reports that a script is one of so many, or that all are run.
func sampled(n, of int) bool { return n%of == 0 || os.Getenv("BOWLWRIGHT_LONG") != "" }

// TestConversationsInPostgres runs some of them with the other store, and moving
// between both where there are restarts; all of them in a long run.
func TestConversationsInPostgres(t *testing.T) {
	t.Parallel()
	pgtest.Programs(t)
	for n, path := range scripts(t) {
		if !sampled(n, 200) {
			continue
		}
		t.Run(strings.TrimSuffix(filepath.Base(path), ".chat"), func(t *testing.T) {
			t.Parallel()
			conversation(t, path, inTurns, true)
		})
	}
}

func scripts(t *testing.T) []string {
	all, _ := filepath.Glob("testdata/*.chat")
	carers, _ := filepath.Glob("testdata/household/*.chat")
	if len(all) == 0 || len(carers) == 0 {
		t.Fatal("no scripts")
	}
	return append(all, carers...)
}

// conversation runs one script, and where that is wanted once more with restarts.
func conversation(t *testing.T, path string, in keeping, restarts bool) {
	script, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := in(t)()
	var said []say.Reply
	got := converse(t, overheard{s, &said}, string(script), new([]string))
	checkLengths(t, said)
	compare(t, strings.TrimSuffix(path, ".chat")+".golden", got)
	compareRecord(t, s, strings.TrimSuffix(path, ".chat")+".record")
	checkWidths(t, got)
	if !restarts {
		return
	}
	if again := restarted(t, string(script), in(t)); again != got {
		t.Errorf("with restarts it reads differently:\n%s", firstDifference(got, again))
	}
}

// restarted runs a script with another assistant and session for every message,
// on a store that is closed and opened again after each seventh of them.
func restarted(t *testing.T, script string, open func() store.Store) string {
	const parts = 7
	messages := splitMessages(script)
	var out strings.Builder
	var seen []string
	clock := "" // it does not last, so each run sets it for itself
	for p := range parts {
		s := open()
		for _, m := range messages[p*len(messages)/parts : (p+1)*len(messages)/parts] {
			out.WriteString(strings.TrimPrefix(converse(t, s, clock+m, &seen), echoed(clock)))
			if strings.HasPrefix(m, "%at") {
				clock = m
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return out.String()
}

// echoed is a line as the screen shows it.
func echoed(line string) string {
	if line == "" {
		return ""
	}
	return "> " + line
}

// splitMessages keeps lines that end in a backslash with the next.
func splitMessages(script string) []string {
	var out []string
	open := false
	for _, line := range strings.SplitAfter(script, "\n") {
		if open {
			out[len(out)-1] += line
		} else if line != "" {
			out = append(out, line)
		}
		open = strings.HasSuffix(line, "\\\n")
	}
	return out
}

func compare(t *testing.T, golden, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("differs from %s (write it anew with -update and look at it):\n%s", golden, firstDifference(string(want), got))
	}
}

// firstDifference shows where two texts part, with a few lines round it.
func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := 0; i < max(len(w), len(g)); i++ {
		if i >= len(w) || i >= len(g) || w[i] != g[i] {
			show := func(lines []string) string {
				return strings.Join(lines[max(min(i-3, len(lines)), 0):min(i+5, len(lines))], "\n")
			}
			return fmt.Sprintf("line %d\n--- want\n%s\n--- got\n%s", i+1, show(w), show(g))
		}
	}
	return ""
}

// checkWidths holds every line that has two spaces in a row after its first
// word, as tables do, to the width of a phone.
func checkWidths(t *testing.T, screen string) {
	for _, line := range strings.Split(screen, "\n") {
		if !strings.HasPrefix(line, "[") && strings.Contains(strings.TrimSpace(line), "   ") && text.StringWidth(line) > say.TableWidth {
			t.Errorf("table line of %d columns: %q", text.StringWidth(line), line)
		}
	}
}

// closedPipe fails like a pipe that nobody reads any more.
type closedPipe struct{}

func (closedPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestClosedOutputEndsCleanlyAndKeepsTheMessage(t *testing.T) {
	open := inFile(t)
	s := open()
	o := terminal.Options{In: terminal.NewScript(strings.NewReader("dog Pip 6.4 kg\n")), Out: closedPipe{}, At: start}
	if err := terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(context.Background()); err != nil {
		t.Errorf("a closed output is an error: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if got := converse(t, open(), "/dog\n", new([]string)); !strings.Contains(got, "Pip") {
		t.Errorf("the dog is lost:\n%s", got)
	}
}

func TestScriptReader(t *testing.T) {
	in := terminal.NewScript(strings.NewReader("one\r\ntwo\\\nthree\nlast\\"))
	for _, want := range []string{"one", "two\nthree", "last"} {
		if got, err := in.ReadMessage(); err != nil || got != want {
			t.Errorf("ReadMessage = %q, %v; want %q", got, err, want)
		}
	}
	if _, err := in.ReadMessage(); err != io.EOF {
		t.Errorf("at the end: %v, want io.EOF", err)
	}
}
