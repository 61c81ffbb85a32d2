package dogs

import (
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// recentSigns are what a dog showed in the last two weeks, newest first, and how
// many more.
func recentSigns(t *talk.Turn, d *planner.Dog) string {
	all := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.SignSeen, planner.WellAgain}, From: t.Event.At.AddDate(0, 0, -signDays), Newest: true, Limit: mostSigns})
	shown := say.LinesOf(all[:min(len(all), shownSigns)], func(e planner.Entry) string {
		return msg("sign.line", "day", t.DateText(e.Date), "text", say.Short(e.Text), "who", talk.NameOf(t, e.Person))
	})
	more := len(all) - shownSigns
	return say.Where(len(all) > 0, say.JoinParas(msg("sign.recent"), shown, say.Where(more > 0, msg("sign.more", "n", more))))
}

// shownSigns is how many signs a dog's card shows.
const shownSigns = 5

// BeginSign puts before a bowl what WorstSign says.
func BeginSign(t *talk.Turn, d *planner.Dog, out *say.Reply) {
	if e, level := WorstSign(t, d, PoisonDays); level >= alarm.VetToday {
		out.Begin(vetFirst(t, d, e, level))
		out.Offer(vetSawButton(t, d))
	}
}

// vetFirst says that a vet comes before a dog's food, for what was noted of it.
func vetFirst(t *talk.Turn, d *planner.Dog, e planner.Entry, level alarm.Level) string {
	of := []any{"dog", d.Name, "text", say.Short(e.Text), "day", t.DateText(e.Date)}
	switch late := !t.Event.At.Before(e.At.AddDate(0, 0, PoisonDays)); {
	case t.Alarm(e.Text).Stays:
		return msg("sign.kept", of...)
	case t.Alarm(e.Text).Fasts:
		return msg("sign.fasts", append(of, FastWords(t, d.Name, e.Text, e.At)...)...)
	case level == alarm.VetToday:
		return msg("sign.bowl-today", of...)
	default:
		return msg(say.Choose(late, "sign.late", "sign.bowl"), of...)
	}
}

func vetSawButton(t *talk.Turn, d *planner.Dog) say.Button {
	by := HeldByVet(t, d)
	return t.Button(msg(say.Choose(by.Stays, "button.vet-home", say.Choose(by.Fasts, "button.vet-says-eat", "button.vet-saw"))), "weigh", "vet", d.ID)
}

// SignHolds says that a vet comes before a dog's amounts, where it showed or ate
// that for which one was to be called at once and nobody has told of the vet since, or
// where the vet keeps it; it is empty where they may be said. Time alone clears nothing:
// it holds until a carer asks for the amount all the same, each day anew.
func SignHolds(t *talk.Turn, d *planner.Dog) string {
	e, level := WorstSign(t, d, HeldDays)
	shown := t.Home.Cautions[holdKey(d)].Said
	if level != alarm.VetNow || d.ByVet && !d.InForce.Since.Before(e.At) || !shown.Before(e.At) && t.DateAt(shown) == t.Date() {
		return ""
	}
	return vetFirst(t, d, e, level)
}

// SignHeld says what SignHolds does in place of a bowl of a recipe, nil for what the
// dog eats now, and reports whether it did.
func SignHeld(t *talk.Turn, d *planner.Dog, r *planner.Recipe) bool {
	text := SignHolds(t, d)
	if text == "" {
		return false
	}
	t.Say(say.Whole(text)).Offer(HoldButtons(t, d, r)...)
	return true
}

// HoldButtons are what ends the wait for a vet.
func HoldButtons(t *talk.Turn, d *planner.Dog, r *planner.Recipe) []say.Button {
	args := []string{"shown", d.ID}
	if r != nil {
		args = append(args, r.ID)
	}
	return []say.Button{vetSawButton(t, d), t.Button(msg("button.show-amount"), "bowl", args...)}
}

// ShowAll records that a carer wants a dog's amounts before a vet has seen it.
func ShowAll(t *talk.Turn, d *planner.Dog) {
	t.Home.SayCaution(holdKey(d), t.Event.At)
	t.Changed = true
}

