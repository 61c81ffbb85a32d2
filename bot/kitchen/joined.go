package kitchen

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
)

// JoinedWords does two things of the kitchen that are said together, each a sentence of
// its own, and reports whether a text was that.
func JoinedWords(t *talk.Turn, s string) bool {
	if is, whole := t.Understand(s); whole && is.Intent != read.CookDay || strings.Contains(s, "\n") {
		return false
	}
	for _, at := range read.Pattern("joined").FindAllStringIndex(s, -1) {
		first, second := s[:at[0]], s[at[1]:]
		a, isA := t.Understand(first)
		b, isB := t.Understand(second)
		if isA && !isB && a.Intent == read.MakeDays { // "turkey for 8 days and pork for 6"
			b, isB = t.Understand("make " + read.Pattern("bare-days").ReplaceAllString(second, "$1 days"))
		}
		if a.Intent == read.MakeDays && b.Intent == read.BowlAmount && b.Recipe != "" { // "a week of lamb for Pip and turkey for Juniper"
			b.Intent, b.Days = a.Intent, a.Days
		}
		if isA && isB && a.Intent == read.MakeDays && b.Intent == a.Intent {
			t.GoTo(a)
			t.GoTo(b)
			return true
		}
		if !isA || !isB || a.Intent == b.Intent || !ofKitchen(a.Intent) || !ofKitchen(b.Intent) {
			continue
		}
		for i, part := range []string{first, second} {
			t.Event.Text = part
			switch {
			case i == 1 && b.Recipe == "" && a.Recipe != "" && strings.HasPrefix(string(b.Intent), "batch."):
				b.Recipe = a.Recipe
				t.GoTo(b)
			case !ShopWords(t, part):
				talk.Sentence(t, part)
			}
		}
		if t.Talk.Kind == "cooked" {
			t.AskAgain() // what else was said stands between
		}
		return true
	}
	return false
}

// ofKitchen reports that a sentence is about batches, packs, shopping or what it costs.
func ofKitchen(i read.Intent) bool {
	kind, _, _ := strings.Cut(string(i), ".")
	if i == read.Storing {
		return true
	}
	return kind == "batch" || kind == "shop" || kind == "cost"
}
