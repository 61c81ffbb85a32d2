package talk

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// offer is what the last reply offered, so that it can be typed as well as
// tapped.
type offer struct {
	At      time.Time    `json:"at"`
	By      string       `json:"by"` // the change that the same event would be
	Buttons []say.Button `json:"buttons"`
	// Beside are those of all replies where there were several.
	Beside []say.Button `json:"beside,omitempty"`
}

// mostOffered is how many buttons are kept: a longer list is tapped.
const mostOffered = 16

// keepOffer keeps what the turn's reply offers. Where there are several replies,
// the buttons tell which is meant, unless the last of them asks which dog.
func (t *Turn) keepOffer() {
	if t.Talk.Offer = nil; len(t.Replies) == 0 {
		return
	}
	o := offer{At: t.Event.At, By: ChangeID(t.Event.ID), Buttons: slices.Concat(t.LastReply().Buttons...)}
	if len(t.Replies) > 1 && !t.onlyDogs(o.Buttons) {
		o.Buttons = nil
		for _, r := range t.Replies {
			o.Beside = append(o.Beside, slices.Concat(r.Buttons...)...)
		}
		if len(o.Beside) > 0 && len(o.Beside) <= 2*mostOffered {
			t.Talk.Offer = &o
		}
		return
	}
	if len(o.Buttons) > 0 && len(o.Buttons) <= mostOffered {
		t.Talk.Offer = &o
	}
}

// offer is what the last reply offered, nothing where that is stale.
func (t *Turn) offer() offer {
	if o := t.Talk.Offer; o != nil && t.Event.At.Sub(o.At) <= openFor {
		return *o
	}
	return offer{}
}

// Offered are the arguments of the last reply's buttons of a verb.
func (t *Turn) Offered(verb string) (args [][]string) { return t.argsOf(t.offer().Buttons, verb) }

// OfferedBeside is Offered of all the replies to the last message, where there were
// several.
func OfferedBeside(t *Turn, verb string) (args [][]string) {
	return t.argsOf(t.offer().Beside, verb)
}

func (t *Turn) argsOf(of []say.Button, verb string) (args [][]string) {
	for _, b := range of {
		if is, ok := strings.CutPrefix(b.Data, t.mark()+":"+verb+":"); ok {
			args = append(args, strings.Split(is, ":"))
		}
	}
	return args
}

// takeOffer does what a button of the last reply does if its words are typed,
// or a yes or no to what it asks.
func (t *Turn) takeOffer(s string) bool {
	meant := t.offersMeant(s)
	for _, b := range meant {
		t.pressButton(b)
	}
	return len(meant) > 0
}

// offersMeant are the buttons of the last reply that a text presses: one, all where it
// says so, none where it is no answer to what was offered.
func (t *Turn) offersMeant(s string) []say.Button {
	buttons := t.offer().Buttons
	which, meant := t.asksWhich(), t.of("meant", buttons)
	if len(which) > 0 {
		buttons = which
	}
	said := strings.ToLower(strings.Trim(s, " .!"))
	if said == "undo" {
		return nil // the last step, whichever button it has
	}
	at := buttonSaid(buttons, said)
	if at < 0 {
		at = buttonCounted(buttons, say.Where(len(which) > 0, "number ")+said)
	}
	if at < 0 {
		no := refusing(buttons)
		switch {
		case IsNo(said):
			at = no
		case read.SaysAll(said) && (t.onlyDogs(buttons) || len(which) > 0):
			return buttons
		case read.SaysAll(said):
			at = slices.IndexFunc(buttons, func(b say.Button) bool { return strings.HasSuffix(b.Data, ":all") })
		case t.DogNamed(said) != nil && !slices.ContainsFunc(buttons, func(b say.Button) bool { return !t.namesDog(b.Label) }):
			at = oneButton(buttons, func(label string) bool { return strings.HasPrefix(label, said+" ") }) // "Tiny" of "Tiny vitamin E"
		case IsYes(said) && (no == 1 || len(meant) > 0 && len(t.Talk.Meant.Says) == 1): // one thing to do, and to leave it
			at = 0
		case (no >= 0 || len(t.Offered("class")) > 0) && !t.isCommand(said): // or what a dog is: "healthy"
			at = buttonBegun(buttons, said)
		case len(which) > 0: // "the thyroid one"
			at = t.choiceMeant(buttons, read.GivenThing(said, t.Names()))
		}
	}
	if at < 0 {
		return nil
	}
	return buttons[at : at+1]
}

