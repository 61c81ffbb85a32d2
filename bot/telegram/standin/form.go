package standin

import (
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"io"
	"net/http"
	"strconv"
	"strings"
	"unicode/utf16"
)

const longestCall = 64 << 20 // bytes

// Upload is a file that came with a call.
type Upload struct {
	Name string // as the call has it
	Data []byte
}

// form reads a call's fields and files: a multipart form, as the library
// sends, or a JSON object. No body at all is no fields.
func form(r *http.Request) (map[string]string, map[string]Upload, error) {
	fields, files := map[string]string{}, map[string]Upload{}
	if strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		var all map[string]json.RawMessage
		if err := json.NewDecoder(io.LimitReader(r.Body, longestCall)).Decode(&all); err != nil {
			return nil, nil, err
		}
		for name, v := range all {
			fields[name] = strings.Trim(string(v), `"`)
			var text string
			if json.Unmarshal(v, &text) == nil {
				fields[name] = text
			}
		}
		return fields, files, nil
	}
	if err := r.ParseMultipartForm(longestCall); errors.Is(err, http.ErrNotMultipart) || errors.Is(err, io.EOF) {
		return fields, files, nil
	} else if err != nil {
		return nil, nil, err
	}
	for name, v := range r.MultipartForm.Value {
		fields[name] = v[0]
	}
	for name, v := range r.MultipartForm.File {
		f, err := v[0].Open()
		if err != nil {
			return nil, nil, err
		}
		data, err := io.ReadAll(f)
		if err != nil {
			return nil, nil, err
		}
		files[name] = Upload{v[0].Filename, data}
	}
	return fields, files, nil
}

// number reads an id, 0 where it is none.
func number(s string) int64 {
	n, _ := strconv.ParseInt(s, 10, 64)
	return n
}

// SendFile has a person send a file to the bot.
func (s *Server) SendFile(p Person, chatID int64, name string, data []byte) {
	s.mu.Lock()
	s.files[name] = data
	s.mu.Unlock()
	s.SayMore(p, chatID, "", map[string]any{"document": map[string]any{"file_id": name, "file_unique_id": name, "file_name": name, "file_size": len(data)}})
}

// getFile says where a file is. The lock is held.
func (s *Server) getFile(c *Call) any {
	id := c.Fields["file_id"]
	if s.files[id] == nil {
		return bad("invalid file_id")
	}
	return map[string]any{"file_id": id, "file_unique_id": id, "file_path": "documents/" + id}
}

// serveFile answers the download of a file, and reports whether it was one.
func (s *Server) serveFile(w http.ResponseWriter, r *http.Request) bool {
	id, ok := strings.CutPrefix(r.URL.Path, "/file/bot"+Token+"/documents/")
	if !ok {
		return false
	}
	s.mu.Lock()
	data := s.files[id]
	s.mu.Unlock()
	w.Write(data)
	return true
}

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
