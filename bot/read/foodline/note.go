package foodline

import (
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Note is what an author writes down of a recipe: "note on kelp: for iodine".
type Note struct {
	Method bool   // it says how the recipe is made
	About  string // the recipe or food that is named, as typed; empty: none is
	Bare   bool   // "method Stew": it may be the name of a recipe, or no method
	Text   string // as typed
}

// NoteText reads a method or a note on a food: what it is and of what, a colon,
// and the text, however long.
func NoteText(text string) (Note, bool) {
	text = language.Without("the-thing", strings.TrimSpace(text))
	head, said, ok := strings.Cut(text, ":")
	if m := language.Pattern("method-is").FindStringSubmatch(text); m != nil && !ok {
		head, said, ok = m[1], m[2], true
	}
	if !ok || strings.Contains(head, "\n") {
		return Note{}, false
	}
	words := strings.Fields(head)
	if len(words) == 0 {
		return Note{}, false
	}
	n := Note{Text: strings.TrimSpace(said)}
	first := strings.ToLower(words[0])
	switch {
	case language.In("method-words", first):
		n.Method = true
	case !language.In("note-words", first):
		return Note{}, false
	}
	about := words[1:]
	if len(about) > 0 && language.In("note-about", strings.ToLower(about[0])) {
		if about = about[1:]; len(about) == 0 {
			return Note{}, false
		}
	} else if n.Bare = len(about) > 0; n.Bare && !n.Method {
		return Note{}, false
	}
	n.About = language.Without("the-thing", strings.Join(about, " "))
	return n, true
}

// methodAt reads the paragraph of a recipe that says how it is made, "Method: ..."
// with what follows, up to a line that is an ingredient. It returns the line after
// it, 0 where there is none.
func methodAt(lines []string, from int, t *nutrition.Table) (text string, end int) {
	head, said, ok := strings.Cut(trimBullet(lines[from], false), ":")
	if !ok || !language.In("method-words", strings.ToLower(strings.Trim(head, " #*"))) {
		return "", 0
	}
	for end = from + 1; end < len(lines) && !isIngredient(lines[end], t); end++ {
		said += "\n" + lines[end]
	}
	return strings.TrimSpace(said), end
}

// isIngredient reports that a line within a method is none of its steps: it begins
// with an amount, and names a food.
func isIngredient(line string, t *nutrition.Table) bool {
	line = strings.TrimLeft(line, " -*\t")
	number := len(line) - len(strings.TrimLeft(line, "0123456789"))
	if number == 0 || strings.HasPrefix(line[number:], ". ") || strings.HasPrefix(line[number:], ")") { // "1. Brown it"
		return false
	}
	_, p := parseLine(line, t, nil)
	return p == nil || p.Code == span.RefusedFood
}

// WhoAndWhen cuts "Dr Ada Finn in March 2026" where a time is said; the time
// keeps its word before it.
func WhoAndWhen(text string) (who, when string) {
	text = strings.Join(strings.Fields(strings.Trim(text, " .,!")), " ")
	at := -1
	for _, before := range []string{" in ", " on ", ", ", " at "} {
		if i := strings.LastIndex(text, before); i > at && strings.ContainsAny(text[i:], "0123456789") {
			at = i
		}
	}
	if at < 0 {
		return text, ""
	}
	return text[:at], strings.Trim(text[at:], " ,")
}
