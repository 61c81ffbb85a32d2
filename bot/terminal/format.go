package terminal

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot/say"
)

// format sets a reply as plain text, running text wrapped at width where it
// is above 0, with its buttons numbered under it. It returns the buttons'
// data and labels in the order of their numbers.
func format(r say.Reply, width int) (out string, shown, labels []string) {
	var b strings.Builder
	for _, block := range r.Body {
		s := say.Printable(block.Text)
		if width > 0 && !block.Table {
			s = wrap(s, width)
		}
		b.WriteString(s + "\n")
	}
	if r.Start != "" {
		b.WriteString("/start " + r.Start + "\n")
	}
	for _, row := range r.Buttons {
		var numbered []string
		for _, button := range row {
			shown, labels = append(shown, button.Data), append(labels, say.Printable(button.Label))
			numbered = append(numbered, "["+strconv.Itoa(len(shown))+"] "+say.Printable(button.Label))
		}
		s := strings.Join(numbered, "  ")
		if width > 0 {
			s = wrapRow(numbered, width)
		}
		b.WriteString(s + "\n")
	}
	return b.String(), shown, labels
}

// wrapRow puts as many buttons on a line as fit.
func wrapRow(labels []string, width int) string {
	out, used := "", 0
	for _, l := range labels {
		w := text.StringWidth(l)
		switch {
		case used == 0:
		case used+2+w > width:
			out, used = out+"\n", 0
		default:
			out, used = out+"  ", used+2
		}
		out, used = out+l, used+w
	}
	return out
}

// wrap breaks lines at spaces.
func wrap(s string, width int) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(text.WrapSoft(l, width), " \n")
	}
	return strings.Join(lines, "\n")
}

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
