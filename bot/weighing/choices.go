package weighing

import (
	"strings"

	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// choices are questions about a dog, one after another, each answered by one of
// its buttons.
type choices struct {
	kind  string // of the form; its messages begin with it
	steps []talk.Step[chosen]
	done  func(t *talk.Turn, d *planner.Dog, words []string)
}

// chosen is the answers so far, one word each.
type chosen struct {
	Dog   string   `json:"dog"`
	Words []string `json:"words,omitempty"`
}

// choose adds a question with the words of its answers.
func (c *choices) choose(name string, words ...string) {
	key := c.kind + "." + name
	c.steps = append(c.steps, talk.Step[chosen]{Name: name, Repeats: true,
		Ask: func(t *talk.Turn, of *chosen) {
			r := t.SayMsg(key, "dog", t.Dog(of.Dog).Name)
			for _, w := range words {
				r.Offer(t.Answer(msg(key+"-"+w), name, w))
			}
		},
		Take: func(_ *talk.Turn, of *chosen, in talk.Answer) string {
			for _, w := range words {
				if in.Press == w || in.Press == "" && strings.EqualFold(strings.TrimSpace(in.Text), msg(key+"-"+w)) {
					of.Words = append(of.Words, w)
					return ""
				}
			}
			return msg(c.kind + ".choose")
		}})
}

// ask asks the first question without an answer, or takes the answers.
func (c *choices) ask(t *talk.Turn, of chosen) {
	if n := len(of.Words); n < len(c.steps) {
		t.Ask(c.kind, c.steps[n].Name, of)
		c.steps[n].Ask(t, &of)
		return
	}
	t.EndDialogue()
	c.done(t, t.Dog(of.Dog), of.Words)
}

// take takes an answer.
func (c *choices) take(t *talk.Turn, of chosen, in talk.Answer) {
	if t.Dog(of.Dog) == nil || len(of.Words) >= len(c.steps) {
		t.Gone()
		return
	}
	if c.steps[len(of.Words)].Heard(t, &of, in) {
		c.ask(t, of)
	}
}
