package rank

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"bowlwright/bot/read/span"
)

// Lexicon knows which words play the same part: those of one file are one
// kind, named as the file.
type Lexicon struct {
	of      map[string][]string // phrase, its tokens with one space between them, to kinds
	words   map[string]bool     // single words of the phrases
	longest map[string]int      // first token to how many tokens its longest phrase has
}

// ReadLexicon reads lists of words, a file KIND.txt for each kind: an entry a
// line, # before a comment.
func ReadLexicon(files fs.FS) (*Lexicon, error) {
	names, err := fs.Glob(files, "*.txt")
	if err != nil {
		return nil, err
	}
	l := &Lexicon{of: make(map[string][]string, 32768), words: make(map[string]bool, 16384), longest: make(map[string]int, 16384)}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		kind := strings.TrimSuffix(path.Base(name), ".txt")
		for line := range strings.Lines(string(text)) {
			if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
				l.add(line, kind)
			}
		}
	}
	return l, nil
}

func (l *Lexicon) add(line, kind string) {
	words, phrase := strings.Split(line, " "), line // as most are
	if slices.Contains(words, "") || strings.ContainsFunc(line, func(r rune) bool { return r != ' ' && (r < 'a' || r > 'z') }) {
		words = words[:0]
		for _, t := range Tokens(line) {
			words = append(words, t.Text)
		}
		phrase = strings.Join(words, " ")
	}
	if len(words) == 0 {
		return
	}
	for _, w := range words {
		l.words[w] = true
	}
	l.of[phrase] = span.AddNew(l.of[phrase], kind)
	l.longest[words[0]] = max(l.longest[words[0]], len(words))
}

// Span is a phrase of a lexicon: tokens From, up to To, and the kinds it is of.
type Span struct {
	From, To int
	Kinds    []string
}

// Is reports that a phrase is of one of some kinds.
func (s *Span) Is(kinds map[string]bool) bool {
	return slices.ContainsFunc(s.Kinds, func(k string) bool { return kinds[k] })
}

// Spans returns the phrases of some tokens that are not taken, the longest at each
// place, and none within another.
func (l *Lexicon) Spans(tokens []span.Token, taken []bool) (all []Span) {
	var phrase []byte
	for at := 0; at < len(tokens); at++ {
		most := min(l.longest[tokens[at].Text], len(tokens)-at)
		if most == 0 || taken[at] {
			continue
		}
		phrase = phrase[:0]
		found := Span{}
		for n := 1; n <= most && !taken[at+n-1]; n++ {
			if n > 1 {
				phrase = append(phrase, ' ')
			}
			phrase = append(phrase, tokens[at+n-1].Text...)
			if kinds := l.of[string(phrase)]; kinds != nil {
				found = Span{at, at + n, kinds}
			}
		}
		if found.To > 0 {
			all = append(all, found)
			at = found.To - 1
		}
	}
	return all
}

// Speller mends words that are typed wrong.
type Speller struct {
	lex   *Lexicon
	Known func(word string) bool // of the words that the wordings have
}

// fewestToMend is how many letters a word has that is mended.
const fewestToMend = 4

func (s *Speller) knows(word []byte) bool {
	return s.lex.words[string(word)] || s.Known != nil && s.Known(string(word))
}

// mend returns a word that is known for one that is not: letters exchanged, one
// too few, too many, or another. It returns the word where there is none.
func (s *Speller) mend(word string) string {
	if len(word) < fewestToMend || len(word) > 20 || s.knows([]byte(word)) {
		return word
	}
	b := make([]byte, 0, len(word)+1)
	for i := 0; i+1 < len(word); i++ { // exchanged
		b = append(append(append(b[:0], word[:i]...), word[i+1], word[i]), word[i+2:]...)
		if s.knows(b) {
			return string(b)
		}
	}
	for i := range len(word) { // one too many
		if b = append(append(b[:0], word[:i]...), word[i+1:]...); s.knows(b) && len(b) >= fewestToMend {
			return string(b)
		}
	}
	for wrong := range min(2, len(word)+1-fewestToMend) { // one too few, not at the beginning; or another
		for i := 1; i <= len(word)-wrong; i++ {
			for c := byte('a'); c <= 'z'; c++ {
				if b = append(append(append(b[:0], word[:i]...), c), word[i+wrong:]...); s.knows(b) {
					return string(b)
				}
			}
		}
	}
	return word
}
