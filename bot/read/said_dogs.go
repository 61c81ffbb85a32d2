package read

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// SaysAll reports that every dog is all that a text names: "both".
func SaysAll(s string) bool { return s != "" && allDogs.FindString(s) == s }

// DogsNamed finds where a text names dogs in a row, "Juniper, Bracken and
// Pip", or all of several; dogs are their ids in the order named, none where no
// dog is named.
func DogsNamed(s string, n span.Names) (from, to int, dogs []string) {
	all := span.AllNamed(s)
	if len(n.Dogs) > 1 && len(all) > 0 && !(len(n.Dogs) > 2 && HasName(s[all[0][0]:all[0][1]], "both")) { // which two is not said
		if _, _, row := rowNamed(s[:all[0][0]], n); len(row) < 2 { // "Fado and Bica both" names them
			return all[0][0], all[0][1], allOf(n.Dogs)
		}
	}
	return rowNamed(s, n)
}

// rowNamed finds the names of dogs in a row.
func rowNamed(s string, n span.Names) (from, to int, dogs []string) {
	for _, m := range span.Mentions(s, n.Dogs) {
		if again := len(dogs) > 1 && slices.Contains(dogs, m.ID); len(dogs) > 0 && (again || !span.JoinsNames(s[to:m.From])) {
			if len(dogs) > 1 {
				return from, to, dogs
			}
			dogs = nil
		}
		if len(dogs) == 0 {
			from = m.From
		}
		dogs = span.AddNew(dogs, m.ID)
		to = m.To
	}
	return from, to, dogs
}

// DogsOf are the dogs that a text names, also the one that is typed with an s and no
// apostrophe: "Saffis kelp".
func DogsOf(s string, n span.Names) []string {
	_, _, dogs := DogsNamed(s, n)
	if id, _ := dogIn(s, n); len(dogs) == 0 && id != "" {
		return []string{id}
	}
	return dogs
}

// withoutName takes the first name of a dog out of a text.
func withoutName(s string, names span.Names) (rest, dog string) {
	all := span.Mentions(s, names.Dogs)
	if len(all) == 0 {
		return s, ""
	}
	return s[:all[0].From] + " " + s[all[0].To:], all[0].ID
}

// DogFacts reads what is told of a dog of the household: "Juniper is spayed",
// "she is allergic to chicken", "no beef for Pip". dog is empty where the one
// under discussion is meant. It reports false for a text that tells something
// else besides, or a weight.
func DogFacts(s string, n span.Names, u planner.Units, now time.Time) (dog string, facts planner.Dog, ok bool) {
	for _, m := range slices.Backward(span.Mentions(s, n.Recipes)) { // the dog in "Pip's dinner" is not told of, and the heart in Turkey and heart is no illness
		s = s[:m.From] + s[m.To:]
	}
	rest, dog, ok := toldOf(language.Without("dog-age", sheIs(s, n)), n)
	if first, _ := span.CutFirst(rest); !ok || language.In("of-lines", first) {
		return "", facts, false
	}
	rest = language.Without("age-half", language.Pattern("fact-lead").ReplaceAllString(rest, ""))
	facts, problems := DogLine("x, "+strings.TrimSuffix(rest, " for"), u, now)
	told := !facts.Born.IsZero() || facts.Sex != "" || facts.Neutered != "" || facts.Stage != "" || facts.Activity != "" || len(facts.Excludes) > 0 || facts.Health != "" || facts.Condition > 0 || facts.StoresCopper
	return dog, facts, told && facts.Name == "x" && facts.Weight == 0 && len(problems) == 0
}

// sheIs is a text in which what is told of a dog is put with "is": "shes fat", "odins fat".
func sheIs(s string, n span.Names) string {
	first, rest, _ := strings.Cut(s, " ")
	if i := slices.IndexFunc(n.Dogs, func(d span.Named) bool { return strings.EqualFold(first, d.Name+"s") }); i >= 0 {
		s = n.Dogs[i].Name + " is " + rest
	}
	return language.Without("she-is", s)
}

// toldOf parts what is told of a dog from the dog, which is empty where the
// one under discussion is meant. It reports false for a text that is about no
// dog, or asks.
func toldOf(s string, n span.Names) (rest, dog string, ok bool) {
	if len(s) > 120 || strings.ContainsAny(s, "?\n") || asks(s) {
		return "", "", false
	}
	low := strings.ToLower(span.Clean(s))
	rest, dog = withoutName(low, n)
	if dog == "" {
		first, after := span.CutFirst(low)
		if language.In("owners", first) {
			first, after = span.CutFirst(after)
			first = strings.TrimSuffix(strings.ReplaceAll(first, "’", "'"), "'s")
			if !dogNouns[first] {
				return "", "", false
			}
			return strings.TrimRight(strings.TrimSpace(after), " .!"), "", true
		}
		word := strings.TrimSuffix(strings.TrimSuffix(strings.ReplaceAll(first, "’", "'"), "'s"), "'")
		if !language.In("dog-pronouns", word) || word == "it" || word == "they" {
			return "", "", false
		}
		rest = after
	}
	return strings.TrimRight(strings.TrimSpace(rest), " .!"), dog, true
}

