package talk

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

func AmountEntry(d *planner.Dog) planner.Entry {
	return planner.Entry{Kind: planner.KcalSet, Dog: d.ID, Kcal: d.Kcal, Text: string(d.InForce.Ground), Amount: d.InForce.K}
}

// NothingDue answers "later" and the like where nothing waits for an answer.
func NothingDue(t *Turn, s string) bool {
	said, ok := read.DueAnswer(s, t.Names(), t.Event.At)
	if !ok || said.Thing != "" {
		return false
	}
	text := say.Choose(said.Act == read.SaidLater, msg("due.nothing-later"), msg("due.nothing-waits"))
	t.Say(say.Para(text)).Offer(t.Button(msg("button.today"), "today"))
	return true
}

// DoseOf is the dose of a reminder for its dog: multiplied out where it is
// given for each 1000 kcal.
func DoseOf(t *Turn, r *planner.Reminder) planner.Dose {
	if d := t.Dog(r.Dog); d != nil {
		return r.Dose.For(planner.AmountOf(*d, t.Event.At).Kcal)
	}
	return *r.Dose
}

// LocationOf is the zone in which a reminder's days are counted.
func LocationOf(t *Turn, r *planner.Reminder) *time.Location {
	return r.Schedule.In(t.Event.At.Location()).Location()
}

// WhoFeeds asks whose feeding times are meant.
func WhoFeeds(t *Turn) {
	if len(t.Home.Dogs) == 0 {
		NoDog(t)
		return
	}
	OfferDogs(t, t.SayMsg("who.which"), "meals", "times")
}

// ComingPauses are those that are not over, the earliest first.
func ComingPauses(t *Turn) []planner.Pause {
	out := slices.DeleteFunc(slices.Clone(t.Home.Pauses), func(p planner.Pause) bool { return !t.Date().Before(p.Until) })
	slices.SortStableFunc(out, func(a, b planner.Pause) int { return b.From.DaysTo(a.From) })
	return out
}

func PauseWho(t *Turn, p planner.Pause) string {
	if r := t.Reminder(p.Reminder); r != nil {
		return ReminderTitle(t, r)
	}
	if d := t.Dog(p.Dog); d != nil {
		return d.Name
	}
	return msg("pause.all")
}

// PauseLine says who is paused, from when, and when it goes on.
func PauseLine(t *Turn, p planner.Pause) string {
	var but []string
	for _, id := range strings.Fields(p.But) {
		if r := t.Reminder(id); r != nil {
			but = append(but, AboutReminder(t, r))
		}
	}
	if p.Keeps {
		but = append(but, msg("pause.doses"))
	}
	note := say.Where(p.Text != "", " ("+p.Text+")") + say.Where(len(but) > 0, msg("pause.but", "what", say.List(but)))
	if t.Reminder(p.Reminder) == nil && t.Dog(p.Dog) == nil {
		return msg("pause.line-all", "from", t.DateText(p.From), "until", t.DateText(p.Until), "note", note)
	}
	return msg("pause.line", "who", say.Capital(PauseWho(t, p)), "from", t.DateText(p.From), "until", t.DateText(p.Until), "note", note)
}

// WhenTrouble says what is wrong with days and times, and what to type.
func WhenTrouble(err error, typed string) string {
	var p span.Problem
	if errors.As(err, &p) && p.Code == span.BadCadence {
		return msg("remind.bad-cadence", "text", say.Short(cmp.Or(p.Part, p.Text)))
	}
	return ProblemOf(err, typed)
}

// InPlace lets a reply take the place of the message whose button was
// pressed.
func (t *Turn) InPlace(r *say.Reply) *say.Reply {
	if t.Event.Press != "" {
		r.InPlace = t.Event.Message
	}
	return r
}

// DateText prints a day, with its year where that is not this one.
func (t *Turn) DateText(d planner.Date) string {
	return say.Choose(d.Year == t.Event.At.Year(), say.DayText(d), say.MonthText(d))
}

// ReminderTitle is what a reminder is about, in full: "vitamin E 200 IU for
// Juniper".
func ReminderTitle(t *Turn, r *planner.Reminder) string {
	d := t.Dog(r.Dog)
	switch {
	case r.Kind == planner.SupplementReminder && r.Dose != nil && d != nil:
		return msg("remind.dose-for", "dose", DoseAmount(t, DoseOf(t, r)), "dog", d.Name)
	case r.Kind == planner.SupplementReminder && r.Dose != nil:
		return DoseAmount(t, *r.Dose)
	case r.Kind == planner.BowlReminder && d != nil:
		return msg("remind.meals-of", "dog", d.Name)
	case (r.Kind == planner.WeighReminder || r.Kind == planner.ConditionReminder) && d != nil:
		return msg("remind.about-dog", "what", AboutReminder(t, r), "dog", d.Name)
	}
	return AboutReminder(t, r)
}

