package say

import (
	"slices"
	"strings"
	"testing"
)

func TestFirstScreen(t *testing.T) {
	many := strings.TrimSuffix(strings.Repeat("a line\n", 20), "\n")
	for _, c := range []struct {
		name        string
		body        []Block
		lines, left int // of prose on the first screen; of all text on it
		cut         bool
	}{
		{"short", []Block{Para("one"), Waits("two")}, 2, 2, false},
		{"prose that waits is cut at a line", []Block{Para("one"), Waits(many)}, 12, 12, true},
		{"what is whole takes no room", []Block{Whole(many), Para("one"), Waits(many)}, 12, 32, true},
		{"what does not wait is never cut", []Block{Para(many), Waits("more")}, 20, 20, true},
		{"a line is never split", []Block{Para(strings.Repeat("a line\n", 10) + "a line"), Waits(strings.Repeat("word ", 20))}, 11, 11, true},
		{"what is cut stays cut", []Block{Para("one"), Waits(many), Waits("a last word")}, 12, 12, true},
	} {
		first, cut := FirstScreen(c.body)
		left := 0
		for _, b := range first {
			left += strings.Count(b.Text, "\n") + 1
		}
		if n := ProseLines(first); n != c.lines || left != c.left || cut != c.cut {
			t.Errorf("%s: %d lines of prose, %d in all, cut %v; want %d, %d, %v", c.name, n, left, cut, c.lines, c.left, c.cut)
		}
	}
}

func TestLinesAreWrappedByWords(t *testing.T) {
	for text, want := range map[string]int{
		"short": 1, "one\ntwo": 2,
		strings.Repeat("x", 40): 1, strings.Repeat("x", 40) + " y": 2,
		strings.Repeat("four ", 8) + "four": 2, // nine of them and the spaces between are 44 characters
	} {
		if n := ProseLines([]Block{Para(text)}); n != want {
			t.Errorf("%q takes %d lines, want %d", text, n, want)
		}
	}
}

func TestAdviceToSeeAVetNeverWaits(t *testing.T) {
	many := strings.Repeat("a line\n", 20)
	r := Reply{Body: []Block{Waits(many), Waits(vetFrom + "Please see a vet." + vetTo)}}
	OneVet(&r)
	first, _ := FirstScreen(r.Body)
	if !slices.ContainsFunc(first, func(b Block) bool { return b.Text == "Please see a vet." }) {
		t.Errorf("the advice is hidden: %+v", first)
	}
}
