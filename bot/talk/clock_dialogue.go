package talk

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
)

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
		c, ok = span.HalfSaid(half, d.Part)
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
