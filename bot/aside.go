package bot

import (
	"bytes"
	"strings"
)

// aside answers a sentence typed in the middle of a dialogue, keeps the
// dialogue, and reports whether it was one. Where the answer opens a question
// of its own, that one is open from then on, and this one can be gone on with.
func (t *turn) aside(s string) bool {
	if strings.Contains(s, "\n") {
		return false
	}
	if word, rest := cutWord(strings.ToLower(s)); rest != "" && t.reg.commands[word].Aside {
		return t.bareCommand(s)
	}
	before := parked{t.talk.Kind, t.talk.Step, t.talk.Draft}
	if !t.hearAside(s) {
		return false
	}
	t.backTo(before)
	return true
}

// hearAside looks for an answer in the middle of a dialogue.
func (t *turn) hearAside(s string) bool {
	h := t.reg.hears
	for _, news := range h.News {
		if news.Aside && news.Hear(t, s) {
			return true
		}
	}
	return t.sentence(s) || t.hear(h.Dose, s) || t.hear(h.Aside, s) || t.bareWord(s)
}

// backTo opens a question again that something else was answered in between,
// unless that opened another, for which this one is put aside.
func (t *turn) backTo(before parked) {
	asked := t.talk.Kind != "" && (t.talk.Kind != before.Kind || t.talk.Step != before.Step || !bytes.Equal(t.talk.Draft, before.Draft))
	switch {
	case !asked:
		t.talk.Kind, t.talk.Step, t.talk.Draft = before.Kind, before.Step, before.Draft
	case t.talk.Kind == before.Kind && !t.left && t.resumes(before.Kind):
		t.talk.Parked, t.left = &before, true
	}
}

// again asks the open question once more after something else was answered,
// unless that opened another.
func (t *turn) again(ask func()) {
	if t.talk.Kind == t.loaded.Kind && t.talk.Step == t.loaded.Step && !t.left {
		ask()
	}
}

// asked answers a text that is no answer to the open question but something
// else that was asked; the question stays.
func (t *turn) asked(s string) bool {
	if t.aside(s) {
		return true
	}
	before := parked{t.talk.Kind, t.talk.Step, t.talk.Draft}
	if !t.hear(t.reg.hears.Loose, s) { // "vet on Friday 10:00"
		return false
	}
	t.backTo(before)
	return true
}

// bareFirst answers a command's bare word in an open question, which stays
// open. An undo is about the question itself; the others come first where any
// words would be an answer, and but for them the question decides.
func (t *turn) bareFirst(s string) bool {
	word := strings.ToLower(strings.Trim(s, " .!?"))
	_, open := t.reg.forms[t.talk.Kind]
	c, known := t.reg.commands[word]
	if !open || !known {
		return false
	}
	if word == "undo" {
		c.Do(t, "")
		return true
	}
	free := t.answersFreely() || t.talk.Kind == "recipe" && (t.talk.Step == "name" || t.talk.Step == "lines")
	if !free && word != "help" || buttonSaid(t.offered(), word) >= 0 {
		return false
	}
	if t.talk.Kind == "dog" && len(t.home.Dogs) == 0 && strings.HasPrefix(word, "dog") {
		t.askAgain() // it is being added
		return true
	}
	before := parked{t.talk.Kind, t.talk.Step, t.talk.Draft}
	c.Do(t, "")
	t.backTo(before)
	if free {
		t.again(t.askAgain)
	}
	return true
}

// bareWord answers a command's bare word where nothing else was understood.
func (t *turn) bareWord(s string) bool {
	c, known := t.reg.commands[strings.ToLower(strings.Trim(s, " .!?"))]
	if known {
		c.Do(t, "")
	}
	return known
}
