package talk

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// Interrupted answers a question typed where any text would be an answer, and
// reports whether it did: a sentence of three words or more, of a dog, or with
// a question mark, or the answer to a reminder that waits for one.
func Interrupted(t *Turn, in Answer) bool {
	words := strings.Fields(in.Text)
	ofDog := len(words) == 2 && t.DogNamed(words[1]) != nil // "show Rex", but not "Rex's bowl"
	if in.Press != "" || len(words) < 3 && !ofDog && !strings.HasSuffix(strings.TrimSpace(in.Text), "?") && !t.reg.hears.Due(t, in.Text) {
		return false
	}
	return t.Aside(in.Text)
}

func (t *Turn) DogNamed(name string) *planner.Dog {
	return planner.FirstOf(t.Home.Dogs, func(d *planner.Dog) bool { return strings.EqualFold(d.Name, name) })
}

// ProblemOf says what is wrong with a text that package read refused.
func ProblemOf(err error, typed string) string {
	var p span.Problem
	if errors.As(err, &p) {
		return say.ProblemText(p)
	}
	return msg("wrong.text", "text", say.Short(typed))
}

func (t *Turn) StopButton() say.Button { return t.Button(msg("button.stop"), "stop") }

func (t *Turn) RecipeNamed(name string) *planner.Recipe {
	return planner.FirstOf(t.Home.Recipes, func(r *planner.Recipe) bool { return strings.EqualFold(r.Name, strings.TrimSpace(name)) })
}

// RecipeSaid is the recipe that some words name, by its name or by some words of
// it that no other has.
func (t *Turn) RecipeSaid(what string) *planner.Recipe {
	if r := t.RecipeNamed(what); r != nil {
		return r
	}
	s, ok := t.Understand("what is in the " + what)
	if !ok || s.Intent != read.RecipeContents {
		return nil
	}
	return t.Recipe(s.Recipe)
}

// ParkSame puts a dialogue aside that a new one of the same kind follows.
func ParkSame(t *Turn, kind string) {
	if t.Talk.Kind == kind && t.park() {
		t.left = true
		t.EndDialogue()
	}
}

// PutAside lets the dialogue under way wait until what follows is done.
func PutAside(t *Turn) {
	if t.park() {
		t.left, t.Talk.Parked.Back = true, true
	}
	t.EndDialogue()
}

// Wrong says what is wrong with an answer and asks again, in one message.
func Wrong(t *Turn, text string, ask func()) {
	n := len(t.Replies)
	ask()
	if len(t.Replies) == n {
		t.Say(say.Para(text))
		return
	}
	t.Replies[n].Begin(text)
}

// fewestElse is of how many words a text is that is looked at as something else where
// it is no answer (our own choice): fewer are most likely a slip in one.
const fewestElse = 3

// Elsewhere answers what is no answer to the open question as if none were open, and
// asks again; where nothing else is understood either it says nothing and reports false.
func (t *Turn) Elsewhere(s string, ask func()) bool {
	if len(strings.Fields(s)) < fewestElse || len(t.Home.Dogs) == 0 {
		return false // of somebody new all is most likely about the dog that is being told of
	}
	switch Likeliest(t, s).Intent {
	case "stop", "yes", "no", "answer":
		return false
	}
	before, said, typed := t.openNow(), len(t.Replies), t.Event.Text
	t.EndDialogue()
	t.Event.Text = s
	t.RouteWords(s)
	if t.lost != "" && !t.Changed {
		t.Replies, t.lost, t.Event.Text = t.Replies[:said], "", typed
		t.Talk.Kind, t.Talk.Step, t.Talk.Draft = before.Kind, before.Step, before.Draft
		return false
	}
	if t.backTo(before); t.Talk.Kind == before.Kind && t.Talk.Step == before.Step {
		ask()
	}
	return true
}

// DogsAnswered reads which dogs an answer means; where it means none it says
// so and asks again.
func DogsAnswered(t *Turn, in Answer, ask func()) (ids []string, ok bool) {
	if d := t.Dog(in.Press); d != nil {
		return []string{d.ID}, true
	}
	all := in.Press == "all"
	if in.Press == "" {
		ids, all, ok = read.DogsText(in.Text, t.Names())
	}
	if all {
		return AllDogs(t), true
	}
	if ok || in.Press == "" && (t.Asked(in.Text) || t.Elsewhere(in.Text, ask)) {
		return ids, ok
	}
	Wrong(t, msg("rotation-wrong.dogs", "what", say.Short(in.Value()), "dogs", DogNames(t, AllDogs(t)), "n", len(t.Home.Dogs)), ask)
	return nil, false
}

// AllDogs are the ids of the household's dogs.
func AllDogs(t *Turn) []string {
	return say.Each(t.Home.Dogs, func(d planner.Dog) string { return d.ID })
}

// SureDraft is what a typed yes does, and a no: the press of a button.
type SureDraft struct {
	Verb string   `json:"verb"`
	Args []string `json:"args"`
	No   []string `json:"no,omitempty"` // what a typed no does, where that is something
}

// says reports that a text means yes to what is asked here alone.
func (d SureDraft) says(text string) bool {
	return say.Choose(d.Verb == "weigh", read.Said("says-right", text), read.Says("says-do", text)) // "yes, remove"
}

// IsYes reports that a typed answer is a yes, whatever was asked.
func IsYes(s string) bool { return read.Said("yes", s) || read.Says("says-yes", s) }

// IsNo reports that a typed answer is a no, whatever was asked.
func IsNo(s string) bool { return read.Said("no", s) }

// IsNotSure reports that a typed answer leaves a question open.
func IsNotSure(s string) bool {
	return read.Said("not-sure", strings.TrimRight(s, " .?!")) || read.Says("unsure-of", s)
}

