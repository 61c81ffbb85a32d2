package rank

import (
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// readText takes a message apart: the names of the household and amounts are
// replaced by what they are, words are mended, and phrases of the lexicon get
// their kinds.
func readText(in *Input, sp *Speller) *text {
	tokens := Tokens(in.Text)
	taken, as := make([]bool, len(tokens)), make([]string, len(tokens))
	name(tokens, in.Recipes, "<recipe>", taken, as)
	name(tokens, in.Dogs, "<dog>", taken, as)
	name(tokens, in.Carers, "<carer>", taken, as)
	amounts(tokens, taken, as)
	for i := range tokens {
		if !taken[i] && tokens[i].Kind == span.WordToken {
			tokens[i].Text = sp.mend(tokens[i].Text)
		}
	}
	t := &text{in: in}
	spans := sp.lex.Spans(tokens, taken)
	for at, k := 0, 0; at < len(tokens); at++ {
		s := seenToken{as: tokens[at].Text, from: tokens[at].Start, end: tokens[at].End}
		switch {
		case as[at] != "":
			s.as = as[at]
		case taken[at]:
			t.tokens[len(t.tokens)-1].end = s.end // a further word of a name, or a unit
			continue
		case tokens[at].Kind == span.WordToken:
			if s.typed = s.as; !sp.knows([]byte(s.as)) {
				s.as = unknown
			}
		}
		for k < len(spans) && spans[k].To <= at {
			k++
		}
		if k < len(spans) && spans[k].From <= at {
			s.kinds = spans[k].Kinds
		}
		t.tokens = append(t.tokens, s)
	}
	return t
}

// unknown stands for a word that neither the wordings nor the lexicon have.
const unknown = "*"

// hide has every fourth word stand there as one that is unknown, and every eighth
// without its letters too: so a model learns to go by what else is said.
func (t *text) hide(seed string) {
	for i := range t.tokens {
		s := &t.tokens[i]
		if h := hashOf(aWord, seed, strconv.Itoa(i)); s.typed != "" && h>>8%4 == 0 {
			if s.as = unknown; h>>24%2 == 0 {
				s.typed = ""
			}
		}
	}
}

// name marks the names of one sort.
func name(tokens []span.Token, names []string, as string, taken []bool, out []string) {
	for _, name := range names {
		n := span.Name{Words: Tokens(name)}
		if len(n.Words) == 0 || n.Words[0].Kind == span.SignToken {
			continue
		}
		for at := range tokens {
			end := n.At(tokens, at)
			if end == 0 {
				_, end = span.PossessedAt([]span.Name{n}, tokens, at)
			}
			if end == 0 || slices.Contains(taken[at:end], true) {
				continue
			}
			out[at] = as
			for i := at; i < end; i++ {
				taken[i] = true
			}
		}
	}
}

// amounts marks numbers by their unit; the unit goes with it.
func amounts(tokens []span.Token, taken []bool, as []string) {
	for at := range tokens {
		if taken[at] || tokens[at].Kind != span.NumberToken {
			continue
		}
		taken[at] = true
		text := tokens[at].Text
		switch {
		case strings.Contains(text, ":"):
			as[at] = "<time>"
			continue
		case at > 0 && strings.Contains("£$€", tokens[at-1].Text):
			as[at] = "<money>"
			continue
		case at+1 < len(tokens) && !taken[at+1]:
			if unit := units[tokens[at+1].Text]; unit != "" {
				as[at], taken[at+1] = unit, true
				continue
			}
		}
		as[at] = numberShape(text)
	}
}

// units are the kinds of amounts, by the words after a number.
var units = language.Kinds[string]("counted")

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
