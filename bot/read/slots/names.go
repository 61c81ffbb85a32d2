package slots

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// mention is a name of the household in a text.
type mention struct {
	stretch
	part bool // only some of its words
	not  bool // said not to be meant: "not Juniper", "except Pip"
}

// find finds names. A name may be possessive, have a slip, or be named in part.
// What it finds is nothing else where take is set.
func (s *Found) find(names []span.Named, take bool, part func(words []string, i int) bool) (all []mention) {
	var split []calling
	for _, n := range names {
		for i, name := range n.All() {
			c := calling{of: n.Name, also: i > 0}
			for _, t := range span.Tokens(name, nil) {
				c.words = append(c.words, span.Fold(t.Text))
			}
			split = append(split, c)
		}
	}
	for i := 0; i < len(s.Tokens); i++ {
		if m, ok := s.nameAt(i, split, part); ok {
			for k := m.from; k < m.to; k++ {
				s.taken[k] = take || s.taken[k]
			}
			m.not = s.is(i-1, "not-words") || s.is(i-2, "not-words") && s.is(i-1, "not-links") || s.Word(i-1) == "but" && s.is(i-2, "all-words") && !s.Any(m.to, "is", "was", "has", "gets", "only", "needs", "had", "wants")
			all = append(all, m)
			i = m.to - 1
		}
	}
	return all
}

// calling is one of the names of what is named, in words.
type calling struct {
	of    string // its own name
	words []string
	also  bool // this is another
}

// nameAt is the name that begins at a place: the longest in full, or else the
// only one that has a word of it.
func (s *Found) nameAt(i int, names []calling, part func([]string, int) bool) (m mention, ok bool) {
	for _, n := range names {
		if end := s.fullName(i, n.words); end > m.to {
			m, ok = mention{stretch: stretch{i, end, n.of}}, true
		}
	}
	if ok || part == nil || s.taken[i] || s.Tokens[i].Kind != span.WordToken {
		return m, ok
	}
	found := 0
	for _, n := range names {
		if len(n.words) > 0 && !n.also && part(n.words, i) {
			found++
			m = mention{stretch: stretch{i, i + 1, n.of}, part: true}
		}
	}
	return m, found == 1
}

// fullName is where a name that begins at a place ends, or 0.
func (s *Found) fullName(i int, words []string) int {
	if len(words) == 0 || i+len(words) > len(s.Tokens) {
		return 0
	}
	for k, w := range words {
		got := s.Word(i + k)
		if s.taken[i+k] || got != w && !(k == len(words)-1 && got == w+"s") {
			return 0
		}
	}
	if len(words) == 1 && !s.meansName(i, words[0]) {
		return 0
	}
	return i + len(words)
}

// meansName reports that a word of the calendar, a number or a small word is
// there as the name that it is.
func (s *Found) meansName(i int, word string) bool {
	_, month := span.MonthNames[word]
	_, number := span.NumberWords[word]
	_, day := span.Weekdays[word]
	switch {
	case strings.HasSuffix(s.Span(i, i+1), "'s"), !month && !number && !day:
		return true
	case s.is(i-1, "calendar-leads") || s.is(i+1, "calendar-ends") || i+1 < len(s.Tokens) && s.Tokens[i+1].Kind == span.NumberToken:
		return false
	case number:
		return i == 0 && !s.Any(i+1, "of", "more", "each") && s.Text[s.Tokens[i].Start] < 'a'
	}
	return i == 0 && len(s.Tokens) > 1 && s.Word(1) != "," || s.is(i-1, "name-leads")
}

// partOfDog reports that a word names a dog by a word of its name, or with a
// slip.
func (s *Found) partOfDog(words []string, i int) bool {
	got := s.Word(i)
	if c := s.Tokens[i]; len(got) == 1 && s.Text[c.Start] == strings.ToUpper(got)[0] && !strings.Contains("abcdei", got) { // an initial
		return strings.HasPrefix(words[0], got) && !s.Any(i-1, "vit", "vitamin") && (i == 0 || s.Tokens[i-1].Kind == span.WordToken) && s.Word(i+1) != ","
	}
	if len(words) == 1 {
		name := words[0]
		return s.slip(name, i) || len(got) > 5 && got[len(got)-1] == 's' && s.slip(name+"s", i) ||
			len(got) >= 4 && len(name) > len(got) && (strings.HasPrefix(name, got) || strings.HasSuffix(name, got)) && !s.known(i)
	}
	for _, w := range words {
		if len(w) >= 3 && !language.In("dog-titles", w) && (got == w || got == w+"s") {
			return s.meansName(i, w)
		}
	}
	return false
}

// slip reports that an unknown word is a name of four letters or more typed
// with an error. In a short one only letters change places.
func (s *Found) slip(name string, i int) bool {
	got := s.Word(i)
	if len(name) < 4 || len(got) < 4 || got[0] != name[0] || !nutrition.OneError(got, name) || s.known(i) {
		return false
	}
	return len(name) > 5 || len(got) == len(name) && span.SameLetters(got, name)
}

