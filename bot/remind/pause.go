package remind

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// longestPause is how many days a pause may last: a pause has an end, and
// what is stopped for longer is better stopped.
const longestPause = 366

// pauseWords pauses as some words say, or asks until when: of the dog that they
// name, else of all. "until" and "to" name the day on which it goes on.
func pauseWords(t *talk.Turn, words string, d *planner.Dog) {
	words, goes := read.AllBut(read.Without("pause-days", words))
	but := About(t, pausedThing(strings.ToLower(goes)))
	if goes != "" && len(but) == 0 {
		t.SayMsg("pause.but-what", "text", say.Short(goes)).Offer(t.Button(msg("button.reminders"), "remind", "list"))
		return
	}
	r, err := read.ReminderText(read.Without("keeps-doses", words), t.Names(), t.Event.At)
	if err != nil {
		talk.SayWhenTrouble(t, err, words)
		return
	}
	if named := t.Dog(r.Dog); named != nil {
		d = named
	}
	rest, week := strings.CutSuffix(strings.ToLower(strings.TrimSpace(r.When.Rest)), " this week")
	if today := t.Date(); week { // to its Sunday
		r.When.Until = today.AddDays(7 - (int(today.Weekday())+6)%7)
	}
	p, wrong := pauseOf(t, r.When)
	if wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	if d != nil {
		p.Dog = d.ID
	}
	if read.Says("food-to-take", words) { // "away from Friday to Sunday, how much food do I take": with the last day
		days := p.From.DaysTo(p.Until) + say.Choose(r.When.Days > 0, 0, 1)
		t.GoTo(read.Sentence{Intent: read.ScaleRecipe, Dog: p.Dog, Days: float64(max(days, 0))})
		return
	}
	p.Text, p.Keeps = say.Cut(r.When.Note, 40), read.Says("keeps-doses", words)
	p.But = strings.Join(say.Each(but, func(r *planner.Reminder) string { return r.ID }), " ")
	if thing := pausedThing(rest); pauseEach(t, rest, p, d) || thing != "" && pauseOne(t, thing, p, d) {
		return
	}
	pauseOrAsk(t, p)
}

// pauseOrAsk keeps a pause, or asks for its end.
func pauseOrAsk(t *talk.Turn, p planner.Pause) {
	if p.Until.IsZero() {
		askPause(t, p)
		return
	}
	pauseFor(t, p)
}

// pauseOf reads the days of a pause; without an end it has none.
func pauseOf(t *talk.Turn, w span.When) (planner.Pause, string) {
	p := planner.Pause{From: cmp.Or(w.From, w.On, t.Date()), Until: w.Until}
	if days := w.Cadence.Weekdays; len(days) > 0 { // "Friday and Saturday"
		for !slices.Contains(days, p.From.Weekday()) {
			p.From = p.From.AddDays(1)
		}
		for p.Until = p.From; slices.Contains(days, p.Until.Weekday()) && p.From.DaysTo(p.Until) < 7; {
			p.Until = p.Until.AddDays(1)
		}
	} else if w.Days > 0 {
		p.Until = p.From.AddDays(w.Days)
	} else if !w.On.IsZero() && w.Until.IsZero() && w.From.IsZero() { // "pause tomorrow" is for that day
		p.Until = w.On.AddDays(1)
	}
	switch {
	case p.Until.IsZero():
	case p.Until == p.From:
		p.Until = p.From.AddDays(1)
	case p.Until.Before(p.From):
		return p, msg("pause.backwards", "from", t.DateText(p.From), "until", t.DateText(p.Until))
	case p.From.DaysTo(p.Until) > longestPause:
		return p, msg("pause.too-long", "n", longestPause)
	}
	return p, ""
}

