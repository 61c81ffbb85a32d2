package read

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
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
	typed, name := text, toldName(text, span.Names{})
	text = ToldOnly(language.Without("dog-age", language.Without("dog", language.Without("denied", text))))
	d, problems := DogLine("x, "+text, u, now)
	if !language.Says("of-weight", text) {
		d.Weight = 0 // a bare number beside other facts may be an age
	}
	if d.Condition == 0 && language.Says("of-condition", text) {
		d.Condition, _ = ScoreSaid(text)
	}
	d.Condition = cmp.Or(d.Condition, ScoreInWords(text))
	if d.Activity == planner.ModerateCalm && language.Says("brisk-moves", text) {
		d.Activity = planner.ModerateBrisk
	}
	if d.Sex == "" && !language.Says("names-vet", text) { // who may be the "he"
		d.Sex = SexSaid(text)
	}
	for _, p := range problems {
		if p.Code == span.BadWeight { // "420 kg" is asked again
			d.Weight = 0
		}
	}
	if d.Name = name; name == "" && (d.Weight > 0 || !d.Born.IsZero()) {
		if line, wrong := DogLine(typed, u, now); line.Weight > 0 && len(wrong) == 0 && line.Name != strings.ToLower(line.Name) { // "Max 30 kg"
			d.Name = line.Name
		}
		for _, likeliest := range NewNames(typed, span.Names{}, true) {
			d.Name = span.Capital(likeliest.Name)
		}
	}
	return d
}

// TellsOfDog reports that a text speaks of a dog, or says nothing that a line
// about one could not say: "make it for 12 kg" does.
func TellsOfDog(text string, u planner.Units, now time.Time) bool {
	if language.Says("of-dog", text) || NamesDog(text, span.Names{}) {
		return true
	}
	_, problems := DogLine("x, "+text, u, now)
	return len(problems) == 0
}

// NamesDog reports that a text says what a dog that is not of the household is called:
// "her name is".
func NamesDog(text string, n span.Names) bool { return toldName(text, n) != "" }

// NewNames are the names that a text gives to dogs that the household does not have,
// in order and as they are typed; where the text is known to introduce a dog, the
// likeliest word is one that is less likely too.
func NewNames(text string, n span.Names, introduces bool) (all []rank.Named) {
	text = language.Without("food-called", text)
	in := rank.Input{Text: text, Dogs: namesOf(n.Dogs), Recipes: namesOf(n.Recipes)}
	found := slices.Concat(Ranker().Names(&in), breedsNamed(text, n))
	slices.SortStableFunc(found, func(a, b rank.Named) int { return cmp.Compare(a.From, b.From) })
	for _, name := range found {
		name.Name = strings.TrimSuffix(name.Name, "'s")
		again := slices.ContainsFunc(all, func(m rank.Named) bool { return strings.EqualFold(m.Name, name.Name) })
		likely := name.P >= rank.FromName || len(found) > 1 || introduces && (name.P >= mayBeName || name.P >= strangeName && (name.Name != strings.ToLower(name.Name) || !Ranker().Knows(name.Name)))
		if likely && !again && !dated(text, name) && !IsBreed(name.Name) && !tellsMore(name.Name) && !language.In("no-name-alone", strings.ToLower(name.Name)) {
			all = append(all, name)
		}
	}
	return all
}

