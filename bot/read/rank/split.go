package rank

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/floats"
)

// Statement is a part of a text that says one thing.
type Statement struct {
	Text   string
	From   int // where it stands in the text, in bytes
	Ranked []Ranked
}

// joints are the words and marks at which another statement may begin.
var joints = map[string]bool{"\n": true, ".": true, "!": true, "?": true, ",": true, ";": true, "-": true, "–": true, "&": true, "+": true, "…": true, "(": true,
	"and": true, "but": true, "then": true, "also": true, "plus": true, "so": true, "oh": true, "btw": true, "n": true, "while": true, "or": true}

// places returns the tokens before which a statement may begin: after a joint, where
// something stands on both sides. A list with amounts has none.
func (t *text) places() (all []int) {
	for at := 1; at+1 < len(t.tokens); at++ {
		if joints[t.tokens[at].as] && !joints[t.tokens[at+1].as] {
			all = append(all, at+1)
		}
	}
	if len(all) > mostPlaces || t.recipeLines() {
		return nil
	}
	return all
}

// mostPlaces is at how many places a text is tried; a longer list is a recipe
// or a story.
const mostPlaces = 8

// joint features of a place between two parts, of which each is ranked alone.
func (t *text) jointFeatures(from, at, to int, left, right, whole view) []Feature {
	s := seen{}
	joint := at - 1
	for joint > from && joints[t.tokens[joint-1].as] {
		joint--
	}
	word := t.tokens[at-1].as
	s.add(splitAt, "joint", word)
	s.add(splitAt, "run", strconv.Itoa(at-joint))
	s.add(splitLeft, left.Intent)
	s.add(splitRight, right.Intent)
	s.add(splitAt, "both", left.Intent, right.Intent)
	s.add(splitAt, "sure", sureness(left.P), sureness(right.P))
	s.add(splitAt, "sure", word, sureness(right.P))
	if left.Intent == right.Intent {
		s.add(splitAt, "same", word)
	}
	s.add(splitAt, "whole has", sureness(whole.p[left.best]), sureness(whole.p[right.best]))
	s.add(splitAt, "whole has left", sureness(whole.p[left.best]))
	s.add(splitAt, "whole has right", sureness(whole.p[right.best]))
	s.add(splitLeft, "whole", left.Intent, whole.Intent)
	s.add(splitRight, "whole", right.Intent, whole.Intent)
	s.add(splitLeft, "length", lengthClass(joint-from))
	s.add(splitRight, "length", lengthClass(to-at))
	s.group()
	s.add(splitAt, "next", word, t.tokens[at].as)
	for _, k := range t.tokens[at].kinds {
		s.add(splitAt, "next kind", word, k)
	}
	if at+1 < to {
		s.add(splitRight, "two", t.tokens[at].as, t.tokens[at+1].as)
	}
	surer := gain(left.P, right.P, whole.P)
	s.add(splitAt, "gain", surer)
	s.add(splitAt, "gain", word, surer)
	s.add(splitAt, "names", dogsIn(t.tokens[from:joint]), dogsIn(t.tokens[at:to]))
	if t.in.Open != "" {
		s.add(splitAt, "open", left.Intent)
		s.add(splitAt, "open", t.in.Open)
	}
	if joint > from {
		s.add(splitAt, "around", t.tokens[joint-1].as, t.tokens[at].as)
		for _, k := range t.tokens[joint-1].kinds {
			for _, j := range t.tokens[at].kinds {
				s.add(splitAt, "around kinds", k, j)
			}
		}
	}
	s.group()
	for i := at; i < min(at+3, to); i++ {
		s.add(splitRight, "word", strconv.Itoa(i-at), t.tokens[i].as)
		for _, k := range t.tokens[i].kinds {
			s.add(splitRight, "kind", strconv.Itoa(i-at), k)
		}
	}
	for i := max(from, joint-2); i < joint; i++ {
		s.add(splitLeft, "word", t.tokens[i].as)
	}
	s.add(splitLeft, "first", t.tokens[from].as)
	s.group()
	kinds(&s, splitLeft, t.tokens[from:joint])
	kinds(&s, splitRight, t.tokens[at:to])
	return s.out
}

