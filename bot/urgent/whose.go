package urgent

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// pressSign says whose the sign is that was noted.
func pressSign(t *talk.Turn, args []string) {
	e, ok := t.Entry(talk.Arg(args, 1))
	d := t.Dog(talk.Arg(args, 2))
	if talk.Arg(args, 0) != "dog" || !ok || d == nil || e.Kind != planner.SignSeen {
		t.SayMsg("press.gone")
		return
	}
	t.Mutate("did.sign", d.Name)
	t.Talk.Dog, e.Dog = d.ID, d.ID
	t.Note(e)
	out := t.Say(say.Whole(msg("sign.noted", "dog", d.Name, "text", say.Short(e.Text))), say.Whole(fasting(t, alarm.In(e.Text, t.Names()), []*planner.Dog{d}, e.Text)))
	if dogs.Frail(t, d) {
		out.Begin(msg("urgent.frail", "dog", d.Name))
	}
	out.Offer(t.UndoButton())
	t.Tell(t.Others(), say.Reply{Body: []say.Block{say.Whole(msg("sign.noted", "dog", d.Name, "text", say.Short(e.Text)))}})
}

// NamesSign takes a dog's bare name as the answer to "Which dog is it?", if
// this person was just asked that.
func NamesSign(t *talk.Turn, s string) bool {
	d := t.DogNamed(strings.Trim(s, " .!"))
	if d == nil {
		return false
	}
	// Several may be of the same minute.
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Dog == "" && e.Person == t.Event.Person {
			pressSign(t, []string{"dog", e.ID, d.ID})
			return true
		}
	}
	return false
}

// mostAnswer is for how long a bare name is taken for an answer.
const mostAnswer = 30 * time.Minute

// mostGoingOn is for how long a few words are taken to go on with an
// emergency (our own choice).
const mostGoingOn = time.Hour

// justTold reports that this person told of an emergency within the hour.
func justTold(t *talk.Turn) bool {
	e, told := lastEmergency(t)
	return told && e.Person == t.Event.Person
}

// lastEmergency is what was told last, within the hour, of what cannot wait.
func lastEmergency(t *talk.Turn) (e planner.Entry, told bool) {
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostGoingOn), Newest: true, Limit: 5}) {
		if a := alarm.In(e.Text, t.Names()); a.Level == alarm.VetNow || a.Eaten != nil || a.Alone != nil {
			return e, true
		}
	}
	return e, false
}

// goesOnWith reports that a text tells of a further sign within the hour of an
// emergency: it is no milder than that was, and of the same dog where none is
// named.
func goesOnWith(t *talk.Turn, a *alarm.Alarm) bool {
	e, told := lastEmergency(t)
	if !told || !a.Signs || a.Stranger || len(a.Dogs) > 0 && e.Dog != "" && !slices.Contains(a.Dogs, e.Dog) {
		return false
	}
	if len(a.Dogs) == 0 && !a.Both && !a.Every && e.Dog != "" {
		a.Dogs = []string{e.Dog}
	}
	a.Took = a.Took || alarm.In(e.Text, t.Names()).Took
	return true
}

// givesMedicine reports that a dog of the household is given a medicine.
func givesMedicine(t *talk.Turn) bool {
	return slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return read.OfMedicine(r.Text) || alarm.NamesMedicine(r.Text) })
}

// mostWordsOn is how many words are taken to go on with a sign just told of,
// where they name no dog (our own choice).
const mostWordsOn = 6

// goOn hears a sign told in a few words together with what this person told of
// just before, for the same dog: "vomited once", then "blood in it".
func goOn(t *talk.Turn, a *alarm.Alarm, s string) {
	if !a.Signs || !a.More || len(a.Dogs) > 0 || a.Both || a.Every || a.Stranger || len(strings.Fields(s)) > mostWordsOn {
		return
	}
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Person != t.Event.Person || e.Dog == "" {
			continue
		}
		both := alarm.In(e.Text+", "+s, t.Names())
		a.Level, a.Frail = max(a.Level, both.Level), max(a.Frail, both.Frail)
		a.Dogs, a.Weak, a.Cry = []string{e.Dog}, a.Weak || both.Weak, false
		return
	}
}
