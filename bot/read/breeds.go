package read

import (
	"bowlwright/bot/read/language"
	"strings"
)

// breeds are the names of breeds by their first word.
var breeds = readBreeds()

func readBreeds() map[string][][]string {
	all := map[string][][]string{}
	for _, line := range language.Lines("breeds.txt") {
		words := strings.Fields(line)
		all[words[0]] = append(all[words[0]], words)
	}
	return all
}

// breedAt is the end of the name of a breed at a place, or 0.
func (m *matcher) breedAt(at int) int {
	return m.longestOf(at, breeds[m.at(at)])
}

// withBreeds adds the breeds of one word to words for a dog.
func withBreeds(words map[string]bool) map[string]bool {
	for _, name := range language.Lines("breeds.txt") {
		if !strings.Contains(name, " ") {
			words[name] = true
		}
	}
	return words
}