func askPause(t *talk.Turn, p planner.Pause) {
	t.Ask("pause", "until", p)
	out := t.SayMsg("pause.ask", "who", say.Capital(talk.PauseWho(t, p)))
	out.Offer(t.Answer(msg("button.tomorrow"), "until", "tomorrow"), t.Answer(msg("button.days", "n", 3), "until", "for 3 days"))
	more := []say.Button{t.Answer(msg("button.days", "n", 7), "until", "for 7 days"), t.Answer(msg("button.days", "n", 14), "until", "for 14 days")}
	if p.Reminder != "" {
		more = append(more, t.Answer(msg("button.for-good"), "until", "for good"))
	}
	t.InPlace(out.Offer(append(more, t.StopButton())...))
}

// stopsForGood takes the answer that a reminder is to stop and not to rest: now or, where
// it says so or the pause was to begin later, after its last day.
func stopsForGood(t *talk.Turn, p planner.Pause, said string) bool {
	r := t.Reminder(p.Reminder)
	if r == nil || !read.Says("for-good", said) {
		return false
	}
	t.EndDialogue()
	last := p.From.AddDays(-1)
	if read.Says("today-still", said) {
		last = t.Date()
	}
	if last.Before(t.Date()) {
		stopReminders(t, r)
		return true
	}
	changed, was := *r, ScheduleText(t, r)
	changed.Schedule.Until = last
	return sayOther(t, changed, was)
}

// pauseDialogue takes until when to pause, or from when to when it is quiet.
func pauseDialogue(t *talk.Turn, in talk.Answer) {
	if t.Talk.Step == "quiet" {
		takeQuiet(t, in)
		return
	}
	var asked planner.Pause
	t.Draft(&asked)
	if stopsForGood(t, asked, in.Value()) {
		return
	}
	w, err := spanText(in.Value(), t)
	if in.Press == "" && w.Rest != "" && (w.Repeats || len(w.Times) > 0) && t.Aside(in.Text) { // "vitamin E every 3 days at 18:00"
		return
	}
	if w.Until.IsZero() && w.Days == 0 && !w.On.IsZero() {
		w.Until, w.On = w.On, planner.Date{} // "Monday": until then
	}
	w.From = cmp.Or(w.From, asked.From)
	p, wrong := pauseOf(t, w)
	switch {
	case err != nil:
		wrong = talk.WhenTrouble(err, in.Value())
	case wrong == "" && p.Until.IsZero():
		wrong = msg("pause.no-end", "text", say.Short(in.Value()))
	}
	if wrong != "" {
		if in.Press != "" || !t.Aside(in.Text) {
			t.Say(say.Para(wrong))
		}
		return
	}
	t.EndDialogue()
	asked.From, asked.Until = p.From, p.Until
	pauseFor(t, asked)
}

// spanText reads days, with "3 weeks" for "for 3 weeks".
func spanText(s string, t *talk.Turn) (span.When, error) {
	w, err := span.WhenText(s, t.Event.At)
	if err == nil && !w.Said() {
		return span.WhenText("for "+s, t.Event.At)
	}
	return w, err
}

// addPause has a pause replace those of the same that it overlaps.
func addPause(t *talk.Turn, p planner.Pause) {
	dropPauses(t, func(old planner.Pause) bool {
		return old.Dog == p.Dog && old.Reminder == p.Reminder && !old.Until.Before(p.From) && !p.Until.Before(old.From)
	})
	t.Home.Pauses = append(t.Home.Pauses, p)
}

// pauseFor keeps a pause, and says so.
func pauseFor(t *talk.Turn, p planner.Pause) {
	t.Mutate("did.paused", talk.PauseWho(t, p))
	addPause(t, p)
	var dropped []string // what has one day alone is not said later either
	for _, r := range sortedReminders(t) {
		if onceIn(t, r, p) {
			dropped = append(dropped, talk.ReminderTitle(t, r)+" "+timesTextOf(t, r))
		}
	}
	drops := say.Where(len(dropped) > 0, msg("pause.drops", "what", say.List(dropped)))
	of := t.Dog(p.Dog)
	rest, how := "", ""
	switch {
	case p.Reminder != "": // no meal moves
		how = msg("pause.how-one")
		if r := t.Reminder(p.Reminder); r.Kind == planner.NoteReminder {
			rest = giveCautions(t, r)
		}
	case of == nil:
		rest = talk.MovedDiabetic(t.Living()...)
	default:
		rest = talk.MovedDiabetic(of)
	}
	again := nextOf(t, planner.Instant(p.Until, 0, t.Event.At.Location()).Add(-1), func(r *planner.Reminder) bool { return p.Covers(r, p.From) })
	out := t.Say(say.Para(rest), say.Para(talk.PauseLine(t, p)), say.Para(drops), say.Para(how), say.Para(say.Where(again != "", msg("pause.next", "when", again))))
	sayGiven(t, out, p)
	out.Offer(pauseButton(t, msg("button.pause-longer"), "longer", p), pauseButton(t, msg("button.pause-end"), "end", p), t.UndoButton())
	t.InPlace(out)
}

