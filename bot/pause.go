package bot

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// longestPause is how many days a pause may last: a pause has an end, and
// what is stopped for longer is better stopped.
const longestPause = 366

// pauseCommand pauses as the rest says, or asks until when.
func (t *turn) pauseCommand(rest string) {
	t.pauseWords(rest, nil)
}

// answerPause pauses as a sentence says.
func (t *turn) answerPause(s read.Sentence) { t.pauseWords(t.event.Text, t.dog(s.Dog)) }

// pauseWords pauses as some words say: of the dog that they name, else of
// all. "until" and "to" name the day on which it goes on.
func (t *turn) pauseWords(words string, d *planner.Dog) {
	r, err := read.ReminderText(words, t.names(), t.event.At)
	if err != nil {
		t.sayWhenTrouble(err, words)
		return
	}
	if named := t.dog(r.Dog); named != nil {
		d = named
	}
	p, wrong := t.pauseOf(r.When)
	switch {
	case wrong != "":
		t.say(para(wrong))
	case p.Until.IsZero():
		t.askPause(d, p.From)
	default:
		if d != nil {
			p.Dog = d.ID
		}
		p.Text = cut(r.When.Note, 40)
		t.pauseFor(p)
	}
}

// pauseOf reads the days of a pause; without an end it has none.
func (t *turn) pauseOf(w read.When) (planner.Pause, string) {
	today := t.date()
	p := planner.Pause{From: orDate(w.From, today), Until: w.Until}
	switch {
	case !w.On.IsZero() && w.Until.IsZero() && w.Days == 0 && w.From.IsZero(): // "pause tomorrow" is for that day
		p.From, p.Until = w.On, w.On.AddDays(1)
	case !w.On.IsZero() && w.From.IsZero():
		p.From = w.On
	}
	if w.Days > 0 {
		p.Until = p.From.AddDays(w.Days)
	}
	switch {
	case p.Until.IsZero():
	case p.Until == p.From:
		p.Until = p.From.AddDays(1)
	case p.Until.Before(p.From):
		return p, msg("pause.backwards", "from", t.dateText(p.From), "until", t.dateText(p.Until))
	case p.From.DaysTo(p.Until) > longestPause:
		return p, msg("pause.too-long", "n", longestPause)
	}
	return p, ""
}

// pauseDraft is the state of the question until when.
type pauseDraft struct {
	Dog  string       `json:"dog,omitempty"`
	From planner.Date `json:"from,omitzero"`
}

func (t *turn) askPause(d *planner.Dog, from planner.Date) {
	draft := pauseDraft{From: from}
	who := msg("pause.all")
	if d != nil {
		draft.Dog, who = d.ID, d.Name
	}
	t.ask("pause", "until", draft)
	out := t.sayMsg("pause.ask", "who", capital(who))
	out.offer(t.answer(msg("button.tomorrow"), "until", "tomorrow"), t.answer(msg("button.days", "n", 3), "until", "for 3 days"))
	t.inPlace(out.offer(t.answer(msg("button.days", "n", 7), "until", "for 7 days"), t.answer(msg("button.days", "n", 14), "until", "for 14 days"), t.stopButton()))
}

// pauseDialogue takes until when to pause, or from when to when it is quiet.
func (t *turn) pauseDialogue(in answer) {
	if t.talk.Step == "quiet" {
		t.takeQuiet(in)
		return
	}
	var draft pauseDraft
	t.draft(&draft)
	w, err := spanText(in.value(), t)
	p := planner.Pause{}
	wrong := ""
	if err == nil {
		if w.Until.IsZero() && w.Days == 0 && !w.On.IsZero() {
			w.Until, w.On = w.On, planner.Date{} // "Monday": until then
		}
		w.From = orDate(w.From, draft.From)
		p, wrong = t.pauseOf(w)
	} else {
		wrong = whenTrouble(err, in.value())
	}
	if wrong == "" && p.Until.IsZero() {
		wrong = msg("pause.no-end", "text", short(in.value()))
	}
	if wrong != "" {
		if in.press != "" || !t.aside(in.text) {
			t.say(para(wrong))
		}
		return
	}
	t.endDialogue()
	p.Dog = draft.Dog
	t.pauseFor(p)
}

// spanText reads days, with "3 weeks" for "for 3 weeks".
func spanText(s string, t *turn) (read.When, error) {
	w, err := read.WhenText(s, t.event.At)
	if err == nil && !w.Said() {
		if long, err := read.WhenText("for "+s, t.event.At); err == nil && long.Days > 0 {
			return long, nil
		}
	}
	return w, err
}

