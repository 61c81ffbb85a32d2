package alarm

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// alarmBook is what the word lists hold.
type alarmBook struct {
	signs      []signRule
	dangers    []dangerRule
	begins     beginning           // the signs, by the words that their first elements begin with,
	named      beginning           // and the dangers, by those of their names
	lists      map[string]wordings // those that are defined, by name
	known      map[string]bool     // every word
	first      map[string]bool     // those that a wording begins with
	long       []string            // those that a slip may mean, the shortest first
	beginnings []string            // of words that are known by them
}

// list is the wordings that are defined by a name. A name that is not is a
// defect of the program.
func (b *alarmBook) list(name string) wordings {
	p, ok := b.lists[name]
	if !ok {
		panic("bot/read: no list of " + name)
	}
	return p
}

// has reports that a wording of a list begins with a word.
func (b *alarmBook) has(list, word string) bool {
	_, ok := b.list(list)[word]
	return ok
}

// dialect is the word that one of Scots is taken for, empty for any other.
func (b *alarmBook) dialect(word string) string {
	if pair := b.list("dialect")[word]; len(pair) > 0 {
		return pair[0][1].text
	}
	return ""
}

// beginning are the numbers of rules, by the words that their wordings begin with.
type beginning map[string][]int

func (b beginning) add(p wordings, number int) {
	for key := range p {
		b[key] = append(b[key], number)
	}
}

type signRule struct {
	line         int // of signs.txt
	level, frail Level
	fasting      bool // it tells of nothing eaten for three days
	elements     []element
	unless       wordings
}

// element is a part of a sign: one of some wordings, after the part before or
// in any order.
type element struct {
	words wordings
	after bool
}

type dangerRule struct {
	Danger
	kind          string
	words, unless wordings
}

// Alarms returns the word lists. A malformed list is a defect of the program
// and stops it at once.
var Alarms = sync.OnceValue(func() *alarmBook {
	b := &alarmBook{lists: map[string]wordings{}, known: map[string]bool{}, first: map[string]bool{}, begins: beginning{}, named: beginning{}}
	for _, file := range []string{"alarm.txt", "signs.txt", "dangers.txt", "medicines.txt"} {
		b.read(file)
	}
	for _, w := range nutrition.RefusedWords() {
		b.know(w)
	}
	slices.SortStableFunc(b.long, func(v, w string) int { return len(v) - len(w) })
	return b
})

// read reads one file; the notation is explained at the top of alarm.txt.
func (b *alarmBook) read(file string) {
	for i, line := range strings.Split(language.Text(file), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		if rest, ok := strings.CutPrefix(line, "define "); ok {
			b.define(rest)
		} else if file == "signs.txt" {
			b.sign(line, i+1)
		} else {
			b.danger(line)
		}
	}
}

// must stops the program where a line is malformed.
func must(ok bool, line string) {
	if !ok {
		panic("bot/read: not in the notation of alarm.txt: " + line)
	}
}

func (b *alarmBook) define(line string) {
	name, list, ok := strings.Cut(line, "=")
	must(ok, line)
	name = strings.TrimSpace(name)
	if b.lists[name] == nil {
		b.lists[name] = wordings{}
	}
	b.lists[name].add(b.wordings(list)) // a list may go on
}

func (p wordings) add(more wordings) {
	for key, all := range more {
		p[key] = append(p[key], all...)
	}
}

