package bot

import (
	"strings"
	"unicode"

	"bowlwright/bot/read"
)

// numberKinds are the telephone numbers that stand under an urgent answer, in
// the order in which they are asked and shown.
var numberKinds = []string{"vet", "clinic", "poison"}

// number is where a telephone number of the household is kept.
func (t *turn) number(kind string) *string {
	n := &t.home.Numbers
	switch kind {
	case "vet":
		return &n.Vet
	case "clinic":
		return &n.Clinic
	case "poison":
		return &n.Poison
	}
	return nil
}

// numbersText are the household's own numbers, each with whose it is.
func (t *turn) numbersText() string {
	var lines []string
	for _, kind := range numberKinds {
		if is := *t.number(kind); is != "" {
			lines = append(lines, msg("number."+kind, "number", is))
		}
	}
	return strings.Join(lines, "\n")
}

// toldNumbers marks that the household was asked for its numbers.
const toldNumbers = "emergency-numbers"

// offerNumbers asks, once, for the numbers that are to stand under an urgent
// answer, in a line that can wait.
func (t *turn) offerNumbers(out *Reply) {
	if t.numbersText() != "" || t.home.Told[toldNumbers] {
		return
	}
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[toldNumbers], t.changed = true, true
	out.Body = append(out.Body, para(msg("number.later")))
	out.offer(t.button(msg("button.numbers"), "number", "ask"))
}

// pressNumber asks for the numbers, one after another.
func (t *turn) pressNumber(args []string) {
	if arg(args, 0) != "ask" {
		t.sayMsg("press.stale")
		return
	}
	t.askNumber(numberKinds[0])
}

func (t *turn) askNumber(kind string) {
	t.ask("number", kind, struct{}{})
	out := t.sayMsg("ask.number-" + kind)
	out.offer(t.answer(msg("button.not-known"), kind, "none"), t.stopButton())
}

// numberDialogue takes one number and asks for the next. What holds none of
// its digits is something else.
func (t *turn) numberDialogue(in answer) {
	kind := t.talk.Step
	switch text := in.value(); {
	case text == "none" || strings.EqualFold(strings.Trim(text, " ."), "not known") || strings.EqualFold(text, "skip"):
	case isNumber(text):
		t.keepNumber(kind, text)
	case t.asked(text):
		t.again(func() { t.askNumber(kind) })
		return
	default:
		t.sayMsg("number.wrong", "text", short(text))
		return
	}
	for i, k := range numberKinds[:len(numberKinds)-1] {
		if k == kind {
			t.askNumber(numberKinds[i+1])
			return
		}
	}
	t.endDialogue()
	text := t.numbersText()
	if text == "" {
		text = msg("number.none")
	}
	out := t.say(para(text))
	if t.before != nil {
		out.offer(t.undoButton())
	}
}

// fewestDigits is how many digits a telephone number has at least; a text of
// more than mostNumber characters is none.
const (
	fewestDigits = 5
	mostNumber   = 60
)

// isNumber reports that a text holds a telephone number, with or without a
// name.
func isNumber(s string) bool {
	digits := 0
	for _, r := range s {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	return digits >= fewestDigits && len(s) <= mostNumber
}

func (t *turn) keepNumber(kind, text string) {
	t.mutate("did.number", msg("number-of."+kind))
	*t.number(kind) = strings.Join(strings.Fields(text), " ")
}

// setNumber keeps a number that is told in a sentence; without one it forgets
// what was kept.
func setNumber(kind string) func(*turn, read.Sentence) {
	return func(t *turn, s read.Sentence) {
		switch {
		case s.Words == "" && *t.number(kind) == "":
			t.askNumber(kind)
			return
		case s.Words == "":
			t.mutate("did.number", msg("number-of."+kind))
			*t.number(kind) = ""
			t.sayMsg("number.forgotten", "whose", msg("number-of."+kind)).offer(t.undoButton())
			return
		}
		t.keepNumber(kind, s.Words)
		t.sayMsg("number.kept", "line", t.numbersText()).offer(t.undoButton())
	}
}
