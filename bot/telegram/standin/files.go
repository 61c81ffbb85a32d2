package standin

import (
	"net/http"
	"strings"
)

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