func holdKey(d *planner.Dog) string { return "sign-" + d.ID }

// WorstSign is the worst that a dog showed in so many days for which a vet was to be
// called, at once or that day, or ate in the days in which that may harm, where nobody
// has told of the vet since; its level is no more than to watch where there is nothing.
func WorstSign(t *talk.Turn, d *planner.Dog, days int) (worst planner.Entry, level alarm.Level) {
	level = alarm.Watch
	poison, _ := Poison(t, d)
	for _, e := range UnseenSigns(t, d, days) {
		if e.ID != poison.ID && t.Alarm(e.Text).Calms && poisoned(t, e) {
			continue
		}
		if is := levelOf(t, d, e); is > level {
			worst, level = e, is
		}
	}
	return worst, level
}

// levelOf is how soon a vet is to see a dog for what was noted of it.
func levelOf(t *talk.Turn, d *planner.Dog, e planner.Entry) alarm.Level {
	a := t.Alarm(e.Text)
	is := a.Level
	if a.Fasts {
		from, until := read.FastSpan(e.Text, e.At.In(t.Event.At.Location()))
		over := !until.IsZero() && !t.Event.At.Before(until)
		return say.Choose(over, alarm.Calm, say.Choose(t.Event.At.Before(from), alarm.VetToday, alarm.VetNow))
	}
	if a.Stays {
		return alarm.VetNow
	}
	if Frail(t, d) {
		is = max(is, a.Frail)
	}
	if is < alarm.VetToday && poisoned(t, e) {
		is = alarm.VetNow
	}
	return is
}

// PoisonDays is for how many days what was eaten may bring signs (common
// veterinary practice, from memory: grapes, rat bait and sock alike).
const PoisonDays = 3

// Poison is what a dog ate last in these days that may still harm it, and of which
// nobody has told that a vet saw it since; what only makes little of it counts where
// there is nothing else: "it was only two".
func Poison(t *talk.Turn, d *planner.Dog) (ate planner.Entry, found bool) {
	for _, e := range UnseenSigns(t, d, PoisonDays) {
		if poisoned(t, e) {
			if a := t.Alarm(e.Text); !a.Calms {
				return e, true
			}
			ate, found = e, true
		}
	}
	return ate, found
}

// poisoned reports that what was noted of a sign tells of something eaten that
// harms, or that nobody knows.
func poisoned(t *talk.Turn, e planner.Entry) bool {
	a := t.Alarm(e.Text)
	said, ok := t.Understand(e.Text)
	return a.Poisoned() || !a.Signs && ok && said.Intent == read.HasEaten && !read.Says("no-food-word", said.Food)
}

// UnseenSigns are the signs of so many days of which nobody has told that a vet saw
// the dog since, newest first. One of which it is not told whose it is may be its.
// What a vet need not see at once is over where a carer finds the dog well again.
func UnseenSigns(t *talk.Turn, d *planner.Dog, days int) (signs []planner.Entry) {
	var well []alarm.Alarm
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen, planner.VetSaw, planner.WellAgain}, From: t.Event.At.AddDate(0, 0, -days), Newest: true, Limit: mostSigns}) {
		switch {
		case e.Dog != d.ID && (e.Dog != "" || e.Kind != planner.SignSeen):
		case e.Kind == planner.WellAgain:
			well = append(well, t.Alarm(e.Text))
		case levelOf(t, d, e) == alarm.Calm && t.Alarm(e.Text).Fasts:
		case e.Kind == planner.VetSaw || t.Alarm(e.Text).ByVet && !t.Alarm(e.Text).Held():
			return signs
		case t.Alarm(e.Text).Passed && levelOf(t, d, e) < alarm.VetNow:
		case !t.Alarm(e.Text).Held() && levelOf(t, d, e) < alarm.VetNow && slices.ContainsFunc(well, func(w alarm.Alarm) bool { return w.Ends(e.Text) }):
		default:
			signs = append(signs, e)
		}
	}
	return signs
}

