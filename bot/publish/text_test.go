package publish

import (
	"strings"
	"testing"
)

func TestText(t *testing.T) {
	for typed, want := range map[string]string{
		"  Turkey \t and\u200b hearts\r\n\r\n\n\nfor  a quiet dog \n": "Turkey and hearts\n\nfor a quiet dog",
		"\u202eevil\u2066 text\x07":                                   "evil text",
		"*bold* and _thin_ stay as typed":                             "*bold* and _thin_ stay as typed",
	} {
		if got := Text(typed); got != want {
			t.Errorf("%q is %q, want %q", typed, got, want)
		}
	}
}

func TestLinks(t *testing.T) {
	for _, text := range []string{
		"see https://a.example/x", "t.me/somebody", "write to ines@quayside.example", "buy at quayside.shop", "QUAYSIDE.COM has it", "@somebody knows",
		"(@somebody)", "#rawdogs", "tap /start now", "call +44 20 7946 0123", "call 020 7946 0123", "tg://resolve?domain=x", "go to 10.0.0.1",
		"[here](x)", "<b>bold</b>", "exam\u200bple.com", "foo.museum/dogs",
	} {
		if linked(Text(text)) == "" {
			t.Errorf("%q is taken for text", text)
		}
	}
	for _, text := range []string{
		"Cook for 20 min at 180 °C. Cool, then mix.", "1/2 tsp kelp and/or 3.5 g eggshell", "For 5-40 kg; 12.5 g a day, from 2026-03-02.",
		"Bake it @ 180", "No. 1 for her", "hearts,liver.Then kale", "Ca:P is 1.2:1 (< 2)", "10 000 kcal, 1000 g, 250 g/day",
	} {
		if link := linked(Text(text)); link != "" {
			t.Errorf("%q is taken for a link in %q", link, text)
		}
	}
}

func TestTextTrouble(t *testing.T) {
	for text, want := range map[string]bool{
		strings.Repeat("ä", MostText): false, strings.Repeat("ä", MostText+1): true,
		"It cures cancer": true, "quayside.shop": true, "": false, "Turkey and hearts.": false,
	} {
		if got := textTrouble(text, MostText) != ""; got != want {
			t.Errorf("%.20q: trouble is %v", text, got)
		}
	}
}
