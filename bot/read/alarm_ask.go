package read

import (
	"slices"
	"strings"
)

// medicines are the keys of the dangers of which a dose is asked for.
var medicines = setOf("painkiller", "human-medicine", "human-cream", "own-medicine", "cannabis")

// asksDose reports that a text asks how much of a medicine is given.
func (h *hearing) asksDose() bool {
	last := h.words[len(h.words)-1].text
	if !h.finds(h.book.dosing) && last != "dose" && last != "doses" || h.finds(h.book.dosingNot) {
		return false
	}
	for i := range h.book.dangers {
		if d := &h.book.dangers[i]; medicines[d.Key] && h.finds(d.words) && !h.finds(d.unless) {
			return true
		}
	}
	return h.finds(h.book.classes["tablet"])
}

// personDown reports that a person, and no dog, needs help at once: "my wife
// has collapsed".
func (h *hearing) personDown() bool { return h.follows(h.book.people, h.book.peopleDown) }

// personHad reports that a person had what is for a doctor, or is ill of the
// dogs' food.
func (h *hearing) personHad() bool {
	b := h.book
	for at := range h.words {
		if end := h.next(b.people, b.peopleAte, at); end > 0 && h.hazard(b.peopleHazard, end, true) {
			return true
		}
		if end := h.next(b.people, b.peopleTook, at); end > 0 && h.hazard(b.peopleDrug, end, false) {
			return true
		}
	}
	return h.finds(b.peopleFrom) && h.follows(b.people, b.peopleIll)
}

// hazard reports that one of some wordings, or something that is a danger to
// dogs too, is named soon after a place.
func (h *hearing) hazard(p wordings, from int, danger bool) bool {
	to := from
	for to < min(len(h.words), from+nearThing) && !h.words[to].stop {
		if p.at(h, to) > 0 {
			return true
		}
		to++
	}
	return danger && slices.ContainsFunc(h.things(), func(e found) bool { return e.start >= from && e.start < to })
}

// follows reports that one of some wordings comes right after one of others.
func (h *hearing) follows(first, second wordings) bool {
	for at := range h.words {
		if h.next(first, second, at) > 0 {
			return true
		}
	}
	return false
}

// next returns where one of some wordings ends that comes right after one of
// others at a place, or is one that begins itself with "I"; 0 where none does.
func (h *hearing) next(first, second wordings, at int) int {
	end := first.at(h, at)
	if end == 0 {
		if h.words[at].text != "i" || h.denied(at) || h.past(at) {
			return 0
		}
		return second.at(h, at)
	}
	if h.denied(at) {
		return 0
	}
	for end < len(h.words) && h.book.skip[h.words[end].text] && second.at(h, end) == 0 {
		end++
	}
	if end == len(h.words) || h.past(end) {
		return 0
	}
	return second.at(h, end)
}

// goesOn reports that a text is a few words that go on with an emergency: "1
// bar", "vet is closed".
func (h *hearing) goesOn() bool {
	n := len(h.words)
	amount := n >= 2 && n <= 3 && h.words[0].number && !bodyUnits[h.words[1].text]
	return amount || n <= 6 && h.finds(h.book.goingOn)
}

var bodyUnits = setOf("kg", "kilo", "kilos", "lb", "lbs", "pound", "pounds", "/", "kcal")

// Everyday reports that what a dog ate is eaten by dogs every day, and no
// poison.
func Everyday(food string) bool {
	food = strings.Join(strings.Fields(strings.ToLower(food)), " ")
	return everyday[food] || strings.HasSuffix(food, "s food")
}

// From memory; dough, and what such food is wrapped in, are heard before.
var everyday = setOf("grass", "bread", "toast", "ham", "cat food", "dog food", "kibble", "dog treat", "dog treats", "a treat", "ice", "snow", "popcorn", "cracker", "crackers")
