package ical_test

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	reader "github.com/emersion/go-ical"

	"bowlwright/bot/ical"
)

var stamp = time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)

// read has an independent reader read what was written.
func read(t testing.TB, c ical.Calendar) (file string, events []reader.Event) {
	t.Helper()
	var b bytes.Buffer
	if err := ical.Write(&b, c); err != nil {
		t.Fatal(err)
	}
	cal, err := reader.NewDecoder(bytes.NewReader(b.Bytes())).Decode()
	if err != nil {
		t.Fatalf("%v in\n%s", err, b.String())
	}
	return b.String(), cal.Events()
}

// TestFile holds a file against what RFC 5545 says of each line, by hand.
func TestFile(t *testing.T) {
	got, _ := read(t, ical.Calendar{Name: "Quayside", Stamp: stamp, Events: []ical.Event{{
		UID: "quay/r1/2026-03-04T07:30", Start: time.Date(2026, 3, 4, 6, 30, 0, 0, time.UTC),
		Summary:     `Juniper: Turkey and heart; 410 g, in 2 \ 3 meals`,
		Description: "first\r\nsecond\rthird",
	}}})
	want := strings.Join([]string{
		"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Bowlwright//Bowlwright//EN", "NAME:Quayside",
		"BEGIN:VEVENT", "UID:quay/r1/2026-03-04T07:30", "DTSTAMP:20260302T073000Z", "DTSTART:20260304T063000Z",
		`SUMMARY:Juniper: Turkey and heart\; 410 g\, in 2 \\ 3 meals`, `DESCRIPTION:first\nsecond\nthird`,
		"TRANSP:TRANSPARENT", "END:VEVENT", "END:VCALENDAR", "",
	}, "\r\n")
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestSameInstants writes every hour round the clock changes of several zones
// and has an independent reader read the same instants, also by the clock of
// another zone.
func TestSameInstants(t *testing.T) {
	for _, c := range []struct{ zone, around string }{
		{"Europe/Berlin", "2026-03-29T01:00:00Z"}, {"Europe/Berlin", "2026-10-25T01:00:00Z"},
		{"Australia/Lord_Howe", "2026-04-04T15:00:00Z"}, {"Africa/Cairo", "2026-04-23T22:00:00Z"},
		{"Asia/Kathmandu", "2026-01-01T00:00:00Z"}, {"America/St_Johns", "2026-12-31T23:30:00Z"},
		{"Pacific/Apia", "2011-12-30T10:00:00Z"},
	} {
		loc, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		around, err := time.Parse(time.RFC3339, c.around)
		if err != nil {
			t.Fatal(err)
		}
		cal := ical.Calendar{Stamp: stamp.In(loc)}
		for i := -30; i <= 30; i++ {
			at := around.Add(time.Duration(i) * 30 * time.Minute).In(loc)
			cal.Events = append(cal.Events, ical.Event{UID: fmt.Sprint("e", i), Start: at, Summary: at.Format(time.RFC3339)})
		}
		_, events := read(t, cal)
		if len(events) != len(cal.Events) {
			t.Fatalf("%s: %d events of %d", c.zone, len(events), len(cal.Events))
		}
		for i, e := range events {
			at, err := e.DateTimeStart(loc)
			if uid, _ := e.Props.Text("UID"); err != nil || !at.Equal(cal.Events[i].Start) || uid != cal.Events[i].UID {
				t.Errorf("%s: %s is read as %s, %v", c.zone, cal.Events[i].Start, at, err)
			}
			if end, err := e.DateTimeEnd(loc); err != nil || !end.Equal(at) {
				t.Errorf("%s: it ends at %s, %v", c.zone, end, err)
			}
		}
	}
}

// normal is what becomes of a text: section 3.3.11 has no other control
// characters than tabs and line breaks.
func normal(s string) string {
	var b strings.Builder
	runes := []rune(strings.ToValidUTF8(s, "\uFFFD"))
	for i, r := range runes {
		switch {
		case r == '\r' && i+1 < len(runes) && runes[i+1] == '\n':
		case r == '\r':
			b.WriteRune('\n')
		case r == '\n' || r == '\t' || r >= ' ' && r != 0x7f:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// checkText writes texts and has them read back, and holds the file to the
// rules for lines.
func checkText(t *testing.T, summary, description string) {
	file, events := read(t, ical.Calendar{Stamp: stamp, Events: []ical.Event{
		{UID: "a", Start: stamp, Summary: summary, Description: description}, {UID: "b", Start: stamp}}})
	if len(events) != 2 || !strings.HasSuffix(file, "\r\n") {
		t.Fatalf("%d events in\n%s", len(events), file)
	}
	for name, want := range map[string]string{"SUMMARY": normal(summary), "DESCRIPTION": normal(description)} {
		if got, err := events[0].Props.Text(name); err != nil || got != want {
			t.Errorf("%s %q is read as %q, %v", name, want, got, err)
		}
	}
	for _, line := range strings.Split(strings.TrimSuffix(file, "\r\n"), "\r\n") {
		if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
			t.Errorf("%d octets: %q", len(line), line)
		}
	}
}

func TestTexts(t *testing.T) {
	for _, s := range []string{
		"", " leading and trailing ", "a;b,c:d\\n\\", "\"quoted\"", "one\ntwo\r\nthree\rfour", "\ttab\x00\x1b\x7f",
		"END:VEVENT\r\nBEGIN:VEVENT", "bad \xff\xc3 bytes", strings.Repeat("x", 500),
	} {
		checkText(t, s, s)
	}
	for n := range 160 { // every place at which a line may have to be folded
		for _, s := range []string{"ö", "€", "🐕", `\`, "\n"} {
			checkText(t, strings.Repeat("a", n)+strings.Repeat(s, 40), "")
		}
	}
}

func FuzzTexts(f *testing.F) {
	f.Add("Juniper: vitamin E 200 IU", "with the first meal\n🐕")
	f.Add("\r\n ;,\\", "\xff")
	f.Fuzz(checkText)
}

func TestWhatCannotBeWritten(t *testing.T) {
	good := ical.Event{UID: "a", Start: stamp}
	for name, c := range map[string]struct {
		c    ical.Calendar
		want error
	}{
		"empty":     {ical.Calendar{Stamp: stamp}, ical.ErrEmpty},
		"no UID":    {ical.Calendar{Stamp: stamp, Events: []ical.Event{good, {Start: stamp}}}, ical.ErrEvent},
		"blank UID": {ical.Calendar{Stamp: stamp, Events: []ical.Event{{UID: "\x00", Start: stamp}}}, ical.ErrEvent},
		"twice":     {ical.Calendar{Stamp: stamp, Events: []ical.Event{good, good}}, ical.ErrEvent},
		"no start":  {ical.Calendar{Stamp: stamp, Events: []ical.Event{{UID: "a"}}}, ical.ErrEvent},
		"too late":  {ical.Calendar{Stamp: stamp, Events: []ical.Event{{UID: "a", Start: stamp.AddDate(8000, 0, 0)}}}, ical.ErrEvent},
		"stamp":     {ical.Calendar{Stamp: stamp.AddDate(8000, 0, 0), Events: []ical.Event{good}}, ical.ErrEvent},
	} {
		var b bytes.Buffer
		if err := ical.Write(&b, c.c); !errors.Is(err, c.want) || b.Len() > 0 {
			t.Errorf("%s: %v and %d bytes", name, err, b.Len())
		}
	}
	full := errors.New("full")
	many := ical.Calendar{Stamp: stamp}
	for i := range 1000 {
		many.Events = append(many.Events, ical.Event{UID: fmt.Sprint(i), Start: stamp})
	}
	for _, events := range [][]ical.Event{many.Events, slices.Clone(many.Events[:1])} {
		if err := ical.Write(failing{full}, ical.Calendar{Stamp: stamp, Events: events}); !errors.Is(err, full) {
			t.Errorf("to a full disk: %v", err)
		}
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// BenchmarkWrite writes four weeks of a household with two dogs.
func BenchmarkWrite(b *testing.B) {
	c := ical.Calendar{Stamp: stamp}
	for i := range 150 {
		c.Events = append(c.Events, ical.Event{UID: fmt.Sprintf("quay/r%d/2026-03-02T07:30", i), Start: stamp.Add(time.Duration(i) * time.Hour),
			Summary: "Juniper: Turkey and heart, the first of two meals of the day"})
	}
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := ical.Write(&out, c); err != nil {
			b.Fatal(err)
		}
	}
	b.SetBytes(int64(out.Len()))
}