// breedsNamed are the names that no dog of a household has, of which a text says the breed or
// a figure: "Pearl's a basset", "Hank is a blue heeler", "Rex is 21 kg".
func breedsNamed(text string, n span.Names) (all []rank.Named) {
	m := matcher{Lexed: span.WordsOf(text)}
	for i, w := range m.Tokens {
		name := text[w.Start:w.End]
		at := i + 2 + span.Choose(m.Any(i+2, "a", "an"), 1, 0)
		figure := at < len(m.Tokens) && m.Tokens[at].IsFigure() && m.Any(at+1, "kg", "kgs", "kilo", "kilos", "lb", "lbs", "pounds", "years", "year", "yrs", "yr", "months", "month")
		isA := m.Any(i+1, "'s", "is") && (figure || at > i+2 && (m.breedAt(at) > 0 || m.breedAt(at+1) > 0 || dogNouns[m.Word(at)]))
		if isA && name != w.Text && !language.In("no-name-alone", w.Text) && !language.In("fillers", w.Text) && !language.In("no-dog", w.Text) && len(span.Mentions(name, n.Dogs)) == 0 {
			all = append(all, rank.Named{Name: name, From: w.Start, P: SurelyName})
		}
	}
	return all
}

// dated reports that a name is the month of a date: "born 21 December".
func dated(text string, n rank.Named) bool {
	before, _ := utf8.DecodeLastRuneInString(strings.TrimRight(text[:n.From], " "))
	next, _ := utf8.DecodeRuneInString(strings.TrimLeft(text[n.To():], " "))
	return language.Says("a-month", n.Name) && (unicode.IsDigit(before) || unicode.IsDigit(next))
}

// How likely a word must be a dog's name where a dog is introduced; where the word is
// one that nobody else types, or has a capital; and where nothing is told of it (our own
// choice, by hands left out).
const (
	SurelyName  = 0.6
	mayBeName   = 0.15
	strangeName = 0.03
)