// BareFacts reads what is told of a dog without its name: "4 years, spayed".
// It reports false for a text that tells something else besides, or a weight.
func BareFacts(s string, u planner.Units, now time.Time) (facts planner.Dog, ok bool) {
	if len(s) > 60 || strings.ContainsAny(s, "?\n/") && !strings.Contains(s, "/9") || asks(s) {
		return facts, false
	}
	facts, problems := DogLine("x, "+strings.TrimRight(span.Clean(s), " .!"), u, now)
	if first, _ := span.CutFirst(strings.ToLower(s)); language.In("dog-pronouns", first) && !language.Says("sex", s) {
		facts.Sex = "" // "he had it" tells no more than whom
	}
	told := !facts.Born.IsZero() || facts.Sex != "" || facts.Neutered != "" || facts.Activity != "" || facts.Condition > 0
	return facts, told && facts.Name == "x" && facts.Weight == 0 && facts.Kcal == 0 && facts.Meals == 0 && facts.Health == "" && len(facts.Excludes) == 0 && len(problems) == 0
}

// FactsWithin reads what a text tells of a dog of the household, in any words and
// in any order, and leaves the rest of it: "change her to low activity, she is 13
// now". A weight is one with its unit. It reports false where nothing is told.
func FactsWithin(s string, n span.Names, u planner.Units, now time.Time) (facts planner.Dog, ok bool) {
	rest := strings.ToLower(sheIs(span.Clean(s), n))
	for _, names := range [][]span.Named{n.Dogs, n.Recipes} {
		for _, m := range slices.Backward(span.Mentions(rest, names)) {
			rest = strings.TrimSuffix(strings.TrimRight(rest[:m.From], " "), " for") + ", dog " + strings.TrimLeft(rest[m.To:], " ")
		}
	}
	facts = ToldOfDog(rest, u, now)
	if facts.Name = ""; !language.Says("weight", rest) {
		facts.Weight = 0
	}
	return facts, TellsFacts(facts, rest)
}

// TellsFacts reports that something but a weight is told of a dog by some words.
func TellsFacts(d planner.Dog, words string) bool {
	return d.Ideal > 0 || d.AdultWeight > 0 || !d.Born.IsZero() || d.Sex != "" && language.Says("sex", words) || d.Neutered != "" || d.Stage != "" || d.Activity != "" ||
		d.Condition > 0 || d.Meals > 0 || len(d.Excludes) > 0 || d.Health != "" || d.StoresCopper
}

// Spelled names the dogs and the days that are meant where a text says all but some, so
// that no reader takes those that are left out for what is told: "everyone had breakfast
// but not Fern" is "Pip and Nala had breakfast".
func Spelled(s string, n span.Names) string {
	s = plainly(s, n)
	if strings.Contains(s, "\n") {
		return s
	}
	if s = language.Without("has-had", language.Without("figure-corrected", language.Without("question-goes-on", s))); !language.Says("excepts", s) {
		return s
	}
	s = othersNamed(language.Without("contrast", s), "all-dogs-said", n.Dogs)
	if m := language.Pattern("ate-but").FindStringSubmatch(s); m != nil && len(span.Mentions(m[2], n.Dogs)) == 0 {
		s = m[1] + "left " + m[2] // "ate all but the liver" tells of no liver
	}
	return othersNamed(language.Without("weekend-days", s), "every-day", weekdays)
}

// plainly writes "n" and "em" in full, gives an order without its politeness, and calls the
// evening's meal dinner: "Pip's tea". A meal says which half of the day its time is of:
// "breakfast at eight".
func plainly(s string, n span.Names) string {
	s = language.Without("hurried", figured(renamed(isMarked(s), n.Dogs)))
	for _, m := range language.Pattern("meal-clock").FindAllStringSubmatch(s, -1) {
		if first, clock, ok := span.Halves(m[2]); ok && m[3] == "" && clock < planner.At(22, 0) {
			if strings.HasPrefix(strings.ToLower(m[1]), "br") {
				clock = first
			}
			s = strings.Replace(s, m[0], span.WithClock(m[0], m[2], clock), 1)
		}
	}
	if s = language.Without("both-meals", s); language.Says("tea-drunk", s) {
		return s
	}
	s = language.Pattern("tea-of").ReplaceAllStringFunc(s, func(whose string) string {
		of := func(d span.Named) bool {
			return strings.EqualFold(language.Find("tea-of", whose), d.Name) || span.Fold(whose) == span.Fold(d.Name)+"s tea"
		}
		if slices.ContainsFunc(n.Dogs, of) {
			return strings.TrimSuffix(whose, "tea") + "dinner"
		}
		return whose
	})
	return language.Without("tea-meal", s)
}

