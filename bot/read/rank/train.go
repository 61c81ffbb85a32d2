package rank

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read/span"
)

// Trained is what a model is trained from.
type Trained struct {
	Wordings      []Wording
	Introductions []Wording // of dogs, from which only their names are learnt
	Lexicon       *Lexicon
	Plan          Plan
}

// DefaultPlan is how the model in the program is trained; chosen by leaving
// out one hand after another.
var DefaultPlan = Plan{Fewest: 9, Penalty: 0.03, Rounds: 30}

// Train fits a model: first to messages that say one thing, then to the parts
// of those that say several too, cut where a model that has not seen them reads
// them best. What says one thing is seen once more with some words hidden.
func Train(from Trained) (m *Model, err error) {
	m = &Model{Words: knownWords(from.Wordings)}
	m.Use(from.Lexicon)
	var rows []Example
	halves := [2][]Example{}
	hand := handsOf(from.Wordings)
	for i := range from.Wordings {
		if w := &from.Wordings[i]; len(w.Says) == 1 {
			seen := m.example(w, false)
			rows = append(rows, seen, m.example(w, true))
			halves[hand[i]] = append(halves[hand[i]], seen)
		}
	}
	var joints []Example
	for k, half := range halves {
		if m.Means, err = fit(half, Plan{(from.Plan.Fewest + 1) / 2, from.Plan.Penalty, from.Plan.Rounds / 2}); err != nil {
			return nil, err
		}
		for i := range from.Wordings {
			if hand[i] != k {
				joints = append(joints, m.align(&from.Wordings[i], &rows)...)
			}
		}
	}
	if m.Means, err = fit(rows, from.Plan); err != nil {
		return nil, err
	}
	if m.Splits, err = fit(joints, Plan{2, 30, 60}); err != nil {
		return nil, err
	}
	return m, m.fitCalls(append(slices.Clone(from.Wordings), from.Introductions...))
}

// handsOf puts wordings in two halves, those of a hand together.
func handsOf(all []Wording) []int {
	half := map[string]int{}
	out := make([]int, len(all))
	for i := range all {
		hand, _, _ := strings.Cut(all[i].ID, "-")
		if _, known := half[hand]; !known {
			half[hand] = len(half) % 2
		}
		out[i] = half[hand]
	}
	return out
}

// knownWords are the hashes of words that stand in three wordings or more.
func knownWords(all []Wording) (known []uint32) {
	count := map[uint32]int{}
	for i := range all {
		for _, t := range Tokens(all[i].Text) {
			if t.Kind == span.WordToken {
				count[hashOf(aWord, t.Text)]++
			}
		}
	}
	for h, n := range count {
		if n >= 3 {
			known = append(known, h)
		}
	}
	slices.Sort(known)
	return known
}

// example is a message that says one thing, some of its words hidden or none. Where
// it may be read in more ways, they share in it.
func (m *Model) example(w *Wording, hidden bool) Example {
	t := readText(&w.Input, m.speller)
	if hidden {
		t.hide(w.ID)
	}
	e := Example{t.features(0, len(t.tokens), w.Open), map[string]float64{}}
	rest := 0.0
	if n := len(w.Or) + len(w.Also); n > 0 {
		rest = 0.3
		for _, o := range w.Or {
			e.Means[w.Means(o.Intent)] += rest / float64(n)
		}
		for _, o := range w.Also {
			e.Means[w.Means(o)] += rest / float64(n)
		}
	}
	e.Means[w.Means(w.Says[0].Intent)] += 1 - rest
	return e
}

var split, one = map[string]float64{"split": 1}, map[string]float64{"one": 1}

// align cuts a message that says several things where its parts read best as
// what they say, adds the parts to the examples, and returns examples of the
// places where a statement begins and of those where none does.
func (m *Model) align(w *Wording, rows *[]Example) (joints []Example) {
	t := readText(&w.Input, m.speller)
	places := t.places()
	if len(places) == 0 || len(w.Says)-1 > len(places) {
		return nil
	}
	starts := m.bestCut(t, w, places)
	begin := 0
	for _, at := range places {
		left, right, whole := m.top(t, begin, at, w.Open), m.top(t, at, len(t.tokens), w.Open), m.top(t, begin, len(t.tokens), w.Open)
		e := Example{t.jointFeatures(begin, at, len(t.tokens), left, right, whole), one}
		if k := slices.Index(starts, at); k >= 0 {
			e.Means, begin = split, at
			if w.Says[k].Intent == w.Says[k-1].Intent {
				continue // of the same twice, one statement is as right
			}
		}
		joints = append(joints, e)
	}
	if len(starts) < 2 {
		return joints
	}
	ends := append(starts[1:], len(t.tokens))
	for k, at := range starts {
		open := span.Choose(k > 0 && w.Means(w.Says[0].Intent) == "answer", "", w.Open)
		intent := span.Choose(open != "", w.Means(w.Says[k].Intent), w.Says[k].Intent)
		*rows = append(*rows, Example{t.features(at, ends[k], open), map[string]float64{intent: 1}})
	}
	return joints
}

// bestCut is where the statements of a message begin: as many as it has, where
// they are likeliest.
func (m *Model) bestCut(t *text, w *Wording, places []int) []int {
	n, k := len(places)+1, len(w.Says)
	begin := append([]int{0}, places...)
	ends := append(slices.Clone(places), len(t.tokens))
	index := map[string]int{}
	for i, intent := range m.Means.Intents {
		index[intent] = i
	}
	score := make([][]float64, k+1) // of the first statements, up to a place
	back := make([][]int, k+1)
	for s := range score {
		score[s], back[s] = make([]float64, n+1), make([]int, n+1)
		for i := range score[s] {
			score[s][i] = math.Inf(-1)
		}
	}
	score[0][0] = 0
	for s := 1; s <= k; s++ {
		for to := 1; to <= n; to++ {
			for from := s - 1; from < to; from++ {
				if math.IsInf(score[s-1][from], -1) || s == k && to != n {
					continue
				}
				p := m.means(t, begin[from], ends[to-1], w.Open)
				got := 1e-9
				for _, intent := range []string{w.Says[s-1].Intent, w.Means(w.Says[s-1].Intent)} {
					if i, ok := index[intent]; ok {
						got = max(got, p[i])
					}
				}
				if v := score[s-1][from] + math.Log(got); v > score[s][to] {
					score[s][to], back[s][to] = v, from
				}
			}
		}
	}
	starts := make([]int, k)
	for s, to := k, n; s > 0; s-- {
		to = back[s][to]
		starts[s-1] = begin[to]
	}
	return starts
}
