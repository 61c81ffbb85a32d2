package rank

// Span is a phrase of a lexicon: tokens From, up to To, and the kinds it is of.
type Span struct {
	From, To int
	Kinds    []string
}

// Is reports that a phrase is of one of some kinds.
func (s *Span) Is(kinds map[string]bool) bool {
	for _, k := range s.Kinds {
		if kinds[k] {
			return true
		}
	}
	return false
}

// Spans returns the phrases of some tokens, the longest at each place.
func (l *Lexicon) Spans(tokens []Token) []Span {
	found := l.find(tokens, make([]bool, len(tokens)))
	all := make([]Span, len(found))
	for i, f := range found {
		all[i] = Span{From: f.from, To: f.to, Kinds: make([]string, len(f.kinds))}
		for j, k := range f.kinds {
			all[i].Kinds[j] = l.kinds[k]
		}
	}
	return all
}
