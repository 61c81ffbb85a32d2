package read

import "slices"

// Words of lists.txt.
var (
	dogPronouns    = listed("dog-pronouns")
	whosePronoun   = listed("whose-pronoun")
	owners         = listed("owners")
	recipePronouns = listed("recipe-pronouns")
	recipeNouns    = listed("recipe-nouns")
	joints         = listed("joints")
)

// name is a name of the household, split into words.
type name struct {
	id    string
	words []word
}

// splitNames splits names. One without a letter or digit names nothing.
func splitNames(named []Named) []name {
	names := make([]name, 0, len(named))
	for _, n := range named {
		text, _ := firstRunes(n.Name, 80)
		if w := splitWords(text); len(w) > 0 {
			names = append(names, name{n.ID, w})
		}
	}
	return names
}

// ref is a stretch of words that means a dog or a recipe; the id is empty
// where it is the one under discussion.
type ref struct {
	end   int
	id    string
	words describedDog
}

// isDog reports that a dog's name begins at a place.
func (m *matcher) isDog(at int) bool {
	return slices.ContainsFunc(m.dogs, func(n name) bool { return m.nameAt(n, at, false) > 0 })
}

// nameAt returns where a name that begins at a place ends, or 0. A name of
// five letters or more may have one typing error, unless what was typed is
// another word of the language.
func (m *matcher) nameAt(n name, at int, loose bool) int {
	if at+len(n.words) > len(m.words) {
		return 0
	}
	errors := 0
	for i := range n.words {
		want, got := n.words[i].text, &m.words[at+i]
		switch {
		case want == got.text:
		case loose && errors == 0 && len(want) >= fewestLetters && got.id == notKnown && oneError(got.text, want):
			errors++
		default:
			return 0
		}
	}
	return at + len(n.words)
}

// longest returns the longest name that begins at a place; where two names
// fit equally with a typing error, neither.
func (m *matcher) longest(names []name, at int) (ref, bool) {
	best, loose := ref{}, false
	for _, n := range names {
		if end := m.nameAt(n, at, false); end > best.end {
			best = ref{end: end, id: n.id}
		}
	}
	if best.end > 0 || !m.loose {
		return best, best.end > 0
	}
	for _, n := range names {
		end := m.nameAt(n, at, true)
		switch {
		case end > best.end:
			best, loose = ref{end: end, id: n.id}, true
		case end > 0 && end == best.end:
			loose = false
		}
	}
	return best, loose
}

// possessed returns the dog whose name is typed with an s and no
// apostrophe: "Pips dinner".
func (m *matcher) possessed(at int) (ref, bool) {
	for _, n := range m.dogs {
		last := len(n.words) - 1
		if at+last >= len(m.words) || m.words[at+last].text != n.words[last].text+"s" {
			continue
		}
		begin := name{n.id, n.words[:last]}
		if last == 0 || m.nameAt(begin, at, false) > 0 {
			return ref{end: at + last + 1, id: n.id}, true
		}
	}
	return ref{}, false
}

// words that stand for the dog under discussion.
var (
	dogNouns = withBreeds(setOf("dog", "pup", "puppy", "doggo", "doggy", "girl", "boy", "bitch", "pooch", "hound"))
)

func setOf(words ...string) map[string]bool {
	set := make(map[string]bool, len(words))
	for _, w := range words {
		set[w] = true
	}
	return set
}

// dogsAt appends what can mean a dog at a place, likeliest first: a name, a
// description, a pronoun.
func (m *matcher) dogsAt(at int, to []ref) []ref {
	if at >= len(m.words) {
		return to
	}
	if r, ok := m.longest(m.dogs, at); ok {
		to = append(to, r)
	}
	if d, end := m.describedAt(at); end > 0 {
		to = append(to, ref{end: end, words: d})
	}
	switch w := m.words[at].text; {
	case dogPronouns[w]:
		to = append(to, ref{end: at + 1})
	case owners[w] && at+1 < len(m.words) && dogNouns[m.words[at+1].text]:
		to = append(to, ref{end: at + 2})
	}
	return to
}

