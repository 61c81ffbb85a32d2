package talk

import (
	"bytes"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
)

// Aside answers a sentence typed in the middle of a dialogue, keeps the
// dialogue, and reports whether it was one. If the answer asks a question
// itself, that is the open one, and the dialogue goes on after it.
func (t *Turn) Aside(s string) bool {
	if word, rest := CutWord(strings.ToLower(s)); rest != "" && t.reg.Commands[word].Aside {
		return t.bareCommand(s)
	}
	return t.beside(func() bool {
		if strings.Contains(s, "\n") {
			return t.hear(t.reg.hears.Lines, s)
		}
		return t.hearAside(s)
	})
}

// beside has something else answered while a question is open, which comes again, and
// reports whether it was.
func (t *Turn) beside(answer func() bool) bool {
	before := t.openNow()
	if !answer() {
		return false
	}
	t.backTo(before)
	t.waits = true
	return true
}

// Pasted takes lines of a recipe that are typed while something else is asked, which
// comes again, and reports whether a text was that.
func Pasted(t *Turn, s string) bool {
	return t.beside(func() bool { return t.hear(t.reg.hears.Lines, s) })
}

// hearAside looks for an answer in the middle of a dialogue.
func (t *Turn) hearAside(s string) bool {
	h := t.reg.hears
	for _, news := range h.News {
		if news.Aside && news.answers(t, s) {
			return true
		}
	}
	return !t.fitsByChance(s) && Sentence(t, s) || t.hear(h.Dose, s) || t.hear(h.Aside, s) || t.hear(h.Lines, s) || t.bareWord(s) || DoesElse(t, t.heard(s).Says, s)
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
	case !t.left && Resumes(t, before.Kind):
		t.Talk.Parked, t.left = before, true
	}
	if p := t.Talk.Parked; asked && p != nil && p.Kind == before.Kind && p.Step == before.Step {
		p.Back = true
	}
}

// Again asks the open question once more after something else was answered,
// unless that opened another.
func (t *Turn) Again(ask func()) {
	t.waits = false
	if t.Talk.Kind == t.loaded.Kind && t.Talk.Step == t.loaded.Step && !t.left {
		ask()
	}
}

// Beside answers what is no answer to the open question as it would be if none were open, or
// says that it is not understood, and asks again.
func (t *Turn) Beside(s string, ask func()) {
	if of := Likeliest(t, s).Intent; !t.Aside(s) && !slices.Contains([]string{"stop", "yes", "no"}, of) { // "hang on"
		vague := slices.Contains([]string{"help", "answer", "recipe.set", "recipe.add"}, of)
		if vague || !t.beside(func() bool { return t.meant(s) }) {
			t.NotUnderstood(s)
		}
	}
	t.Again(ask)
}

// Asked answers a text that is no answer to the open question but something
// else that was asked; the question stays.
func (t *Turn) Asked(s string) bool {
	return t.Aside(s) || t.beside(func() bool { return t.hear(t.reg.hears.Loose, s) }) // "vet on Friday 10:00"
}

// bareFirst answers a command's bare word while a question is open, which stays
// open. An undo is about the question itself. The other commands come first
// only where any words would be an answer; elsewhere the question decides.
func (t *Turn) bareFirst(s string) bool {
	word := strings.ToLower(strings.Trim(s, " .!?"))
	_, open := t.reg.Forms[t.Talk.Kind]
	c, known := t.reg.Commands[word]
	if !open || !known {
		return false
	}
	if word == "undo" {
		c.Do(t, "")
		return true
	}
	free := AnswersFreely(t)
	if !free && word != "help" || buttonSaid(t.offer().Buttons, word) >= 0 {
		return false
	}
	if t.Talk.Kind == "dog" && len(t.Home.Dogs) == 0 && strings.HasPrefix(word, "dog") {
		t.AskAgain() // it is being added
		return true
	}
	return t.beside(func() bool {
		c.Do(t, "")
		return true
	})
}

