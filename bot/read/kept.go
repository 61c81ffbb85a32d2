package read

import "slices"

// kept is what Names remember: a text is looked at by one recogniser after
// another, and each needs its words, and those of the same names.
type kept struct {
	dogs, recipes keptNames
	text          string
	words         []word  // with their ids, for nobody to change
	present       wordSet // those that the language has
}

// keptNames are names and what they were split into, for nobody to change.
type keptNames struct {
	of   []Named
	into []name
}

// Keep returns the same names with a memory, so that the next to read the same
// text need not take it and the names apart anew. They are then for one
// goroutine at a time.
func (n Names) Keep() Names {
	n.kept = &kept{}
	return n
}

// dogNames are the names of the dogs, split; nobody changes them.
func (n Names) dogNames() []name {
	if n.kept == nil {
		return readNames(n.Dogs)
	}
	return n.kept.dogs.split(n.Dogs)
}

// recipeNames are the names of the recipes, split; nobody changes them.
func (n Names) recipeNames() []name {
	if n.kept == nil {
		return readNames(n.Recipes)
	}
	return n.kept.recipes.split(n.Recipes)
}

// split splits names that may be those of last time, or others.
func (k *keptNames) split(all []Named) []name {
	if k.into == nil || !slices.Equal(k.of, all) {
		k.of, k.into = slices.Clone(all), readNames(all)
	}
	return k.into
}

// takeApart gives a matcher the words of its text. They are its own to change
// where it says so; else they may be those that were kept.
func (m *matcher) takeApart(own bool) {
	k := m.names.kept
	if k == nil {
		m.words = splitWords(m.text)
		m.lookUp()
		return
	}
	if k.words == nil || k.text != m.text {
		of := matcher{lang: m.lang, words: splitWords(m.text)}
		of.lookUp()
		k.text, k.words, k.present = m.text, of.words, of.present
	}
	m.words, m.present = k.words, k.present
	if own {
		m.words = slices.Clone(k.words)
	}
}
