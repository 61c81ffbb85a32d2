package read

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bowlwright/nutrition"
)

//go:embed language/alarm.txt language/dangers.txt language/medicines.txt language/signs.txt
var alarmFiles embed.FS

// alarmBook is what the word lists hold.
type alarmBook struct {
	signs   []signRule
	begins  map[string][]int // the signs whose first element may begin with a word
	dangers []dangerRule
	classes map[string]wordings

	// Phrases and words by which the rest is read; see the files.
	eaten, taken, eats, given, stolen, raided, gone wordings
	asking, modal, longAgo                          wordings
	weak, harmless, meant, kitchen, plan            wordings
	seeming, cry, other, alike                      wordings
	both, every, stranger, strangerDid              wordings
	people, peopleDown, dosing, dosingNot           wordings
	peopleAte, peopleTook, peopleHazard, peopleDrug wordings
	peopleIll, peopleFrom, bites, goingOn           wordings
	cleared, well, more                             wordings
	before, calling, sort                           map[string]bool
	settled, unsettled, corrects, plainFood, twice  wordings
	opening, deny, denial, supposed, passing, skip  map[string]bool
	spelt                                           map[string]bool // words that are none of ours, and no slips either
	known                                           map[string]bool
	dialect                                         map[string]string // a word by the one that it is taken for
	beginnings                                      []string          // of words that are known by them
	byLength                                        [24][]string
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

// alarms returns the word lists. A malformed list is a defect of the program
// and stops it at once.
var alarms = sync.OnceValue(func() *alarmBook {
	b := &alarmBook{classes: map[string]wordings{}, known: map[string]bool{}}
	for _, file := range []string{"alarm.txt", "signs.txt", "dangers.txt", "medicines.txt"} {
		text, err := alarmFiles.ReadFile("language/" + file)
		if err != nil {
			panic(err)
		}
		if err := b.read(file, string(text)); err != nil {
			panic(err)
		}
	}
	b.begins = map[string][]int{}
	for i := range b.signs {
		for word := range b.signs[i].elements[0].words {
			b.begins[word] = append(b.begins[word], i)
		}
	}
	b.name()
	for _, w := range nutrition.RefusedWords() {
		b.know(w)
	}
	return b
})

// read reads one file; the notation is explained at the top of alarm.txt.
func (b *alarmBook) read(file, text string) error {
	for i, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		var err error
		if rest, ok := strings.CutPrefix(line, "define "); ok {
			err = b.define(rest)
		} else if file == "signs.txt" {
			err = b.sign(line, i+1)
		} else {
			err = b.danger(line)
		}
		if err != nil {
			return fmt.Errorf("read: %s:%d: %w", file, i+1, err)
		}
	}
	return nil
}

func (b *alarmBook) define(line string) error {
	name, list, ok := strings.Cut(line, "=")
	if !ok {
		return fmt.Errorf("no =")
	}
	p, err := b.wordings(list)
	name = strings.TrimSpace(name)
	if b.classes[name] == nil {
		b.classes[name] = p
		return err
	}
	for key, all := range p { // a list goes on
		b.classes[name][key] = append(b.classes[name][key], all...)
	}
	return err
}

// wordings reads "belly, big belly, <other>".
func (b *alarmBook) wordings(list string) (wordings, error) {
	p := wordings{}
	for _, part := range strings.Split(list, ",") {
		part = strings.TrimSpace(part)
		if name, ok := strings.CutPrefix(part, "<"); ok {
			class := b.classes[strings.TrimSuffix(name, ">")]
			if class == nil {
				return nil, fmt.Errorf("no class %s", part)
			}
			for key, all := range class {
				p[key] = append(p[key], all...)
			}
			continue
		}
		var ph wording
		for _, w := range strings.Fields(part) {
			t := term{text: w}
			switch {
			case strings.HasPrefix(w, "%"):
				t.least = 2
				if n, err := strconv.Atoi(w[1:]); err == nil {
					t.least = float64(n)
				}
			case strings.HasSuffix(w, "*"):
				t.text, t.prefix = w[:len(w)-1], true
				b.beginnings = append(b.beginnings, t.text)
			default:
				b.know(w)
			}
			ph = append(ph, t)
		}
		if len(ph) == 0 {
			return nil, fmt.Errorf("an empty wording")
		}
		key := ph[0].text
		if ph[0].least > 0 || ph[0].prefix {
			key = anyBeginning
		}
		p[key] = append(p[key], ph)
	}
	return p, nil
}

