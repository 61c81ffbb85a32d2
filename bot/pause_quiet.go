package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// answerQuiet sets the quiet hours that a sentence names.
func (t *turn) answerQuiet(s read.Sentence) {
	if s.Words == "" {
		t.askQuiet()
		return
	}
	t.setQuietWords(s.Words)
}

func (t *turn) askQuiet() {
	t.ask("pause", "quiet", struct{}{})
	out := t.say(para(t.quietLine()), para(msg("quiet.ask")))
	out.offer(t.answer("22:00-07:00", "quiet", "22:00-07:00"), t.answer("21:00-08:00", "quiet", "21:00-08:00"))
	t.inPlace(out.offer(t.answer(msg("button.quiet-none"), "quiet", "none"), t.stopButton()))
}

func (t *turn) quietLine() string {
	if q := t.home.Quiet; q.From != q.To {
		return msg("quiet.line", "from", q.From.String(), "to", q.To.String())
	}
	return ""
}

// setQuietWords sets the quiet hours from two times, and reports whether it
// did; where it did not it says why.
func (t *turn) setQuietWords(words string) bool {
	times, err := read.Clocks(words)
	if err != nil {
		t.sayWhenTrouble(err, words)
		return false
	}
	if len(times) != 2 || times[0] == times[1] {
		t.sayMsg("quiet.two-times", "text", short(words))
		return false
	}
	t.setQuiet(planner.Quiet{From: times[0], To: times[1]})
	return true
}

// setQuiet keeps the quiet hours; it says which reminders they hold back.
func (t *turn) setQuiet(q planner.Quiet) {
	t.mutate("did.quiet", "")
	t.home.Quiet = q
	if q.From == q.To {
		t.inPlace(t.sayMsg("quiet.off").offer(t.undoButton()))
		return
	}
	var held []string
	for _, r := range t.sortedReminders() {
		m, ok := planner.NextOf(t.home, r, t.event.At)
		if ok && !q.Send(m.At, t.event.At.Location()).Equal(m.At) {
			held = append(held, t.reminderTitle(r))
		}
	}
	held = held[:min(len(held), 5)]
	said := ""
	if len(held) > 0 {
		said = msg("quiet.holds", "what", list(held), "time", q.To.String())
	}
	t.inPlace(t.say(para(t.quietLine()), para(said)).offer(t.button(msg("button.quiet-none"), "quiet", "off"), t.undoButton()))
}

// takeQuiet takes the answer to from when to when it is quiet.
func (t *turn) takeQuiet(in answer) {
	switch strings.ToLower(strings.Trim(in.value(), " .!")) {
	case "none", "off", "no", "no quiet hours":
		t.endDialogue()
		t.setQuiet(planner.Quiet{})
		return
	}
	if _, err := read.Clocks(in.value()); err != nil && in.press == "" && t.aside(in.text) {
		return
	}
	kind, step, draft := t.talk.Kind, t.talk.Step, t.talk.Draft
	t.endDialogue()
	if !t.setQuietWords(in.value()) {
		t.talk.Kind, t.talk.Step, t.talk.Draft = kind, step, draft
	}
}

// pressQuiet does what a button about quiet hours asks.
func (t *turn) pressQuiet(args []string) {
	switch arg(args, 0) {
	case "ask":
		t.askQuiet()
	case "off":
		t.setQuiet(planner.Quiet{})
	default:
		t.sayMsg("press.stale")
	}
}
