package alarm

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// asksDose reports that a text asks how much of a medicine is given.
func (h *hearing) asksDose() bool {
	last := h.words[len(h.words)-1].Text
	if !h.says("dosing") && last != "dose" && last != "doses" || h.says("dosing-not") {
		return false
	}
	named := func(d dangerRule) bool {
		return language.In("medicines", d.Key) && h.finds(d.words) && !h.finds(d.unless)
	}
	return slices.ContainsFunc(h.book.dangers, named) || h.says("tablet")
}

// ownDrugs takes a medicine that a dog of the household is given, by a reminder or the
// notes on its health, for one of its own: a dose of it is no news. It is none where it was
// eaten, or another dog is named in the same part of the sentence.
func (h *hearing) ownDrugs(given []span.Named) {
	for i := range h.named {
		e := &h.named[i]
		of := func(g span.Named) bool {
			return slices.ContainsFunc(span.SplitWords(g.Name), func(w span.Token) bool { return w.Text == h.words[e.start].Text })
		}
		others := func(d dogAt) bool {
			return h.samePart(d.at, e.start) && !slices.ContainsFunc(given, func(g span.Named) bool { return (g.ID == "" || g.ID == d.id) && of(g) })
		}
		if e.kind == kindDrug && !h.inPart("eaten", e.start) && slices.ContainsFunc(given, of) && !slices.ContainsFunc(h.dogs, others) {
			e.kind, e.Key, e.asks = kindOwn, ownMedicine, false
		}
	}
}

// manyPieces is how many tablets are more than a dose (our own choice).
const manyPieces = 5

// several reports that so many of what is named at a place are counted right before it:
// "8 of his tablets", but not "at half 6, she had her pill".
func (h *hearing) several(place int) bool {
	for at := max(0, place-3); at < place; at++ {
		w := h.words[at]
		n := span.Choose(w.IsFigure(), w.Num.Whole(), span.NumberWords[w.Text])
		if n >= manyPieces && h.samePart(at, place) && !language.In("before-clock", h.textAt(at-1)) {
			return true
		}
	}
	return false
}

// inPart reports that a wording of a list is in the same part of the sentence as a place.
func (h *hearing) inPart(list string, place int) bool {
	return h.some(func(at int) bool { return h.at(list, at) > 0 && h.samePart(at, place) })
}

// samePart reports that no comma and no end of a sentence stands between two places.
func (h *hearing) samePart(a, b int) bool {
	for at := min(a, b); at < max(a, b); at++ {
		if h.words[at].Stop || h.words[at+1].Comma {
			return false
		}
	}
	return true
}

// personHad reports that a person had what is for a doctor, or is ill of the
// dogs' food.
func (h *hearing) personHad() bool {
	for at := range h.words {
		if end := h.next("people", "people-ate", at); end > 0 && h.hazard("people-hazard", end, true) {
			return true
		}
		if end := h.next("people", "people-took", at); end > 0 && h.hazard("people-drug", end, false) {
			return true
		}
	}
	return h.says("people-from") && h.follows("people", "people-ill")
}

// hazard reports that a wording of a list, or something that is a danger to
// dogs too, is named soon after a place.
func (h *hearing) hazard(list string, from int, danger bool) bool {
	to := from
	for to < min(len(h.words), from+nearThing) && !h.words[to].Stop {
		if h.at(list, to) > 0 {
			return true
		}
		to++
	}
	return danger && slices.ContainsFunc(h.things(), func(e found) bool { return e.start >= from && e.start < to })
}

// follows reports that a wording of one list comes right after one of another.
func (h *hearing) follows(first, second string) bool {
	return h.some(func(at int) bool { return h.next(first, second, at) > 0 })
}

// next returns where a wording of one list ends that comes right after one of
// another at a place, or is one that begins itself with "I"; 0 where none does.
func (h *hearing) next(first, second string, at int) int {
	end := h.at(first, at)
	if end == 0 {
		if h.words[at].Text != "i" || h.denied(at) || h.past(at) {
			return 0
		}
		return h.at(second, at)
	}
	if h.denied(at) {
		return 0
	}
	for end < len(h.words) && h.book.has("skip", h.words[end].Text) && h.at(second, end) == 0 {
		end++
	}
	if end == len(h.words) || h.past(end) {
		return 0
	}
	return h.at(second, end)
}

