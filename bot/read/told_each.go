package read

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// DogsTold reads the dogs of which a text tells, each with its name and what is said
// of it, in one place or in several: none where it names fewer than two.
func DogsTold(text string, n span.Names, u planner.Units, now time.Time) (dogs []planner.Dog) {
	names := NewNames(text, n, false)
	if len(names) < 2 || !slices.ContainsFunc(names, func(n rank.Named) bool { return !Excludable(n.Name) }) {
		return nil // "Beef 2 kg, Rice 1 kg"
	}
	var list []span.Named
	for _, name := range names {
		list = append(list, span.Named{ID: span.Capital(name.Name), Name: name.Name})
	}
	for _, told := range OfEach(text, list, u, now) {
		if numbers := language.Pattern("some-number").FindAllString(told.behind, -1); len(numbers) == 1 && told.Weight == 0 && told.Born.IsZero() && !language.Says("some-unit", told.Text) { // "Bob 8", but "Tuesday, whippet 11, shes 12.5" has an age
			told.Weight, _ = span.BodyWeight(numbers[0], u)
		}
		dogs = append(dogs, told.Dog)
	}
	if slices.ContainsFunc(dogs, func(d planner.Dog) bool { return d.Weight > 0 }) {
		dogs = slices.DeleteFunc(dogs, func(d planner.Dog) bool { // no name: "works on farm"
			return d.Weight == 0 && d.Born.IsZero() && d.Sex == "" && slices.ContainsFunc(names, func(n rank.Named) bool { return span.Capital(n.Name) == d.Name && n.P < SurelyName })
		})
	}
	return dogs
}

// Told is what a text tells of one of several dogs, and in which words.
type Told struct {
	planner.Dog
	Text   string
	behind string // what of it stands behind the name
}

// OfEach parts a text by the dogs of a list that it names, in one place or in several, and
// reads what it tells of each, whose id stands for its name. What it tells of both or of
// all is told of each of those that it names, or where it names one or none, of the list's.
func OfEach(text string, list []span.Named, u planner.Units, now time.Time) (dogs []Told) {
	text, shared := apartShared(text, list)
	all := span.Mentions(text, list)
	of, behind := map[string]string{}, map[string]string{}
	for i, from := 0, 0; i < len(all); i++ {
		m, to := all[i], len(text)
		if i == 0 {
			from = strings.LastIndexAny(text[:m.From], ".!?:\n") + 1
			if lead := text[from:m.From]; language.Says("several-lead", lead) { // "my boys Max and Milo"
				shared, from = lead+", "+shared, m.From
			}
		}
		if i+1 < len(all) {
			to = beginsAnother(text, m.To, all[i+1].From)
		}
		of[m.ID] += text[from:m.From] + " it " + text[m.To:to] + ". "
		behind[m.ID] += text[m.To:to] + ". "
		from = to
	}
	unit := language.Find("told-unit", text)
	if unit == "" && !language.Says("of-weight", text) && language.Says("told-with-age", text+shared) {
		unit = " years"
	}
	for _, named := range list {
		if of[named.ID] == "" && (shared == "" || len(of) > 1 || len(list) != 2 && strings.Contains(shared, "both")) {
			continue
		}
		if n := language.Find("told-bare", behind[named.ID]); n != "" && unit != "" && len(list) > 1 { // "figa is 4 years, tofik 6"
			of[named.ID] += "it is " + n + unit + ". "
		}
		told := Told{ToldOfDog(of[named.ID]+shared, u, now), of[named.ID] + shared, behind[named.ID]}
		told.Healthy = slices.ContainsFunc(Clauses(told.Text), SaysHealthy) && told.Health == ""
		if told.Name = named.ID; !language.Says("some-unit", told.Text) {
			told.Weight = 0
		}
		dogs = append(dogs, told)
	}
	return dogs
}

// apartShared parts a text from its clauses that tell of both dogs or of all: "both are
// spayed" and what follows it, up to one that names a dog.
func apartShared(text string, list []span.Named) (rest, shared string) {
	from, of := 0, false
	ends := append(language.Pattern("next-dog").FindAllStringIndex(text, -1), []int{len(text), len(text)})
	for _, end := range ends {
		clause := text[from:end[1]]
		from = end[1]
		if names := len(span.Mentions(clause, list)) > 0; names || language.Says("of-both", clause) {
			of = !names
		}
		if of {
			shared += language.Without("of-both", clause)
		} else {
			rest += clause
		}
	}
	return rest, language.Without("two-figures", shared)
}

// beginsAnother is where what is told of the next dog begins: behind the last mark or
// "and" between the names, else at its name.
func beginsAnother(text string, from, name int) int {
	if all := language.Pattern("next-dog").FindAllStringIndex(text[from:name], -1); all != nil {
		return from + all[len(all)-1][1]
	}
	return name
}
