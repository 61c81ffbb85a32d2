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
	switch word, rest := cutWord(strings.ToLower(s)); {
	case rest != "" && (word == "rotation" || word == "transition"):
		return t.bareCommand(s)
	}
	before := parked{t.talk.Kind, t.talk.Step, t.talk.Draft}
	if !t.dangerAsked(s) && !t.rotationWords(s) && !t.transitionWords(s) && !t.treatWords(s) && !t.dueWords(s) && !t.givenWords(s) && !t.weighWords(s) && !t.boneToCook(s) && !t.sentence(s) && !t.doseWords(s) && !t.signAside(s) {
		return false
	}
	t.backTo(before)
	return true
}

// signAside hears a mild sign in what is no answer to an open question: not in
// words that are kept as they are, nor in a line of a recipe.
func (t *turn) signAside(s string) bool {
	switch t.talk.Kind {
	case "dog", "dog-edit", "remind":
		if t.talk.Step == "name" || t.talk.Step == "health" || t.talk.Step == "text" {
			return false
		}
	case "recipe":
		if strings.ContainsAny(s, "0123456789") || t.foods.Find(s).Food != nil {
			return false
		}
	}
	return t.watchSign(s)
}

// backTo opens a question again that something else was answered in between,
// unless that opened another, for which this one is put aside.
func (t *turn) backTo(before parked) {
	asked := t.talk.Kind != "" && (t.talk.Kind != before.Kind || t.talk.Step != before.Step || !bytes.Equal(t.talk.Draft, before.Draft))
	switch {
	case !asked:
		t.talk.Kind, t.talk.Step, t.talk.Draft = before.Kind, before.Step, before.Draft
	case t.talk.Kind == before.Kind && !t.left && !brief[before.Kind]:
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
	if !t.aboutWhen(s) { // "vet on Friday 10:00"
		return false
	}
	t.backTo(before)
	return true
}
