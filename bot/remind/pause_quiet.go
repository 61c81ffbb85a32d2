package remind

import (
	"cmp"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// answerQuiet sets the quiet hours that a sentence names.
func answerQuiet(t *talk.Turn, s read.Sentence) {
	if s.Words = cmp.Or(s.Words, read.Find("quiet-after", t.Event.Text)); s.Words == "" {
		askQuiet(t)
		return
	}
	setQuietWords(t, s.Words)
}

func askQuiet(t *talk.Turn) {
	t.Ask("pause", "quiet", struct{}{})
	out := t.Say(say.Para(quietLine(t)), say.Para(msg("quiet.ask")))
	out.Offer(t.Answer("22:00-07:00", "quiet", "22:00-07:00"), t.Answer("21:00-08:00", "quiet", "21:00-08:00"))
	t.InPlace(out.Offer(t.Answer(msg("button.quiet-none"), "quiet", "none"), t.StopButton()))
}

func quietLine(t *talk.Turn) string {
	q := t.Home.Quiet
	return say.Where(q.From != q.To, msg("quiet.line", "from", q.From.String(), "to", q.To.String()))
}

// setQuietWords sets the quiet hours from two times, and reports whether it
// did; where it did not it says why.
func setQuietWords(t *talk.Turn, words string) bool {
	times, err := span.Clocks(words)
	if err != nil {
		talk.SayWhenTrouble(t, err, words)
		return false
	}
	if len(times) == 1 { // "after 9": to the end that was set, or the usual one
		times = append(times, say.Choose(t.Home.Quiet.From != t.Home.Quiet.To, t.Home.Quiet.To, planner.At(7, 0)))
	}
	if len(times) != 2 || times[0] == times[1] {
		t.SayMsg("quiet.two-times", "text", say.Short(words))
		return false
	}
	q := planner.Quiet{From: times[0], To: times[1]}
	if noon := planner.At(12, 0); q.To < q.From && q.From < noon { // "from 10 to 7": a night is meant, not all but a morning
		q.From += noon
	}
	setQuiet(t, q)
	return true
}

// setQuiet keeps the quiet hours; it says which reminders they hold back.
func setQuiet(t *talk.Turn, q planner.Quiet) {
	t.Mutate("did.quiet", "")
	t.Home.Quiet = q
	if q.From == q.To {
		t.InPlace(t.SayMsg("quiet.off").Offer(t.UndoButton()))
		return
	}
	var held []string
	for _, r := range sortedReminders(t) {
		m, ok := planner.NextOf(t.Home, r, t.Event.At)
		if ok && !q.Send(m.At, t.Event.At.Location()).Equal(m.At) {
			held = append(held, talk.ReminderTitle(t, r))
		}
	}
	held = held[:min(len(held), 5)]
	said := say.Where(len(held) > 0, msg("quiet.holds", "what", say.List(held), "time", q.To.String()))
	t.InPlace(t.Say(say.Para(quietLine(t)), say.Para(said)).Offer(t.Button(msg("button.quiet-none"), "quiet", "off"), t.UndoButton()))
}

// takeQuiet takes the answer to from when to when it is quiet.
func takeQuiet(t *talk.Turn, in talk.Answer) {
	if read.Said("quiet-off", in.Value()) {
		t.EndDialogue()
		setQuiet(t, planner.Quiet{})
		return
	}
	if _, err := span.Clocks(in.Value()); err != nil && in.Press == "" && t.Aside(in.Text) {
		return
	}
	kind, step, draft := t.Talk.Kind, t.Talk.Step, t.Talk.Draft
	t.EndDialogue()
	if !setQuietWords(t, in.Value()) {
		t.Talk.Kind, t.Talk.Step, t.Talk.Draft = kind, step, draft
	}
}
