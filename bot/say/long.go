package say

import (
	"strings"
	"unicode/utf8"
)

// A reply fits the screen of a phone: its prose has at most MostLines lines of
// LineWidth characters (our own choice).
const (
	MostLines = 12
	LineWidth = 40
)

// Whole is a paragraph that is never cut, however long: amounts, doses, lines of
// a recipe, a list that was asked for, cautions, what is urgent.
func Whole(s string) Block { return Block{Text: s, Whole: true} }

// Waits is a paragraph that may wait behind a button, from its end, where the
// reply is longer than a screen. No warning does.
func Waits(s string) Block { return Block{Text: s, Waits: true} }

// ProseLines is how many lines the prose of a reply takes on a phone, without
// tables and what is whole by right.
func ProseLines(body []Block) int {
	n := 0
	for _, b := range body {
		if !b.Table && !b.Whole && b.Text != "" {
			n += linesOf(b.Text)
		}
	}
	return n
}

func linesOf(s string) int {
	n := 0
	for line := range strings.SplitSeq(s, "\n") {
		n++
		used := 0
		for w := range strings.FieldsSeq(line) {
			long := utf8.RuneCountInString(w)
			if used > 0 && used+1+long > LineWidth {
				n, used = n+1, 0
			}
			used += long + min(used, 1)
		}
	}
	return n
}

// FirstScreen is the body of a reply without the lines that have to wait, from
// the last on; all of it where it fits.
func FirstScreen(body []Block) (first []Block, cut bool) {
	room := MostLines
	for _, b := range body {
		if !b.Waits {
			room -= ProseLines([]Block{b})
		}
	}
	for _, b := range body {
		if b.Waits && b.Table && room < linesOf(b.Text) { // half a table says nothing
			room, cut, b.Text = -1, true, ""
		}
		if b.Waits {
			var kept []string
			for line := range strings.SplitSeq(b.Text, "\n") {
				if room -= linesOf(line); room < 0 {
					cut = true
					break
				}
				kept = append(kept, line)
			}
			b.Text = strings.Join(kept, "\n")
		}
		if b.Text != "" {
			first = append(first, b)
		}
	}
	return first, cut
}
