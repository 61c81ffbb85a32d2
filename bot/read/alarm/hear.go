package alarm

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// hearing is a text that is looked through for alarms.
type hearing struct {
	book     *alarmBook
	words    []span.Token // spelt as they should be, without endings 's
	keys     [][]string   // of the wordings that may begin with each of them
	question bool         // there is a question mark
	shout    bool         // there is an exclamation mark
	well     bool         // a dog is well, or is it?
	byVet    bool         // a vet's word is told
	cleared  bool         // and it is that all is well
	seen     bool         // a vet has seen a dog, or will it?
	fasts    bool         // what has to do with a vet's order to fast is named
	calms    bool         // the same, or can it wait? without a vet's word
	neverIn  bool         // what is named did not go into a pot, or is not to
	dogs     []dogAt
	named    []found     // dangers, whatever is said of them
	signs    []begunSign // those that may be in it
	fitsAt   int         // where the sign stands that was found last
}

// hear is a text that names some dogs, and which of them it names.
func hear(text string, names []span.Named) (h hearing, dogs []string) {
	h.book, text = Alarms(), language.Without("i-will", text)
	words, known := span.SplitWords(text), span.SplitNames(names)
	for at := 0; at < len(words); at++ {
		id, end := span.LongestAt(known, words, at)
		whose := end == 0 || end < len(words) && words[end].Text == "'s"
		if end == 0 {
			id, end = span.PossessedAt(known, words, at)
		}
		w := words[at]
		if end > 0 && !(at > 0 && h.book.has("before", words[at-1].Text) && h.book.known[w.Text]) {
			w.Text, w.Kind = "dog", span.WordToken
			h.words, h.dogs = append(h.words, w), append(h.dogs, dogAt{id, len(h.words), whose})
			at = end - 1
			continue
		}
		if givesName(text, words, at) {
			w.Text = "dog"
		}
		if w.Text == "'s" {
			continue
		}
		if at > 0 && words[at-1].Text == "at" && clock(words, at) { // "at seven" is not how many
			w.Text, w.Kind = "-", span.WordToken
		}
		if !w.IsFigure() && w.Text != "-" {
			w.Text = h.book.spell(cmp.Or(h.book.dialect(w.Text), w.Text))
		}
		h.words = append(h.words, w)
	}
	h.keys = make([][]string, len(h.words))
	for at := range h.words {
		h.keys[at] = h.book.keys(h.words[at].Text)
	}
	for at := range h.words { // "Saffi got Odin's zinc"
		if end := h.at("had-others", at); end > 0 && h.words[end-2].Text != "and" && !h.words[end-2].Comma {
			h.dogs = slices.DeleteFunc(h.dogs, func(d dogAt) bool { return d.whose && d.at == end-1 })
		}
		if h.at("had-by", at) > 0 { // "Odin's zinc was eaten by Saffi"
			h.dogs = slices.DeleteFunc(h.dogs, func(d dogAt) bool { return d.at < at && (d.whose || d.at > 0 && h.words[d.at-1].Text == "for") })
		}
	}
	for _, d := range h.dogs {
		dogs = span.AddNew(dogs, d.id)
	}
	h.well = h.follows("patient", "thrives") || h.says("thriving") // before "seems fine" is passed over
	h.cleared = h.says("cleared") || language.Says("vet-calms", text) && !language.Says("vet-alarms", text)
	h.byVet = h.cleared || h.says("by-vet")
	h.seen = h.tells("vet-saw") && !h.says("vet-else")
	h.fasts = h.says("fast-word") || h.says("vet-fast") // before "vet made him sick" is passed over
	h.neverIn = h.says("pot-not")
	h.calms = !h.byVet && (h.well || h.says("waits"))
	h.passOver()
	for i, places := range h.begun(h.book.begins, len(h.book.signs)) {
		if len(places) > 0 {
			h.signs = append(h.signs, begunSign{&h.book.signs[i], places})
		}
	}
	h.named = h.dangersNamed()
	return h, dogs
}

// clock reports that a number at a place is an hour, with no unit behind it.
func clock(words []span.Token, at int) bool {
	hour := span.Choose(words[at].IsFigure(), words[at].Num.Whole(), span.NumberWords[words[at].Text])
	return hour > 0 && hour <= 24 && (at+1 == len(words) || words[at].Stop || language.In("after-clock", words[at+1].Text))
}

