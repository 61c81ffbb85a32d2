package read

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
func (h *hearing) personDown() bool {
	for at := range h.words {
		end := h.book.people.at(h, at)
		if end == 0 || h.denied(at) {
			continue
		}
		for end < len(h.words) && h.book.skip[h.words[end].text] && h.book.peopleDown.at(h, end) == 0 {
			end++
		}
		if end < len(h.words) && h.book.peopleDown.at(h, end) > 0 && !h.past(end) {
			return true
		}
	}
	return false
}