// RestText says what holds reminders back: quiet hours and pauses.
func RestText(t *Turn) string {
	var lines []string
	if q := t.Home.Quiet; q.From != q.To {
		lines = append(lines, msg("quiet.line", "from", q.From.String(), "to", q.To.String()))
	}
	return JoinLines(append(lines, say.Each(ComingPauses(t), func(p planner.Pause) string { return PauseLine(t, p) })...))
}

// NextDueOf is when one of some reminders falls due next after an instant.
func NextDueOf(t *Turn, after time.Time, of func(planner.Reminder) bool) (time.Time, bool) {
	some := *t.Home
	some.Reminders = slices.DeleteFunc(slices.Clone(some.Reminders), func(r planner.Reminder) bool { return !of(r) })
	return planner.NextDue(&some, after)
}

func JoinLines(lines []string) string { return strings.Join(lines, "\n") }

// DogButtons offers each dog as the answer to a step.
func DogButtons(t *Turn, out *say.Reply, step string) *say.Reply {
	return out.Rows(3, say.Each(t.Home.Dogs, func(d planner.Dog) say.Button { return t.Answer(d.Name, step, d.ID) })...)
}

// DogNames lists dogs by name.
func DogNames(t *Turn, ids []string) string {
	return NamesOf(slices.DeleteFunc(say.Each(ids, t.Dog), func(d *planner.Dog) bool { return d == nil }))
}

// RecipeName is a recipe's name, a word for it where it is gone.
func RecipeName(t *Turn, id string) string {
	if r := t.Recipe(id); r != nil {
		return r.Name
	}
	return msg("value.unknown")
}

// Switching returns the transition that a dog's bowl of a day is made by, and
// the recipe that comes; nil where there is none.
func Switching(t *Turn, d *planner.Dog, day planner.Date) (*planner.Transition, *planner.Recipe) {
	tr := planner.TransitionOf(t.Home, d.ID)
	if tr == nil || tr.Over(day) {
		return nil, nil
	}
	r := t.Recipe(tr.NewRecipe(t.Home))
	if r == nil {
		return nil, nil
	}
	return tr, r
}

// FareNames lists foods of a fare by name.
func FareNames(all []planner.Fare) string {
	return say.ListOf(all, func(f planner.Fare) string { return f.Recipe.Name })
}

// NoteDog enters into the journal what a carer changed of a dog by hand: its
// weight, its condition, its daily kcal. before may be a dog that is new.
func NoteDog(t *Turn, before, after planner.Dog) {
	if after.Weight != before.Weight && after.Weight > 0 {
		t.Note(planner.Entry{Kind: planner.Weighed, Dog: after.ID, Weight: after.Weight})
	}
	if after.Condition != before.Condition && after.Condition > 0 {
		t.Note(planner.Entry{Kind: planner.Scored, Dog: after.ID, Score: after.Condition})
	}
	if after.Kcal != before.Kcal && after.Kcal > 0 {
		t.Note(AmountEntry(&after))
	}
}

// trendKinds are the entries that tell of weight and food.
var trendKinds = []planner.EntryKind{planner.Weighed, planner.Doubted, planner.Scored, planner.KcalSet, planner.Away, planner.VetSaw, planner.Answered}

var WeighedKind, ScaleKinds = trendKinds[:1], trendKinds[:2]

// trendKey is a dog of a household: a turn may move to another household, whose
// dogs have the same ids.
type trendKey struct{ home, dog string }

func TrendKey(t *Turn, d *planner.Dog) trendKey { return trendKey{t.Home.ID, d.ID} }

// Trend is what the journal tells of a dog's weight, the oldest first, as this
// turn leaves it. The caller changes nothing in it: it is read once a turn, for
// the doubt about a weight, the weigh-in before it and the judgement.
func Trend(t *Turn, d *planner.Dog) []planner.Entry {
	q := store.EntryQuery{Dog: d.ID, Kinds: trendKinds}
	kept, read := t.Trends[TrendKey(t, d)]
	if !read {
		kept = t.stored(q)
		if t.Trends == nil {
			t.Trends = map[trendKey][]planner.Entry{}
		}
		t.Trends[TrendKey(t, d)] = kept
	}
	if t.notes.none() {
		return kept
	}
	return t.noted(append(make([]planner.Entry, 0, len(kept)+len(t.notes.added)), kept...), q)
}
