package read

import (
	"math"
	"slices"
)

// Example is a sentence that is understood, to show.
type Example struct {
	Intent Intent
	Text   string
}

// Nearest returns the k examples whose wordings have most in common with a
// text; a word counts the more, the fewer intents have it. Equal ones, and
// all where nothing is in common, come in the order of the help.
func Nearest(text string, k int) []Example {
	l := language()
	text, _ = firstRunes(text, mostRunes)
	m := matcher{lang: l, text: text, words: splitWords(text)}
	m.lookUp()
	m.loosen()
	scores := make([]float64, len(l.examples))
	for id := range l.counts {
		if !m.present.has(int16(id)) || l.counts[id] == 0 {
			continue
		}
		weight := math.Log(1 + float64(len(l.bags))/float64(l.counts[id]))
		for i := range l.bags {
			if l.bags[i].has(int16(id)) {
				scores[i] += weight
			}
			if l.own[i].has(int16(id)) {
				scores[i] += 2 * weight // an example shows what its intent is mainly about
			}
		}
	}
	order := make([]int, len(scores))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case scores[a] > scores[b]:
			return -1
		case scores[a] < scores[b]:
			return 1
		}
		return 0
	})
	nearest := make([]Example, 0, max(k, 0))
	for _, i := range order[:min(max(k, 0), len(order))] {
		nearest = append(nearest, l.examples[i])
	}
	return nearest
}
