package talk

import (
	"bytes"
	"strings"
)

// Aside answers a sentence typed in the middle of a dialogue, keeps the
// dialogue, and reports whether it was one. If the answer asks a question
// itself, that is the open one, and the dialogue goes on after it.
func (t *Turn) Aside(s string) bool {
	if strings.Contains(s, "\n") {
		return false
	}
	if word, rest := CutWord(strings.ToLower(s)); rest != "" && t.reg.Commands[word].Aside {
		return t.bareCommand(s)
	}
	before := t.openNow()
	if !t.hearAside(s) {
		return false
	}
	t.backTo(before)
	return true
}

// hearAside looks for an answer in the middle of a dialogue.
func (t *Turn) hearAside(s string) bool {
	h := t.reg.hears
	for _, news := range h.News {
		if news.Aside && news.Hear(t, s) {
			return true
		}
	}
	return Sentence(t, s) || t.hear(h.Dose, s) || t.hear(h.Aside, s) || t.bareWord(s) || t.asideMeant(s)
}

// backTo reopens a question after something else was answered in between. If
// that opened a question of its own, this one is put aside until it is answered.
func (t *Turn) backTo(before *parked) {
	if t.dropped {
		return
	}
	asked := t.Talk.Kind != "" && (t.Talk.Kind != before.Kind || t.Talk.Step != before.Step || !bytes.Equal(t.Talk.Draft, before.Draft))
	switch {
	case !asked:
		t.Talk.Kind, t.Talk.Step, t.Talk.Draft = before.Kind, before.Step, before.Draft
	case !t.left && t.Resumes(before.Kind):
		t.Talk.Parked, t.left = before, true
	}
	if p := t.Talk.Parked; asked && p != nil && p.Kind == before.Kind && p.Step == before.Step {
		p.Back = true
	}
}

// Again asks the open question once more after something else was answered,
// unless that opened another.
func (t *Turn) Again(ask func()) {
	if t.Talk.Kind == t.loaded.Kind && t.Talk.Step == t.loaded.Step && !t.left {
		ask()
	}
}

// Asked answers a text that is no answer to the open question but something
// else that was asked; the question stays.
func (t *Turn) Asked(s string) bool {
	if t.Aside(s) {
		return true
	}
	before := t.openNow()
	if !t.hear(t.reg.hears.Loose, s) { // "vet on Friday 10:00"
		return false
	}
	t.backTo(before)
	return true
}

// bareFirst answers a command's bare word while a question is open, which stays
// open. An undo is about the question itself. The other commands come first
// only where any words would be an answer; elsewhere the question decides.
func (t *Turn) bareFirst(s string) bool {
	word := strings.ToLower(strings.Trim(s, " .!?"))
	_, open := t.reg.forms[t.Talk.Kind]
	c, known := t.reg.Commands[word]
	if !open || !known {
		return false
	}
	if word == "undo" {
		c.Do(t, "")
		return true
	}
	free := t.takesAnyWords()
	if !free && word != "help" || buttonSaid(t.offered(), word) >= 0 {
		return false
	}
	if t.Talk.Kind == "dog" && len(t.Home.Dogs) == 0 && strings.HasPrefix(word, "dog") {
		t.AskAgain() // it is being added
		return true
	}
	before := t.openNow()
	c.Do(t, "")
	t.backTo(before)
	if free {
		t.Again(t.AskAgain)
	}
	return true
}

// bareWord answers a command's bare word where nothing else was understood.
func (t *Turn) bareWord(s string) bool {
	c, known := t.reg.Commands[strings.ToLower(strings.Trim(s, " .!?"))]
	if known {
		c.Do(t, "")
	}
	return known
}