// bareWord answers a command's bare word where nothing else was understood.
func (t *Turn) bareWord(s string) bool {
	c, known := t.reg.Commands[strings.ToLower(strings.Trim(s, " .!?"))]
	if known {
		c.Do(t, "")
	}
	return known
}

// digresses answers what was typed where any words would be an answer, and is
// none, but surely something else; the question is asked again.
func (t *Turn) digresses(s string) bool {
	if !AnswersFreely(t) || len(strings.Fields(s)) < 3 && !strings.HasSuffix(s, "?") || strings.Contains(s, "\n") {
		return false
	}
	if t.asksBeside(s) {
		return true
	}
	h := t.heard(s)
	if len(h.Says) != 1 {
		return false
	}
	best := h.Says[0].Readings[0]
	ofDog := t.Talk.Kind == "dog" && (best.Intent == "dog.add" || len(t.Home.Dogs) == 0 && best.Intent == "weight.log")
	return best.P >= surelyElse && !ofDog && !read.Answers(t.question(), best.Intent) && t.Aside(s)
}

// asksBeside answers the questions in what was typed while a dog's profile asks for
// words of one's own: a question is no name and no illness.
func (t *Turn) asksBeside(s string) bool {
	if kind := t.Talk.Kind; kind != "dog" && kind != "dog-edit" {
		return false
	}
	answered := false
	for _, q := range strings.FieldsFunc(s, func(r rune) bool { return r == '.' || r == '!' || r == '?' }) {
		if q = strings.TrimSpace(q); read.BeginsQuestion(q) && (t.Aside(q) || t.beside(func() bool { return t.meant(q) })) {
			answered = true
		}
	}
	return answered
}

// IsLine reports that a text is a line of a recipe and names no dog: "vitamin E 200 IU
// every 3 days" while one is typed.
func IsLine(t *Turn, s string) bool {
	got := t.RecipeText(s)
	_, _, dogs := DogsIn(t, s)
	clear := len(got.Lines) > 0 && len(got.Problems) == 0 || len(got.Problems) == 1 && got.Problems[0].Code == span.AmbiguousFood
	return clear && len(dogs) == 0 && !read.IsQuestion(s) && !read.SaysGiven(s)
}

// briefly asks the open question of a kind of dialogue again, in a line where there is
// such.
func (t *Turn) briefly(kind string) func() {
	if brief := t.reg.Forms[kind].Brief; brief != nil {
		return func() { brief(t) }
	}
	return t.AskAgain
}

// surelyElse is how likely something else must be for a text not to be given to
// the open question (our own choice).
const surelyElse = 0.9

// doesEach does several statements where each of them is surely something else than an
// answer to the open question: "Fern had her dinner, Dot left half".
func (t *Turn) doesEach(says []read.Statement) bool {
	for _, st := range says {
		best := st.Readings[0]
		if st.Do != read.Act || best.P < surelyElse || best.Intent == "answer" || read.Answers(t.question(), best.Intent) || read.CostOf(best.Intent) == read.Reaches || t.early(best) {
			return false
		}
	}
	done := false
	for _, st := range says {
		done = t.meantPart(st, true) || done
	}
	return done
}

// DoesElse does the one thing that a text very likely says where that is no
// answer to the open question.
func DoesElse(t *Turn, says []read.Statement, s string) bool {
	if len(says) > 1 {
		return t.doesEach(says)
	}
	if len(says) != 1 || says[0].Do != read.Act {
		return false
	}
	best := says[0].Readings[0]
	if best.Intent == "undo" && len(read.UndoNames(s)) > 0 || best.Intent == "recipe."+t.Talk.Kind || t.Talk.Kind == "recipe" && best.Intent == "recipe.set" {
		return false // "no wait, the other one" is about the question, "moisture 70 %" about what the laboratory measured
	}
	full := best.InFull()
	return best.P >= surelyElse && full != "" && !read.Answers(t.question(), best.Intent) && (best.Intent == "dog.set" && t.reg.hears.Meant(t, best, s) || t.exact(full))
}
