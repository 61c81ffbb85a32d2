package talk

import (
	"bowlwright/bot/read"
	"bowlwright/planner"
)

// forMany are the sentences that may be said of several dogs at once.
var forMany = map[read.Intent]bool{read.BowlAmount: true, read.EnergyNeed: true, read.FoodAmount: true, read.ShowDog: true, read.Fed: true, read.FedAsked: true, read.TreatsLeft: true, read.EatsRecipe: true,
	read.ShowWeight: true, read.ShowTrend: true, read.ListWeighIns: true, read.FedAway: true}

// mostDogs is how many dogs one sentence is answered for.
const mostDogs = 6

// manyDogs answers a sentence that names several dogs ("how much for Juniper
// and Bracken?"), or all, for each of them, and reports whether it was one.
func (t *Turn) manyDogs(s string) bool {
	from, to, dogs := DogsIn(t, s)
	if len(dogs) < 2 || len(dogs) > mostDogs {
		return false
	}
	asked := make([]read.Sentence, len(dogs))
	for i, d := range dogs {
		got, ok := read.Understand(s[:from]+d.Name+s[to:], t.Names(), t.Home.Units)
		if !ok || !forMany[got.Intent] && t.reg.together[got.Intent] == nil || got.Dog != d.ID {
			return false
		}
		asked[i] = got
	}
	if do := t.reg.together[asked[0].Intent]; do != nil {
		if asked[0].Words == "" {
			return false
		}
		do(t, dogs, asked[0])
		return true
	}
	for _, q := range asked {
		t.GoTo(q)
	}
	return true
}

// DogsIn finds where a text names dogs in a row.
func DogsIn(t *Turn, s string) (from, to int, dogs []*planner.Dog) {
	from, to, ids := read.DogsNamed(s, t.Names())
	for _, id := range ids {
		dogs = append(dogs, t.Dog(id))
	}
	return from, to, dogs
}

// doubtful asks what a number means that can be read in two ways.
func (t *Turn) doubtful(s string) bool {
	grams := read.DoubtfulGrams(s)
	if grams != "" {
		t.SayMsg("doubt.point", "text", grams)
	}
	return grams != ""
}
