package alarm

import (
	"slices"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Misfit is what must not go into a dog's food and is named as if it did.
type Misfit struct {
	Danger
	Typed    string // as it is called in the text
	Medicine bool   // it is one that a vet may have given
}

// Unfit returns the first food that dogs must not eat, poison or medicine that
// a text names as one that goes in or is given. One that is left out, or warned
// of, is none: "no onion or garlic", "grapes are toxic". It mends slips of the
// finger.
func Unfit(text string) (m Misfit, found bool) {
	for _, said := range language.Pattern("clause-ends").Split(text, -1) {
		for _, part := range language.Pattern("added-to").Split(said, -1) {
			h, _ := hear(part, nil)
			for _, thing := range h.things() {
				if h.unfit(thing, part) && !h.leftOut(thing) && !language.Says("warns-of", part) {
					own := thing.Key == ownMedicine
					return Misfit{Danger: thing.Danger, Typed: h.words[thing.start].Text, Medicine: own}, true
				}
			}
		}
	}
	return Misfit{}, false
}

// unfit reports that a thing is a food that dogs must not eat, a poison, or a
// medicine by its own name: "ask your vet before a change of medicine" names
// none. Raw bones are no danger by their cut.
func (h *hearing) unfit(f found, text string) bool {
	switch {
	case f.Key == cookedBone:
		no := nutrition.FindRefusalAsTyped(text)
		return no != nil && no.Key == cookedBone
	case f.kind == kindFood, f.kind == kindPoison:
		return true
	}
	return language.In("medicines", f.Key) && !language.In("any-medicine", h.words[f.start].Text)
}

// leftOut reports that a thing is said not to go in; what is said of one thing
// holds for those that follow: "no onion, leek or garlic".
func (h *hearing) leftOut(f found) bool {
	if next := h.textAt(f.end); next == "free" || next == "out" && slices.ContainsFunc(h.words[max(0, f.start-3):f.start], func(w span.Token) bool { return language.In("puts-in-out", w.Text) }) {
		return true // "onion-free", "leave the onion out"
	}
	for back := f.start - 1; back >= 0; back-- {
		before := h.textAt(back - 1)
		switch w := h.words[back].Text; {
		case language.In("puts-in-not", w), w == "out" && language.In("puts-in-out", before), w == "of" && (before == "instead" || before == "free"), w == "than" && before == "rather":
			return true
		case !language.In("puts-in-passing", w) && !h.isDanger(back):
			return false
		}
	}
	return false
}

// textAt is the word at a place, empty where there is none.
func (h *hearing) textAt(at int) string {
	if at < 0 || at >= len(h.words) {
		return ""
	}
	return h.words[at].Text
}

// ownMedicine is the key of what is a dog's own medicine.
const ownMedicine = "own-medicine"