// toldName is the name that a text gives a dog: "her name is", "called".
func toldName(text string, n span.Names) string {
	if names := NewNames(text, n, false); len(names) > 0 {
		return span.Capital(names[0].Name)
	}
	text = language.Without("food-called", text)
	for _, s := range language.Sayings["dog-name"] {
		m := s.Is().FindStringSubmatch(text)
		if m == nil {
			continue
		}
		if name, ok := DogName(m[1]); ok && !language.In("fillers", strings.ToLower(name)) && !SaysDog(name) && (s.As == "sure" || !Excludable(name)) && !IsBreed(name) && !tellsMore(name) {
			return span.Capital(name)
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
	m := matcher{Lexed: span.WordsOf(name)}
	return len(m.Tokens) > 0 && m.breedAt(0) == len(m.Tokens)
}

// StoresCopper reports that a text names a breed that is inclined to store copper.
func StoresCopper(breed string) bool {
	m := matcher{Lexed: span.WordsOf(breed)}
	return m.LongestOf(0, language.Phrases("copper-breeds")) > 0
}

// Excludable reports that words name food that may be left out: "i have chicken".
func Excludable(words string) bool { return excludesSome(strings.ToLower(words)) }

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
	return toldName(s, span.Names{})
}

// SaysWell reports that a text says a dog has no illness: "no", "perfectly
// healthy". What makes an exception ("no, but"), or names an illness all the
// same, says more than that.
func SaysWell(text string) bool {
	text = language.Without("only-fat", strings.ReplaceAll(text, "’", "'"))
	told := text
	text = language.Pattern("jabs").ReplaceAllString(language.Without("health-trait", text), " ")
	well := false
	if words := span.SplitWords(text); len(words) == 0 && text != told || slices.ContainsFunc(words, func(w span.Token) bool { return language.In("well-heads", w.Text) }) &&
		!slices.ContainsFunc(words, func(w span.Token) bool {
			return !language.In("well-heads", w.Text) && !language.In("well-around", w.Text)
		}) {
		return true // "naw just snores"
	}
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
	l := dogLine{matcher: matcher{Lexed: span.WordsOf(text)}}
	return l.some(l.isIll)
}

// ScoreSaid is the body condition that an answer to the question for it gives last as
// a figure, 0 for none: "prob a 6"; with another that it may be as well: "5, or 4?".
func ScoreSaid(text string) (score, or int) {
	if n, err := span.Number(language.Find("score-settled", text)); err == nil {
		return int(n), 0
	}
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
	score, _ := language.Match("score", language.Without("score-denied", text))
	n, _ := strconv.Atoi(score)
	return n
}

// DogName reads the name of a dog that was asked for; it is false for what is
// a sentence rather than a name. In quotes anything is a name.
func DogName(s string) (name string, ok bool) {
	name = strings.Join(strings.Fields(s), " ")
	if bare := strings.Trim(name, quotes); len(bare)+2 <= len(name) && strings.ContainsRune(quotes, []rune(name)[0]) {
		return bare, bare != ""
	}
	m := matcher{Lexed: span.WordsOf(name)}
	return name, !m.noName(0, len(m.Tokens)) && m.gotAt() == 0
}

// NameLed is the name that an answer to the question for it leads to, empty where the
// word may say something else of a dog: "yeah my dog is biscuit", but "she is hungry".
func NameLed(s string) string {
	m := language.Pattern("name-led").FindStringSubmatch(s)
	if m == nil || tellsMore(m[1]) || IsBreed(m[1]) || language.In("no-name-alone", strings.ToLower(m[1])) {
		return ""
	}
	return m[1]
}

// EverydayWords reports that a text is several words of everyday, in lower
// case, that begin no name: "gentle strolls".
func EverydayWords(s string) bool {
	words := strings.Fields(s)
	if len(words) < 2 || s != strings.ToLower(s) || language.In("titles", words[0]) {
		return false
	}
	return !slices.ContainsFunc(words, func(w string) bool { return !Ranker().Knows(w) })
}

// noName reports that some words are no name: one of them never is in a name,
// or is a figure with a unit.
func (m *matcher) noName(from, to int) bool {
	if to-from > 1 && (language.In("articles", m.Word(to-1)) || language.In("ends-no-name", m.Word(to-1)) || m.Tokens[from].IsFigure()) {
		return true // "prob a", "24 and"
	}
	if first := m.Word(from); from < to && language.In("begins-no-name", first) || to-from == 1 && language.In("no-name-alone", first) {
		return true
	}
	for i := from; i < to; i++ {
		w := m.Tokens[i]
		if i == from && (w.Text == "hes" || w.Text == "shes" || w.Text == "he" || w.Text == "she") {
			return true // "hes a lab mix"
		}
		if language.In("not-in-a-name", w.Text) && to-from > 1 || i > from && w.IsFigure() && i+1 < to && unicode.IsLetter([]rune(m.Tokens[i+1].Text)[0]) {
			return true
		}
	}
	return false
}

// gotAt is the end of the words that begin the news of a dog ("I got"), or 0.
func (m *matcher) gotAt() int { return m.LongestOf(0, language.Phrases("news-of-dog")) }

// NewsOfDog reports that a text begins as the news of a dog does: "I got".
func NewsOfDog(s string) bool {
	m := matcher{Lexed: span.WordsOf(s)}
	return m.gotAt() > 0
}

// gotDog skips what stands before the name in the news of a dog ("we have a
// new puppy called"). Where no name follows it says so.
func (l *dogLine) gotDog() (at int, named bool) {
	if at = l.gotAt(); at == 0 {
		return 0, true
	}
	at = l.past("articles", at)
	for {
		next := max(l.breedAt(at), at)
		if next == at && (dogNouns[l.Word(at)] || language.In("breed-words", l.Word(at))) {
			next++
		}
		if next == at {
			break
		}
		at, named = next, true // as far as it goes: "a puppy, 4 months"
	}
	if isCalled(l.Word(at)) {
		return at + 1, true
	}
	if at >= len(l.Tokens) || l.Tokens[at].IsFigure() {
		return at, false
	}
	// A small letter makes a name where a comma follows: "a labrador milo, 5 years".
	alone := at+1 < len(l.Tokens) && l.Tokens[at+1].Comma && !language.In("fillers", l.Word(at)) && !l.begins(at)
	return at, !named || (l.isCapital(at) || alone) && !l.Tokens[at].Comma
}
