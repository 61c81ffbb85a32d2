package read

import (
	"errors"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// DogLine reads a dog described in one line: "dog Juniper 19.6 kg 4 years
// spayed moderate 5/9", "Pip, 14 lb, 2y, male neutered, high activity, 4/9,
// 3 meals, no poultry, kidney disease". The name comes first; the rest may
// stand in any order. A bare number right after the name is the weight in
// the household's unit, where no other weight is named.
//
// Words that say nothing known of a dog, and what no dog can have, come back
// as Problems, in the order of the line; what was understood stands in the
// dog all the same. A name or weight that is missing is no problem here.
func DogLine(text string, u planner.Units, now time.Time) (planner.Dog, []span.Problem) {
	text, cut := span.FirstRunes(language.Without("one-more", text), span.MostRunes)
	l := dogLine{matcher: matcher{Lexed: span.WordsOf(text), units: u}, now: now, bare: -1}
	if cut {
		l.problem(max(len(l.Tokens)-10, 0), len(l.Tokens), span.TooLong)
	}
	l.read()
	l.finish()
	l.dog.Healthy = l.dog.Health == "" && language.Says("well", text) && SaysWell(text)
	return l.dog, l.problems
}

type dogLine struct {
	matcher
	now          time.Time
	dog          planner.Dog
	problems     []span.Problem
	health       []string
	start        int // where words begin that are not yet placed
	name         int // where the name begins
	named        bool
	bare         int     // the bare number after the name, or -1
	well         int     // no illness is named from here back to the last feature
	growing      int     // the word for a puppy or an old dog, or -1
	shape        [2]int  // the words for a dog out of condition; empty where there are none
	hours        float64 // of moving in a day, of all the walks that are told
	activitySaid bool    // in words, which count for more than hours
}

// read places every word of the line.
func (l *dogLine) read() {
	l.growing = -1
	at := l.open()
	if end, named := l.gotDog(); at == 0 && end > 0 {
		at, l.named = end, !named
	}
	l.start, l.name = at, at
	if !l.named && at < len(l.Tokens) && !l.Tokens[at].IsFigure() {
		at++ // whatever the first word is, it is the name's
	}
	for at < len(l.Tokens) {
		if l.clauseEnds(at) {
			l.leave(at)
		}
		end := l.feature(at)
		if end == 0 && (l.named || at > l.name && l.isIll(at) && !l.isCapital(at)) {
			end = l.healthAt(at)
		}
		switch {
		case l.named && l.dog.Name == "" && at+1 < len(l.Tokens) && isCalled(l.Word(at)):
			l.leave(at)
			at++
			l.start, l.name, l.named = at, at, false
			at++
		case end > 0:
			l.leave(at)
			at = end
			l.start, l.named = end, true
		case l.named && (language.In("fillers", l.Word(at)) || dogNouns[l.Word(at)] || language.In("breed-words", l.Word(at))) || !l.named && at > l.name && language.In("name-enders", l.Word(at)):
			l.leave(at)
			l.noteBreed(at)
			at++
			l.start, l.named = at, true
		case (l.named || at > l.name) && l.breedAt(at) > 0: // "Odin great dane"
			l.leave(at)
			l.noteBreed(at)
			at = l.breedAt(at)
			l.start, l.named = at, true
		default:
			at++
		}
	}
	l.leave(at)
}

// open skips what stands before the name: "add a dog called", "my spaniel",
// "labrador". What no name follows is the name itself: "dog Boxer 30 kg".
func (l *dogLine) open() int {
	at := l.LongestOf(0, language.Phrases("openers"))
	end := at
	for language.In("owners", l.Word(end)) || language.In("articles", l.Word(end)) && (end > 0 || dogNouns[l.Word(end+1)] || l.breedAt(end+1) > 0) {
		end++
	}
	kind := end
	for end < len(l.Tokens) {
		switch next := l.breedAt(end); {
		case next > 0:
			end = next
		case dogNouns[l.Word(end)]:
			l.growingAt(end)
			end++
		default:
			if end == kind && at == 0 && !isCalled(l.Word(end)) {
				return 0
			}
			for isCalled(l.Word(end)) || end > kind && (l.Word(end) == "is" || strings.TrimLeft(l.Word(end), "'’") == "s" && isCalled(l.Word(end+1))) {
				end++
			}
			if end < len(l.Tokens) && !l.Tokens[end].IsFigure() && !l.Tokens[end].Comma && !l.begins(end) {
				for ; kind < end; kind++ {
					l.noteBreed(kind)
				}
				return end
			}
			l.growing = -1
			return at
		}
	}
	l.growing = -1
	return at
}

// noteBreed notes what the breed that begins at a place is inclined to.
func (l *dogLine) noteBreed(at int) {
	l.dog.StoresCopper = l.dog.StoresCopper || l.LongestOf(at, language.Phrases("copper-breeds")) > 0
}

func isCalled(word string) bool { return word == "called" || word == "named" }

// leave ends a stretch of words that no feature took: the first is the name,
// every other a problem.
func (l *dogLine) leave(end int) {
	start := l.start
	l.start = end
	if start >= end {
		return
	}
	first, number := !l.named, end == start+1 && l.Tokens[start].IsFigure()
	l.named = true
	switch {
	case number && (first || l.bare < 0 && l.dog.Name != "" && l.Tokens[start-1].End <= l.Tokens[start].Start):
		l.bare = start
		return
	case first:
		if end = l.nameEnd(start, end); !l.noName(start, end) {
			l.dog.Name = l.nameOf(start, end)
			return
		}
	}
	l.problem(start, end, span.NotPlaced)
}

// nameOf is a name as it was typed, with the signs that touch its words
// ("<b>Rex</b>"), but without punctuation and quotes round the whole.
func (l *dogLine) nameOf(start, end int) string {
	name := l.marked(start, end, func(r rune) bool { return strings.ContainsRune("<>&#@$%^_~{}"+quotes, r) })
	if lead, rest, _ := strings.Cut(name, " "); start == 0 && strings.EqualFold(lead, "and") && rest != "" {
		name = rest // "and Pip is 6 kg", said of the second dog
	}
	if first, _ := utf8.DecodeRuneInString(name); strings.ContainsRune(quotes, first) {
		name = strings.Trim(name, quotes)
	}
	return strings.Trim(name, " '’")
}

// quotes stand round a name that somebody wants to set off.
const quotes = `"'“”„«»‘’`

// nameEnd ends the name before a number, which is a part of it only where no
// space parts them: "Rio2"; and before its sex or kind: "Moss dog", "Odin a boxer".
func (l *dogLine) nameEnd(start, end int) int {
	if end-start > 1 && l.Tokens[end-1].IsFigure() && l.Tokens[end-2].End < l.Tokens[end-1].Start {
		l.bare = end - 1
		return end - 1
	}
	if sex := l.Word(end - 1); end-start > 1 && (sex == "dog" || sex == "bitch") {
		l.sexAt(end - 1)
		return end - 1
	}
	if end-start == 2 && language.In("articles", l.Word(end-1)) && (l.breedAt(end) > 0 || dogNouns[l.Word(end)]) && (l.isCapital(start) || !Ranker().Knows(l.Word(start))) {
		return end - 1
	}
	return end
}

// problem notes that a stretch of the line is not accepted, and returns its end.
func (l *dogLine) problem(start, end int, code span.Code) int {
	part, _ := span.FirstRunes(l.typed(max(start, 0), end), 200)
	l.problems = append(l.problems, span.Problem{Text: part, Part: part, Code: code})
	return end
}

// feature reads one thing that is said of the dog, and returns its end or 0.
// The order matters: "8 weeks pregnant" is no age.
func (l *dogLine) feature(at int) int {
	for _, f := range []func(int) int{
		l.stageAt, l.sexAt, l.activityWordAt, l.exclusionAt, l.notesAt, l.otherWeightAt, l.ownWeightAt, l.kcalAt, l.mealsAt, l.hoursAt,
		l.scoreAt, l.bornAt, l.growingAt, l.shapeAt,
	} {
		if end := f(at); end > 0 {
			return end
		}
	}
	return 0
}

// finish settles what depends on the whole line.
func (l *dogLine) finish() {
	d := &l.dog
	if l.bare >= 0 {
		w, _, end := l.bodyWeightAt(l.bare)
		switch {
		case d.Weight != 0:
			l.problem(l.bare, l.bare+1, span.NotPlaced)
		case end == 0:
			l.problem(l.bare, l.bare+1, span.BadWeight)
		default:
			d.Weight = w
		}
	}
	if l.growing >= 0 && d.Born.IsZero() && !slices.ContainsFunc(l.problems, func(p span.Problem) bool { return p.Code == span.FutureBirth }) {
		l.problem(l.growing, l.growing+1, span.PuppyNoAge)
	}
	if l.shape[1] > 0 && d.Condition == 0 {
		l.problem(l.shape[0], l.shape[1], span.BadCondition)
	}
	for i, note := range l.health {
		l.health[i] = language.Without("health-around", note)
	}
	d.Health = strings.Join(l.health, ", ")
	var wrong *planner.FieldError
	if errors.As(d.Validate(l.now), &wrong) {
		code, known := fieldCodes[wrong.Field]
		// A dog with something missing is for the dialogue that asks for it.
		if known && wrong.Code != planner.FieldMissing && (wrong.Field != "weight" || d.Weight != 0) {
			part, _ := span.FirstRunes(l.typed(0, len(l.Tokens)), 200)
			l.problems = append(l.problems, span.Problem{Text: part, Part: wrong.Field, Code: code})
		}
	}
}

// fieldCodes are the codes for what planner.Dog.Validate refuses.
var fieldCodes = map[string]span.Code{
	"name": span.TooLong, "weight": span.BadWeight, "ideal": span.BadWeight, "adult-weight": span.BadWeight, "born": span.TooOld,
	"condition": span.BadCondition, "meals": span.BadMeals, "kcal": span.Negative,
}