// pauseFor keeps a pause. One that it overlaps, of the same dog, it takes the
// place of.
func (t *turn) pauseFor(p planner.Pause) {
	t.mutate("did.paused", t.pauseWho(p))
	t.dropPauses(func(old planner.Pause) bool {
		return old.Dog == p.Dog && !old.Until.Before(p.From) && !p.Until.Before(old.From)
	})
	t.home.Pauses = append(t.home.Pauses, p)
	var dropped []string // what has one day alone is not said later either
	for _, r := range t.sortedReminders() {
		if t.onceIn(r, p) {
			dropped = append(dropped, t.reminderTitle(r)+" "+t.timesText(r))
		}
	}
	drops := ""
	if len(dropped) > 0 {
		drops = msg("pause.drops", "what", list(dropped))
	}
	of := t.dog(p.Dog)
	rest := t.movedDiabetic(of)
	if of == nil {
		rest = t.movedDiabetic(t.askedOf(&planner.Reminder{})...)
	}
	out := t.say(para(rest), para(t.pauseLine(p)), para(drops), para(msg("pause.how")))
	out.offer(t.button(msg("button.pause-longer"), "pause", "longer", p.From.String(), cmp.Or(p.Dog, "-")),
		t.button(msg("button.pause-end"), "pause", "end", p.From.String(), cmp.Or(p.Dog, "-")), t.undoButton())
	t.inPlace(out)
}

func (t *turn) dropPauses(drop func(planner.Pause) bool) (n int) {
	before := len(t.home.Pauses)
	today := t.date()
	t.home.Pauses = slices.DeleteFunc(t.home.Pauses, func(p planner.Pause) bool {
		return drop(p) || p.Until.Before(today.AddDays(-31)) // long over
	})
	return before - len(t.home.Pauses)
}

// comingPauses are those that are not over, the earliest first.
func (t *turn) comingPauses() (out []planner.Pause) {
	today := t.date()
	for _, p := range t.home.Pauses {
		if today.Before(p.Until) {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b planner.Pause) int { return b.From.DaysTo(a.From) })
	return out
}

func (t *turn) pauseWho(p planner.Pause) string {
	if d := t.dog(p.Dog); d != nil {
		return d.Name
	}
	return msg("pause.all")
}

// pauseLine says who is paused, from when, and when it goes on.
func (t *turn) pauseLine(p planner.Pause) string {
	note := ""
	if p.Text != "" {
		note = " (" + p.Text + ")"
	}
	return msg("pause.line", "who", capital(t.pauseWho(p)), "from", t.dateText(p.From), "until", t.dateText(p.Until), "note", note)
}

// pressPause does what a button about pauses asks.
func (t *turn) pressPause(args []string) {
	switch what := arg(args, 0); what {
	case "ask":
		t.askPause(nil, planner.Date{})
	case "longer", "end":
		dog := strings.Trim(arg(args, 2), "-")
		at := slices.IndexFunc(t.home.Pauses, func(p planner.Pause) bool { return p.Dog == dog && p.From.String() == arg(args, 1) })
		if at < 0 {
			t.sayMsg("press.gone")
			return
		}
		p := t.home.Pauses[at]
		if what == "longer" {
			p.Until = p.Until.AddDays(1)
			t.pauseFor(p)
			return
		}
		t.endPauses(func(old planner.Pause) bool { return old == p }, t.pauseWho(p))
	default:
		t.sayMsg("press.stale")
	}
}

// answerResume ends the pauses, of a dog where one is named. Where nothing is
// paused it goes on with what was being typed.
func (t *turn) answerResume(s read.Sentence) {
	coming := t.comingPauses()
	switch d := t.dog(s.Dog); {
	case len(coming) == 0 && t.talk.Parked != nil && d == nil:
		t.resume()
	case len(coming) == 0:
		t.sayMsg("pause.none")
	case d == nil:
		t.endPauses(func(planner.Pause) bool { return true }, msg("pause.all"))
	case slices.ContainsFunc(coming, func(p planner.Pause) bool { return p.Dog == d.ID }):
		t.endPauses(func(p planner.Pause) bool { return p.Dog == d.ID }, d.Name)
	default:
		t.sayMsg("pause.all-of", "dog", d.Name, "line", t.pauseLine(coming[0])).
			offer(t.button(msg("button.pause-end"), "pause", "end", coming[0].From.String(), cmp.Or(coming[0].Dog, "-")))
	}
}

func (t *turn) endPauses(which func(planner.Pause) bool, who string) {
	t.mutate("did.resumed", who)
	t.dropPauses(which)
	next := ""
	if at, ok := planner.NextDue(t.home, t.event.At); ok {
		next = msg("remind.next", "when", t.clock(at))
	}
	t.inPlace(t.say(para(msg("pause.ended", "who", capital(who))), para(next)).offer(t.undoButton()))
}