// sayGiven names what a dog is to be given in a pause, and whether that is said; a
// tablet must not be forgotten over a holiday.
func sayGiven(t *talk.Turn, out *say.Reply, p planner.Pause) {
	var due []string
	for _, r := range sortedReminders(t, planner.SupplementReminder, planner.NoteReminder) {
		m, ok := planner.NextOf(t.Home, r, planner.Instant(p.From, 0, talk.LocationOf(t, r)).Add(-1))
		if given := isGiven(t, r) && !r.Off && p.Reminder == "" && (p.Dog == "" || p.Dog == r.Dog); given && ok && m.Date.Before(p.Until) && (p.Keeps || !r.Schedule.Once) && !slices.Contains(strings.Fields(p.But), r.ID) {
			due = append(due, talk.ReminderTitle(t, r))
		}
	}
	switch {
	case len(due) == 0:
	case p.Keeps:
		out.Add(msg("pause.keeps", "what", say.List(due)))
	default:
		out.Add(msg("pause.silent", "what", say.List(due))).Offer(pauseButton(t, msg("button.pause-keep"), "keep", p))
	}
}

// keepDoses has the pauses to come leave the reminders of what is given, and reports
// whether there are any.
func keepDoses(t *talk.Turn) (kept bool) {
	for _, p := range talk.ComingPauses(t) {
		if p.Reminder == "" {
			p.Keeps, kept = true, true
			pauseFor(t, p)
		}
	}
	return kept
}

// restAway lets the reminders of a dog rest that others feed meanwhile.
func restAway(t *talk.Turn, h *talk.DogAway) {
	of := func(r planner.Reminder) bool { return r.Dog == h.Dog.ID && !r.Off }
	if !slices.ContainsFunc(t.Home.Reminders, of) {
		return
	}
	p := planner.Pause{Dog: h.Dog.ID, From: h.From, Until: h.Until.AddDays(1)}
	if today := t.Date(); p.From.Before(today) {
		p.From = today
	}
	addPause(t, p)
	h.Out.Add(talk.PauseLine(t, p))
	sayGiven(t, h.Out, p)
	h.Out.Begin(talk.MovedDiabetic(h.Dog))
}

func dropPauses(t *talk.Turn, drop func(planner.Pause) bool) {
	today := t.Date()
	t.Home.Pauses = slices.DeleteFunc(t.Home.Pauses, func(p planner.Pause) bool {
		return drop(p) || p.Until.Before(today.AddDays(-31)) // long over
	})
}

// pauseButton makes a pause longer, ends it, or has what is given go on.
func pauseButton(t *talk.Turn, label, what string, p planner.Pause) say.Button {
	return t.Button(label, "pause", what, p.From.String(), cmp.Or(p.Dog, "-"), cmp.Or(p.Reminder, "-"))
}

