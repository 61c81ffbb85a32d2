package terminal

import (
	"os"
	"path/filepath"
	"strconv"

	"bowlwright/bot/say"
)

// picture writes a picture to a file and says where it is; if it cannot, it
// says what the picture shows.
func (s *Session) picture(p say.Picture, number uint64) string {
	return say.PictureText(p, s.saveFile(number, p.Name, p.PNG)) + "\n"
}

// document does the same with a document.
func (s *Session) document(d say.Document, number uint64) string {
	return say.DocumentText(d, s.saveFile(number, d.Name, d.Data)) + "\n"
}

// saveFile writes a file of a message and returns its path, empty where it
// could not be written. The message's number keeps files of one name apart.
func (s *Session) saveFile(number uint64, name string, data []byte) string {
	if s.o.Pictures == "" {
		return ""
	}
	if err := os.MkdirAll(s.o.Pictures, 0o700); err != nil {
		return ""
	}
	path := filepath.Join(s.o.Pictures, strconv.FormatUint(number, 10)+"-"+filepath.Base(name))
	if err := os.WriteFile(path, data, 0o600); err != nil {
		return ""
	}
	return path
}
