package read

import (
	"bowlwright/bot/read/language"
	"regexp"
	"strings"
	"sync"
)

// fullLine is a sentence that says a reading in full.
type fullLine struct {
	sentence string
	slot     string // whose value has one of words; empty: there is no condition
	words    []string
}

var fullLines = sync.OnceValue(func() map[string][]fullLine {
	m := map[string][]fullLine{}
	for _, line := range language.Lines("full.txt") {
		intent, rest, _ := strings.Cut(line, ": ")
		sentence, condition, _ := strings.Cut(rest, " | ")
		slot, words, _ := strings.Cut(condition, "=")
		m[intent] = append(m[intent], fullLine{sentence, slot, strings.Fields(words)})
	}
	return m
})

// anOption is a part of a sentence that is left out where its slot is not named.
var anOption = regexp.MustCompile(`\[[^\]]*\]`)

var aSlot = regexp.MustCompile(`\{[a-z]+\}`)

// InFull says a reading in full, by a sentence that is understood exactly;
// empty where there is none with what the reading names.
func (r Reading) InFull() string {
	for _, l := range fullLines()[r.Intent] {
		if text, ok := l.fill(r.Slots); ok {
			return text
		}
	}
	return ""
}

func (l *fullLine) fill(slots map[string]string) (text string, ok bool) {
	if l.slot != "" && !l.holds(slots[l.slot]) {
		return "", false
	}
	ok = true
	sentence := anOption.ReplaceAllStringFunc(l.sentence, func(s string) string {
		if slots[aSlot.FindString(s)[1:len(aSlot.FindString(s))-1]] == "" {
			return ""
		}
		return s[1 : len(s)-1]
	})
	text = aSlot.ReplaceAllStringFunc(sentence, func(s string) string {
		v := slots[s[1:len(s)-1]]
		if v == "" {
			ok = false
		}
		return v
	})
	return text, ok
}

// holds reports that one of the words of a condition stands in a value.
func (l *fullLine) holds(value string) bool {
	value = strings.ToLower(value)
	for _, w := range l.words {
		if w == value || strings.HasPrefix(w, "/") && strings.Contains(value, w) {
			return true
		}
		for _, v := range strings.FieldsFunc(value, func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.') }) {
			if v == w {
				return true
			}
		}
	}
	return false
}
