package read

import (
	_ "embed"
	"slices"
	"strings"
)

//go:embed language/breeds.txt
var breedsText string

// breeds are the names of breeds by their first word, the longer ones first.
var breeds = readBreeds()

func readBreeds() map[string][][]string {
	all := map[string][][]string{}
	for line := range strings.Lines(breedsText) {
		if words := strings.Fields(line); len(words) > 0 && words[0] != "#" {
			all[words[0]] = append(all[words[0]], words)
		}
	}
	for _, of := range all {
		slices.SortFunc(of, func(a, b []string) int { return len(b) - len(a) })
	}
	return all
}

// breedAt is the end of the name of a breed at a place, or 0.
func (m *matcher) breedAt(at int) int {
	for _, words := range breeds[m.at(at)] {
		if end := m.spells(at, words...); end > 0 {
			return end
		}
	}
	return 0
}

// withBreeds adds the breeds of one word to words for a dog.
func withBreeds(words map[string]bool) map[string]bool {
	for first, of := range breeds {
		if len(of[len(of)-1]) == 1 {
			words[first] = true
		}
	}
	return words
}
