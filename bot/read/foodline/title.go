package foodline

import (
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// cutTitle takes the name from a line that is marked as one. A comment is a
// name in the first line only.
func cutTitle(line string, first bool) (string, bool) {
	if strings.HasPrefix(line, "#") {
		return span.JoinFields(strings.TrimLeft(line, "# ")), true
	}
	const mark = "recipe:"
	if first && len(line) > len(mark) && strings.EqualFold(line[:len(mark)], mark) {
		return span.JoinFields(line[len(mark):]), true
	}
	return "", false
}

// heading takes a line that ends in a colon: the recipe's name where it is the
// first, or a heading, which may not be the name of a food that lacks its
// amount.
func (r *reader) heading(words string, first bool) bool {
	if language.In("plain-headings", strings.ToLower(words)) {
		return true
	}
	l := ReadLine(words)
	if len(l.Amounts) > 0 || len(l.facts) > 0 || l.Code != "" {
		return false
	}
	if first {
		r.Name = span.JoinFields(words)
		return r.Name != ""
	}
	return !r.table.Find(words).Known()
}

// untitled is a line without the name or the heading before its colon: "Fish
// day: 500 g salmon, 2 eggs". The name of a food is that only where several
// foods come after it: in "beef heart: 500 g, diced" it is the food itself, and
// before what a label says it is the product.
func (r *reader) untitled(line string, first bool) string {
	before, after, ok := strings.Cut(line, ":")
	before = strings.Trim(before, "#* ")
	if !ok || before == "" {
		return line
	}
	plain := language.In("plain-headings", strings.ToLower(before))
	if l := ReadLine(before); !plain && (!first || r.Name != "" || len(l.Amounts)+len(l.facts) > 0 || l.Code != "") {
		return line
	}
	foods := 0
	for _, part := range splitLine(after, r.table) {
		got, p := parseLine(part, r.table, nil)
		if p == nil && got.Ingredient != nil && len(got.Ingredient.Label) == 0 || p != nil && (p.Code == span.AmbiguousFood || p.Code == span.RefusedFood) {
			foods++
		}
	}
	if foods == 0 || r.table.Find(before).Known() && !plain && foods == 1 {
		return line
	}
	if !plain {
		r.Name = span.JoinFields(before)
	}
	return strings.TrimSpace(after)
}
