package bot

import (
	"slices"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// lastWeighed is the newest weigh-in of a dog.
func (t *turn) lastWeighed(d *planner.Dog) (planner.Entry, bool) {
	all := t.newestWeighed(d, 1)
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

// newestWeighed is the newest weigh-ins of a dog, up to n, the newest first.
func (t *turn) newestWeighed(d *planner.Dog, n int) []planner.Entry {
	if _, read := t.trends[t.trendKey(d)]; !read {
		return t.entries(store.EntryQuery{Dog: d.ID, Kinds: weighedKind, Newest: true, Limit: n})
	}
	out := make([]planner.Entry, 0, n)
	for _, e := range slices.Backward(t.trend(d)) {
		if e.Kind == planner.Weighed && len(out) < n {
			out = append(out, e)
		}
	}
	return out
}

// newestWeight sets a dog's weight to what counts of its newest weigh-ins.
func (t *turn) newestWeight(d *planner.Dog) {
	h := t.historyAbout(d, time.Time{})
	if n := len(h.Weighings); n > 0 {
		d.Weight, d.Weighed = h.Weighings[n-1].Weight, h.Weighings[n-1].At.UTC()
	}
}

// noteDog enters into the journal what a carer changed of a dog by hand: its
// weight, its condition, its daily kcal. before may be a dog that is new.
func (t *turn) noteDog(before, after planner.Dog) {
	if after.Weight != before.Weight && after.Weight > 0 {
		t.note(planner.Entry{Kind: planner.Weighed, Dog: after.ID, Weight: after.Weight})
	}
	if after.Condition != before.Condition && after.Condition > 0 {
		t.note(planner.Entry{Kind: planner.Scored, Dog: after.ID, Score: after.Condition})
	}
	if after.Kcal != before.Kcal && after.Kcal > 0 {
		t.note(amountEntry(&after))
	}
}

// trendKinds are the entries that tell of weight and food.
var trendKinds = []planner.EntryKind{planner.Weighed, planner.Doubted, planner.Scored, planner.KcalSet, planner.Away, planner.VetSaw, planner.Answered}
var weighedKind, scaleKinds = trendKinds[:1], trendKinds[:2]
var foodKinds = []planner.EntryKind{planner.Fed, planner.NotFed, planner.Treat}

// foodDays is how far back meals are counted one by one; before that a dog
// counts as fed as planned.
const foodDays = 200

// history is what the journal tells of a dog.
func (t *turn) history(d *planner.Dog) planner.History {
	food := t.entries(store.EntryQuery{Dog: d.ID, Kinds: foodKinds, From: t.event.At.AddDate(0, 0, -foodDays)})
	all := append(slices.Clip(t.trend(d)), food...)
	return planner.HistoryOf(*d, all, t.event.At.Location(), t.event.At)
}

// trendKey is a dog of a household; a turn may come to another household, and
// its dogs have the same ids.
type trendKey struct{ home, dog string }

func (t *turn) trendKey(d *planner.Dog) trendKey { return trendKey{t.home.ID, d.ID} }

// trend is what the journal tells of a dog's weight, the oldest first, as this
// turn leaves it. The caller changes nothing in it: it is read once a turn, for
// the doubt about a weight, the weigh-in before it and the judgement.
func (t *turn) trend(d *planner.Dog) []planner.Entry {
	q := store.EntryQuery{Dog: d.ID, Kinds: trendKinds}
	kept, read := t.trends[t.trendKey(d)]
	if !read {
		kept = t.stored(q)
		if t.trends == nil {
			t.trends = map[trendKey][]planner.Entry{}
		}
		t.trends[t.trendKey(d)] = kept
	}
	if t.notes.none() {
		return kept
	}
	return t.noted(append(make([]planner.Entry, 0, len(kept)+len(t.notes.added)), kept...), q)
}

// nearby is how many weigh-ins a new one is compared with.
const nearby = 8

// historyAbout is the weigh-ins up to an instant, to judge one of that time
// by; at is zero for now. For one from before them all it is the first, as
// though it were as long ago as it is ahead.
func (t *turn) historyAbout(d *planner.Dog, at time.Time) planner.History {
	return t.historyBut(d, at, "")
}

// historyBut is historyAbout without the entry of an id.
func (t *turn) historyBut(d *planner.Dog, at time.Time, but string) planner.History {
	without := func(all []planner.Entry) []planner.Entry {
		return slices.DeleteFunc(all, func(e planner.Entry) bool { return e.ID == but })
	}
	loc := t.event.At.Location()
	if at.IsZero() || at.After(t.event.At) {
		at = t.event.At
	}
	if at.Equal(t.event.At) {
		return planner.WeighingsOf(*d, without(t.newestWeighed(d, nearby)), loc, at)
	}
	last := t.entries(store.EntryQuery{Dog: d.ID, Kinds: weighedKind, To: at.Add(time.Minute), Newest: true, Limit: nearby})
	last = without(last)
	if len(last) > 0 {
		return planner.WeighingsOf(*d, last, loc, at)
	}
	next := without(t.entries(store.EntryQuery{Dog: d.ID, Kinds: weighedKind, From: at, Limit: 2}))
	next = next[:min(len(next), 1)]
	if len(next) == 0 {
		return planner.WeighingsOf(*d, nil, loc, at)
	}
	return planner.WeighingsOf(*d, next, loc, next[0].At.Add(next[0].At.Sub(at)))
}

// judge works out what there is to say about the amount that a dog is fed.
func (t *turn) judge(d *planner.Dog) (planner.History, planner.Decision, []planner.Posterior) {
	h := t.history(d)
	posts := planner.CheckIns(h, planner.PriorOf(*d, h, t.event.At), 2)
	return h, planner.Decide(*d, h, posts, t.event.At), posts
}
