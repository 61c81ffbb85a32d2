package telegram_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/telegram/standin"
	"bowlwright/bot/terminal"
)

// How the terminal stands in for what the phone shows, and for files.
var (
	picture  = regexp.MustCompile(`(?m)^\[Picture: .*\]$`)
	document = regexp.MustCompile(`(?m)^\[File ([^ :]+): .*\]$`)
)

// TestConversations runs the scripts of the terminal through the library and
// the stand-in; what comes back must read as it does in the terminal.
func TestConversations(t *testing.T) {
	scripts, err := filepath.Glob("../terminal/testdata/*.chat")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	for _, path := range scripts {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".chat"), func(t *testing.T) {
			script, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(strings.TrimSuffix(path, ".chat") + ".golden")
			if err != nil {
				t.Fatal(err)
			}
			got := (&conversation{phone: pickUp(t, wiring{})}).play(string(script))
			if want := onPhone(string(want)); got != want {
				t.Errorf("differs from the terminal:\n%s", firstDifference(want, got))
			}
		})
	}
}

// onPhone is what stands in the terminal as a phone has it.
func onPhone(screen string) string {
	return document.ReplaceAllString(picture.ReplaceAllString(screen, "[Picture]"), "[File $1]")
}

// conversation plays a script on a phone.
type conversation struct {
	*phone
	screen strings.Builder
	shown  []standin.Button
	under  int64 // the message that has them
	sent   int   // updates
	calls  int   // of the bot that have been looked at
}

func (c *conversation) play(script string) string {
	in := terminal.NewScript(strings.NewReader(script))
	for {
		line, err := in.ReadMessage()
		if err != nil {
			return c.screen.String()
		}
		fmt.Fprintf(&c.screen, "> %s\n", strings.ReplaceAll(line, "\n", "\n. "))
		c.line(line)
	}
}

func (c *conversation) line(line string) {
	if at, ok := strings.CutPrefix(line, "%at "); ok {
		when, err := time.Parse(time.RFC3339, at)
		if err != nil {
			c.t.Fatal(err)
		}
		c.clock.set(when)
		return
	}
	if strings.HasPrefix(line, "%") {
		c.t.Skip("several carers of one terminal have no counterpart here")
	}
	if strings.TrimSpace(line) == "" {
		return
	}
	if digits, ok := strings.CutPrefix(line, "#"); ok {
		n, err := strconv.Atoi(digits)
		if err != nil || n < 1 || n > len(c.shown) {
			c.screen.WriteString(bot.NoButtonText(n, len(c.shown)) + "\n\n")
			return
		}
		c.api.Press(ines, 0, c.under, c.shown[n-1].Data)
	} else {
		c.api.Say(ines, 0, line)
	}
	c.sent++
	c.tally.wait(c.t, c.sent)
	calls := c.api.Calls("")
	for _, call := range calls[c.calls:] {
		if call.Result != nil {
			c.show(*call.Result)
		}
	}
	c.calls = len(calls)
}

// show writes a message as the terminal does.
func (c *conversation) show(m standin.Message) {
	text := m.Text
	if text != "" {
		text += "\n"
	}
	if m.Name == "photo" && bytes.HasPrefix(m.File, []byte("\x89PNG")) {
		text = "[Picture]\n" + text
	}
	if m.Name == "document" {
		text = "[File " + m.Title + "]\n" + text
	}
	n := 0
	var shown []standin.Button
	for _, row := range m.Buttons {
		var labels []string
		for _, b := range row {
			n++
			labels = append(labels, fmt.Sprintf("[%d] %s", n, b.Text))
			shown = append(shown, b)
		}
		text += strings.Join(labels, "  ") + "\n"
	}
	if len(shown) > 0 {
		c.shown, c.under = shown, m.ID
	}
	c.screen.WriteString(strings.TrimRight(text, "\n") + "\n\n")
}

// firstDifference shows where two texts part, with a few lines round it.
func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := 0; i < max(len(w), len(g)); i++ {
		if i >= len(w) || i >= len(g) || w[i] != g[i] {
			show := func(lines []string) string {
				return strings.Join(lines[max(min(i-3, len(lines)), 0):min(i+5, len(lines))], "\n")
			}
			return fmt.Sprintf("line %d\n--- terminal\n%s\n--- phone\n%s", i+1, show(w), show(g))
		}
	}
	return ""
}