// asksWhich are the buttons between which the last reply asked to choose: several due
// things, or what was noted of a dog and isn't so.
func (t *Turn) asksWhich() []say.Button {
	o := t.offer()
	for _, verb := range []string{"due", "sign"} {
		some := t.of(verb, slices.Concat(o.Buttons, o.Beside))
		all := t.argsOf(some, verb)
		other := func(args []string) bool { return args[0] != all[0][0] || Arg(args, 1) == "" }
		least := say.Choose(verb == "due", 2, 1)
		if len(all) >= least && (len(o.Buttons) == 0 || len(some) == len(o.Buttons)) && !slices.ContainsFunc(all, other) {
			return some
		}
	}
	return nil
}

// of are those of some buttons that have a verb.
func (t *Turn) of(verb string, buttons []say.Button) []say.Button {
	return slices.DeleteFunc(slices.Clone(buttons), func(b say.Button) bool { return !strings.HasPrefix(b.Data, t.mark()+":"+verb+":") })
}

// typedAnswer gives the words of a button of the open question as its press.
func (t *Turn) typedAnswer(s string) bool {
	buttons := t.offer().Buttons
	said := strings.ToLower(strings.Trim(s, " .!"))
	at := t.answerSaid(buttons, said)
	if at < 0 && t.Talk.Parked != nil && read.Says("goes-on", said) { // "go on with the recipe"
		t.reg.Presses["resume"](t, nil)
		return true
	}
	rest := ""
	if at < 0 && !t.asksOfDog() {
		switch at = t.choiceMeant(buttons, said); {
		case at == several && t.Talk.Kind == "recipe": // it narrows them: "white, dry"
			t.reg.Forms[t.Talk.Kind].Take(t, Answer{Text: strings.Join(choiceWords(said), " ")})
			return true
		case at == several:
			Wrong(t, msg("answer.several"), t.briefly(t.Talk.Kind))
			return true
		case at < 0 && !strings.Contains(said, "?"): // "leave that out but the eggs are wrong", "it's dry food. Other"
			head, tail := cutAnswer(said)
			if at, rest = t.choiceMeant(buttons, head), tail; at < 0 {
				at, rest = buttonSaid(buttons, tail), head
			}
			beside := choiceWords(rest)
			named := func(b say.Button) bool {
				return slices.ContainsFunc(choiceWords(b.Label), func(w string) bool { return slices.Contains(beside, w) })
			}
			if strings.ContainsAny(rest, "0123456789") || slices.ContainsFunc(buttons, named) { // "Bran and Pip"
				at = -1
			}
		}
	}
	if at < 0 || t.isCommand(strings.ToLower(s)) || !t.isAnswer(buttons[at]) {
		return false
	}
	if len(strings.Fields(rest)) > 1 {
		t.Unused(rest)
	}
	t.pressButton(buttons[at])
	return true
}

// answerSaid is the place of the button that is an answer to the open question with these
// words, by its place or by its number, or -1.
func (t *Turn) answerSaid(buttons []say.Button, said string) int {
	at := buttonSaid(buttons, said)
	if at < 0 {
		at = buttonCounted(buttons, say.Where(t.Talk.Step == "food", "number ")+said) // no amount is asked for
	}
	if at < 0 {
		at = buttonCounted(buttons, read.Find("which-place", said)) // "the first one, no bone like I said"
	}
	if n, err := span.Number(read.Without("number-slip", said)); at < 0 && err == nil {
		at = buttonSaid(buttons, say.Trim(n, 1)) // "four", or "for"
	}
	return at
}