// isStop reports that a person wants to leave a dialogue.
func isStop(s string) bool { return read.Said("stop", s) }

// AskedSure lets a typed yes do what the button under a question does; a no
// leaves everything as it is.
func (t *Turn) AskedSure(verb string, args ...string) {
	t.Ask("sure", "yes", SureDraft{Verb: verb, Args: args})
}

// sureDialogue takes the yes or no. Anything else is no answer and drops the
// question: no slip removes anything.
func (t *Turn) sureDialogue(in Answer) {
	var d SureDraft
	t.Draft(&d)
	t.EndDialogue()
	t.left = t.Talk.Parked != nil // what was open before can be gone on with
	said := strings.ToLower(strings.Trim(in.Value(), " .!"))
	says := func(s string) bool { return IsYes(s) || d.says(s) }
	if says(said) {
		t.reg.Presses[d.Verb](t, d.Args)
		return
	}
	if head, rest := cutAnswer(said); says(head) && !read.Says("turns-back", rest) { // "yeah do it and put Rex down for 400 g"
		t.reg.Presses[d.Verb](t, d.Args)
		t.Event.Text = rest
		t.RouteWords(rest)
		return
	}
	switch {
	case IsNo(said):
		if len(d.No) > 0 {
			t.reg.Presses[d.Verb](t, d.No)
			return
		}
		t.SayMsg("dialogue.stopped")
	default:
		other := NeitherYesNorNo{Verb: d.Verb, Args: d.Args, Text: in.Text}
		if t.Happened(&other); other.Taken {
			return
		}
		t.Event.Text = in.Text
		t.RouteWords(in.Text)
	}
}

// clockDraft is the state of the question whether a time in words is of the
// morning or the evening.
type clockDraft struct {
	Text string `json:"text"` // as typed
	Part string `json:"part"` // the words of the time

	Back *parked `json:"back,omitempty"` // the question that the text answers; nil for none
}

// halfOfAnswer asks whether the morning or the evening is meant where the
// answer to the open question does not say, and reports whether it asked.
func (t *Turn) halfOfAnswer(s string) bool {
	if !slices.Contains(t.reg.Forms[t.Talk.Kind].Times, t.Talk.Step) {
		return false
	}
	_, err := span.Clocks(s)
	if !IsUnclear(err) {
		_, err = span.WhenText(s, t.Event.At)
	}
	return t.askHalf(err, s, &parked{Kind: t.Talk.Kind, Step: t.Talk.Step, Draft: t.Talk.Draft})
}

func IsUnclear(err error) bool {
	var p span.Problem
	return errors.As(err, &p) && p.Code == span.UnclearTime
}

// SayWhenTrouble says what is wrong with the days and times of a sentence.
// Where only the half of the day is not clear it asks, and goes on from the
// answer.
func SayWhenTrouble(t *Turn, err error, words string) {
	if t.askHalf(err, span.Clean(t.Event.Text), nil) {
		return
	}
	t.Say(say.Para(WhenTrouble(err, words)))
}

// askHalf asks which half of the day a time of a text is of, where that is
// what is wrong with it, and reports whether it did.
func (t *Turn) askHalf(err error, text string, back *parked) bool {
	var p span.Problem
	if !errors.As(err, &p) || p.Code != span.UnclearTime || !strings.Contains(text, p.Part) {
		return false
	}
	if _, _, ok := span.Halves(p.Part); !ok {
		return false
	}
	t.Ask("clock", "half", clockDraft{text, p.Part, back})
	t.left = t.left && back == nil // the question is come back to by itself
	t.sayWhichHalf(p.Part)
	return true
}

func (t *Turn) sayWhichHalf(part string) {
	out := t.SayMsg("clock.which", "part", part)
	if morning, evening, ok := span.Halves(part); ok {
		out.Offer(t.Answer(morning.String(), "half", morning.String()), t.Answer(evening.String(), "half", evening.String()))
	}
}

// clockDialogue takes the half of the day, and goes on with what was typed.
func (t *Turn) clockDialogue(in Answer) {
	var d clockDraft
	t.Draft(&d)
	half, rest := strings.TrimSpace(read.Without("choice-words", in.Value())), ""
	c, ok := span.HalfSaid(half, d.Part)
	if !ok && in.Press == "" { // "in the afternoon, and it is half a tablet"
		half, rest, _ = strings.Cut(in.Text, ",")
		c, ok = span.HalfSaid(cmp.Or(read.Find("half-first", half), half), d.Part) // "evening sure what else"
	}
	if !ok {
		t.elseThanHalf(d, in.Text)
		return
	}
	if len(strings.Fields(rest)) > 1 {
		t.Unused(strings.TrimSpace(rest))
	}
	text := strings.TrimSpace(span.WithClock(d.Text, d.Part, c))
	if b := d.Back; b != nil {
		t.Talk.Kind, t.Talk.Step, t.Talk.Draft = b.Kind, b.Step, b.Draft
		if !t.halfOfAnswer(text) {
			t.reg.Forms[b.Kind].Take(t, Answer{Text: text})
		}
		return
	}
	t.EndDialogue()
	t.Event.Text = text
	if !t.routeCommand(text) {
		t.RouteWords(text)
	}
}

// elseThanHalf answers what is no half of the day, and asks again.
func (t *Turn) elseThanHalf(d clockDraft, s string) {
	ask := func() { t.sayWhichHalf(d.Part) }
	if t.Elsewhere(s, ask) {
		return
	}
	if !IsNotSure(s) && len(strings.Fields(s)) >= fewestElse {
		t.NotUnderstood(s)
	}
	ask()
}
