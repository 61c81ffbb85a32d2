package standin

import (
	"strings"
	"testing"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"
)

// TestRefusals calls through the library what the platform refuses; else a
// test that passes on the stand-in would say nothing.
func TestRefusals(t *testing.T) {
	s, err := Start(Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	b, err := tg.New(Token, tg.WithServerURL(s.URL()))
	if err != nil {
		t.Fatal(err)
	}
	s.Say(Person{ID: 4711, Name: "Ines"}, 0, "hello")
	button := func(label, data string) models.ReplyMarkup {
		return &models.InlineKeyboardMarkup{InlineKeyboard: [][]models.InlineKeyboardButton{{{Text: label, CallbackData: data}}}}
	}
	var none *models.InlineKeyboardMarkup
	for _, c := range []struct {
		name string
		p    tg.SendMessageParams
		want string // in the error; empty: sent
	}{
		{"plain", tg.SendMessageParams{Text: "a < b"}, ""},
		{"HTML", tg.SendMessageParams{Text: "<b>a</b> &lt; <pre>b\nc</pre>", ParseMode: models.ParseModeHTML}, ""},
		{"longest", tg.SendMessageParams{Text: strings.Repeat("🐕", 2048)}, ""},
		{"button", tg.SendMessageParams{Text: "a", ReplyMarkup: button("x", strings.Repeat("d", 64))}, ""},
		{"unknown chat", tg.SendMessageParams{ChatID: 1, Text: "a"}, "chat not found"},
		{"empty", tg.SendMessageParams{Text: " \n"}, "text is empty"},
		{"too long", tg.SendMessageParams{Text: strings.Repeat("🐕", 2048) + "x"}, "too long"},
		{"open tag", tg.SendMessageParams{Text: "<b>a", ParseMode: models.ParseModeHTML}, "can't parse entities"},
		{"crossed tags", tg.SendMessageParams{Text: "<b><i>a</b></i>", ParseMode: models.ParseModeHTML}, "can't parse entities"},
		{"bare <", tg.SendMessageParams{Text: "a < b", ParseMode: models.ParseModeHTML}, "can't parse entities"},
		{"unknown tag", tg.SendMessageParams{Text: "<table>a</table>", ParseMode: models.ParseModeHTML}, "can't parse entities"},
		{"button data", tg.SendMessageParams{Text: "a", ReplyMarkup: button("x", strings.Repeat("d", 65))}, "BUTTON_DATA_INVALID"},
		{"button text", tg.SendMessageParams{Text: "a", ReplyMarkup: button(" ", "d")}, "unallowed"},
		{"typed nil", tg.SendMessageParams{Text: "a", ReplyMarkup: none}, "reply markup"},
	} {
		if c.p.ChatID == nil {
			c.p.ChatID = 4711
		}
		_, err := b.SendMessage(t.Context(), &c.p)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	got := s.FromBot(4711)
	if len(got) != 4 || got[1].Text != "a < b\nc" {
		t.Errorf("%+v", got)
	}
}

// TestRates notes what breaks the limits and nothing else.
func TestRates(t *testing.T) {
	start := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		name  string
		kind  string
		chats int
		n     int           // messages to each
		every time.Duration // between two of them
		want  bool
	}{
		{"a second apart", "private", 1, 100, time.Second, false},
		{"a burst", "private", 1, burst, 0, false},
		{"too many at once", "private", 1, burst + 1, 0, true},
		{"steadily too many", "private", 1, 100, 500 * time.Millisecond, true},
		{"a group", "group", 1, 60, 3 * time.Second, false},
		{"a busy group", "group", 1, 60, 2 * time.Second, true},
		{"as many as may be", "private", mostPerSecond, 1, 0, false},
		{"one more", "private", mostPerSecond + 1, 1, 0, true},
	} {
		var r rates
		for i := range c.n {
			for id := range c.chats {
				r.note(&chat{id: int64(id), kind: c.kind}, start.Add(time.Duration(i)*c.every), 1)
			}
		}
		if got := len(r.breaches) > 0; got != c.want {
			t.Errorf("%s: %q", c.name, r.breaches)
		}
	}
}
