package read

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// ToldOfDog reads what a text tells of one dog in any words, and leaves the rest
// of it: its questions, and what says nothing that is kept of a dog.
func ToldOfDog(text string, u planner.Units, now time.Time) planner.Dog {
	text, _ = span.FirstRunes(text, span.MostRunes)
	text = strings.ReplaceAll(text, "’", "'")
	name := toldName(text)
	text = ToldOnly(language.Without("dog-age", language.Without("dog", language.Without("denied", text))))
	d, problems := DogLine("x, "+text, u, now)
	if !language.Says("of-weight", text) {
		d.Weight = 0 // a bare number beside other facts may be an age
	}
	if d.Condition == 0 && language.Says("of-condition", text) {
		d.Condition, _ = ScoreSaid(text)
	}
	d.Condition = cmp.Or(d.Condition, ScoreInWords(text))
	if d.Sex == "" && !language.Says("names-vet", text) { // who may be the "he"
		d.Sex = SexSaid(text)
	}
	for _, p := range problems {
		if p.Code == span.BadWeight { // "420 kg" is asked again
			d.Weight = 0
		}
	}
	if d.Name = name; name == "" {
		d.Name = firstNameTold(text, u, now)
	}
	return d
}

// TellsOfDog reports that a text speaks of a dog, or says nothing that a line
// about one could not say: "make it for 12 kg" does.
func TellsOfDog(text string, u planner.Units, now time.Time) bool {
	if language.Says("of-dog", text) || NamesDog(text) {
		return true
	}
	m := matcher{text: text, words: span.SplitWords(text)}
	if m.some(func(at int) bool { return m.breedAt(at) > 0 }) {
		return true
	}
	_, problems := DogLine("x, "+text, u, now)
	return len(problems) == 0
}

// NamesDog reports that a text says what a dog is called: "her name is".
func NamesDog(text string) bool { return toldName(text) != "" }

// toldName is the name that a text gives a dog: "her name is", "called".
func toldName(text string) string {
	text = language.Without("food-called", text)
	for _, s := range language.Sayings["dog-name"] {
		m := s.Is().FindStringSubmatch(text)
		if m == nil {
			continue
		}
		if name, ok := DogName(m[1]); ok && !language.In("fillers", strings.ToLower(name)) && !SaysDog(name) && (s.As == "sure" || !Excludable(name)) && !IsBreed(name) && !tellsMore(name) {
			return strings.ToUpper(name[:1]) + name[1:]
		}
	}
	return ""
}

// tellsMore reports that a word tells something else of a dog: "she's Spayed".
func tellsMore(name string) bool {
	_, problems := DogLine("x, "+name, planner.Units{}, time.Time{})
	return len(problems) == 0
}

// IsBreed reports that a text is the name of a breed: "he's Labrador".
func IsBreed(name string) bool {
	m := matcher{text: name, words: span.SplitWords(name)}
	return len(m.words) > 0 && m.breedAt(0) == len(m.words)
}

// StoresCopper reports that a text names a breed that is inclined to store copper.
func StoresCopper(breed string) bool {
	m := matcher{text: breed, words: span.SplitWords(breed)}
	return m.longestOf(0, language.Phrases("copper-breeds")) > 0
}

// Excludable reports that words name food that may be left out: "i have chicken".
func Excludable(words string) bool { return excludesSome(strings.ToLower(words)) }

// firstNameTold is the capital word with which a text begins that tells of a
// dog: "Luna, 4 years, spayed"; behind its kind a small letter will do, "my old
// terrier tyke, 8 kg".
func firstNameTold(text string, u planner.Units, now time.Time) string {
	d, _ := DogLine(text, u, now)
	m := matcher{text: d.Name, words: span.SplitWords(d.Name)}
	if len(m.words) == 1 && !language.In("fillers", m.at(0)) && !language.In("not-in-a-name", m.at(0)) && besideKind(text, d.Name) {
		return strings.ToUpper(d.Name[:1]) + d.Name[1:]
	}
	if len(m.words) == 0 || len(m.words) > 2 || !(&dogLine{matcher: m}).isCapital(0) || language.In("fillers", m.at(0)) || SaysDog(d.Name) || language.In("not-in-a-name", m.at(0)) || m.gotAt() > 0 || d.Weight == 0 && d.Born.IsZero() {
		return ""
	}
	return d.Name
}

// WeightPutRight reads the weight that is said to be the right one in a text of
// 120 characters at most (our own choice): "4 kg is wrong, she is 19.2".
func WeightPutRight(s string, u planner.Units) (nutrition.Kilograms, bool) {
	if len(s) > 120 || strings.Contains(s, "?") || !language.Says("of-weight", s) {
		return 0, false
	}
	kg, err := span.BodyWeight(language.Find("right-weight", span.Clean(s)), u)
	return kg, err == nil
}

// RightName is the name that a text gives a dog in place of a wrong one: "called
// Nell, not Bitch".
func RightName(s string) string {
	if !language.Says("wrong-name", s) || language.Says("of-weight", s) {
		return ""
	}
	return toldName(s)
}

