package ical

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Calendar is what a file holds.
type Calendar struct {
	Name   string    // shown by readers that know RFC 7986; empty: none
	Stamp  time.Time // when it was made
	Events []Event   // at least one: RFC 5545 knows no empty calendar
}

// Event is something at an instant. It takes no time and blocks none.
type Event struct {
	UID         string // the same whenever the same event is written, unlike any other
	Start       time.Time
	Summary     string
	Description string // line breaks stay; empty: none
}

// What is wrong with a calendar that cannot be written.
var (
	ErrEmpty = errors.New("ical: a calendar needs an event")
	ErrEvent = errors.New("ical: an event needs a UID of its own and a start in the years 1 to 9999")
)

// product names what wrote a file, as section 3.7.3 asks.
const product = "-//Bowlwright//Bowlwright//EN"

// instant is the form of a time in UTC, section 3.3.5.
const instant = "20060102T150405Z"

// Write writes a calendar in UTF-8 with lines of at most 75 octets. Errors are
// ErrEmpty, ErrEvent (of the first event that is wrong) and those of w; of a
// calendar with the first two nothing is written.
func Write(w io.Writer, c Calendar) error {
	if err := check(c); err != nil {
		return err
	}
	out := &writer{w: bufio.NewWriter(w)}
	out.line("BEGIN", "VCALENDAR")
	out.line("VERSION", "2.0")
	out.line("PRODID", product)
	out.text("NAME", c.Name)
	for _, e := range c.Events {
		out.line("BEGIN", "VEVENT")
		out.text("UID", e.UID)
		out.line("DTSTAMP", c.Stamp.UTC().Format(instant))
		out.line("DTSTART", e.Start.UTC().Format(instant))
		out.text("SUMMARY", e.Summary)
		out.text("DESCRIPTION", e.Description)
		out.line("TRANSP", "TRANSPARENT")
		out.line("END", "VEVENT")
	}
	out.line("END", "VCALENDAR")
	return out.w.Flush() // has the first error of all
}

func check(c Calendar) error {
	if len(c.Events) == 0 {
		return ErrEmpty
	}
	seen := make(map[string]bool, len(c.Events))
	for i, e := range c.Events {
		year := e.Start.UTC().Year()
		if clean(e.UID) == "" || seen[clean(e.UID)] || e.Start.IsZero() || year < 1 || year > 9999 {
			return fmt.Errorf("%w: number %d", ErrEvent, i)
		}
		seen[clean(e.UID)] = true
	}
	if year := c.Stamp.UTC().Year(); year < 1 || year > 9999 {
		return fmt.Errorf("%w: the calendar's own time", ErrEvent)
	}
	return nil
}

type writer struct{ w *bufio.Writer }

// text writes a property of text, nothing where there is none.
func (out *writer) text(name, value string) {
	if value = clean(value); value != "" {
		out.line(name, escaper.Replace(value))
	}
}

// escaper sets a text as section 3.3.11 has it.
var escaper = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

var breaks = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// clean takes out of a text what a property cannot hold: control characters
// but for tabs and line breaks, which become one kind, and what is no UTF-8.
func clean(s string) string {
	s = breaks.Replace(strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, s)
}

// longest is how many octets a line may have without its end, section 3.1.
const longest = 75

// line writes a property, folded where it is longer than a line may be. The
// space that a folded line begins with counts, and no character is cut.
func (out *writer) line(name, value string) {
	rest, room := name+":"+value, longest
	for len(rest) > room {
		end := room
		for !utf8.RuneStart(rest[end]) {
			end--
		}
		out.w.WriteString(rest[:end] + "\r\n ")
		rest, room = rest[end:], longest-1
	}
	out.w.WriteString(rest + "\r\n")
}
