package bot

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
)

// answer is what came to an open question: something typed, or the value of
// a button.
type answer struct {
	text  string // typed; empty where a button was pressed
	press string // the button's value
}

// value is what was answered, however it came.
func (a answer) value() string {
	if a.press != "" {
		return a.press
	}
	return a.text
}

func arg(args []string, i int) string {
	if i < len(args) {
		return args[i]
	}
	return ""
}

// longest is how many characters of a message are read; recipe pastes say
// what was cut off themselves.
const longest = 20000

// route finds who answers the event. Where that left a dialogue unfinished,
// the last reply offers to go on with it.
func (t *turn) route() {
	t.find()
	for i := range t.replies {
		vetOnce(&t.replies[i])
	}
	if t.left && len(t.replies) > 0 {
		t.replies[len(t.replies)-1].offer(t.button(msg("button.go-on-parked"), "resume"))
	}
	t.keepOffer()
}

func (t *turn) find() {
	if t.event.Press != "" {
		t.routePress()
		return
	}
	text := t.event.Text
	if utf8.RuneCountInString(text) > longest {
		t.sayMsg("trouble.long", "n", longest)
		return
	}
	clean := strings.TrimSpace(read.Clean(text))
	if clean == "" {
		t.sayMsg("trouble.empty")
		return
	}
	t.leaveStale()
	if t.hear(t.reg.hears.First, clean) || t.routeCommand(clean) || t.bareFirst(clean) || t.routeDialogue(clean) || t.takeOffer(clean) {
		return
	}
	t.routeWords(clean)
}

// routeWords answers what is neither a command nor an answer to a question.
func (t *turn) routeWords(clean string) {
	h := t.reg.hears
	if t.hear(h.News, clean) || !strings.Contains(clean, "\n") && t.sentence(clean) || t.hear(h.Dose, clean) {
		return
	}
	if isStop(clean) {
		t.stopDialogue()
		return
	}
	if !t.bareCommand(clean) && !t.hear(h.Rest, clean) {
		h.Lost(t, clean)
	}
}

// routeCommand answers "/name rest"; a name that is no command is said.
func (t *turn) routeCommand(s string) bool {
	if !strings.HasPrefix(s, "/") {
		return false
	}
	name, rest := cutWord(s[1:])
	name, _, _ = strings.Cut(name, "@")
	if rest == "" && isStop(name) {
		t.stopDialogue()
		return true
	}
	if c, ok := t.reg.commands[strings.ToLower(name)]; ok {
		c.Do(t, rest)
		return true
	}
	t.sayMsg("trouble.command", "name", "/"+name)
	return true
}

// bareCommand answers a command written without its slash.
func (t *turn) bareCommand(s string) bool {
	name, rest := cutWord(s)
	name = strings.ToLower(strings.TrimSuffix(name, ":"))
	c, ok := t.reg.commands[name]
	if !ok || rest != "" && c.Slash {
		return false
	}
	c.Do(t, rest)
	return true
}

// cutWord splits the first word, up to a space or a line end, from the rest.
func cutWord(s string) (word, rest string) {
	i := strings.IndexAny(s, " \t\n")
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// routeDialogue gives what was typed to the dialogue under way. The
// dialogue decides first; what it cannot use and is a sentence of its own is
// answered as one, and the open question stays.
func (t *turn) routeDialogue(s string) bool {
	f, ok := t.reg.forms[t.talk.Kind]
	if !ok {
		return false
	}
	if isStop(s) {
		t.stopDialogue()
		return true
	}
	// "dog Rex 10 kg" begins a dog whatever is open, but for free words.
	if word, rest := cutWord(s); rest != "" && !t.answersFreely() && t.reg.commands[strings.ToLower(word)].Opens {
		return t.bareCommand(s)
	}
	if !t.typedAnswer(s) && !t.halfOfAnswer(s) {
		f.Take(t, answer{text: s})
	}
	return true
}

// answersFreely reports whether the answer to the open question is kept as
// typed.
func (t *turn) answersFreely() bool {
	return slices.Contains(t.reg.forms[t.talk.Kind].Free, t.talk.Step)
}

// isStop reports that a person wants out of a dialogue.
func isStop(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "stop", "cancel", "never mind", "nevermind", "quit":
		return true
	}
	return false
}

// stopDialogue ends the dialogue under way; what was typed into it can be
// taken up again.
func (t *turn) stopDialogue() {
	if t.talk.Kind == "" {
		t.sayMsg("dialogue.none")
		return
	}
	kept := t.park()
	t.endDialogue()
	r := t.sayMsg("dialogue.stopped")
	if kept {
		r.offer(t.button(msg("button.go-on"), "resume"))
	}
}

// resume takes up the dialogue that was left unfinished.
func (t *turn) resume() {
	p := t.talk.Parked
	if p == nil {
		t.sayMsg("dialogue.nothing-parked")
		return
	}
	t.talk.Parked = nil
	t.talk.Kind, t.talk.Step, t.talk.Draft = p.Kind, p.Step, p.Draft
	t.askAgain()
}

// askAgain repeats the open question of the dialogue under way.
func (t *turn) askAgain() {
	if f := t.reg.forms[t.talk.Kind]; f.Again != nil {
		f.Again(t)
		return
	}
	t.endDialogue()
	t.sayMsg("dialogue.nothing-parked")
}

// routePress checks that the button belongs to this household and calls its
// verb.
func (t *turn) routePress() {
	parts := strings.Split(t.event.Press, ":")
	if len(parts) < 2 || parts[0] != t.mark() {
		t.sayMsg("press.foreign")
		return
	}
	do, ok := t.reg.presses[parts[1]]
	if !ok {
		t.sayMsg("press.stale")
		return
	}
	if t.talk.Kind == "sure" && parts[1] != "answer" { // it was tapped, or something else was
		t.endDialogue()
	}
	do(t, parts[2:])
	if settling[parts[1]] && len(t.replies) > 0 {
		t.replies[0].Settles = t.replies[0].InPlace != ""
	}
}

// settling are the verbs of buttons under what fell due: an answer takes the
// place of the reminder even where others have come since.
var settling = map[string]bool{"due": true, "stool": true}

// pressAnswer gives a button's value to the dialogue whose open question the
// button belongs to.
func (t *turn) pressAnswer(args []string) {
	f, ok := t.reg.forms[t.talk.Kind]
	if !ok || len(args) < 2 || args[0] != t.talk.Step {
		t.sayMsg("press.stale")
		return
	}
	f.Take(t, answer{press: strings.Join(args[1:], ":")})
	if len(t.replies) > 0 {
		t.replies[0].InPlace = t.event.Message
	}
}