// dogsIn is how many dogs are named: none, one, or several.
func dogsIn(part []seenToken) string {
	n := 0
	for i := range part {
		if part[i].as == "<dog>" {
			n++
		}
	}
	return strconv.Itoa(min(n, 2))
}

// gain is how much surer the parts are than the whole, in half steps of the
// logarithm.
func gain(left, right, whole float64) string {
	return strconv.Itoa(int(math.Round(2 * max(-3, min(3, math.Log(left*right/whole))))))
}

func sureness(p float64) string {
	return classOf(p, []float64{0.05, 0.3, 0.5, 0.7, 0.9}, []string{"0", "1", "3", "5", "7", "9"})
}

// fromSplit is how likely a new statement must be to begin at a place (our own
// choice).
const fromSplit = 0.5

// cut returns where the statements of a text begin.
func (m *Model) cut(t *text, open string) []int {
	starts := []int{0}
	from, end := 0, len(t.tokens)
	for _, at := range t.places() {
		if t.onlyNames(from, at) || t.onlyNames(at, end) { // "Fern and Nala had a biscuit"
			continue
		}
		left, right, whole := m.top(t, from, at, open), m.top(t, at, end, open), m.top(t, from, end, open)
		p := m.Splits.rank(t.jointFeatures(from, at, end, left, right, whole))[slices.Index(m.Splits.Intents, "split")]
		if p >= fromSplit || t.ofEach(from, at, end, left, right) {
			starts, from = append(starts, at), at
		}
	}
	return starts
}

// ofEach reports that both sides of a place most likely say the same of one dog
// each, and more than its name: "Otto is 6 years and Tilly is 9".
func (t *text) ofEach(from, at, to int, left, right view) bool {
	return left.Intent == right.Intent && min(left.P, right.P) >= 0.5 && at-from > 2 && to-at > 1 && dogsIn(t.tokens[from:at]) == "1" && dogsIn(t.tokens[at:to]) == "1"
}

// onlyNames reports that a part says no more than which dogs.
func (t *text) onlyNames(from, to int) bool {
	return !slices.ContainsFunc(t.tokens[from:to], func(k seenToken) bool { return k.as != "<dog>" && (!joints[k.as] || k.as == "also") })
}

// recipeLines reports that a text is a list with amounts.
func (t *text) recipeLines() bool {
	n := 0
	for i := range t.tokens {
		if (i == 0 || t.tokens[i-1].as == "\n") && t.tokens[i].typed == "" {
			n++
		}
	}
	return n >= 3
}

// view is what a part reads as: the likeliest intent, and all of them.
type view struct {
	Ranked
	best int // of p
	p    []float64
}

// top is the likeliest intent of a part.
func (m *Model) top(t *text, from, to int, open string) view {
	p := m.means(t, from, to, open)
	best := floats.MaxIdx(p)
	return view{Ranked{m.Means.Intents[best], p[best]}, best, p}
}

// Statements are the statements of a text, in order.
func (m *Model) Statements(in *Input) (all []Statement) {
	t := readText(in, m.speller)
	if len(t.tokens) == 0 {
		return nil
	}
	starts := m.cut(t, in.Open)
	ends := append(starts[1:], len(t.tokens))
	open := in.Open
	for i, from := range starts {
		to := ends[i]
		s := Statement{From: t.tokens[from].from}
		last := to
		for last > from+1 && i+1 < len(starts) && joints[t.tokens[last-1].as] && t.tokens[last-1].as != "?" && t.tokens[last-1].as != "!" {
			last--
		}
		s.Text = in.Text[s.From:t.tokens[last-1].end]
		s.Ranked = m.Means.ranked(m.means(t, from, to, open))
		if s.Ranked[0].Intent == "answer" {
			open = ""
		}
		all = append(all, s)
	}
	return all
}
