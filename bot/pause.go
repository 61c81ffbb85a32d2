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
	rest, week := strings.CutSuffix(strings.ToLower(strings.TrimSpace(r.When.Rest)), " this week")
	if today := t.date(); week { // to its Sunday
		r.When.Until = today.AddDays(7 - (int(today.Weekday())+6)%7)
	}
	p, wrong := t.pauseOf(r.When)
	if wrong != "" {
		t.say(para(wrong))
		return
	}
	if d != nil {
		p.Dog = d.ID
	}
	p.Text = cut(r.When.Note, 40)
	if thing := pausedThing(rest); thing != "" && t.pauseOne(thing, p, d) {
		return
	}
	t.pauseOrAsk(p)
}

// pauseOrAsk keeps a pause, or asks for its end.
func (t *turn) pauseOrAsk(p planner.Pause) {
	if p.Until.IsZero() {
		t.askPause(p)
		return
	}
	t.pauseFor(p)
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
	Dog      string       `json:"dog,omitempty"`
	From     planner.Date `json:"from,omitzero"`
	Reminder string       `json:"reminder,omitempty"`
}

func (t *turn) askPause(p planner.Pause) {
	t.ask("pause", "until", pauseDraft{Dog: p.Dog, From: p.From, Reminder: p.Reminder})
	out := t.sayMsg("pause.ask", "who", capital(t.pauseWho(p)))
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
	p.Dog, p.Reminder = draft.Dog, draft.Reminder
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
		return old.Dog == p.Dog && old.Reminder == p.Reminder && !old.Until.Before(p.From) && !p.Until.Before(old.From)
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
	rest := ""
	switch {
	case p.Reminder != "": // no meal moves
	case of == nil:
		rest = t.movedDiabetic(t.askedOf(&planner.Reminder{})...)
	default:
		rest = t.movedDiabetic(of)
	}
	out := t.say(para(rest), para(t.pauseLine(p)), para(drops), para(msg("pause.how")))
	out.offer(t.pauseButton("longer", p), t.pauseButton("end", p), t.undoButton())
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

// pauseButton makes a pause longer, or ends it.
func (t *turn) pauseButton(what string, p planner.Pause) Button {
	label := msg("button.pause-end")
	if what == "longer" {
		label = msg("button.pause-longer")
	}
	return t.button(label, "pause", what, p.From.String(), cmp.Or(p.Dog, "-"), cmp.Or(p.Reminder, "-"))
}

func (t *turn) pauseWho(p planner.Pause) string {
	if r := t.reminder(p.Reminder); r != nil {
		return t.reminderTitle(r)
	}
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
		t.askPause(planner.Pause{})
	case "one", "all":
		p := planner.Pause{Reminder: strings.Trim(arg(args, 3), "-")}
		if r := t.reminder(p.Reminder); r != nil {
			p.Dog = r.Dog
		} else if what == "one" {
			t.sayMsg("press.gone")
			return
		}
		p.From, _ = planner.ParseDate(arg(args, 1))
		p.Until, _ = planner.ParseDate(arg(args, 2))
		t.pauseOrAsk(p)
	case "longer", "end":
		dog, one := strings.Trim(arg(args, 2), "-"), strings.Trim(arg(args, 3), "-")
		at := slices.IndexFunc(t.home.Pauses, func(p planner.Pause) bool {
			return p.Dog == dog && p.Reminder == one && p.From.String() == arg(args, 1)
		})
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
			offer(t.pauseButton("end", coming[0]))
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