// answerFirst parts an answer to what was asked from the sentences that clearly say something
// else: "Nottingham. How do I add my husband?", "yes exactly. and they both had breakfast".
func (t *Turn) answerFirst(text string, sentences []string) (each [][]string) {
	ofDog := t.asksOfDog()
	if head, tail := cutAnswer(text); !ofDog && len(sentences) == 1 && head != "" {
		sentences = []string{head, tail}
	}
	if len(sentences) < 2 || !ofDog && (!t.answersFirst(sentences[0]) || t.isOne(text, sentences[1:]) || slices.ContainsFunc(sentences[1:], correctsTold)) {
		return nil
	}
	if (IsNo(strings.ToLower(sentences[0])) || t.DogNamed(sentences[0]) != nil) && read.Without("leads-on", sentences[1]) == sentences[1] {
		return nil // "no! resume everything", "Pearl. the vet set 850 kcal for her"
	}
	other := func(s string) bool {
		kind := t.clearly(s, clearFrom)
		return say.Choose(ofDog, read.IsQuestion(s) && strings.HasSuffix(kind, "?"), kind != "" && s != sentences[0])
	}
	each = [][]string{slices.DeleteFunc(slices.Clone(sentences), other)}
	for _, s := range sentences {
		if other(s) {
			each = append(each, []string{read.Without("leads-on", s)})
		}
	}
	return say.Choose(len(each) > 1 && len(each[0]) > 0, each, nil)
}

// answersFirst reports that the first sentence of a message answers what was asked, or
// presses what was offered: "left in. oh and he gets salmon oil", "yes exactly. both ate".
func (t *Turn) answersFirst(s string) bool {
	said := strings.ToLower(strings.Trim(s, " .!"))
	best := Likeliest(t, s)
	switch {
	case len(strings.Fields(s)) > fragment || AnswersFreely(t) || t.asksOfDog() || t.isCommand(said):
		return false
	case t.Talk.Kind == "":
		return len(t.offersMeant(s)) > 0
	}
	return t.answerSaid(t.offer().Buttons, said) >= 0 || IsYes(said) || IsNo(said) || t.question() != "" && best.Intent == "answer" && best.P >= clearFrom
}

// asksOfDog reports that a dog's profile is asked for, whose questions read words by
// themselves: "male" leaves open whether he is neutered.
func (t *Turn) asksOfDog() bool { return t.Talk.Kind == "dog" || t.Talk.Kind == "dog-edit" }

// isAnswer reports that a button answers the open question.
func (t *Turn) isAnswer(b say.Button) bool {
	return strings.HasPrefix(b.Data, t.mark()+":answer:"+t.Talk.Step+":")
}

// choiceMeant is the place of the answer whose label alone has what is said of it, or
// nothing besides but what all that have it share, -1 where none has it: "the cooked one",
// "plain boiled" of "rice, cooked".
func (t *Turn) choiceMeant(buttons []say.Button, said string) int {
	words := choiceWords(said)
	fits, in := map[int][]string{}, map[string]int{}
	for i, b := range buttons {
		label := choiceWords(b.Label)
		if len(words) == 0 || t.Talk.Kind != "" && !t.isAnswer(b) || slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(label, w) }) {
			continue
		}
		fits[i] = label
		for _, w := range label {
			in[w]++
		}
	}
	at := -1
	for i, label := range fits {
		if !slices.ContainsFunc(label, func(w string) bool { return in[w] < len(fits) && !slices.Contains(words, w) }) || len(fits) == 1 {
			if at >= 0 {
				return several
			}
			at = i
		}
	}
	return say.Choose(at < 0 && len(fits) > 1, several, at)
}

