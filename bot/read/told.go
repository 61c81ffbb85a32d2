package read

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"bowlwright/planner"
)

// ToldOfDog reads what a text tells of one dog in any words, and leaves the rest
// of it: its questions, and what says nothing that is kept of a dog.
func ToldOfDog(text string, u planner.Units, now time.Time) planner.Dog {
	text, _ = firstRunes(text, mostRunes)
	text = strings.ReplaceAll(text, "’", "'")
	name := toldName(text)
	for _, s := range sayings["dog"] {
		text = s.is.ReplaceAllString(text, s.as)
	}
	text = ToldOnly(text)
	d, problems := DogLine("x, "+text, u, now)
	if d.Condition == 0 {
		d.Condition = ScoreInWords(text)
	}
	if d.Sex == "" {
		d.Sex = SexSaid(text)
	}
	d.Healthy = d.Health == "" && isWell(text) && SaysWell(text)
	for _, p := range problems {
		if p.Code == BadWeight { // "420 kg" is asked again
			d.Weight = 0
		}
	}
	if d.Name = name; name == "" {
		d.Name = firstNameTold(text, u, now)
	}
	return d
}

// Title is a recipe's name without the words that lead to it: "call it Stew".
func Title(s string) string { return without("title", s) }

// without leaves out of a text what patterns of said.txt name.
func without(name, s string) string {
	for _, lead := range sayings[name] {
		s = lead.is.ReplaceAllString(s, lead.as)
	}
	return s
}

// TellsOfDog reports that a text speaks of a dog, or says nothing that a line
// about one could not say: "make it for 12 kg" does.
func TellsOfDog(text string, u planner.Units, now time.Time) bool {
	if SpeaksOfDog(text) || NamesDog(text) {
		return true
	}
	l := dogLine{matcher: matcher{text: text, words: splitWords(text)}}
	for i := range l.words {
		if l.breedAt(i) > 0 {
			return true
		}
	}
	_, problems := DogLine("x, "+text, u, now)
	return len(problems) == 0
}

// NamesDog reports that a text says what a dog is called: "her name is".
func NamesDog(text string) bool { return toldName(text) != "" }

// toldName is the name that a text gives a dog: "her name is", "called".
func toldName(text string) string {
	for _, s := range sayings["dog-name"] {
		m := s.is.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		if name, ok := DogName(m[1]); ok && !fillers[strings.ToLower(name)] && !SaysDog(name) && excludesNothing(name) && !isBreed(name) {
			return strings.ToUpper(name[:1]) + name[1:]
		}
	}
	return ""
}

// isBreed reports that a word is a breed: "he's Labrador".
func isBreed(name string) bool {
	return (&dogLine{matcher: matcher{text: name, words: splitWords(name)}}).breedAt(0) > 0
}

// excludesNothing reports that a word is no food: "i have chicken".
func excludesNothing(name string) bool { return !excludesSome(strings.ToLower(name)) }

// firstNameTold is the capital word with which a text begins that tells of a
// dog: "Luna, 4 years, spayed".
func firstNameTold(text string, u planner.Units, now time.Time) string {
	d, _ := DogLine(text, u, now)
	m := matcher{text: d.Name, words: splitWords(d.Name)}
	if len(m.words) == 0 || len(m.words) > 2 || !(&dogLine{matcher: m}).isCapital(0) || fillers[m.at(0)] || SaysDog(d.Name) || notInName[m.at(0)] || m.gotAt() > 0 || d.Weight == 0 && d.Born.IsZero() {
		return ""
	}
	return d.Name
}

// SaysWell reports that a text says a dog has no illness: "no", "perfectly
// healthy". What makes an exception ("no, but"), or names an illness all the
// same, says more than that.
func SaysWell(text string) bool {
	text = strings.ReplaceAll(text, "’", "'")
	text = jabs.ReplaceAllString(text, " ")
	well := false
	for _, s := range append(sayings["well"], sayings["well-answer"]...) {
		if at := s.is.FindStringIndex(text); at != nil {
			well, text = true, text[:at[0]]+" "+text[at[1]:]
		}
	}
	return well && !wellBut(text) && len(planner.Illness(text)) == 0 && !namesIll(text)
}

// namesIll reports that one of the words for a note on health is there.
func namesIll(text string) bool {
	l := dogLine{matcher: matcher{text: text, words: splitWords(text)}}
	for i := range l.words {
		if l.isIll(i) {
			return true
		}
	}
	return false
}

// ScoreInWords is the body condition that words say, 0 for none.
func ScoreInWords(text string) int {
	for _, s := range sayings["score"] {
		if s.is.MatchString(text) {
			n, _ := strconv.Atoi(s.as)
			return n
		}
	}
	return 0
}

// aDogsWeight is a name and, a few words on, its weight: "Tess 24kg", "Moss hes
// a 4yr old collie 21 kilos".
var aDogsWeight = regexp.MustCompile(`\b(\p{Lu}\p{Ll}+)\b[^\p{Lu}\n.!?]{0,40}?\b\d+(?:[.,]\d+)? ?(?:kgs?|kilos?|lbs?|pounds?)\b`)

// DogsTold reads several dogs of which a text tells, each with its name and its
// weight: none where it tells of fewer than two.
func DogsTold(text string, u planner.Units, now time.Time) (dogs []planner.Dog) {
	at := aDogsWeight.FindAllStringSubmatchIndex(text, -1)
	if len(at) < 2 {
		return nil
	}
	foods := true
	for i, m := range at {
		end := len(text)
		if i+1 < len(at) {
			end = at[i+1][0]
		}
		name, ok := DogName(text[m[2]:m[3]])
		if !ok || fillers[strings.ToLower(name)] || SaysDog(name) {
			return nil
		}
		foods = foods && !excludesNothing(name)
		told := ToldOfDog(text[m[3]:end], u, now)
		told.Name = name
		dogs = append(dogs, told)
	}
	if foods {
		return nil // "Beef 2 kg, Rice 1 kg"
	}
	return dogs
}
