package terminal_test

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"

	"bowlwright/bot/terminal"
)

// links gives a script the links that stand on the screen: TOKEN1 is the
// payload of the first that was shown, and reads so in the golden file.
type links struct {
	in   terminal.LineReader
	out  *bytes.Buffer
	seen *[]string
	read int // of what stands on the screen
}

var (
	shownLink = regexp.MustCompile(`(?m)^/start (join-[A-Za-z0-9_-]{32}|r-[A-Za-z0-9_-]{22})$`)
	linkPlace = regexp.MustCompile(`TOKEN([0-9])`)
)

func (l *links) ReadMessage() (string, error) {
	line, err := l.in.ReadMessage()
	screen := l.out.Bytes()
	for _, m := range shownLink.FindAllStringSubmatch(string(screen[l.read:]), -1) {
		if !slices.Contains(*l.seen, m[1]) {
			*l.seen = append(*l.seen, m[1])
		}
	}
	l.read = len(screen)
	return linkPlace.ReplaceAllStringFunc(line, func(place string) string {
		n, _ := strconv.Atoi(place[len("TOKEN"):])
		if n < 1 || n > len(*l.seen) {
			return place
		}
		return (*l.seen)[n-1]
	}), err
}
