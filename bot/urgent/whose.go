package urgent

import (
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// NamesSign takes a dog's bare name as the answer to "Which dog is it?", if
// this person was just asked that.
func NamesSign(t *talk.Turn, s string) bool {
	var d *planner.Dog
	for i := range t.Home.Dogs {
		if strings.EqualFold(t.Home.Dogs[i].Name, strings.Trim(s, " .!")) {
			d = &t.Home.Dogs[i]
		}
	}
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
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostGoingOn), Newest: true, Limit: 5}) {
		if a := read.AlarmIn(e.Text, t.Names()); e.Person == t.Event.Person && (a.Level == read.VetNow || a.Eaten != nil) {
			return true
		}
	}
	return false
}

// mostWordsOn is how many words are taken to go on with a sign just told of,
// where they name no dog (our own choice).
const mostWordsOn = 6

// goOn hears a sign told in a few words together with what this person told of
// just before, for the same dog: "vomited once", then "blood in it".
func goOn(t *talk.Turn, a *read.Alarm, s string) {
	if !a.Signs || !a.More || len(a.Dogs) > 0 || a.Both || a.Every || a.Stranger || len(strings.Fields(s)) > mostWordsOn {
		return
	}
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Person != t.Event.Person || e.Dog == "" {
			continue
		}
		both := read.AlarmIn(e.Text+", "+s, t.Names())
		a.Level, a.Frail = max(a.Level, both.Level), max(a.Frail, both.Frail)
		a.Dogs, a.Weak, a.Cry = []string{e.Dog}, a.Weak || both.Weak, false
		return
	}
}