// known reports that a word is one of the language, or of a phrase of the
// lexicon.
func (s *Found) known(i int) bool {
	return language.Vocabulary()[s.Word(i)] || slices.ContainsFunc(s.spans, func(p rank.Span) bool { return p.From <= i && i < p.To })
}

// partOfRecipe reports that a word tells a recipe by its name.
func (s *Found) partOfRecipe(words []string, i int) bool {
	got := s.Word(i)
	return len(got) >= 3 && !language.In("joints", got) && !language.In("recipe-nouns", got) && !language.In("loose-nouns", got) && slices.ContainsFunc(words, func(w string) bool { return w == got || w == got+"s" || w+"s" == got || len(w) > 4 && s.slip(w, i) })
}

// dog names the dogs that are meant.
func (s *Found) dog(intent string) string {
	var yes, not []string
	last, joined := 0, true
	for _, m := range s.dogs {
		list := &yes
		if m.not {
			list = &not
		} else {
			joined = joined && !s.unread(m) && (len(yes) == 0 || s.joins(last, m.from) || slices.Contains(yes, m.value))
			last = m.to
		}
		*list = span.AddNew(*list, m.value)
	}
	yes = slices.DeleteFunc(yes, func(d string) bool { return slices.Contains(not, d) })
	all := s.everyDog()
	switch {
	case all != "" && len(yes) == 0 && len(not) > 0:
		for _, d := range s.c.Names.Dogs {
			if !slices.Contains(not, d.Name) {
				yes = append(yes, d.Name)
			}
		}
		return strings.Join(yes, ", ")
	case all != "" && len(yes) == 0:
		return all
	case all != "" && len(yes) < len(s.c.Names.Dogs), !joined, len(yes) == 1 && len(s.c.Names.Dogs) > 1 && (s.saysAny("others", "each", "these") >= 0 || s.sayOther()):
		return ""
	}
	return strings.Join(yes, ", ")
}

// sayOther reports that the text has "the other", besides a dog that is named.
func (s *Found) sayOther() bool {
	i := s.saysAny("other")
	return i > 0 && s.Any(i-1, "the", "my", "her", "his")
}

// joins reports that only joining words stand between two tokens. A comma
// alone joins what ends the text; else another clause may begin.
func (s *Found) joins(from, to int) bool {
	for i := from; i < to; i++ {
		if !s.is(i, "name-joints") && s.Word(i) != "," {
			return false
		}
	}
	return to-from != 1 || s.Word(from) != "," || to+1 >= len(s.Tokens) || s.is(to+1, "name-joints") || s.Word(to+1) == ","
}

// unread reports that a name may be one of several, the other not understood.
func (s *Found) unread(m mention) bool {
	unread := func(i int) bool {
		return i >= 0 && i < len(s.Tokens) && !s.taken[i] && s.Tokens[i].Kind == span.WordToken && (!s.known(i) || slices.ContainsFunc(s.c.Names.Dogs, func(d span.Named) bool { return strings.EqualFold(d.Name, s.Word(i)) }))
	}
	return s.is(m.to, "name-joints") && unread(m.to+1) || s.is(m.from-1, "name-joints") && unread(m.from-2)
}

// everyDog is "both" or "all" where every dog of several is meant.
func (s *Found) everyDog() string {
	if len(s.c.Names.Dogs) < 2 {
		return ""
	}
	pair := span.Choose(len(s.c.Names.Dogs) == 2, "both", "all")
	for i := range s.Tokens {
		switch w, next := s.Word(i), s.Word(i+1); {
		case len(s.c.Names.Dogs) > 2 && w == "both": // which two is not said
			return ""
		case w == "bofe", w == "boht", w == "bith":
			return "both"
		case language.In("every-words", w), w == "my" && next == "dogs", (w == "the" || w == "my") && next == "pair", w == "all" && (next == "but" || language.In("not-words", next) || next == "fed"), (w == "the" || w == "all" || w == "my") && s.countsDogs(i+1) && !s.IsUnit(i+2):
			return pair
		}
	}
	return span.Choose(len(span.AllNamed(strings.ToLower(s.Text))) > 0, pair, "")
}

func (s *Found) countsDogs(i int) bool {
	n, end := s.numeral(i)
	return end > 0 && n == float64(len(s.c.Names.Dogs)) && n > 1
}

// recipe names recipes. Where foods are named too, some of a recipe's words
// count only with a word for a recipe beside them.
func (s *Found) recipe(intent string) string {
	var full, part []string
	for _, m := range s.recipes {
		list := &full
		if m.part {
			if language.In("intent:names-food", intent) && !language.In("recipe-nouns", s.Word(m.to)) && !s.is(m.to, "dish-nouns") && !s.is(m.from-1, "in-words") {
				continue
			}
			list = &part
		}
		*list = span.AddNew(*list, m.value)
	}
	if several := intent == "recipe.compare" || intent == "rotation.set" || intent == "shop.list"; several || len(full) == 0 {
		full = span.AddNew(full, part...)
		if !several && len(full) > 1 {
			return ""
		}
	}
	if len(full) > 3 {
		return ""
	}
	return strings.Join(full, ", ")
}