// begunSign is a sign, and where its first words stand in the text: few of all do.
type begunSign struct {
	*signRule
	places []int
}

// begun are the places at which so many rules may begin, by the words that they begin with.
func (h *hearing) begun(by beginning, rules int) [][]int {
	begun := make([][]int, rules)
	for at := range h.words {
		for _, key := range h.keys[at] {
			for _, rule := range by[key] {
				if last := len(begun[rule]) - 1; last < 0 || begun[rule][last] != at {
					begun[rule] = append(begun[rule], at)
				}
			}
		}
	}
	return begun
}

// passOver blots out what is no danger though a word of it is, but for what
// is meant all the same: "his tea", but "a cup of tea".
func (h *hearing) passOver() {
	blot := make([]bool, len(h.words))
	mark := func(list string, as bool) {
		for at := range h.words {
			for i, end := at, h.at(list, at); i < end; i++ {
				blot[i] = as
			}
		}
	}
	if mark("harmless", true); h.seen {
		mark("made-sick", true)
	}
	mark("meant", false)
	for i := range blot {
		if blot[i] {
			h.words[i].Text, h.keys[i] = "-", h.book.keys("-")
		}
	}
}

// fits reports that a rule's elements stand together in the text, none of
// them denied or long past.
func (h *hearing) fits(r begunSign) bool {
	for _, at := range r.places {
		if end := r.elements[0].words.at(h, at); end > 0 && !h.denied(at) && !h.past(at) && !h.ofDanger(end) && !h.ofOther(end) && (r.level == VetNow || !h.over(at, end)) && h.rest(r.signRule, 1, at, end, end) {
			if h.finds(r.unless) {
				return false
			}
			h.fitsAt = at
			return true
		}
	}
	return false
}

// rest matches a rule's elements from a number on, near those before, which
// lie between from and to; the last of them ends at last.
func (h *hearing) rest(r *signRule, n, from, to, last int) bool {
	if n == len(r.elements) {
		return true
	}
	e := &r.elements[n]
	begin, until := max(0, to-mostSpan), min(len(h.words), from+mostSpan)
	if e.after {
		begin, until = last, min(len(h.words), last+1+mostGap)
	}
	for at := begin; at < until; at++ {
		end := e.words.at(h, at)
		if end == 0 || h.ofAnother(at, end, from) || end-from > mostSpan || !e.after && h.denied(at) || e.after && h.dogBetween(last, at) || at < to && end > from && at >= from && !e.after && len(r.elements) == 2 {
			continue
		}
		if h.rest(r, n+1, min(from, at), max(to, end), end) {
			return true
		}
	}
	return false
}

// dogBetween reports that another part of the sentence, which names its own dog, begins
// between two places: "both had dinner, Nell threw up".
func (h *hearing) dogBetween(from, to int) bool {
	return slices.ContainsFunc(h.dogs, func(d dogAt) bool { return d.at >= from && d.at < to && !h.samePart(from-1, d.at) })
}

// ofAnother reports that a number is no more of a sign than that it stands near it: "bagged 14
// packs, gave both dinner, she threw up".
func (h *hearing) ofAnother(at, end, sign int) bool {
	next := h.textAt(end)
	_, unit := span.UnitWords[next]
	return end == at+1 && h.words[at].IsFigure() && (unit || h.book.has("portions", next) || !h.samePart(at, sign) && !h.book.has("times", next))
}

const (
	mostSpan = 12 // words that a sign's elements may span
	mostGap  = 3  // words between an element and the next that must follow it
)

// at returns where a wording of a list ends that begins at a place, 0 where none
// does.
func (h *hearing) at(list string, at int) int { return h.book.list(list).at(h, at) }

// says reports that a wording of a list is in the text.
func (h *hearing) says(list string) bool { return h.finds(h.book.list(list)) }

// tells reports that a wording of a list is in the text and not denied.
func (h *hearing) tells(list string) bool {
	return h.some(func(at int) bool { return h.at(list, at) > 0 && !h.denied(at) && !h.past(at) })
}

// finds reports that one of some wordings is in the text.
func (h *hearing) finds(p wordings) bool {
	return h.some(func(at int) bool { return p.at(h, at) > 0 })
}

// some reports that something holds at one of the places.
func (h *hearing) some(holds func(at int) bool) bool {
	for at := range h.words {
		if holds(at) {
			return true
		}
	}
	return false
}

