package nutrition

import (
	"math/bits"
	"slices"
)

// spelling is a known word, for the correction of typing errors.
type spelling struct {
	text    string
	letters uint32 // which letters occur
	refused bool   // the name of a food that dogs must not eat
}

func lettersOf(s string) (set uint32) {
	for i := range len(s) {
		if c := s[i]; c >= 'a' && c <= 'z' {
			set |= 1 << (c - 'a')
		} else {
			set |= 1 << 31
		}
	}
	return set
}

// allowed returns how many typing errors a word may have: none below four
// letters, one up to six, two in longer words.
func allowed(letters int) int {
	switch {
	case letters < 4:
		return 0
	case letters <= 6:
		return 1
	}
	return 2
}

// maxAlternatives is how many corrections of one word are tried.
const maxAlternatives = 4

// corrections returns the known words that a mistyped one may be: all
// at the least number of errors. A word as near to a refused food as to any
// other is the refused one if it has at least five letters, and nothing if it
// is shorter: a slip must neither make a refused food of a short word nor a
// harmless one of a refused food.
func (x *index) corrections(typed string) (near []string) {
	most := allowed(len(typed))
	if most == 0 || len(typed) > maxSpelling {
		return nil
	}
	set, best, refused := lettersOf(typed), most, false
	for i := range x.spellings {
		s := &x.spellings[i]
		if d := len(s.text) - len(typed); d > best || -d > best {
			continue
		}
		// One error changes at most two members of the set of letters.
		if bits.OnesCount32(s.letters^set) > 2*best {
			continue
		}
		d := errorsBetween(typed, s.text, best)
		if d > best || d > 1 && (s.text[0] != typed[0] || s.refused && len(typed) < 8) {
			continue
		}
		if !s.refused && d > allowed(len(s.text)) {
			continue
		}
		if d < best {
			best, near, refused = d, near[:0], false
		}
		refused = refused || s.refused
		if len(near) < maxAlternatives || s.refused {
			near = append(near, s.text)
		}
	}
	if !refused {
		return near
	}
	kept := near[:0]
	for _, text := range near {
		if len(typed) >= 5 && slices.ContainsFunc(x.rules[text], (*rule).oneWord) {
			kept = append(kept, text)
		}
	}
	return kept[:min(1, len(kept))]
}

const maxSpelling = 24

// OneError reports that two words differ by one letter that is wrong,
// missing, added, or swapped with its neighbour; and not that they are equal.
func OneError(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 || a == b {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	return a[i+1:] == b[i+1:] ||
		i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// errorsBetween returns the Damerau-Levenshtein distance (insertions,
// deletions, substitutions and swaps of neighbours, no substring edited
// twice) of two words of up to maxSpelling bytes, or more than limit where it
// is more.
func errorsBetween(a, b string, limit int) int {
	if d := len(a) - len(b); d > limit || -d > limit || max(len(a), len(b)) > maxSpelling {
		return limit + 1
	}
	var rows [3][maxSpelling + 1]uint8
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := range last {
		last[j] = uint8(j)
	}
	for i := 1; i <= len(a); i++ {
		now[0] = uint8(i)
		for j := 1; j <= len(b); j++ {
			d := last[j-1]
			if a[i-1] != b[j-1] {
				d = min(d, last[j], now[j-1]) + 1
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, before[j-2]+1)
			}
			now[j] = d
		}
		before, last, now = last, now, before
	}
	return int(last[len(b)])
}

// alternative is another correction of a word of the query.
type alternative struct {
	at   int
	text string
}

// mend corrects unknown words where it can, and returns the other corrections
// that are as near.
func (x *index) mend(words []word) (others []alternative) {
	for i := range words {
		w := &words[i]
		if w.text == "" || x.known[w.text] {
			continue
		}
		for j, text := range x.corrections(w.text) {
			if j == 0 {
				w.text = text
			} else {
				others = append(others, alternative{i, text})
			}
		}
	}
	return others
}

// anyOf is what any of some findings may mean: one of them where they agree, a
// choice of all their foods where they do not ("carots": carrot or carob).
func anyOf(findings []Finding) Finding {
	var foods []*Food
	clear := true
	for _, f := range findings {
		if f.Refused != nil {
			return f
		}
		clear = clear && (f.Food != nil || len(f.Choices) > 0)
		for _, food := range slices.Concat([]*Food{f.Food}, f.Choices, f.Nearest) {
			if food != nil && !slices.Contains(foods, food) {
				foods = append(foods, food)
			}
		}
	}
	switch f, ok := choose(foods, findings[0].Ignored); {
	case len(findings) == 1 || !ok:
		return findings[0]
	case clear:
		return f
	}
	return Finding{Nearest: foods[:min(len(foods), maxNearest)]}
}