// sign reads "now belly + hard > after - unless", or "today now ..." where a
// frail dog is sooner for a vet.
func (b *alarmBook) sign(line string, number int) error {
	line, unless, _ := strings.Cut(line, " - ")
	r := signRule{line: number}
	line, r.fasting = strings.CutPrefix(line, "fasting ")
	levels := 0
	for {
		word, rest, _ := strings.Cut(line, " ")
		level := slices.Index([]string{"", "watch", "today", "now"}, strings.TrimSuffix(word, ":"))
		if level <= 0 {
			break
		}
		if levels == 0 {
			r.level = Level(level)
		}
		r.frail, levels, line = max(r.level, Level(level)), levels+1, rest
		if strings.HasSuffix(word, ":") {
			break
		}
	}
	if levels == 0 || levels > 2 {
		return fmt.Errorf("no level")
	}
	var err error
	if unless != "" {
		if r.unless, err = b.wordings(unless); err != nil {
			return err
		}
	}
	after := false
	for line != "" {
		at := strings.IndexAny(line, "+>")
		for at >= 0 && line[at] == '>' && strings.LastIndexByte(line[:at], '<') > strings.LastIndexByte(line[:at], '>') {
			next := strings.IndexAny(line[at+1:], "+>") // the end of <class>
			if next < 0 {
				at = -1
			} else {
				at += 1 + next
			}
		}
		part, op := line, byte(0)
		if at >= 0 {
			part, op, line = line[:at], line[at], line[at+1:]
		} else {
			line = ""
		}
		p, err := b.wordings(part)
		if err != nil {
			return err
		}
		r.elements = append(r.elements, element{p, after})
		after = op == '>'
	}
	b.signs = append(b.signs, r)
	return nil
}

// danger reads "drug painkiller | ibuprofen | ibuprofen, nurofen - unless".
func (b *alarmBook) danger(line string) error {
	line, unless, _ := strings.Cut(line, " - ")
	head, rest, ok := strings.Cut(line, "|")
	name, list, ok2 := strings.Cut(rest, "|")
	fields := strings.Fields(head)
	if !ok || !ok2 || len(fields) != 2 {
		return fmt.Errorf("not \"kind key | name | words\"")
	}
	d := dangerRule{Danger: Danger{fields[1], strings.TrimSpace(name)}, kind: fields[0]}
	if !slices.Contains([]string{kindPoison, kindFood, kindDrug, kindThing, kindOwn}, d.kind) {
		return fmt.Errorf("no kind %s", d.kind)
	}
	var err error
	if d.words, err = b.wordings(list); err == nil && unless != "" {
		d.unless, err = b.wordings(unless)
	}
	b.dangers = append(b.dangers, d)
	return err
}

// name brings the defined lists to the fields that are gone by.
func (b *alarmBook) name() {
	for name, to := range map[string]*wordings{"eaten": &b.eaten, "taken": &b.taken, "eats": &b.eats, "given": &b.given, "stolen": &b.stolen, "gone": &b.gone, "raided": &b.raided,
		"asking": &b.asking, "modal": &b.modal, "long-ago": &b.longAgo, "weak": &b.weak, "harmless": &b.harmless, "meant": &b.meant, "kitchen": &b.kitchen, "plan": &b.plan, "seeming": &b.seeming, "cry": &b.cry, "other": &b.other, "alike": &b.alike,
		"both": &b.both, "every": &b.every, "stranger": &b.stranger, "stranger-did": &b.strangerDid, "people": &b.people, "people-down": &b.peopleDown, "people-ate": &b.peopleAte, "people-took": &b.peopleTook, "people-hazard": &b.peopleHazard,
		"people-drug": &b.peopleDrug, "people-ill": &b.peopleIll, "people-from": &b.peopleFrom, "bites": &b.bites, "cleared": &b.cleared, "well": &b.well, "more": &b.more, "going-on": &b.goingOn, "dosing": &b.dosing, "dosing-not": &b.dosingNot,
		"settled": &b.settled, "unsettled": &b.unsettled, "corrects": &b.corrects, "plain-food": &b.plainFood, "twice": &b.twice} {
		*to = b.classes[name]
	}
	b.dialect = map[string]string{}
	for w, pair := range b.classes["dialect"] {
		b.dialect[w] = pair[0][1].text
	}
	for name, to := range map[string]*map[string]bool{"opening": &b.opening, "deny": &b.deny, "denial": &b.denial, "supposed": &b.supposed, "passing": &b.passing,
		"skip": &b.skip, "spelt": &b.spelt, "before": &b.before, "calling": &b.calling, "sort": &b.sort} {
		*to = map[string]bool{}
		for w := range b.classes[name] {
			(*to)[w] = true
		}
	}
}

// DangerIn returns what of the lists the words of a food or thing name, nil
// for none; nil does not say that it is safe.
func DangerIn(words string) *Danger {
	h := hearing{book: alarms()}
	m := newMatcher(words, Names{})
	h.take(&m)
	for _, e := range h.things() {
		if e.kind == kindPoison || e.kind == kindDrug {
			return &e.Danger
		}
	}
	return nil
}