// besideKind reports that a name stands behind its kind of dog, or before "is" and
// that: "my old terrier tyke", "nell is a collie".
func besideKind(text, name string) bool {
	m := matcher{text: text, words: span.SplitWords(text)}
	for i, w := range m.words {
		if w.Text != span.Fold(name) {
			continue
		}
		kind := i + 2
		for language.In("articles", m.at(kind)) || language.In("owners", m.at(kind)) || m.at(kind) == "other" || m.at(kind) == "second" {
			kind++
		}
		return i > 1 && dogNouns[m.at(i-1)] && !Ranker().Knows(w.Text) || i == 0 && m.at(1) == "is" && (dogNouns[m.at(kind)] || m.breedAt(kind) > 0)
	}
	return false
}

// FoodUpsets reports that a food is said to make a dog's stools soft, and no
// illness is named.
func FoodUpsets(s string) bool {
	return language.Says("upsets", s) && len(illness.In(language.Without("denied", s))) == 0
}

// SaysWell reports that a text says a dog has no illness: "no", "perfectly
// healthy". What makes an exception ("no, but"), or names an illness all the
// same, says more than that.
func SaysWell(text string) bool {
	text = strings.ReplaceAll(text, "’", "'")
	text = language.Pattern("jabs").ReplaceAllString(text, " ")
	well := false
	for _, s := range append(language.Sayings["well"], language.Sayings["well-answer"]...) {
		if at := s.Is().FindStringIndex(text); at != nil {
			well, text = true, text[:at[0]]+" "+text[at[1]:]
		}
	}
	return well && !language.Says("but", text) && len(illness.In(text)) == 0 && !namesIll(text)
}

// SaysHealthy reports that a few words say of a dog that it is healthy, and nothing else.
func SaysHealthy(s string) bool {
	s = strings.Replace(s, " has no ", " no ", 1)
	return language.Says("well", s) && SaysWell(s) && !IsQuestion(s) && !strings.ContainsAny(s, "0123456789\n") && len(strings.Fields(s)) <= mostHealthy
}

// mostHealthy is how many words that takes (our own choice).
const mostHealthy = 8

// namesIll reports that one of the words for a note on health is there.
func namesIll(text string) bool {
	l := dogLine{matcher: matcher{text: text, words: span.SplitWords(text)}}
	return l.some(l.isIll)
}

// ScoreSaid is the body condition that an answer to the question for it gives last as
// a figure, 0 for none: "prob a 6"; with another that it may be as well: "5, or 4?".
func ScoreSaid(text string) (score, or int) {
	for _, part := range slices.Backward(sentenceEnd.FindAllString(text, -1)) {
		m := language.Pattern("score-or").FindStringSubmatch(part)
		if m == nil {
			m = []string{"", language.Find("score-said", strings.Trim(part, " .!?")), ""}
		}
		n, err := span.Number(m[1])
		second, _ := span.Number(m[2])
		if err == nil {
			return int(n), int(second)
		}
	}
	return 0, 0
}

// ScoreInWords is the body condition that words say, 0 for none.
func ScoreInWords(text string) int {
	text = language.Without("score-denied", text)
	for _, s := range language.Sayings["score"] {
		if s.Is().MatchString(text) {
			n, _ := strconv.Atoi(s.As)
			return n
		}
	}
	return 0
}

// DogsTold reads several dogs of which a text tells, each with its name and its
// weight: none where it tells of fewer than two.
func DogsTold(text string, u planner.Units, now time.Time) (dogs []planner.Dog) {
	at := language.Pattern("a-dogs-weight").FindAllStringSubmatchIndex(text, -1)
	if len(at) < 2 && language.Says("dogs-spoken-of", text) {
		at = language.Pattern("said-dogs-weight").FindAllStringSubmatchIndex(text, -1)
	}
	small := len(at) < 2
	if small {
		at = language.Pattern("small-dogs-weight").FindAllStringSubmatchIndex(text, -1)
	}
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
		if !ok || language.In("fillers", strings.ToLower(name)) || SaysDog(name) {
			return nil
		}
		foods = foods && Excludable(name)
		told := ToldOfDog("it"+text[m[3]:end]+language.Pattern("of-both").FindString(text[end:]), u, now) // "is a pointer" alone would be a question
		if small && told.Sex == "" && told.Born.IsZero() {
			return nil // "mince 2 kg and rice 1 kg"
		}
		told.Name = strings.ToUpper(name[:1]) + name[1:]
		dogs = append(dogs, told)
	}
	if foods {
		return nil // "Beef 2 kg, Rice 1 kg"
	}
	return dogs
}

// DogNamesTold reads the names of several dogs of which nothing else is told: "I
// have two dogs, Otto and Tilly".
func DogNamesTold(text string) (names []string) {
	for _, s := range language.Sayings["dog-names"] {
		m := s.Is().FindStringSubmatch(text)
		if m == nil {
			continue
		}
		kind := s.As == "kind" // "got 2 huskies nala and koda"
		if kind {
			if !IsBreed(m[1]) && !IsBreed(strings.TrimSuffix(m[1], "s")) && !IsBreed(strings.TrimSuffix(m[1], "ies")+"y") {
				continue
			}
			m = m[1:]
		}
		for _, n := range m[1:] {
			name, ok := DogName(n)
			strange := n != strings.ToLower(n) || !Ranker().Knows(n) || kind || language.Says("says-names", text)
			if n == "" {
				continue
			}
			if !ok || !strange || SaysDog(name) || language.In("fillers", strings.ToLower(name)) || Excludable(name) {
				return nil
			}
			names = append(names, strings.ToUpper(n[:1])+n[1:])
		}
		return names
	}
	return nil
}
