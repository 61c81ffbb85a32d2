package standin

import (
	"cmp"
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"
)

// call answers one call; nil cuts the connection.
func (s *Server) call(r *http.Request, c *Call) any {
	if f := s.faultFor(c); f != nil {
		if f.Slow > 0 && !pauseFor(r.Context(), nil, f.Slow) {
			return nil
		}
		if answer := f.answer(); answer != nil || f.Cut {
			s.record(c, f.Code)
			return answer
		}
	}
	var answer any
	if c.Method == "getUpdates" {
		answer = s.getUpdates(r.Context(), c)
	} else {
		s.mu.Lock()
		answer = s.do(c)
		s.mu.Unlock()
	}
	code := http.StatusOK
	if no, ok := answer.(refusal); ok {
		code = no.Code
	}
	s.record(c, code)
	return answer
}

func (s *Server) record(c *Call, code int) {
	defer s.locked()()
	c.Code = code
	if c.Method == "getUpdates" {
		s.asked++
	} else {
		s.calls = append(s.calls, *c)
	}
	s.notify()
}

// do answers any call but getUpdates. The lock is held.
func (s *Server) do(c *Call) any {
	switch c.Method {
	case "getMe":
		return itself
	case "sendMessage":
		return s.sendMessage(c)
	case "sendPhoto":
		return s.sendFile(c, "photo", 10<<20)
	case "sendDocument":
		return s.sendFile(c, "document", cmp.Or(s.o.LargestDocument, LargestDocument))
	case "editMessageText":
		return s.editMessage(c)
	case "answerCallbackQuery":
		return s.answerCallback(c)
	case "setMyCommands":
		return s.setCommands(c)
	case "setWebhook":
		return s.setWebhook(c)
	case "deleteWebhook":
		s.webhook = ""
		return true
	case "getFile":
		return s.getFile(c)
	case "getChatMember":
		return s.getMember(c)
	}
	return refusal{Code: http.StatusNotFound, Description: "Not Found"}
}

// place finds the chat of a call and says why the bot may not write there.
func (s *Server) place(c *Call) (*chat, any) {
	to := s.chats[c.Chat]
	switch {
	case to == nil:
		return nil, bad("chat not found")
	case to.movedTo != 0:
		no := bad("group chat was upgraded to a supergroup chat")
		no.Parameters = &parameters{MigrateTo: to.movedTo}
		return nil, no
	case to.kicked:
		return nil, expelled
	case to.blocked:
		return nil, refusal{Code: http.StatusForbidden, Description: "Forbidden: bot was blocked by the user"}
	}
	return to, nil
}

// text checks a text or caption of at most limit units.
func text(c *Call, field string, limit int) (string, any) {
	said := c.Fields[field]
	switch c.Fields["parse_mode"] {
	case "HTML":
		var err error
		if said, err = plain(said); err != nil {
			return "", bad(err.Error())
		}
	case "":
	default:
		return "", bad("unsupported parse_mode")
	}
	if long(said) > limit {
		return "", bad("message is too long")
	}
	return said, nil
}

// buttons checks an inline keyboard.
func buttons(c *Call) ([][]Button, any) {
	markup := c.Fields["reply_markup"]
	if markup == "" {
		return nil, nil
	}
	var keyboard struct {
		Rows [][]struct {
			Text string  `json:"text"`
			Data *string `json:"callback_data"`
			URL  string  `json:"url"`
		} `json:"inline_keyboard"`
	}
	if err := json.Unmarshal([]byte(markup), &keyboard); err != nil || markup == "null" {
		return nil, bad("object expected as reply markup")
	}
	var out [][]Button
	n := 0
	for _, row := range keyboard.Rows {
		var set []Button
		for _, b := range row {
			if n++; strings.TrimSpace(b.Text) == "" {
				return nil, bad("text buttons are unallowed in the inline keyboard")
			}
			if b.Data == nil && b.URL == "" || b.Data != nil && (len(*b.Data) < 1 || len(*b.Data) > 64) {
				return nil, bad("BUTTON_DATA_INVALID")
			}
			set = append(set, Button{b.Text, *cmp.Or(b.Data, new(string))})
		}
		out = append(out, set)
		if len(row) > 8 {
			return nil, bad("REPLY_MARKUP_TOO_LONG")
		}
	}
	if n > 100 {
		return nil, bad("REPLY_MARKUP_TOO_LONG")
	}
	return out, nil
}

func (s *Server) sendMessage(c *Call) any {
	to, no := s.place(c)
	if no != nil {
		return no
	}
	said, no := text(c, "text", 4096)
	if no != nil {
		return no
	}
	if strings.TrimSpace(said) == "" {
		return bad("message text is empty")
	}
	return s.put(c, to, &Message{Text: said, HTML: c.Fields["text"]})
}

func (s *Server) sendFile(c *Call, name string, limit int) any {
	to, no := s.place(c)
	if no != nil {
		return no
	}
	said, no := text(c, "caption", 1024)
	if no != nil {
		return no
	}
	upload, uploaded := c.Files[name]
	switch {
	case !uploaded:
		return bad("there is no " + name + " in the request")
	case len(upload.Data) == 0:
		return bad("file must be non-empty")
	case len(upload.Data) > limit:
		return refusal{Code: http.StatusRequestEntityTooLarge, Description: "Request Entity Too Large"}
	}
	return s.put(c, to, &Message{Text: said, HTML: c.Fields["caption"], File: upload.Data, Name: name, Title: upload.Name})
}

