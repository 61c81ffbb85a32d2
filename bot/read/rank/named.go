package rank

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/span"
)

// Named is what a text calls a dog that is not of the household.
type Named struct {
	Name string // as it is typed
	From int    // where it stands, in bytes
	P    float64
}

// To is where a name ends, in bytes.
func (n *Named) To() int { return n.From + len(n.Name) }

// Names are what a text calls dogs that the household does not have, in the order of
// the text; where no word is likely enough, the likeliest alone.
func (m *Model) Names(in *Input) (all []Named) {
	t := readText(in, m.speller)
	var best Named
	for at := range t.tokens {
		is := &t.tokens[at]
		if is.typed == "" {
			continue
		}
		n := Named{in.Text[is.from:is.end], is.from, m.Calls.rank(t.nameFeatures(at))[slices.Index(m.Calls.Intents, "name")]}
		if n.P > best.P {
			best = n
		}
		last, between := len(all)-1, ""
		if last >= 0 {
			between = strings.TrimSpace(in.Text[all[last].To():is.from])
		}
		switch {
		case (n.P >= inList || is.as == unknown) && between != "," && span.JoinsNames(between): // "Sela and Knut"
			all = append(all, n)
		case n.P < FromName:
		case last >= 0 && between == "": // "Mrs Doyle"
			all[last] = Named{in.Text[all[last].From:is.end], all[last].From, min(all[last].P, n.P)}
		default:
			all = append(all, n)
		}
	}
	if len(all) == 0 && best.P > 0 {
		return []Named{best}
	}
	return all
}

// FromName is how likely a word must be a name where there are several, inList one that
// is known, behind another name and "and" (our own choices, by hands left out).
const (
	FromName = 0.3
	inList   = 0.015
)

// nameFeatures are those of a word that may be a dog's name: itself, how it is
// written, and what stands around it.
func (t *text) nameFeatures(at int) []Feature {
	s := seen{}
	is := &t.tokens[at]
	shape, known := "small", "known"
	if first, _ := utf8.DecodeRuneInString(t.in.Text[is.from:]); unicode.IsUpper(first) {
		shape = span.Choose(at == 0 || strings.Contains(".!?\n", t.tokens[at-1].as), "begins", "capital")
	}
	if is.as == unknown {
		known = "unknown"
	}
	s.add(nameItself, shape, known)
	s.add(nameItself, shape, known, strconv.FormatBool(t.in.Text == strings.ToLower(t.in.Text)))
	s.add(nameItself, is.as)
	s.add(nameItself, "kinds", strconv.Itoa(len(is.kinds)))
	for _, k := range is.kinds {
		s.add(nameItself, "kind", k)
	}
	s.group()
	t.nextToName(&s, at, shape, known)
	for i := max(0, at-6); i < min(len(t.tokens), at+7); i++ {
		where := span.Choose(i > at, "behind", "before")
		if i != at {
			s.add(nameNear, where, t.tokens[i].as)
			for _, k := range t.tokens[i].roles() {
				s.add(nameNear, where, "kind", k)
			}
		}
	}
	s.group()
	s.add(nameNear, "place", lengthClass(at+1))
	s.add(nameNear, "long", lengthClass(len(t.tokens)))
	s.add(nameNear, "place", lengthClass(at+1), lengthClass(len(t.tokens)), known)
	s.group()
	return s.out
}

// nextToName are the features of what stands beside a word.
func (t *text) nextToName(s *seen, at int, shape, known string) {
	beside := func(by int) *seenToken {
		if i := at + by; i >= 0 && i < len(t.tokens) {
			return &t.tokens[i]
		}
		return &edge
	}
	for _, by := range []int{-3, -2, -1, 1, 2, 3} {
		x, where := beside(by), strconv.Itoa(by)
		s.add(nameBeside, where, x.as)
		s.add(nameBeside, where, x.as, known)
		s.add(nameBeside, where, x.as, shape)
		for _, k := range x.roles() {
			s.add(nameBeside, where, "kind", k)
			s.add(nameBeside, where, "kind", k, shape, known)
		}
	}
	s.group()
	before, next := beside(-1), beside(1)
	s.add(nameBeside, "two", beside(-2).as, before.as)
	s.add(nameBeside, "three", beside(-3).as, beside(-2).as, before.as)
	s.add(nameBeside, "next", next.as, beside(2).as)
	s.add(nameBeside, "both", before.as, next.as)
	for _, k := range before.roles() {
		for _, j := range next.roles() {
			s.add(nameBeside, "both kinds", k, j)
		}
		s.add(nameBeside, "kind", k, next.as)
	}
	for _, j := range next.roles() {
		s.add(nameBeside, before.as, "kind", j)
	}
	s.group()
}

// edge stands where a text has no further word.
var edge = seenToken{as: "^"}

// fitCalls fits what tells a dog's name from other words: to the messages that
// introduce one or name it anew, those of households without a dog, and some of the
// rest.
func (m *Model) fitCalls(all []Wording) (err error) {
	var rows []Example
	for i := range all {
		w := &all[i]
		if w.newNames() != nil || len(w.Dogs) == 0 || w.Dogs[0] == "-" || hashOf(aWord, w.ID)>>8%40 == 0 {
			rows = append(rows, m.nameExamples(w)...)
		}
	}
	m.Calls, err = fit(rows, Plan{5, 1, 80}) // chosen by leaving out hands
	return err
}

// newNames are the names that a wording gives to dogs.
func (w *Wording) newNames() (all []string) {
	for _, s := range w.Says {
		if name, ok := s.Slots["name"].(string); ok && (s.Intent == "dog.add" || s.Intent == "dog.set") {
			for n := range strings.SplitSeq(name, ",") {
				all = append(all, strings.TrimSpace(n))
			}
		}
	}
	return all
}

// nameExamples are the words of a wording, those of new names as such.
func (m *Model) nameExamples(w *Wording) (all []Example) {
	in, names := w.Input, w.newNames()
	in.Dogs = slices.DeleteFunc(slices.Clone(in.Dogs), func(d string) bool {
		return slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, d) })
	})
	tokens := Tokens(w.Text)
	named := make([]bool, len(tokens))
	name(tokens, names, "", named, make([]string, len(tokens)))
	t := readText(&in, m.speller)
	for at := range t.tokens {
		s := &t.tokens[at]
		if s.typed == "" {
			continue
		}
		token := slices.IndexFunc(tokens, func(x span.Token) bool { return x.Start == s.from })
		all = append(all, Example{t.nameFeatures(at), span.Choose(named[token], aName, noName)})
	}
	return all
}

var aName, noName = map[string]float64{"name": 1}, map[string]float64{"no": 1}