// FastWords are from when on a dog goes without food, by a text told at an instant, and
// what ends that: a time, else a vet's word.
func FastWords(t *talk.Turn, name, s string, told time.Time) []any {
	from, until := read.FastSpan(s, told.In(t.Event.At.Location()))
	when := msg("fast.now")
	if t.Event.At.Before(from) {
		when = msg("fast.from", "when", t.Clock(from))
	}
	return []any{"from", when, "until", say.Choose(until.IsZero(), msg("fast.word", "dog", name), t.Clock(until))}
}

// HeldByVet is what was told last of a vet that keeps a dog, or its food.
func HeldByVet(t *talk.Turn, d *planner.Dog) (a alarm.Alarm) {
	for _, e := range UnseenSigns(t, d, HeldDays) {
		if a = t.Alarm(e.Text); a.Held() {
			return a
		}
	}
	return alarm.Alarm{}
}

// SayWell takes a carer's word that a dog is well, and notes it where a sign was told of
// the dog before: of those that are named, else of the one under discussion, or the only
// one that showed it. It reports false where none was.
func SayWell(t *talk.Turn, named []string, s string) bool {
	a, of, still := t.Alarm(s), t.Dogs(), []*planner.Dog(nil)
	of = slices.DeleteFunc(of, func(d *planner.Dog) bool {
		return len(named) > 0 && !slices.Contains(named, d.ID) || !slices.ContainsFunc(UnseenSigns(t, d, signDays), func(e planner.Entry) bool { return a.Ends(e.Text) })
	})
	if d := talk.TalkedOf(t); len(named) == 0 && len(of) > 1 && !a.Both && !a.Every {
		if !slices.Contains(of, d) {
			talk.WhichDog(t)
			return true
		}
		of = []*planner.Dog{d}
	}
	if len(of) == 0 {
		return false
	}
	t.Mutate("did.well", talk.NamesOf(of))
	for _, d := range of {
		t.Note(planner.Entry{Kind: planner.WellAgain, Dog: d.ID, Text: say.Short(s)})
		if _, level := WorstSign(t, d, signDays); level == alarm.VetNow {
			still = append(still, d)
		}
	}
	out := t.SayMsg("sign.well", "dog", talk.NamesOf(of), "text", say.Short(s)).Offer(t.UndoButton())
	out.Add(say.Where(len(still) > 0, msg("sign.well-vet", "dog", talk.NamesOf(still))))
	for _, d := range of {
		if on := SwitchOnButtons(t, d); len(on) > 0 && !slices.Contains(still, d) {
			out.Add(msg("sign.well-switch", "dog", d.Name)).Offer(on...)
		}
	}
	return true
}

// SwitchOnButtons go on with a dog's switch that is held, none where it is not.
func SwitchOnButtons(t *talk.Turn, d *planner.Dog) []say.Button {
	if tr := planner.TransitionOf(t.Home, d.ID); tr == nil || !tr.Held() || tr.Over(t.Date()) {
		return nil
	}
	return []say.Button{t.Button(msg("button.transition-on"), "transition", "on", d.ID)}
}

// unwellDays is for how many days after a sign other food is for the vet first
// (our own choice).
const unwellDays = 3

// Unwell has a dog's vet asked before its food is changed, where a sign was told of
// it in the last days and no vet has seen the dog since; empty where none was.
func Unwell(t *talk.Turn, d *planner.Dog) string {
	signs := UnseenSigns(t, d, unwellDays)
	if len(signs) == 0 {
		return ""
	}
	return msg("sign.unwell", "dog", d.Name, "text", say.Short(signs[0].Text), "day", talk.DayOf(t, signs[0].Date))
}

// Sick reports that such a sign was of the stomach, so that what the dog may have is for
// its vet alone.
func Sick(t *talk.Turn, d *planner.Dog) bool {
	return slices.ContainsFunc(UnseenSigns(t, d, unwellDays), func(e planner.Entry) bool { return alarm.OfStomach(e.Text) })
}

// mostSigns is how many signs and visits of some days are looked through.
const mostSigns = 50

// For how many days a sign stands on a dog's card, and holds its amounts (our own
// choices).
const signDays, HeldDays = 14, 60
