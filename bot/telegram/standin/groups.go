package standin

import (
	"net/http"
	"strings"
)

// Quit takes a person out of a group. The bot is told by an update of a kind
// ("chat_member", which only an administrator gets who asks for it), by a
// message of the platform in the group ("message"), or not at all.
func (s *Server) Quit(p Person, chatID int64, told string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.chats[chatID]
	c.out[p.ID] = true
	switch told {
	case "chat_member":
		if !strings.Contains(s.kinds, `"chat_member"`) {
			return
		}
		s.push(map[string]any{told: s.change(c, p, describe(p), "left")})
	case "message":
		s.write(c, p, 0, "", map[string]any{"left_chat_member": describe(p)})
	}
}

// Expel has a person remove the bot from a group, or take it in again, and
// tells it so.
func (s *Server) Expel(p Person, chatID int64, out bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.chats[chatID]
	c.kicked = out
	status := "member"
	if out {
		status = "kicked"
	}
	s.push(map[string]any{"my_chat_member": s.change(c, p, itself, status)})
}

// change describes what became of a member.
func (s *Server) change(c *chat, by Person, whom map[string]any, status string) map[string]any {
	return map[string]any{"chat": c.describe(), "from": describe(by), "date": s.o.Now().Unix(),
		"old_chat_member": map[string]any{"user": whom, "status": "member"},
		"new_chat_member": map[string]any{"user": whom, "status": status, "until_date": 0}}
}

func (s *Server) getMember(c *Call) any {
	in, no := s.place(c)
	if no != nil {
		return no
	}
	who := number(c.Fields["user_id"])
	user := map[string]any{"id": who, "is_bot": false, "first_name": "Somebody"}
	if in.out[who] {
		return map[string]any{"status": "left", "user": user}
	}
	return map[string]any{"status": "member", "user": user}
}

// expelled is the refusal in a group that the bot was removed from.
var expelled = refusal{Code: http.StatusForbidden, Description: "Forbidden: bot was kicked from the group chat"}