// isMarked writes the sign before the s of a name where a breed, a word for a dog or a last
// number follows: "murphys a beagle", "montys a 4", but "Otis a beagle".
func isMarked(s string) string {
	m := matcher{Lexed: span.WordsOf(s)}
	for i, w := range slices.Backward(m.Tokens) {
		if m.Any(i+1, "a", "an") && language.Says("ends-in-is", w.Text) && (m.breedAt(i+2) > 0 || dogNouns[m.Word(i+2)] || i+3 == len(m.Tokens) && m.IsNumber(i+2)) {
			s = signBefore(s, w.End-1)
		}
	}
	return s
}

// signBefore writes the sign before the s at a place.
func signBefore(s string, at int) string { return s[:at] + "'" + s[at:] }

// renamed orders a dog's name to be changed where a text puts it right by one much like it:
// "its Murphy not Murphys".
func renamed(s string, dogs []span.Named) string {
	m := language.Pattern("name-not").FindStringSubmatch(s)
	if m == nil || nutrition.KnownWord(strings.ToLower(m[1])) || !strings.EqualFold(m[1][:1], m[2][:1]) {
		return s
	}
	is := func(name string) bool {
		return slices.ContainsFunc(dogs, func(d span.Named) bool { return strings.EqualFold(d.Name, name) })
	}
	switch {
	case !is(m[2]) && !is(m[1]), is(m[2]) && is(m[1]):
		return s
	case is(m[1]): // it is called so
		m[2] = m[1]
	}
	return "rename " + m[2] + " to " + m[1]
}

// figured writes as figures the number words of a body condition, "seven out of nine", and
// those of what puts something right: "no, three meals not two".
func figured(s string) string {
	write := func(said string) string {
		return language.Pattern("figure-word").ReplaceAllStringFunc(said, func(word string) string {
			n, err := span.Number(word)
			if err != nil {
				return word
			}
			return span.Plain(n)
		})
	}
	if language.Says("corrects-told", s) {
		return write(s)
	}
	return language.Pattern("score-words").ReplaceAllStringFunc(s, write)
}

// OwnersMarked writes the sign before the s where what is a dog's, or a dog is, is told
// without it: "figas ribs show". The word of a food is none: "beans" of a dog Bean.
func OwnersMarked(s string, dogs []span.Named) string {
	for _, w := range slices.Backward(span.SplitWords(s)) {
		whose := func(d span.Named) bool { return w.Text == strings.ToLower(d.Name)+"s" }
		isName := func(d span.Named) bool { return w.Text == strings.ToLower(d.Name) }
		if slices.ContainsFunc(dogs, whose) && !slices.ContainsFunc(dogs, isName) && !nutrition.KnownWord(w.Text) {
			s = signBefore(s, w.End-1)
		}
	}
	return s
}

// weekdays are the days of the week by their names.
var weekdays = func() (all []span.Named) {
	for _, name := range language.List("weekdays") {
		all = append(all, span.Named{ID: name, Name: name})
	}
	return all
}()

// othersNamed puts for all of some names those that a text does not leave out, and keeps
// what it tells of these: "Pip and Nala ate, Fern left half".
func othersNamed(s, all string, of []span.Named) string {
	for _, m := range span.Mentions(s, of) {
		_, to, out := rowNamed(s[m.From:], span.Names{Dogs: of})
		lead, tail := s[:m.From], s[m.From+to:]
		denied := language.Pattern("denied-tail").FindString(tail)
		cut := language.Pattern("except-lead").FindStringIndex(lead)
		if cut == nil && (denied != "" || language.Says("is-denied", tail)) {
			cut = language.Pattern("clause-lead").FindStringIndex(lead)
		}
		if cut == nil || language.Says("weak-lead", lead) && !language.Says("but-ends", tail) { // "they ate, but Pip was sick"
			continue
		}
		at := slices.DeleteFunc(language.Pattern(all).FindAllStringIndex(lead[:cut[0]], -1), func(m []int) bool {
			return language.Says("not-dogs", lead[m[1]:]) || strings.HasSuffix(strings.ToLower(lead[:m[0]]), "not ")
		})
		rest := namesOf(slices.DeleteFunc(slices.Clone(of), func(x span.Named) bool { return slices.Contains(out, x.ID) }))
		if len(at) == 0 || len(rest) == 0 {
			continue
		}
		apart := at[0][1] < cut[0] || strings.TrimSpace(lead[:at[0][0]]) != "" && language.Says("but-ends", tail) // "fed both but Pip left half"
		if tail = strings.TrimPrefix(tail, denied); denied == "" && apart && !language.Says("row-ends", tail) {
			tail = ", " + s[m.From:m.From+to] + strings.TrimPrefix(tail, " who")
		}
		last := len(rest) - 1
		names := strings.TrimPrefix(strings.Join(rest[:last], ", ")+" and "+rest[last], " and ")
		return lead[:at[0][0]] + names + lead[at[0][1]:cut[0]] + tail
	}
	return s
}

// AllBut parts from what a text says of all things those that it leaves out: "pause
// everything but the oil until Friday". Of supplements in general it leaves all in.
func AllBut(s string) (rest, but string) {
	m := language.Pattern("all-things-but").FindStringSubmatch(s)
	if m == nil || language.Says("keeps-doses", s) {
		return s, ""
	}
	return m[1] + m[3], m[2]
}
