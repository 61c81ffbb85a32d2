package rank

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
