package weighing

import (
	"slices"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// lastWeighed is the newest weigh-in of a dog.
func lastWeighed(t *talk.Turn, d *planner.Dog) (planner.Entry, bool) {
	all := NewestWeighed(t, d, 1)
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

// weightText says what a dog weighed last, and when.
func weightText(t *talk.Turn, d *planner.Dog) string {
	if e, ok := lastWeighed(t, d); ok {
		return msg("weigh.is", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date))
	}
	return msg("weigh.none", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units))
}

// NewestWeighed is the newest weigh-ins of a dog, up to n, the newest first.
func NewestWeighed(t *talk.Turn, d *planner.Dog, n int) []planner.Entry {
	if _, read := t.Trends[talk.TrendKey(t, d)]; !read {
		return t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, Newest: true, Limit: n})
	}
	out := make([]planner.Entry, 0, n)
	for _, e := range slices.Backward(talk.Trend(t, d)) {
		if e.Kind == planner.Weighed && len(out) < n {
			out = append(out, e)
		}
	}
	return out
}

// newestWeight sets a dog's weight to what its newest weigh-ins come to.
func newestWeight(t *talk.Turn, d *planner.Dog) {
	h := historyAbout(t, d, time.Time{})
	if n := len(h.Weighings); n > 0 {
		d.Weight, d.Weighed = h.Weighings[n-1].Weight, h.Weighings[n-1].At.UTC()
	}
}

var foodKinds = []planner.EntryKind{planner.Fed, planner.NotFed, planner.Treat}

// foodDays is how far back meals are counted one by one; before that a dog
// counts as fed as planned.
const foodDays = 200

// History is what the journal tells of a dog.
func History(t *talk.Turn, d *planner.Dog) judge.History {
	food := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: foodKinds, From: t.Event.At.AddDate(0, 0, -foodDays)})
	all := append(slices.Clip(talk.Trend(t, d)), food...)
	return judge.HistoryOf(*d, all, t.Event.At.Location(), t.Event.At)
}

// nearby is how many weigh-ins a new one is compared with.
const nearby = 8

// historyAbout is the weigh-ins up to an instant, to judge one of that time by;
// at is zero for now. For one from before them all it is the first, taken to be
// as long before as it is after.
func historyAbout(t *talk.Turn, d *planner.Dog, at time.Time) judge.History {
	return historyBut(t, d, at, "")
}

// historyBut is historyAbout without the entry of an id.
func historyBut(t *talk.Turn, d *planner.Dog, at time.Time, but string) judge.History {
	without := func(all []planner.Entry) []planner.Entry {
		return slices.DeleteFunc(all, func(e planner.Entry) bool { return e.ID == but })
	}
	loc := t.Event.At.Location()
	if at.IsZero() || at.After(t.Event.At) {
		at = t.Event.At
	}
	if at.Equal(t.Event.At) {
		return judge.WeighingsOf(*d, without(NewestWeighed(t, d, nearby)), loc, at)
	}
	last := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, To: at.Add(time.Minute), Newest: true, Limit: nearby})
	last = without(last)
	if len(last) > 0 {
		return judge.WeighingsOf(*d, last, loc, at)
	}
	next := without(t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, From: at, Limit: 2}))
	next = next[:min(len(next), 1)]
	if len(next) == 0 {
		return judge.WeighingsOf(*d, nil, loc, at)
	}
	return judge.WeighingsOf(*d, next, loc, next[0].At.Add(next[0].At.Sub(at)))
}

// Judge works out what there is to say about the amount that a dog is fed.
func Judge(t *talk.Turn, d *planner.Dog) (judge.History, judge.Decision, []judge.Posterior) {
	h := History(t, d)
	posts := judge.CheckIns(h, judge.PriorOf(*d, h, t.Event.At), 2)
	return h, judge.Decide(*d, h, posts, t.Event.At), posts
}
