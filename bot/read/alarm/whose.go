package alarm

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// dogAt is a dog of the household where it is named in a text.
type dogAt struct {
	id    string
	at    int  // its word
	whose bool // it is said to be of the dog
}

// givesName reports that a word is the name that a dog is given: "dog Raisin
// 9 kg", "a dog called Lily".
func givesName(text string, words []span.Token, at int) bool {
	first, _ := utf8.DecodeRuneInString(text[words[at].Start:])
	if at == 0 || !unicode.IsUpper(first) {
		return false
	}
	before, weighs := words[at-1].Text, at+1 < len(words) && words[at+1].IsFigure()
	return before == "called" || before == "named" || before == "dog" && at == 1 && weighs
}

// all reports that nothing stands beside a part of the text but words that say
// little, and of it how much and which kind.
func (h *hearing) all(from, to int) bool {
	for i := range h.words {
		if (i < from || i >= to) && !h.book.has("skip", h.words[i].Text) && !h.book.has("sort", h.words[i].Text) && !h.words[i].IsFigure() {
			return false
		}
	}
	return true
}

// wholly reports that a text is a wording of a list, with nothing but words
// that say little and the same again.
func (h *hearing) wholly(list string) bool {
	found := false
	for at := 0; at < len(h.words); {
		end := h.at(list, at)
		switch {
		case end > 0:
			found, at = true, end
		case h.book.has("skip", h.words[at].Text) || h.book.has("calling", h.words[at].Text):
			at++
		default:
			return false
		}
	}
	return found
}

// owners are those of the dogs that are named whose the signs and dangers are;
// all where that cannot be told.
func (h *hearing) owners(named []string) (of []string) {
	if h.says("alike") {
		return named
	}
	add := func(at int) { of = span.AddNew(of, h.nearest(at)...) }
	signs := func(from Level) {
		for _, r := range h.signs {
			if r.level >= from && h.fits(r) {
				add(h.fitsAt)
			}
		}
	}
	signs(Watch + 1)
	for _, e := range h.things() {
		if h.had(e) {
			add(e.start)
		}
	}
	if len(of) == 0 {
		signs(Watch)
	}
	return span.Choose(len(of) == 0, named, of)
}

// nearest are the dogs that are named last before a place, joined by nothing
// or "and"; else the one that is named first after it.
func (h *hearing) nearest(at int) (ids []string) {
	last := -1
	for i, d := range h.dogs {
		if d.at <= at {
			last = i
		}
	}
	if last < 0 {
		return []string{h.dogs[0].id}
	}
	ids = append(ids, h.dogs[last].id)
	for i := last; i > 0; i-- {
		gap := h.dogs[i].at - h.dogs[i-1].at
		if gap > 2 || gap == 2 && (h.words[h.dogs[i].at-1].Text != "and" || h.words[h.dogs[i].at-1].Comma) {
			break
		}
		ids = append(ids, h.dogs[i-1].id)
	}
	return ids
}

// unknownName is the name that a text begins with of what it tells: a word that none of
// the lists has, nor is near or part of the name of a dog, with what a dog does after it.
func (h *hearing) unknownName(text string, dogs []span.Named) string {
	at := h.at("before-name", 0)
	if at+1 >= len(h.words) || !h.book.has("name-does", h.words[at+1].Text) {
		return ""
	}
	w := h.words[at]
	of := func(d span.Named) bool {
		return slices.ContainsFunc(strings.Fields(strings.ToLower(d.Name)), func(name string) bool {
			return strings.Contains(name, w.Text) || nutrition.OneError(w.Text, name)
		})
	}
	if w.IsFigure() || h.book.known[w.Text] || h.book.has("no-name", w.Text) || slices.ContainsFunc(dogs, of) {
		return ""
	}
	name := text[w.Start:]
	return name[:strings.IndexFunc(name+" ", func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })]
}
