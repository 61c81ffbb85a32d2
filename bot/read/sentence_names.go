package read

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// ref is a stretch of words that means a dog or a recipe; the id is empty
// where it is the one under discussion.
type ref struct {
	end   int
	id    string
	words *Sentence // what a dog is described by; nil where it is not
}

// isDog reports that a dog's name begins at a place.
func (m *matcher) isDog(at int) bool {
	_, is := m.longest(m.dogs, at)
	return is
}

// nearAt returns where a name ends that begins at a place with one typing error,
// or 0: of a word of five letters or more, unless what was typed is another word
// of the language.
func (m *matcher) nearAt(n span.Name, at int) int {
	if at+len(n.Words) > len(m.Tokens) {
		return 0
	}
	errors := 0
	for i := range n.Words {
		want, got := n.Words[i].Text, &m.Tokens[at+i]
		switch {
		case want == got.Text:
		case errors == 0 && slip(got, want):
			errors++
		default:
			return 0
		}
	}
	return at + len(n.Words)
}

// longest returns the longest name that begins at a place; where two names
// fit equally with a typing error, neither.
func (m *matcher) longest(names []span.Name, at int) (ref, bool) {
	id, end := span.LongestAt(names, m.Tokens, at)
	if end > 0 || !m.loose {
		return ref{end: end, id: id}, end > 0
	}
	best, clear := ref{}, false
	for _, n := range names {
		end := m.nearAt(n, at)
		switch {
		case end > best.end:
			best, clear = ref{end: end, id: n.ID}, true
		case end > 0 && end == best.end:
			clear = false
		}
	}
	return best, clear
}

// dogsAt are what can mean a dog at a place, likeliest first: a name, a
// description, a pronoun.
func (m *matcher) dogsAt(at int) (to []ref) {
	if r, ok := m.longest(m.dogs, at); ok {
		to = append(to, r)
	}
	if d, end := m.describedAt(at); end > 0 {
		to = append(to, ref{end: end, words: new(d)})
	}
	switch w := m.Word(at); {
	case language.In("dog-pronouns", w):
		to = append(to, ref{end: at + 1})
	case language.In("owners", w) && dogNouns[m.Word(at+1)]:
		to = append(to, ref{end: at + 2})
	}
	return to
}

// whoseAt are what can mean that something is a dog's: "Juniper's",
// "her", "a 12 kg dog's".
func (m *matcher) whoseAt(at int) (to []ref) {
	for _, r := range m.dogsAt(at) {
		if m.Word(r.end) == "'s" {
			r.end++
			to = append(to, r)
		}
	}
	if id, end := span.PossessedAt(m.dogs, m.Tokens, at); end > 0 {
		to = append(to, ref{end: end, id: id})
	}
	if language.In("whose-pronoun", m.Word(at)) {
		to = append(to, ref{end: at + 1})
	}
	if language.In("owners", m.Word(at)) && m.Word(at+1) == "dogs" {
		to = append(to, ref{end: at + 2})
	}
	return to
}

// recipesAt are what can mean a recipe at a place: its name, some of its
// words and "one" or "recipe", a pronoun; and its words alone where bare.
func (m *matcher) recipesAt(at int, bare bool) (to []ref) {
	to = m.titlesAt(at, to)
	start := at
	if language.In("owners", m.Word(at)) || m.Word(at) == "this" {
		start++
	}
	to = m.distinct(start, bare, to)
	if start > at && language.In("recipe-nouns", m.Word(start)) {
		to = append(to, ref{end: start + 1}) // "the recipe"
	}
	if language.In("recipe-pronouns", m.Word(at)) || m.Word(at) == "recipe" {
		to = append(to, ref{end: at + 1})
	}
	return to
}

// nearName reports that a word is one typing error away from one of a name.
func nearName(names []span.Name, w *span.Token) bool {
	near := func(want span.Token) bool { return slip(w, want.Text) }
	return slices.ContainsFunc(names, func(n span.Name) bool { return slices.ContainsFunc(n.Words, near) })
}

// titlesAt appends the recipe whose full name stands at a place.
func (m *matcher) titlesAt(at int, to []ref) []ref {
	start := at
	if language.In("owners", m.Word(at)) {
		start++
	}
	r, ok := m.longest(m.recipes, start)
	if !ok && start > at {
		r, ok = m.longest(m.recipes, at) // "The brown stew"
	}
	if !ok {
		return to
	}
	if language.In("recipe-nouns", m.Word(r.end)) {
		to = append(to, ref{end: r.end + 1, id: r.id})
	}
	return append(to, r)
}

// distinct appends the recipe that some words of its name mean, where no
// other recipe has them all: "the turkey one", "turkey recipe".
func (m *matcher) distinct(at int, bare bool, to []ref) []ref {
	var found []ref
	telling := false
	for end := at + 1; end <= len(m.Tokens) && end-at <= 6; end++ {
		telling = telling || !language.In("joints", m.Tokens[end-1].Text)
		has := func(n span.Name) bool { return m.within(at, end, n) }
		first := slices.IndexFunc(m.recipes, has)
		if first < 0 {
			break
		}
		if !telling || slices.ContainsFunc(m.recipes[first+1:], has) {
			continue
		}
		id := m.recipes[first].ID
		if end < len(m.Tokens) && language.In("recipe-nouns", m.Tokens[end].Text) {
			found = append(found, ref{end: end + 1, id: id})
		}
		if _, ofDog := span.LongestAt(m.dogs, m.Tokens, at); bare && ofDog != end { // "show Pip" is the dog, not Pip's dinner
			found = append(found, ref{end: end, id: id})
		}
	}
	slices.Reverse(found)
	return append(to, found...)
}

// within reports that every word of a stretch is a word of a name.
func (m *matcher) within(at, end int, n span.Name) bool {
	return !slices.ContainsFunc(m.Tokens[at:end], func(got span.Token) bool {
		is := func(w span.Token) bool { return w.Text == got.Text || m.loose && slip(&got, w.Text) }
		return !slices.ContainsFunc(n.Words, is)
	})
}

// breeds are the names of breeds by their first word; dogNouns stand for the dog under
// discussion, the breeds of one word among them.
var breeds, dogNouns = func() (breeds map[string][][]string, nouns map[string]bool) {
	breeds, nouns = map[string][][]string{}, language.SetOf("dog", "pup", "puppy", "doggo", "doggy", "girl", "boy", "bitch", "pooch", "hound")
	for _, name := range language.Lines("breeds.txt") {
		words := strings.Fields(name)
		breeds[words[0]] = append(breeds[words[0]], words)
		nouns[name] = nouns[name] || len(words) == 1
	}
	return breeds, nouns
}()

// breedAt is the end of the name of a breed at a place, or 0.
func (m *matcher) breedAt(at int) int {
	return m.LongestOf(at, breeds[m.Word(at)])
}

// means sets the dog or recipe that a slot means, and reports that this settles it:
// a recipe under discussion may still be told by its name.
func (s *Sentence) means(of slot, r ref) (settled bool) {
	switch of {
	case "recipe", "mix", "title":
		s.Recipe = cmp.Or(s.Recipe, r.id)
	case "othermix", "taker":
		s.Other = cmp.Or(s.Other, r.id)
	case "own":
		s.Own = r.id
	default:
		d := cmp.Or(r.words, &Sentence{})
		s.Dog, s.Stage = r.id, d.Stage
		s.Weight, s.Activity, s.Condition, s.Years = cmp.Or(d.Weight, s.Weight), d.Activity, d.Condition, d.Years
		s.Imperial = s.Imperial || d.Imperial
		return true
	}
	return false
}
