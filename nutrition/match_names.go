package nutrition

import (
	"fmt"
	"slices"
	"strings"
)

// lead is what a whole name leads to: a food, or several to choose from.
type lead struct {
	foods []uint16 // entries, likeliest first
	near  bool     // they only come near; there may be none
}

// meant is what names of one meaning lead to.
type meant struct {
	*lead
	loose bool // they have words that make no difference
	torn  bool // names that mean the same lead to different foods
}

// readNames reads the everyday names. at is the entry of each food.
func (x *index) readNames(q *query, at map[string]uint16) {
	records("names.csv", func(cell func(string) string) error {
		means := cell("means")
		if means == "" || means[0] != '=' && means[0] != '~' {
			return errBadRow
		}
		l := &lead{near: means[0] == '~'}
		for _, key := range strings.Fields(means[1:]) {
			i, ok := at[key]
			if !ok {
				return fmt.Errorf("no food %q", key)
			}
			l.foods = append(l.foods, i)
		}
		for name := range strings.SplitSeq(cell("names"), "|") {
			if !x.addName(q, name, l) {
				return fmt.Errorf("%q is there twice", name)
			}
		}
		return nil
	})
}

// addName adds a whole name of foods. It returns false where the same words
// lead to something else already.
func (x *index) addName(q *query, name string, l *lead) bool {
	words := split(q.words[:0], name)
	for _, w := range words {
		if w.text != "" && x.alone(w.text) == nil {
			x.learn(w.text, false)
			x.id(w.text)
		}
	}
	key := nameKey(words)
	if old := x.names[key]; old != nil {
		return l.same(old)
	}
	x.names[key] = l
	q.readWords(x, words)
	if len(q.unknown) > 0 || len(q.core) == 0 {
		return true
	}
	sig, loose := q.signature(), q.hushed || len(q.ignored) > 0
	switch old, ok := x.meant[sig]; {
	case !ok || old.loose && !loose:
		x.meant[sig] = meant{l, loose, false}
	case old.loose == loose && !l.same(old.lead):
		x.meant[sig] = meant{old.lead, loose, true}
	}
	return true
}

func (l *lead) same(o *lead) bool {
	return l == o || l.near == o.near && slices.Equal(l.foods, o.foods)
}

// linking reports a word of a name that says nothing. The A of vitamin A does.
func linking(words []word, i int) bool {
	switch words[i].text {
	case "a":
		return i == 0
	case "an", "the", "of", "some", "my", "its", "for", "s", "from", "and":
		return true
	}
	return false
}

// nameKey is a key of a name's words, whatever their order.
func nameKey(words []word) string {
	var said []string
	for i := range words {
		switch w := &words[i]; {
		case w.text == "":
			said = append(said, w.raw)
		case !linking(words, i):
			said = append(said, w.text)
		}
	}
	slices.Sort(said)
	return strings.Join(slices.Compact(said), " ")
}

// byName looks up the words of a whole name.
func (x *index) byName(words []word) *lead { return x.names[nameKey(words)] }

// byMeaning looks up a name that means the same.
func (x *index) byMeaning(q *query) *lead {
	if m := x.meant[q.signature()]; !m.torn {
		return m.lead
	}
	return nil
}

// finding is what a name leads to.
func (x *index) finding(n *lead, ignored []string) Finding {
	switch {
	case n.near && len(n.foods) == 0:
		return Finding{}
	case n.near:
		return Finding{Nearest: x.foodsOf(n.foods[:min(len(n.foods), maxNearest)])}
	}
	f, _ := choose(x.foodsOf(n.foods), ignored)
	return f
}
