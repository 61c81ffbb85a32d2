package standin

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
)

// tags are the elements that the platform knows (Bot API documentation, HTML
// style), of those the ones that a bot of text uses.
var tags = map[string]bool{
	"b": true, "strong": true, "i": true, "em": true, "u": true, "ins": true, "s": true, "del": true,
	"code": true, "pre": true, "a": true, "blockquote": true, "tg-spoiler": true,
}

var entities = map[string]string{"lt": "<", "gt": ">", "amp": "&", "quot": `"`}

// plain reads a text in the platform's HTML style and returns it without its
// markup; the error is what the platform says of a text that does not parse.
func plain(s string) (string, error) {
	var out strings.Builder
	var open []string
	for i := 0; i < len(s); {
		switch s[i] {
		case '<':
			end := strings.IndexByte(s[i:], '>')
			if end < 0 {
				return "", errors.New("can't parse entities: Unclosed start tag")
			}
			tag := s[i+1 : i+end]
			i += end + 1
			if name, closing := strings.CutPrefix(tag, "/"); closing {
				if len(open) == 0 || open[len(open)-1] != name {
					return "", fmt.Errorf("can't parse entities: Unmatched end tag at byte offset %d", i)
				}
				open = open[:len(open)-1]
				continue
			}
			name, _, _ := strings.Cut(tag, " ")
			if !tags[name] {
				return "", fmt.Errorf("can't parse entities: Unsupported start tag %q at byte offset %d", name, i)
			}
			open = append(open, name)
		case '&':
			text, n := entity(s[i:])
			out.WriteString(text)
			i += n
		default:
			out.WriteByte(s[i])
			i++
		}
	}
	if len(open) > 0 {
		return "", fmt.Errorf("can't parse entities: Can't find end tag corresponding to start tag %q", open[len(open)-1])
	}
	return out.String(), nil
}

// entity reads what begins with "&"; what is no entity stands for itself.
func entity(s string) (text string, length int) {
	end := strings.IndexByte(s, ';')
	if end < 0 || end > 10 {
		return "&", 1
	}
	name := s[1:end]
	if t, ok := entities[name]; ok {
		return t, end + 1
	}
	if digits, ok := strings.CutPrefix(name, "#"); ok {
		if n, err := strconv.ParseUint(digits, 10, 21); err == nil {
			return string(rune(n)), end + 1
		}
	}
	return "&", 1
}

// long is the length of a text as the platform counts it.
func long(s string) int { return len(utf16.Encode([]rune(s))) }