// put puts a message of the bot into a chat, within the limits of sending.
func (s *Server) put(c *Call, to *chat, m *Message) any {
	var no any
	if m.Buttons, no = buttons(c); no != nil {
		return no
	}
	if m.Topic = number(c.Fields["message_thread_id"]); m.Topic != 0 && !to.topics[m.Topic] {
		return bad("message thread not found")
	}
	if s.o.Rates {
		s.rates.note(to, c.At, max(1, s.o.Times))
	}
	m.ID, m.Chat, m.Bot = s.newMessage(), to.id, true
	to.messages = append(to.messages, m)
	s.sent++
	kept := *m
	c.Result = &kept
	return s.describeMessage(to, m)
}

func (s *Server) describeMessage(to *chat, m *Message) any {
	d := s.message(to, m.ID, itself)
	m.inTopic(d)
	if m.File == nil {
		d["text"] = m.Text
		return d
	}
	d["caption"] = m.Text
	if m.Name == "document" {
		d["document"] = map[string]any{"file_id": "sent", "file_unique_id": "sent", "file_name": m.Title, "file_size": len(m.File)}
	}
	return d
}

// editMessage changes a message of the bot.
func (s *Server) editMessage(c *Call) any {
	to, no := s.place(c)
	if no != nil {
		return no
	}
	id := number(c.Fields["message_id"])
	at := slices.IndexFunc(to.messages, func(m *Message) bool { return m.ID == id && m.Bot })
	if at < 0 {
		return bad("message to edit not found")
	}
	m := to.messages[at]
	now := *m
	if now.Buttons, no = buttons(c); no != nil {
		return no
	}
	if now.Text, no = text(c, "text", 4096); no != nil {
		return no
	}
	if m.File != nil {
		return bad("there is no text in the message to edit")
	}
	now.HTML = c.Fields["text"]
	if now.HTML == m.HTML && slices.EqualFunc(now.Buttons, m.Buttons, slices.Equal) {
		return bad("message is not modified: specified new message content and reply markup are exactly the same as a current content and reply markup of the message")
	}
	now.Edited++
	*m = now
	c.Result = &now
	return s.describeMessage(to, m)
}

func (s *Server) answerCallback(c *Call) any {
	id := c.Fields["callback_query_id"]
	if !strings.HasPrefix(id, "press-") || s.answered[id] {
		return bad("query is too old and response timeout expired or query ID is invalid")
	}
	if long(c.Fields["text"]) > 200 {
		return bad("MESSAGE_TOO_LONG")
	}
	s.answered[id] = true
	return true
}

func (s *Server) setCommands(c *Call) any {
	var all []struct {
		Command     string `json:"command"`
		Description string `json:"description"`
	}
	if err := json.Unmarshal([]byte(c.Fields["commands"]), &all); err != nil || len(all) > 100 {
		return bad("can't parse commands")
	}
	for _, x := range all {
		if !command.MatchString(x.Command) || long(x.Description) < 1 || long(x.Description) > 256 {
			return bad("BOT_COMMAND_INVALID")
		}
	}
	return true
}

// command is what a command is held to.
var command = regexp.MustCompile(`^[a-z0-9_]{1,32}$`)

// Fault is a way to fail. The first that fits a call is used up once.
type Fault struct {
	Method      string // empty: any but getUpdates
	Times       int    // 0: once; below 0: for ever
	Code        int    // of the error: 429, 403, 400, 500
	RetryAfter  int    // seconds, of 429
	Description string
	Page        bool          // answer with an HTML page
	Body        string        // answer with this as it is
	Cut         bool          // cut the connection
	Slow        time.Duration // answer late
}

// Fail makes calls fail.
func (s *Server) Fail(f Fault) {
	defer s.locked()()
	if f.Times == 0 {
		f.Times = 1
	}
	s.faults = append(s.faults, &f)
}

// Mend takes all faults back.
func (s *Server) Mend() {
	defer s.locked()()
	s.faults = nil
}

func (s *Server) faultFor(c *Call) *Fault {
	defer s.locked()()
	for _, f := range s.faults {
		any := f.Method == "" && c.Method != "getUpdates"
		if f.Times == 0 || !any && f.Method != c.Method {
			continue
		}
		f.Times--
		return f
	}
	return nil
}

// answer is what a fault says, nil where the call goes on.
func (f *Fault) answer() any {
	switch {
	case f.Cut:
		return nil
	case f.Page:
		return page("<html><body><h1>502 Bad Gateway</h1></body></html>")
	case f.Body != "":
		return raw(f.Body)
	case f.Code == 0:
		return nil
	}
	no := refusal{Code: f.Code, Description: f.Description}
	if no.Description == "" {
		no.Description = http.StatusText(f.Code)
	}
	if f.RetryAfter > 0 {
		no.Parameters = &parameters{RetryAfter: f.RetryAfter}
	}
	return no
}