// goesOn reports that a text is a few words that go on with an emergency: "1
// bar", "vet is closed".
func (h *hearing) goesOn() bool {
	n := len(h.words)
	amount := n >= 2 && n <= 3 && h.words[0].IsFigure() && !language.In("body-units", h.words[1].Text)
	return amount || n <= 6 && h.says("going-on")
}

// neverHad reports that what is named at a place was not eaten or given: "never
// gave her paracetamol", "ate no sock". "Did not eat all of it" is none.
func (h *hearing) neverHad(at int) bool {
	begin := at - 1
	for begin > 0 && language.In("between", h.words[begin].Text) {
		begin--
	}
	for ; begin >= 0 && begin >= at-4; begin-- {
		for _, list := range []string{"eaten", "eats", "taken", "given", "touched"} {
			if end := h.at(list, begin); end > 0 && (h.denied(begin) || h.textAt(end) == "no") && h.pastWhose(end) >= at {
				return true
			}
		}
	}
	return false
}

// pastWhose is the place behind words that say whose something is.
func (h *hearing) pastWhose(at int) int {
	for language.In("between", h.textAt(at)) {
		at++
	}
	return at
}

// ofDanger reports that what ends at a place is said of a danger that no dog
// had: "did not eat any onion" is no dog off its food.
func (h *hearing) ofDanger(at int) bool {
	at = h.pastWhose(at)
	return at < len(h.words) && h.isDanger(at) && h.neverHad(at)
}

// ofOther reports that what ends at a place is said of what is another dog's: "Bran
// doesn't eat Biscuit's kibble" is no dog off its food.
func (h *hearing) ofOther(at int) bool {
	return slices.ContainsFunc(h.dogs, func(d dogAt) bool { return d.whose && d.at == at && len(h.dogs) > 1 })
}

// isDanger reports that a danger of the lists, or a food that is refused, is named at
// a place.
func (h *hearing) isDanger(at int) bool {
	if foods, _ := nutrition.RefusedIn([]string{h.words[at].Text}); len(foods) > 0 && foods[0].Key != slowHarm {
		return true
	}
	return slices.ContainsFunc(h.book.dangers, func(d dangerRule) bool { return d.words.at(h, at) > 0 })
}

// settles reports that a text tells that all is well, or well again.
func (h *hearing) settles() bool {
	return !h.question && h.tells("settled") && !h.says("unsettled")
}

// wronglyTold reports that a text puts right what was told before, and leaves no danger, and
// no sign for a vet: "no no, she did not eat anything, I meant she is eight". It says nothing of a
// dog that eats nothing where nothing was told.
func wronglyTold(text string, n span.Names) bool {
	text = language.Without("taken-aback", text)
	rest := language.Without("taken-off", text)
	if rest != text || language.Says("puts-right", text) {
		rest = language.Without("not-eaten", rest)
	}
	if rest == text {
		return false
	}
	a := In(rest, n)
	return !(a.Signs && a.Level >= VetToday) && (a.Eaten == nil || a.Bare) && !strings.Contains(text, "?")
}

// takesBack hears that no dog had a danger that is named, and that what was told of it
// was wrong: "nobody ate garlic", "it was only a question".
func (h *hearing) takesBack(a *Alarm) {
	back := h.says("took-back")
	if !a.Wrong && (a.Signs || a.Eaten != nil || a.Alone != nil) || h.question {
		return
	}
	for _, e := range h.named {
		if e.kind != kindOwn && !h.past(e.start) && (back || a.Wrong || h.neverHad(e.start)) {
			a.Unhad = append(a.Unhad, e.Key)
		}
	}
	a.TookBack = (back || a.Wrong) && len(a.Unhad) > 0 && !h.says("took-back-not")
	a.Denied = a.Denied || len(a.Unhad) > 0
}

