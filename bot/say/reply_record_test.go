package say_test

import (
	"reflect"
	"strings"
	"testing"

	"bowlwright/bot/say"
)

// someReplies have every field set and not, and every length of a length.
func someReplies() []say.Reply {
	long := strings.Repeat("Möhren ½ ", 2000)
	return []say.Reply{
		{},
		{Body: []say.Block{{Text: "Juniper: 19.4 kg."}}},
		{Body: []say.Block{{Text: "one\ntwo"}, {Text: long, Table: true}, {}}, Settles: true, InPlace: "17"},
		{Body: []say.Block{{Text: "x"}}, Buttons: [][]say.Button{{{Label: "Undo", Data: "h1:undo:c1"}, {Label: "Bowl", Data: "h1:bowl"}}, {{Label: "✓"}}}},
		{Body: []say.Block{{Text: "Pass this on:"}}, Start: "abc-123"},
		{Picture: &say.Picture{Name: "trend.png", Alt: "a line", PNG: []byte{0xff, 0, 1}}, Buttons: [][]say.Button{{{Label: "a", Data: "b"}}}},
		{Document: &say.Document{Name: "a.ics", Alt: "a calendar", Type: "text/calendar", Data: []byte(long)}, InPlace: "1"},
		{Picture: &say.Picture{PNG: []byte("p")}, Document: &say.Document{Data: []byte("d")}, Settles: true, Start: "s", InPlace: "i", Body: []say.Block{{Text: "\x00"}}},
	}
}

// TestReplyRecord reads what was written, and nothing that is not whole.
func TestReplyRecord(t *testing.T) {
	for i, r := range someReplies() {
		whole := say.EncodeReply(r)
		got, err := say.DecodeReply(whole)
		if err != nil || !reflect.DeepEqual(got, r) {
			t.Errorf("%d: got %+v, %v", i, got, err)
		}
		for n := range whole {
			if n > 300 && n < len(whole)-300 {
				continue
			}
			if got, err := say.DecodeReply(whole[:n]); err == nil {
				t.Errorf("%d cut to %d bytes: %+v", i, n, got)
			}
		}
		if got, err := say.DecodeReply(append(whole, 0)); err == nil {
			t.Errorf("%d and a byte: %+v", i, got)
		}
	}
	got, err := say.DecodeReply(say.EncodeReply(say.Reply{Body: []say.Block{{Text: "a\xffb"}}}))
	if err != nil || len(got.Body) != 1 || got.Body[0].Text != "a\ufffdb" {
		t.Errorf("%+v, %v", got, err)
	}
}

// FuzzDecodeReply reads anything without a crash.
func FuzzDecodeReply(f *testing.F) {
	for _, r := range someReplies() {
		f.Add(say.EncodeReply(r))
	}
	f.Fuzz(func(t *testing.T, record []byte) {
		if r, err := say.DecodeReply(record); err == nil {
			if _, err := say.DecodeReply(say.EncodeReply(r)); err != nil {
				t.Errorf("%+v is not read again: %v", r, err)
			}
		}
	})
}

// BenchmarkReplyRecord writes and reads the reply to a weigh-in.
func BenchmarkReplyRecord(b *testing.B) {
	r := say.Reply{
		Body:    []say.Block{{Text: "Juniper: 19.4 kg, noted. 0.1 kg more than on Sunday 12 July."}, {Text: "About steady over 4 weeks (-0.1 to +0.2 % a week)."}},
		Buttons: [][]say.Button{{{Label: "Undo", Data: "h1234567:undo:c12345678"}, {Label: "Trend", Data: "h1234567:weigh:trend:d1"}, {Label: "Bowl", Data: "h1234567:bowl:dog:d1"}}},
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := say.DecodeReply(say.EncodeReply(r)); err != nil {
			b.Fatal(err)
		}
	}
}
