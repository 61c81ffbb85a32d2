package household

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// numberKinds are the telephone numbers that stand under an urgent answer, in
// the order in which they are asked and shown.
var numberKinds = []string{"vet", "clinic", "poison"}

// number is where a telephone number of the household is kept.
func number(t *talk.Turn, kind string) *string {
	n := &t.Home.Numbers
	return map[string]*string{"vet": &n.Vet, "clinic": &n.Clinic, "poison": &n.Poison}[kind]
}

// NumbersText are the household's own numbers, each with whose it is.
func NumbersText(t *talk.Turn) string {
	var lines []string
	for _, kind := range numberKinds {
		if is := *number(t, kind); is != "" {
			lines = append(lines, msg("number."+kind, "number", is))
		}
	}
	return strings.Join(lines, "\n")
}

// toldNumbers marks that the household was asked for its numbers.
const toldNumbers = "emergency-numbers"

// OfferNumbers asks, once, for the numbers that are to stand under an urgent
// answer, in a line that can wait.
func OfferNumbers(t *talk.Turn, out *say.Reply) {
	if NumbersText(t) != "" || !talk.TellOnce(t, toldNumbers) {
		return
	}
	out.Add(msg("number.later"))
	out.Offer(t.Button(msg("button.numbers"), "number", "ask"))
}

func askNumber(t *talk.Turn, kind string) {
	t.Ask("number", kind, struct{}{})
	out := t.SayMsg("ask.number-" + kind)
	out.Offer(t.Answer(msg("button.not-known"), kind, "none"), t.StopButton())
}

// numberDialogue takes one number and asks for the next. A text without digits
// is something else.
func numberDialogue(t *talk.Turn, in talk.Answer) {
	kind := t.Talk.Step
	switch text := in.Value(); {
	case text == "none" || strings.EqualFold(strings.Trim(text, " ."), "not known") || strings.EqualFold(text, "skip"):
	case isNumber(text, fewestDigits):
		keepNumber(t, kind, text)
	case t.Asked(text):
		t.Again(func() { askNumber(t, kind) })
		return
	default:
		t.SayMsg("number.wrong", "text", say.Short(text))
		return
	}
	if next := slices.Index(numberKinds, kind) + 1; next > 0 && next < len(numberKinds) {
		askNumber(t, numberKinds[next])
		return
	}
	t.EndDialogue()
	out := showNumbers(t)
	if t.Before != nil {
		out.Offer(t.UndoButton())
	}
}

func showNumbers(t *talk.Turn) *say.Reply {
	return t.Say(say.Whole(cmp.Or(NumbersText(t), msg("number.none"))))
}

// sayNumber says which number is kept now, and that the poison line that a text asks for
// beside it is not.
func sayNumber(t *talk.Turn) {
	none := t.Home.Numbers.Poison == "" && read.Says("asks-poison", t.AsTyped())
	t.Say(say.Whole(NumbersText(t)), say.Whole(say.Where(none, msg("number.no-poison")))).Offer(t.UndoButton())
}

// NumberAsked shows the telephone numbers where one is asked for in any words: "who do I
// ring, whats the poison line number".
func NumberAsked(t *talk.Turn, s string) bool {
	asked := read.Says("asks-number", s) && t.Alarm(s).Level < alarm.VetToday
	if asked {
		showNumbers(t)
	}
	return asked
}

// BareNumber keeps a telephone number that is all that is typed for the vet's, where
// the household keeps none: it was asked for it.
func BareNumber(t *talk.Turn, s string) bool {
	other := func(r rune) bool { return !unicode.IsDigit(r) && !strings.ContainsRune("+ ()/-", r) }
	if strings.ContainsFunc(s, other) || !isNumber(s, bareDigits) || NumbersText(t) != "" || !t.Home.Told[toldNumbers] || t.Talk.Kind != "" {
		return false
	}
	keepNumber(t, "vet", s)
	sayNumber(t)
	return true
}

// NumberBeside keeps a telephone number that is told with a vet's, or to be kept, whatever
// else is told: "Findlay emergency vet 419-555-0142".
func NumberBeside(t *talk.Turn, s string) bool {
	told, n := "", read.Find("phone", read.Without("a-date", s))
	if NumbersText(t) == "" {
		told = strings.Trim(read.Find("number-told", s), " ,.:")
	}
	if told == "" && (n == "" || !read.Says("names-vet", s) || strings.Contains(NumbersText(t), n) || read.Says("phone-not", s) || t.Talk.Kind == "number") {
		return false
	}
	keepNumber(t, say.Choose(read.Says("emergency-place", cmp.Or(told, s)), "clinic", "vet"), cmp.Or(told, strings.TrimSpace(read.Find("phone-named", s)+" "+n)))
	sayNumber(t)
	return true
}

// mendNumber puts a number for the one that it is nearest to, which was typed wrong.
func mendNumber(t *talk.Turn, s read.Sentence) {
	kind, most := "vet", -1
	for _, k := range numberKinds {
		is, n := *number(t, k), 0
		for n < min(len(is), len(s.Words)) && is[n] == s.Words[n] {
			n++
		}
		if is != "" && n > most {
			kind, most = k, n
		}
	}
	setNumber(kind)(t, s)
}

// fewestDigits is how many digits a telephone number has at least, bareDigits one that
// is not said to be one (our own choice); a text of
// more than mostNumber characters is none.
const (
	fewestDigits = 5
	bareDigits   = 8
	mostNumber   = 60
)

// isNumber reports that a text holds a telephone number of so many digits at least, with
// or without a name.
func isNumber(s string, fewest int) bool {
	digits := 0
	for _, r := range s {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	return digits >= fewest && len(s) <= mostNumber
}

// numberName is whose a telephone number is, where a text names them: "my vet is Dr Shah".
func numberName(s string) string {
	return strings.TrimSpace(read.Without("number-fill", read.Find("number-name", s)+" "))
}

func keepNumber(t *talk.Turn, kind, text string) {
	t.Mutate("did.number", msg("number-of."+kind))
	*number(t, kind) = strings.Join(strings.Fields(text), " ")
}

// setNumber keeps a number that is told in a sentence; without one it forgets
// what was kept.
func setNumber(kind string) func(*talk.Turn, read.Sentence) {
	return func(t *talk.Turn, s read.Sentence) {
		switch {
		case s.Words == "" && *number(t, kind) == "":
			askNumber(t, kind)
			return
		case s.Words == "":
			t.Mutate("did.number", msg("number-of."+kind))
			*number(t, kind) = ""
			t.SayMsg("number.forgotten", "whose", msg("number-of."+kind)).Offer(t.UndoButton())
			return
		}
		keepNumber(t, kind, strings.TrimSpace(say.Cut(numberName(t.AsTyped()), mostNumber-len(s.Words))+" "+s.Words))
		sayNumber(t)
	}
}