// pressPause does what a button about pauses asks.
func pressPause(t *talk.Turn, args []string) {
	switch what := talk.Arg(args, 0); what {
	case "ask":
		askPause(t, planner.Pause{})
	case "one", "all":
		p := planner.Pause{Reminder: strings.Trim(talk.Arg(args, 3), "-")}
		if r := t.Reminder(p.Reminder); r != nil {
			p.Dog = r.Dog
		} else if what == "one" {
			t.SayMsg("press.gone")
			return
		}
		p.From, _ = planner.ParseDate(talk.Arg(args, 1))
		p.Until, _ = planner.ParseDate(talk.Arg(args, 2))
		pauseOrAsk(t, p)
	case "longer", "end", "keep":
		dog, one := strings.Trim(talk.Arg(args, 2), "-"), strings.Trim(talk.Arg(args, 3), "-")
		at := slices.IndexFunc(t.Home.Pauses, func(p planner.Pause) bool {
			return p.Dog == dog && p.Reminder == one && p.From.String() == talk.Arg(args, 1)
		})
		if talk.Gone(t, at < 0) {
			return
		}
		p := t.Home.Pauses[at]
		if what == "end" {
			endPauses(t, func(old planner.Pause) bool { return old == p }, talk.PauseWho(t, p))
			return
		}
		if p.Keeps = p.Keeps || what == "keep"; what == "longer" {
			p.Until = p.Until.AddDays(1)
		}
		pauseFor(t, p)
	default:
		t.SayMsg("press.stale")
	}
}

// answerResume ends the pauses, of a dog where one is named. Where nothing is
// paused it goes on with what was being typed.
func answerResume(t *talk.Turn, s read.Sentence) {
	coming := talk.ComingPauses(t)
	d := t.Dog(s.Dog)
	switch home := d != nil && backHome(t, d); {
	case home && !slices.ContainsFunc(coming, func(p planner.Pause) bool { return p.Dog == d.ID }):
	case len(coming) == 0 && t.Talk.Parked != nil && d == nil:
		t.Resume()
	case len(coming) == 0:
		t.Say(say.Para(msg("pause.none")), say.Para(nextText(t)))
	case d == nil:
		endPauses(t, func(planner.Pause) bool { return true }, msg("pause.all"))
	case slices.ContainsFunc(coming, func(p planner.Pause) bool { return p.Dog == d.ID }):
		endPauses(t, func(p planner.Pause) bool { return p.Dog == d.ID }, d.Name)
	default:
		t.SayMsg("pause.all-of", "dog", d.Name, "line", talk.PauseLine(t, coming[0])).
			Offer(pauseButton(t, msg("button.pause-end"), "end", coming[0]))
	}
}

// backHome ends the days on which a dog is fed elsewhere, and reports whether they went on.
func backHome(t *talk.Turn, d *planner.Dog) bool {
	away := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Away}})
	away = slices.DeleteFunc(away, func(e planner.Entry) bool { return t.Date().Before(e.Date) || e.Until.Before(t.Date()) })
	for _, e := range away {
		t.Mutate("did.resumed", d.Name)
		if e.Until = t.Date().AddDays(-1); e.Until.Before(e.Date) {
			t.Unnote(e)
		} else {
			t.Note(e)
		}
	}
	if len(away) > 0 {
		t.SayMsg("pause.home", "dog", d.Name).Offer(t.UndoButton())
	}
	return len(away) > 0
}

func endPauses(t *talk.Turn, which func(planner.Pause) bool, who string) {
	t.Mutate("did.resumed", who)
	dropPauses(t, which)
	t.InPlace(t.Say(say.Para(msg("pause.ended", "who", say.Capital(who))), say.Para(nextText(t))).Offer(t.UndoButton()))
}

// nextText says when the next reminder comes.
func nextText(t *talk.Turn) string {
	next := nextOf(t, t.Event.At, func(*planner.Reminder) bool { return true })
	return say.Where(next != "", msg("remind.next", "when", next))
}

// nextOf is when one of some reminders comes next after an instant, and not the birthday in
// two years that is kept beside those that are listed; empty where none does.
func nextOf(t *talk.Turn, after time.Time, of func(*planner.Reminder) bool) string {
	at, ok := talk.NextDueOf(t, after, func(r planner.Reminder) bool { return slices.Contains(kindsInOrder, r.Kind) && of(&r) })
	return say.Where(ok, t.Clock(at))
}