// several is in place of a button's place where more than one fits.
const several = -2

// choiceWords are the words of a label, or of what is said of one, without the small ones
// around them.
func choiceWords(s string) []string {
	return strings.FieldsFunc(read.Without("choice-words", strings.ToLower(strings.NewReplacer("'", "", "’", "").Replace(s))), func(r rune) bool { return strings.ContainsRune(" ,.!()/", r) })
}

// cutAnswer parts what may be an answer from what is said beside it.
func cutAnswer(s string) (head, tail string) {
	if m := read.Pattern("answer-ends").FindStringIndex(s); m != nil {
		return s[:m[0]], s[m[1]:]
	}
	return "", ""
}

// buttonCounted is the place of the button that is meant by its place among several,
// or -1: "the first one".
func buttonCounted(buttons []say.Button, said string) int {
	if n := span.PlaceOf(said, len(buttons)); n <= len(buttons) && len(buttons) > 1 {
		return n - 1
	}
	return -1
}

// pressButton takes what was typed for a press of a button.
func (t *Turn) pressButton(b say.Button) {
	t.Event.Press = b.Data
	t.routePress()
}

// onlyDogs reports that buttons are the names of dogs, two or more, and no more: it
// is asked which.
func (t *Turn) onlyDogs(buttons []say.Button) bool {
	return len(buttons) > 1 && !slices.ContainsFunc(buttons, func(b say.Button) bool { return t.DogNamed(b.Label) == nil })
}

// namesDog reports that a label begins with the name of a dog.
func (t *Turn) namesDog(label string) bool {
	return slices.ContainsFunc(t.Home.Dogs, func(d planner.Dog) bool { return strings.HasPrefix(label, d.Name+" ") })
}

func (t *Turn) isCommand(word string) bool {
	_, ok := t.reg.Commands[word]
	return ok
}

// buttonSaid is the place of the one button with these words, or -1.
func buttonSaid(buttons []say.Button, said string) int {
	words := choiceWords(said)
	if at := oneButton(buttons, func(label string) bool { return label == said }); at >= 0 || len(words) == 0 {
		return at
	}
	return oneButton(buttons, func(label string) bool { return slices.Equal(choiceWords(label), words) })
}

// buttonBegun is the place of the one button that begins with a word, or -1:
// "apply" is "Apply 970 kcal".
func buttonBegun(buttons []say.Button, said string) int {
	if strings.Contains(said, " ") || utf8.RuneCountInString(said) < 4 {
		return -1
	}
	return oneButton(buttons, func(label string) bool { return strings.HasPrefix(label, said+" ") })
}

func oneButton(buttons []say.Button, is func(label string) bool) int {
	at := -1
	for i, b := range buttons {
		if !is(strings.ToLower(b.Label)) {
			continue
		}
		if at >= 0 {
			return -1
		}
		at = i
	}
	return at
}

// refusing is the place of the button that leaves all as it is, or -1. If there
// is one, the reply asks something.
func refusing(buttons []say.Button) int {
	return oneButton(buttons, func(label string) bool {
		first, rest := CutWord(label)
		return first == "keep" || first == "no" || first == "stay" || first == "leave" && rest != "out" // what a dog never gets
	})
}

// Suggested reports that the last reply suggested a change of the amount.
func Suggested(t *Turn) bool {
	buttons := t.offer().Buttons
	return refusing(buttons) >= 0 && buttonBegun(buttons, "apply") >= 0
}

// chosen takes a yes or no, however it was put, to what the last reply offered.
func (t *Turn) chosen(intent string) bool {
	switch intent {
	case "apply":
		if at := buttonBegun(t.offer().Buttons, "apply"); at >= 0 {
			t.pressButton(t.offer().Buttons[at])
			return true
		}
		intent = "yes"
	case "keep":
		intent = "no"
	}
	return t.takeOffer(intent)
}
