package terminal_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bowlwright/bot"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/store"
)

// links gives a script the links that stand on the screen: TOKEN1 is the
// payload of the first that was shown, and reads so in the golden file.
type links struct {
	in   terminal.LineReader
	out  *bytes.Buffer
	seen *[]string
}

var (
	shownLink = regexp.MustCompile(`(?m)^/start (join-[A-Za-z0-9_-]{32})$`)
	linkPlace = regexp.MustCompile(`TOKEN([0-9])`)
)

func (l links) ReadMessage() (string, error) {
	line, err := l.in.ReadMessage()
	for _, m := range shownLink.FindAllStringSubmatch(l.out.String(), -1) {
		known := false
		for _, s := range *l.seen {
			known = known || s == m[1]
		}
		if !known {
			*l.seen = append(*l.seen, m[1])
		}
	}
	return linkPlace.ReplaceAllStringFunc(line, func(place string) string {
		n, _ := strconv.Atoi(place[len("TOKEN"):])
		if n < 1 || n > len(*l.seen) {
			return place
		}
		return (*l.seen)[n-1]
	}), err
}

// converseLinks is converse for a script that follows links.
func converseLinks(t *testing.T, s store.Store, script string, seen *[]string) string {
	t.Helper()
	var out bytes.Buffer
	in := echo{links{terminal.NewScript(strings.NewReader(script)), &out, seen}, &out}
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

// TestCarers runs the conversations of several carers, whole and with restarts.
func TestCarers(t *testing.T) {
	t.Parallel()
	scripts, err := filepath.Glob("testdata/household/*.chat")
	if err != nil || len(scripts) == 0 {
		t.Fatal("no scripts", err)
	}
	for _, path := range scripts {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".chat"), func(t *testing.T) { playCarers(t, path) })
	}
}

func playCarers(t *testing.T, path string) {
	t.Parallel()
	script, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var seen []string
	talk := func(t *testing.T, s store.Store, script string) string { return converseLinks(t, s, script, &seen) }
	got := talk(t, open(t, t.TempDir()), string(script))
	compare(t, strings.TrimSuffix(path, ".chat")+".golden", got)
	checkWidths(t, got)
	seen = nil
	if again := restarted(t, string(script), talk); again != got {
		t.Errorf("with restarts it reads differently:\n%s", firstDifference(got, again))
	}
}
