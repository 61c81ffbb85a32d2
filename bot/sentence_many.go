package bot

import (
	"regexp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// forMany are the sentences that may be said of several dogs at once.
var forMany = map[read.Intent]bool{read.BowlAmount: true, read.EnergyNeed: true, read.FoodAmount: true, read.ShowDog: true, read.Fed: true,
	read.ShowWeight: true, read.ShowTrend: true, read.ListWeighIns: true, read.FedAway: true}

// mostDogs is how many dogs one sentence is answered for.
const mostDogs = 6

// manyDogs answers a sentence that names several dogs ("how much for Juniper
// and Bracken?"), or all, for each of them, and reports whether it was one.
func (t *turn) manyDogs(s string) bool {
	from, to, dogs := t.dogsIn(s)
	if len(dogs) < 2 || len(dogs) > mostDogs {
		return false
	}
	asked := make([]read.Sentence, len(dogs))
	for i, d := range dogs {
		got, ok := read.Understand(s[:from]+d.Name+s[to:], t.names(), t.home.Units)
		if !ok || !forMany[got.Intent] && got.Intent != read.FeedTimes || got.Dog != d.ID {
			return false
		}
		asked[i] = got
	}
	if asked[0].Intent == read.FeedTimes { // set for all in one change
		if asked[0].Words == "" {
			return false
		}
		if times, ok := t.clocksSaid(asked[0].Words); ok {
			t.feedAt(dogs, times, false)
		}
		return true
	}
	for _, q := range asked {
		intents[q.Intent](t, q)
	}
	return true
}

// allDogs are words for every dog of the household.
var allDogs = regexp.MustCompile(`(?i)\b(both( of them| dogs| the dogs)?|all( of them| the dogs| dogs)|the dogs|everyone)\b`)

// dogsIn finds where a text names several dogs in a row: "Juniper, Bracken
// and Pip".
func (t *turn) dogsIn(s string) (from, to int, dogs []*planner.Dog) {
	if m := allDogs.FindStringIndex(s); m != nil && len(t.home.Dogs) > 1 {
		for i := range t.home.Dogs {
			dogs = append(dogs, &t.home.Dogs[i])
		}
		return m[0], m[1], dogs
	}
	low := strings.ToLower(s)
	if len(low) != len(s) {
		return 0, 0, nil // a letter that changes its length: the places would not be the same
	}
	at := 0
	for {
		d, i := t.firstDog(low, at)
		if d == nil {
			break
		}
		if len(dogs) > 0 && !joins(low[to:i]) {
			if len(dogs) > 1 {
				break
			}
			dogs = dogs[:0]
		}
		if len(dogs) == 0 {
			from = i
		}
		if !slices.Contains(dogs, d) {
			dogs = append(dogs, d)
		}
		to = i + len(d.Name)
		at = to
	}
	return from, to, dogs
}

// firstDog is the dog that a text names first from a place on, and where.
func (t *turn) firstDog(low string, from int) (first *planner.Dog, at int) {
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		name := strings.ToLower(d.Name)
		for k := from; name != ""; {
			j := strings.Index(low[k:], name)
			if j < 0 {
				break
			}
			j += k
			if wordAt(low, j, j+len(name)) {
				if first == nil || j < at {
					first, at = d, j
				}
				break
			}
			k = j + len(name)
		}
	}
	return first, at
}

// wordAt reports that a part of a text is a word of its own.
func wordAt(s string, from, to int) bool {
	const sides = " ,.?!:;&'’"
	return (from == 0 || strings.ContainsAny(s[from-1:from], sides)) && (to == len(s) || strings.ContainsAny(s[to:to+1], sides) || strings.HasPrefix(s[to:], "’"))
}

// joins reports that only a comma or an "and" stands between two names.
func joins(between string) bool {
	switch strings.TrimSpace(between) {
	case ",", "and", "&", ", and", "+":
		return true
	}
	return false
}

// doubtfulGrams is "1.200 g", in which the point may stand for thousands.
var doubtfulGrams = regexp.MustCompile(`(?i)(?:^|[^\d.,])([1-9]\d{0,2}\.\d{3} ?(?:g|grams?|gr|gram))(?:$|[^\p{L}\d.])`)

// doubtful asks what a number means that can be read in two ways.
func (t *turn) doubtful(s string) bool {
	m := doubtfulGrams.FindStringSubmatch(s)
	if m == nil {
		return false
	}
	t.sayMsg("doubt.point", "text", m[1])
	return true
}
