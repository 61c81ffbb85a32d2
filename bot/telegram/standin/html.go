package standin

import (
	"errors"
	"fmt"
	"html"
	"strings"
	"unicode/utf16"
)

// tags are the elements that the platform knows (Bot API documentation, HTML
// style), of those the ones that a bot of text uses.
var tags = map[string]bool{
	"b": true, "strong": true, "i": true, "em": true, "u": true, "ins": true, "s": true, "del": true,
	"code": true, "pre": true, "a": true, "blockquote": true, "tg-spoiler": true,
}

// plain reads a text in the platform's HTML style and returns it without its
// markup; the error is what the platform says of a text that does not parse. It
// knows more entities than the platform does.
func plain(s string) (string, error) {
	var out strings.Builder
	var open []string
	for tagged := true; tagged; {
		var text, tag string
		text, s, tagged = strings.Cut(s, "<")
		out.WriteString(html.UnescapeString(text))
		if !tagged {
			break
		}
		var closed bool
		if tag, s, closed = strings.Cut(s, ">"); !closed {
			return "", errors.New("can't parse entities: Unclosed start tag")
		}
		name, _, _ := strings.Cut(tag, " ")
		ended, ends := strings.CutPrefix(tag, "/")
		last := len(open) - 1
		switch {
		case ends && (last < 0 || open[last] != ended):
			return "", fmt.Errorf("can't parse entities: Unmatched end tag %q", ended)
		case ends:
			open = open[:last]
		case !tags[name]:
			return "", fmt.Errorf("can't parse entities: Unsupported start tag %q", name)
		default:
			open = append(open, name)
		}
	}
	if len(open) > 0 {
		return "", fmt.Errorf("can't parse entities: Can't find end tag corresponding to start tag %q", open[len(open)-1])
	}
	return out.String(), nil
}

// long is the length of a text as the platform counts it.
func long(s string) int { return len(utf16.Encode([]rune(s))) }