// wordings reads "belly, big belly, <other>".
func (b *alarmBook) wordings(list string) wordings {
	p := wordings{}
	for _, part := range strings.Split(list, ",") {
		part = strings.TrimSpace(part)
		if name, ok := strings.CutPrefix(part, "<"); ok {
			p.add(b.list(strings.TrimSuffix(name, ">")))
			continue
		}
		var ph wording
		for _, w := range strings.Fields(part) {
			t := term{text: w}
			switch {
			case strings.HasPrefix(w, "%"):
				t.least = 2
				if n, err := strconv.ParseFloat(w[1:], 64); err == nil {
					t.least = n
				}
			case strings.HasSuffix(w, "*"):
				t.text, t.prefix = w[:len(w)-1], true
				b.beginnings = append(b.beginnings, t.text)
			default:
				b.know(w)
			}
			ph = append(ph, t)
		}
		must(len(ph) > 0, list)
		key := span.Choose(ph[0].least > 0 || ph[0].prefix, anyBeginning, ph[0].text)
		p[key], b.first[key] = append(p[key], ph), true
	}
	return p
}

// levelNames are the levels as signs.txt has them.
var levelNames = map[string]Level{"watch": Watch, "today": VetToday, "now": VetNow}

var elementEnd = regexp.MustCompile(` [+>] `)

// sign reads "now: belly + hard > after - unless", or "today now: ..." where a
// frail dog is sooner for a vet.
func (b *alarmBook) sign(line string, number int) {
	line, unless, _ := strings.Cut(line, " - ")
	head, line, _ := strings.Cut(line, ":")
	r := signRule{line: number}
	head, r.fasting = strings.CutPrefix(head, "fasting ")
	for word := range strings.FieldsSeq(head) {
		level, ok := levelNames[word]
		must(ok, word)
		if r.level == Calm {
			r.level = level
		}
		r.frail = max(r.frail, level)
	}
	if unless != "" {
		r.unless = b.wordings(unless)
	}
	parted := elementEnd.FindAllString(line, -1)
	for i, part := range elementEnd.Split(line, -1) {
		r.elements = append(r.elements, element{b.wordings(part), i > 0 && parted[i-1] == " > "})
	}
	b.begins.add(r.elements[0].words, len(b.signs))
	b.signs = append(b.signs, r)
}

// danger reads "drug painkiller | ibuprofen | ibuprofen, nurofen - unless".
func (b *alarmBook) danger(line string) {
	line, unless, _ := strings.Cut(line, " - ")
	head, rest, ok := strings.Cut(line, "|")
	name, list, ok2 := strings.Cut(rest, "|")
	fields := strings.Fields(head)
	must(ok && ok2 && len(fields) == 2 && slices.Contains([]string{kindPoison, kindFood, kindDrug, kindThing, kindOwn}, fields[0]), line)
	d := dangerRule{Danger: Danger{fields[1], strings.TrimSpace(name)}, kind: fields[0]}
	if d.words = b.wordings(list); unless != "" {
		d.unless = b.wordings(unless)
	}
	b.named.add(d.words, len(b.dangers))
	b.dangers = append(b.dangers, d)
}

// DangerIn returns what of the lists the words of a food or thing name, nil
// for none; nil does not say that it is safe.
func DangerIn(words string) *Danger {
	h, _ := hear(words, nil)
	for _, e := range h.things() {
		if e.kind == kindPoison || e.kind == kindDrug {
			return &e.Danger
		}
	}
	return nil
}

// know takes a word of the lists for one that a slip may mean.
func (b *alarmBook) know(w string) {
	if b.known[w] {
		return
	}
	b.known[w] = true
	if len(w) >= span.FewestLetters {
		b.long = append(b.long, w)
	}
}

// spell returns the word of the lists that an unknown word is but for one
// slip, else the word. A word of the language or a food is none.
func (b *alarmBook) spell(w string) string {
	if b.known[w] || b.has("spelt", w) || len(w) < span.FewestLetters {
		return w
	}
	if language.Vocabulary()[w] || nutrition.KnownWord(w) {
		return w
	}
	if n := len(w) - 1; w[n] == 's' && b.known[w[:n]] {
		return w
	}
	if slices.ContainsFunc(b.beginnings, func(begin string) bool { return strings.HasPrefix(w, begin) }) {
		return w
	}
	for _, known := range b.long {
		if known[0] == w[0] && nutrition.OneError(w, known) {
			return known
		}
	}
	return w
}
