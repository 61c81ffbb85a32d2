package rank

import (
	"strings"

	"bowlwright/bot/read/span"
)

// Tokens splits a text. Digits end a word: "500g" is a number and a word; "7:30" is a
// number. Words are in lower case, without apostrophes: "dont".
func Tokens(text string) []span.Token {
	all := make([]span.Token, 0, len(text)/4+1)
	for at := 0; at < len(text); {
		t := span.PieceAt(text, at, ".,:")
		at = t.End
		if t.Kind == span.WordToken {
			t.Text = plainWord(t.Text)
		}
		if t.Text == "\n" || strings.TrimSpace(t.Text) != "" {
			all = append(all, t)
		}
	}
	return all
}

func plainWord(s string) string {
	s = strings.ToLower(s)
	if strings.ContainsAny(s, "'’`") {
		s = strings.NewReplacer("'", "", "’", "", "`", "").Replace(s)
	}
	return s
}
