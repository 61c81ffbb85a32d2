package telegram

import (
	"html"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot/say"
)

// The platform's limits, in UTF-16 code units after the markup is taken out
// (Telegram Bot API documentation: sendMessage, sendPhoto).
const (
	longestText    = 4096
	longestCaption = 1024
)

// units is the length of a text as the platform counts it.
func units(s string) int {
	n := 0
	for _, r := range s {
		n += utf16.RuneLen(r) // no rune of a string is one half of a pair
	}
	return n
}

// chunk is one message's worth of a body.
type chunk struct {
	html  strings.Builder
	units int
	table bool // a table is open
	empty bool // nothing has been written to it yet
}

// line adds a line of text or of a table.
func (c *chunk) line(s string, table bool) {
	if !c.empty {
		c.units++
	}
	if c.table && !table {
		c.html.WriteString("</pre>")
	}
	if !c.empty && !(table && !c.table) {
		c.html.WriteByte('\n')
	}
	if table && !c.table {
		if !c.empty {
			c.html.WriteByte('\n')
		}
		c.html.WriteString("<pre>")
	}
	c.html.WriteString(html.EscapeString(s))
	c.units += units(s)
	c.table, c.empty = table, false
}

func (c *chunk) String() string {
	if c.table {
		return c.html.String() + "</pre>"
	}
	return c.html.String()
}

// plainText is what renderBody has set, without its markup.
func plainText(s string) string {
	return html.UnescapeString(strings.NewReplacer("<pre>", "", "</pre>", "").Replace(s))
}

// renderBody sets blocks as the platform's HTML, in as many messages as
// limit makes necessary, each of at most limit units. It breaks at line ends,
// a longer line at a space, a longer word anywhere; markup is closed where a
// message ends.
func renderBody(blocks []say.Block, limit int) []string {
	var out []string
	now := &chunk{empty: true}
	for _, b := range blocks {
		if strings.TrimSpace(b.Text) == "" {
			continue
		}
		for _, l := range strings.Split(say.Printable(b.Text), "\n") {
			for _, piece := range pieces(l, limit) {
				if !now.empty && now.units+1+units(piece) > limit {
					out = append(out, now.String())
					now = &chunk{empty: true}
				}
				now.line(piece, b.Table)
			}
		}
	}
	if !now.empty {
		out = append(out, now.String())
	}
	return out
}

// pieces cuts a line into parts of at most limit units, which must be 2 at
// least.
func pieces(line string, limit int) []string {
	var out []string
	begin, space, n := 0, -1, 0 // of the part: its start, its last space, its units so far
	for i, r := range line {
		wide := utf16.RuneLen(r)
		for n+wide > limit {
			end, next := i, i
			if space > begin {
				end, next = space, space+1
			}
			out = append(out, line[begin:end])
			begin, space = next, -1
			n = units(line[begin:i])
		}
		if r == ' ' {
			space = i
		}
		n += wide
	}
	return append(out, line[begin:])
}

// Each option is a part of a form, which costs both sides more than the text,
// so options that change nothing are left out.

// parseMode is how a text is to be read: as it is where it has no markup.
func parseMode(html string) models.ParseMode {
	if strings.ContainsAny(html, "<>&") {
		return models.ParseModeHTML
	}
	return ""
}

// noPreview keeps the platform from showing what a link leads to; nil where the
// text cannot have a link.
func noPreview(html string) *models.LinkPreviewOptions {
	if !mayLink(html) {
		return nil
	}
	return &models.LinkPreviewOptions{IsDisabled: tg.True()}
}

// mayLink reports whether the platform could find a link in a text: a scheme,
// a name with a dot in it, or an address of numbers. It says yes in doubt.
func mayLink(s string) bool {
	if strings.Contains(s, "://") || strings.ContainsAny(s, "。．｡") {
		return true
	}
	dots := 0 // of the number that is being read
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '.':
			if r, _ := utf8.DecodeRuneInString(s[i+1:]); unicode.IsLetter(r) || unicode.IsMark(r) {
				return true
			}
			if dots++; dots > 1 && i+1 < len(s) && isDigit(s[i+1]) {
				return true
			}
		case !isDigit(c):
			dots = 0
		}
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