// whoseAt appends what can mean that something is a dog's: "Juniper's",
// "her", "a 12 kg dog's".
func (m *matcher) whoseAt(at int, to []ref) []ref {
	if at >= len(m.words) {
		return to
	}
	for _, r := range m.dogsAt(at, nil) {
		if r.end < len(m.words) && m.words[r.end].text == "'s" {
			r.end++
			to = append(to, r)
		}
	}
	if r, ok := m.possessed(at); ok {
		to = append(to, r)
	}
	if whosePronoun[m.words[at].text] {
		to = append(to, ref{end: at + 1})
	}
	if owners[m.words[at].text] && at+1 < len(m.words) && m.words[at+1].text == "dogs" {
		to = append(to, ref{end: at + 2})
	}
	return to
}

// recipesAt appends what can mean a recipe at a place: its name, some of its
// words and "one" or "recipe", a pronoun; and its words alone where bare.
func (m *matcher) recipesAt(at int, bare bool, to []ref) []ref {
	if at >= len(m.words) {
		return to
	}
	to = m.titlesAt(at, to)
	start := at
	if owners[m.at(at)] || m.at(at) == "this" {
		start++
	}
	to = m.distinct(start, bare, to)
	if start > at && recipeNouns[m.at(start)] {
		to = append(to, ref{end: start + 1}) // "the recipe"
	}
	if recipePronouns[m.at(at)] || m.at(at) == "recipe" {
		to = append(to, ref{end: at + 1})
	}
	return to
}

// nearName reports that a word is one typing error away from one of a name.
func nearName(names []name, w *word) bool {
	for _, n := range names {
		for i := range n.words {
			if want := n.words[i].text; len(want) >= fewestLetters && oneError(w.text, want) {
				return true
			}
		}
	}
	return false
}

// titlesAt appends the recipe whose full name stands at a place.
func (m *matcher) titlesAt(at int, to []ref) []ref {
	start := at
	if owners[m.at(at)] {
		start++
	}
	r, ok := m.longest(m.recipes, start)
	if !ok && start > at {
		r, ok = m.longest(m.recipes, at) // "The brown stew"
	}
	if !ok {
		return to
	}
	if recipeNouns[m.at(r.end)] {
		to = append(to, ref{end: r.end + 1, id: r.id})
	}
	return append(to, r)
}

// distinct appends the recipe that some words of its name mean, where no
// other recipe has them all: "the turkey one", "turkey recipe".
func (m *matcher) distinct(at int, bare bool, to []ref) []ref {
	var shortest [4]ref
	found := shortest[:0]
	telling := false
	for end := at + 1; end <= len(m.words) && end-at <= 6; end++ {
		telling = telling || !joints[m.words[end-1].text]
		id, unique := "", false
		for _, n := range m.recipes {
			if !m.within(at, end, n) {
				continue
			}
			unique = id == ""
			id = n.id
			if !unique {
				break
			}
		}
		if id == "" {
			break
		}
		if !unique || !telling {
			continue
		}
		if end < len(m.words) && recipeNouns[m.words[end].text] {
			found = append(found, ref{end: end + 1, id: id})
		}
		if bare {
			found = append(found, ref{end: end, id: id})
		}
	}
	slices.Reverse(found)
	return append(to, found...)
}

// within reports that every word of a stretch is a word of a name.
func (m *matcher) within(at, end int, n name) bool {
	for i := at; i < end; i++ {
		got := &m.words[i]
		if !slices.ContainsFunc(n.words, func(w word) bool {
			return w.text == got.text ||
				m.loose && len(w.text) >= fewestLetters && got.id == notKnown && oneError(got.text, w.text)
		}) {
			return false
		}
	}
	return true
}
