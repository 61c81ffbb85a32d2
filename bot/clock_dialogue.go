package bot

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
)

// clockDraft is the state of the question which half of the day a time in
// words is of.
type clockDraft struct {
	Text string `json:"text"` // as typed
	Part string `json:"part"` // the words of the time

	Back *parked `json:"back,omitempty"` // the question that the text answers; nil for none
}

// halfOfAnswer asks which half of the day is meant where the answer to the
// open question does not say it, and reports whether it did.
func (t *turn) halfOfAnswer(s string) bool {
	if !slices.Contains(t.reg.forms[t.talk.Kind].Times, t.talk.Step) {
		return false
	}
	_, err := read.Clocks(s)
	if !isUnclear(err) {
		_, err = read.WhenText(s, t.event.At)
	}
	return t.askHalf(err, s, &parked{t.talk.Kind, t.talk.Step, t.talk.Draft})
}

func isUnclear(err error) bool {
	var p read.Problem
	return errors.As(err, &p) && p.Code == read.UnclearTime
}

// sayWhenTrouble says what is wrong with the days and times of a sentence.
// Where only the half of the day is not clear it asks, and goes on from the
// answer.
func (t *turn) sayWhenTrouble(err error, words string) {
	if t.askHalf(err, read.Clean(t.event.Text), nil) {
		return
	}
	t.say(para(whenTrouble(err, words)))
}

// askHalf asks which half of the day a time of a text is of, where that is
// what is wrong with it, and reports whether it did.
func (t *turn) askHalf(err error, text string, back *parked) bool {
	var p read.Problem
	if !errors.As(err, &p) || p.Code != read.UnclearTime || !strings.Contains(text, p.Part) {
		return false
	}
	morning, evening, ok := read.Halves(p.Part)
	if !ok {
		return false
	}
	t.ask("clock", "half", clockDraft{text, p.Part, back})
	t.left = t.left && back == nil // the question is come back to by itself
	t.sayMsg("clock.which", "part", p.Part).
		offer(t.answer(morning.String(), "half", morning.String()), t.answer(evening.String(), "half", evening.String()))
	return true
}

// clockDialogue takes the half of the day, and goes on with what was typed.
func (t *turn) clockDialogue(in answer) {
	var d clockDraft
	t.draft(&d)
	c, ok := read.HalfSaid(in.value(), d.Part)
	if !ok {
		if in.press == "" && t.aside(in.text) {
			return
		}
		t.sayMsg("clock.which", "part", d.Part)
		return
	}
	text := strings.TrimSpace(read.WithClock(d.Text, d.Part, c))
	if b := d.Back; b != nil {
		t.talk.Kind, t.talk.Step, t.talk.Draft = b.Kind, b.Step, b.Draft
		if !t.halfOfAnswer(text) {
			t.reg.forms[b.Kind].Take(t, answer{text: text})
		}
		return
	}
	t.endDialogue()
	t.event.Text = text
	if !t.routeCommand(text) {
		t.routeWords(text)
	}
}
