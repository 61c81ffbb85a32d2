package telegram_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/bot/terminal"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// How the terminal stands in for what the phone shows, and for files.
var (
	picture  = regexp.MustCompile(`(?m)^\[Picture: .*\]$`)
	document = regexp.MustCompile(`(?m)^\[File ([^ :]+): .*\]$`)
)

// TestConversations runs each sixteenth of the scripts of the terminal through the
// library and the stand-in, in a long run all of them; what comes back must read as
// it does in the terminal.
func TestConversations(t *testing.T) {
	t.Parallel()
	scripts, err := filepath.Glob("../terminal/testdata/*.chat")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	for n, path := range scripts {
		if n%40 > 0 && os.Getenv("BOWLWRIGHT_LONG") == "" {
			continue
		}
		t.Run(strings.TrimSuffix(filepath.Base(path), ".chat"), func(t *testing.T) {
			t.Parallel()
			script, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(strings.TrimSuffix(path, ".chat") + ".golden")
			if err != nil {
				t.Fatal(err)
			}
			got := newConversation(t).play(string(script))
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

// opensChat is a link as the phone shows it.
var opensChat = regexp.MustCompile(`https://t\.me/\w+\?start=(r-[A-Za-z0-9_-]{22})`)

// conversation plays a script on the phones of the carers of one household, or of
// several.
type conversation struct {
	*phone
	assistant *talk.Assistant
	screen    strings.Builder
	carers    []*carer // in the order in which they came
	who       *carer   // whose turn it is
	home      string   // the household of whoever comes next, as %home calls it
	firsts    map[string]*carer
	links     []string // that were shown, in order
	sent      int      // updates
	calls     int      // of the bot that have been looked at
}

// carer is one of them, and what the phone shows.
type carer struct {
	standin.Person
	chat  string
	shown []standin.Button
	under int64 // the message that has them
}

func newConversation(t *testing.T) *conversation {
	c := &conversation{firsts: map[string]*carer{}}
	c.phone = pickUp(t, wiring{handler: func(h telegram.Handler) telegram.Handler {
		c.assistant = h.(*talk.Assistant)
		return h
	}})
	c.comes("Carer") // as the terminal calls the first
	return c
}

// comes gives the turn to a carer, who belongs to the household of the first of
// its home.
func (c *conversation) comes(name string) {
	c.t.Helper()
	for _, k := range c.carers {
		if k.Name == name {
			c.who = k
			return
		}
	}
	if len(c.carers) == 1 && c.sent == 0 { // nobody has spoken: the first is called so
		c.carers[0].Name = name
		c.api.Greet(c.carers[0].Person)
		return
	}
	k := &carer{Person: standin.Person{ID: ines.ID + int64(len(c.carers)), Name: name}}
	k.chat = fmt.Sprint(telegram.Prefix, k.ID)
	c.carers, c.who = append(c.carers, k), k
	if len(c.carers) > 1 {
		c.api.Greet(k.Person)
	}
	if c.firsts[c.home] == nil {
		c.firsts[c.home] = k
		return
	}
	err := storetest.Change(c.t.Context(), c.store, func(tx store.Snapshot, put storetest.Put) error {
		first := c.firsts[c.home].chat
		home, err := tx.Member(first, first)
		if err != nil {
			return err
		}
		return put(store.PutMember{Chat: k.chat, Person: k.chat, Household: home})
	})
	if err != nil {
		c.t.Fatal(err)
	}
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
		c.goTo(when)
		return
	}
	if name, ok := strings.CutPrefix(line, "%as "); ok {
		c.comes(name)
		return
	}
	if name, ok := strings.CutPrefix(line, "%home "); ok {
		c.home = name
		return
	}
	if strings.TrimSpace(line) == "" {
		return
	}
	for n, link := range c.links {
		line = strings.ReplaceAll(line, fmt.Sprintf("TOKEN%d", n+1), link)
	}
	if file, ok := strings.CutPrefix(line, "%file "); ok {
		data, err := os.ReadFile(filepath.Join("../terminal", file))
		if err != nil {
			c.t.Fatal(err)
		}
		c.api.SendFile(c.who.Person, 0, filepath.Base(file), data)
	} else if p, ok := say.ReadPress(line); ok {
		var labels []string
		for _, b := range c.who.shown {
			labels = append(labels, b.Text)
		}
		i, problem := p.Among(labels)
		if problem != "" {
			c.t.Fatalf("%s: %s", line, problem)
		}
		c.api.Press(c.who.Person, 0, c.who.under, c.who.shown[i].Data)
	} else {
		c.api.Say(c.who.Person, 0, line)
	}
	c.sent++
	c.tally.wait(c.t, c.sent)
	c.showNew("")
	now := c.clock.now()
	if _, err := c.assistant.Errands(c.t.Context(), now); err != nil {
		c.t.Fatal(err)
	}
	c.showNew(now.UTC().Format("[Mon 2 Jan 15:04]\n"))
}

// goTo lets time pass up to an instant and has what falls due said on the way.
func (c *conversation) goTo(at time.Time) {
	ctx := c.t.Context()
	for now := c.clock.now(); !at.Before(now); now = c.clock.now() {
		var next time.Time
		zone := time.UTC
		err := storetest.Look(ctx, c.store, func(tx store.Snapshot) (err error) {
			next, err = store.NextDue(tx)
			if home, err := tx.Member(c.carers[0].chat, c.carers[0].chat); err == nil {
				h, err := tx.Household(home)
				if err != nil {
					return err
				}
				zone = h.Location()
			}
			return err
		})
		if err != nil {
			c.t.Fatal(err)
		}
		if next.IsZero() || next.After(at) {
			break
		}
		if next.After(now) {
			now = next
		}
		c.clock.set(now)
		if _, err := c.assistant.Tick(ctx, now); err != nil {
			c.t.Fatal(err)
		}
		c.showNew(now.In(zone).Format("[Mon 2 Jan 15:04]\n"))
	}
	c.clock.set(at)
}

// showNew writes what came since it was last called, chat by chat as the
// terminal does, each message after a head.
func (c *conversation) showNew(head string) {
	for _, k := range c.carers {
		c.pump(k.chat, nil)
	}
	calls := c.api.Calls("")
	for _, k := range c.carers {
		to := head
		if k != c.who {
			to = "(to " + k.Name + ")\n" + head
		}
		for _, call := range calls[c.calls:] {
			if call.Result != nil && call.Result.Chat == k.ID {
				c.screen.WriteString(to)
				c.show(k, *call.Result)
			}
		}
	}
	c.calls = len(calls)
}

// show writes a message as the terminal does.
func (c *conversation) show(k *carer, m standin.Message) {
	text := opensChat.ReplaceAllStringFunc(m.Text, func(link string) string {
		token := opensChat.FindStringSubmatch(link)[1]
		if !slices.Contains(c.links, token) {
			c.links = append(c.links, token)
		}
		return fmt.Sprintf("/start TOKEN%d", slices.Index(c.links, token)+1)
	})
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
		k.shown, k.under = shown, m.ID
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