// inPot hears that a danger went into food that is not said to have been fed: "I put two
// onions in the stew".
func (h *hearing) inPot(a *Alarm) {
	a.HadPot, a.Nobody = h.tells("pot-fed"), h.says("took-back")
	if all := h.named; len(all) > 0 && all[0].kind != kindOwn {
		a.Named = all[0].Key
		in := h.says("in-pot")
		for at := range h.words {
			end := h.at("into", at)
			for i := end; end > 0 && i < min(end+3, len(h.words)); i++ { // "in the big pot"
				in = in || h.at("pot", i) > 0
			}
		}
		if told := !a.Ordered && !h.question && !h.says("modal") && !h.says("recipe-told") && !h.neverIn && !h.denied(all[0].start); in && told && !a.HadPot && !a.Signs && len(a.Dogs) == 0 {
			a.Pot = &all[0].Danger
		}
	}
}

// ordered reports that a danger is to be put into the dogs' food: "tell Ann to put in a spoon
// of onion gravy". The verb next before it says so.
func (h *hearing) ordered(e found) bool {
	for at := e.start; e.kind == kindFood && at >= 0 && (at == e.start || !h.words[at].Stop); at-- {
		if h.at("leaves-out", at) > 0 || at > 0 && h.at("leaves-out", at-1) > at {
			return false
		}
		if h.at("to-put", at) > 0 || h.at("puts", at) > 0 && h.says("orders") {
			return !h.denied(at) && !h.past(at) && !h.some(func(i int) bool { return i >= e.end && h.at("eaten", i) > 0 && !h.denied(i) })
		}
	}
	return false
}

// corrected reports that what ends at a place was named by mistake for a food
// that is no danger: "had grapes? No, it was blueberries".
func (h *hearing) corrected(from int) bool {
	if h.says("alike") {
		return false
	}
	for at := from; at < len(h.words); at++ {
		if end := h.next("corrects", "plain-food", at); end == len(h.words) || end > 0 && h.words[end].Stop {
			return true
		}
	}
	return false
}

// Everyday reports that what a dog ate is eaten by dogs every day, and no
// poison.
func Everyday(food string) bool {
	food = strings.Join(strings.Fields(strings.ToLower(food)), " ")
	return language.In("everyday", food) || language.Says("dog-food", food) || strings.HasSuffix(food, "s food") || !slices.ContainsFunc(strings.Fields(food), func(w string) bool { return !language.In("plain-meat", w) })
}

// Expecting reports that a text speaks of a pregnant dog.
func Expecting(text string) bool {
	return slices.ContainsFunc(language.List("expecting"), func(words string) bool { return strings.Contains(text, words) })
}

// FoodsTogether are the foods that a dog ate together, without their amounts:
// "beef mince with 200 g rice dry" is two.
func FoodsTogether(eaten string) (foods []string) {
	for _, part := range language.Pattern("foods-together").Split(strings.ToLower(eaten), -1) {
		foods = append(foods, language.Pattern("how-much-eaten").ReplaceAllString(part, ""))
	}
	return foods
}

// OfStomach reports that words tell of vomiting or the runs.
func OfStomach(words string) bool {
	h, _ := hear(words, nil)
	return h.says("vomit") || h.says("runs")
}

// NamesMedicine reports that words name a medicine, or speak of one.
func NamesMedicine(words string) bool {
	h, _ := hear(words, nil)
	return h.says("tablet")
}

// ofAmount reports that a word is a number, or a unit or "of" behind one.
func (h *hearing) ofAmount(at int) bool {
	w := h.words[at]
	_, unit := span.UnitWords[w.Text]
	return w.IsFigure() || at > 0 && (unit || w.Text == "of") && h.ofAmount(at-1)
}

// others are those of some dangers that have another reason than those before,
// and stand in words of their own.
func others(all []found) (also []Danger) {
	for i, e := range all {
		if i > 0 && !slices.ContainsFunc(all[:i], func(b found) bool { return b.Key == e.Key || b.start < e.end && e.start < b.end }) {
			also = append(also, e.Danger)
		}
	}
	return also
}