// denied reports that what begins at a place is said not to be so: "no blood",
// "has not been sick". A wording that is itself a denial stands.
func (h *hearing) denied(at int) bool {
	if h.book.has("denial", h.words[at].Text) {
		return false
	}
	for back := at - 1; back >= 0 && back >= at-4; back-- {
		next, w := &h.words[back+1], &h.words[back]
		if next.Comma || next.Stop {
			return false
		}
		if h.book.has("deny", w.Text) || h.book.has("supposed", w.Text) {
			return !(h.book.has("nobody", w.Text) || h.book.has("nobody", next.Text)) || !h.says("except")
		}
		if !h.book.has("passing", w.Text) {
			return false
		}
	}
	return false
}

// past reports that the sentence around a place tells of what is long past.
func (h *hearing) past(at int) bool {
	from, to := at, at
	for from > 0 && !h.words[from].Stop {
		from--
	}
	for to++; to < len(h.words) && !h.words[to].Stop; to++ {
	}
	for i := from; i < to; i++ {
		if h.at("long-ago", i) > 0 {
			return true
		}
	}
	return false
}

// wording is some words in a row.
type wording []term

// term is a word of a wording.
type term struct {
	text   string
	prefix bool    // any word that begins so
	least  float64 // any number of so much or more
}

// wordings are several, by the word that they begin with.
type wordings map[string][]wording

// at returns where one of the wordings ends that begins at a place, the
// longest; 0 where none does.
func (p wordings) at(h *hearing, at int) (end int) {
	for _, key := range h.keys[at] {
		for _, ph := range p[key] {
			end = max(end, ph.end(h, at))
		}
	}
	return end
}

// keys are those of the wordings that may begin with a word. A plural may
// stand for its singular, but "gas" is not "ga".
func (b *alarmBook) keys(word string) []string {
	keys := []string{anyBeginning, word}
	if strings.HasSuffix(word, "s") && len(word) >= fewestPlural {
		keys = append(keys, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es"))
	}
	return slices.DeleteFunc(keys, func(key string) bool { return !b.first[key] })
}

// fewestPlural is how many letters a plural has at least (our own choice).
const fewestPlural = 4

// anyBeginning is the key of wordings that begin with no certain word.
const anyBeginning = "*"

// end returns where a wording ends that begins at a place. Between its words
// may stand words that say little; a sentence does not end in it.
func (p wording) end(h *hearing, at int) int {
	for i, t := range p {
		if i > 0 {
			for at < len(h.words) && !h.words[at].Stop && !t.is(&h.words[at]) && h.book.has("skip", h.words[at].Text) {
				at++
			}
		}
		if at >= len(h.words) || i > 0 && h.words[at].Stop || !t.is(&h.words[at]) {
			return 0
		}
		at++
	}
	return at
}

func (t *term) is(w *span.Token) bool {
	switch {
	case t.least > 0:
		return w.IsFigure() && w.Num.Whole() >= t.least || span.NumberWords[w.Text] >= t.least || w.Text == "several" || w.Text == "many"
	case t.prefix:
		return strings.HasPrefix(w.Text, t.text)
	}
	return w.Text == t.text || len(w.Text) >= fewestPlural && (strings.TrimSuffix(w.Text, "s") == t.text || strings.TrimSuffix(w.Text, "es") == t.text)
}

// over reports that it is told of a mild sign from one place to another that it has
// passed: "the limp is gone". What a dog has lost is no sign that passed: "his voice is
// gone, and he coughs".
func (h *hearing) over(from, at int) bool {
	for at < len(h.words) && h.book.has("skip", h.words[at].Text) && h.at("over", at) == 0 {
		at++
	}
	mild := func(r signRule) bool { return r.level == Watch && r.elements[0].words.at(h, from) > 0 }
	return at < len(h.words) && h.at("over", at) > 0 && !h.denied(at) && !h.question && !h.says("unsettled") && !h.says("over-not") && slices.ContainsFunc(h.book.signs, mild)
}

// lacks are the signs that are said not to be there, or no longer, by their names:
// "no vomiting".
func (h *hearing) lacks() (signs []wordings) {
	for _, r := range h.signs {
		for _, at := range r.places {
			if end := r.elements[0].words.at(h, at); end > 0 && h.words[at].Text != "dog" && (h.denied(at) || r.level < VetNow && h.over(at, end)) {
				signs = append(signs, r.elements[0].words)
			}
		}
	}
	return signs
}
