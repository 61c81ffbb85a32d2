package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// slot is a kind of gap in a pattern, by its name; see the top of sentences.txt.
type slot string

// The slots that are spoken of by name. The others are in readers.
const (
	slotFood    slot = "food"
	slotNewFood slot = "newfood"
	slotEaten   slot = "eaten"
	slotSubject slot = "subject"
	slotAny     slot = "any"
	slotWords   slot = "words"
	slotItem    slot = "item"
	slotLine    slot = "line"
)

// known reports that there is such a slot.
func (s slot) known() bool { return readers[s] != nil || namers[s] != nil || stretches[s] != nil }

var readMass = measured(func(s *Sentence) *nutrition.Grams { return &s.Grams }, (*matcher).massAt)

// readers are of the slots that can end in one place only: each sets what it
// reads at a place and returns its end, 0 where it reads nothing.
var readers = merged(priceReaders, map[slot]func(m *matcher, at int, s *Sentence) (end int){
	"days":   func(m *matcher, at int, s *Sentence) (end int) { s.Days, end = m.daysAt(at); return end },
	"period": func(m *matcher, at int, s *Sentence) (end int) { s.Days, end = m.periodAt(at); return end },
	"weeks": func(m *matcher, at int, s *Sentence) (end int) {
		s.Days, end = m.periodAt(at)
		return span.Choose(s.Days >= span.DaysPerWeek, end, 0)
	},
	"kcal":    func(m *matcher, at int, s *Sentence) (end int) { s.Kcal, end = m.energyAt(at); return end },
	"factor":  func(m *matcher, at int, s *Sentence) (end int) { s.Factor, end = m.factorAt(at); return end },
	"twice":   func(m *matcher, at int, s *Sentence) (end int) { s.Factor, end = m.timesAt(at); return end },
	"more":    func(m *matcher, at int, s *Sentence) (end int) { s.Factor, end = m.changeAt(at, false); return end },
	"less":    func(m *matcher, at int, s *Sentence) (end int) { s.Factor, end = m.changeAt(at, true); return end },
	"unit":    func(m *matcher, at int, s *Sentence) (end int) { s.Words, end = m.unitAt(at); return end },
	"count":   func(m *matcher, at int, s *Sentence) (end int) { s.Count, end = m.countAt(at); return end },
	"measure": func(m *matcher, at int, s *Sentence) (end int) { s.Count, s.Measure, end = m.measureAt(at); return end },
	"times":   func(m *matcher, at int, s *Sentence) (end int) { s.Count, end = m.timesADayAt(at); return end },
	"stage":   func(m *matcher, at int, s *Sentence) (end int) { s.Stage, end = m.stageAt(at); return end },
	"nutrient": func(m *matcher, at int, s *Sentence) (end int) {
		s.Nutrient, end = foodline.SubjectAt(m.Lexed, at)
		return end
	},
	"against": func(m *matcher, at int, s *Sentence) (end int) {
		s.Against, end = foodline.SubjectAt(m.Lexed, at)
		return end
	},
	"activity":  func(m *matcher, at int, s *Sentence) (end int) { s.Activity, end = m.activityAt(at); return end },
	"condition": func(m *matcher, at int, s *Sentence) (end int) { s.Condition, end = m.conditionAt(at); return end },
	"score": func(m *matcher, at int, s *Sentence) (end int) {
		s.Condition, end = m.conditionAt(at)
		return span.Choose(end > at+1 || strings.Contains(m.Word(at), "/"), end, 0)
	},
	"lost": func(m *matcher, at int, s *Sentence) (end int) { s.Factor, end = m.partAt(at); return end },
	"number": func(m *matcher, at int, s *Sentence) (end int) {
		s.Factor, end = m.factorAt(at)
		return span.Choose(m.Word(end-1) == "percent", 0, end) // "by 20 %" may mean to a fifth or by a fifth
	},
	"mass": readMass,
	"size": func(m *matcher, at int, s *Sentence) (end int) {
		if each := span.DigitsOf(m.Word(at)); each > 0 && m.Word(at+1) == "s" { // "the 340s"
			s.Grams = nutrition.Grams(each)
			return at + 2
		}
		return readMass(m, at, s)
	},
	"packs": func(m *matcher, at int, s *Sentence) (end int) {
		n, end := m.NumberAt(at)
		if end == 0 || n.Value < 0 || !language.In("packing", m.Word(end)) {
			return 0
		}
		s.Count = n.Whole()
		return end + 1
	},
	"cooked": func(m *matcher, at int, s *Sentence) (end int) {
		if s.Cooked, _, end = m.massAt(at); end > 0 {
			return end
		}
		n, end := m.numberAt(at) // "4 kg raw, 2.9 cooked": of the same unit
		if s.Cooked = nutrition.Grams(n * 1000); s.Imperial {
			s.Cooked = nutrition.Grams(n) * nutrition.GramsPerPound
		} else if n >= mostKilos {
			s.Cooked = nutrition.Grams(n)
		}
		return end
	},
	"weight": measured(func(s *Sentence) *nutrition.Kilograms { return &s.Weight }, (*matcher).bodyWeightAt),
	"kilos":  measured(func(s *Sentence) *nutrition.Kilograms { return &s.Weight }, (*matcher).weightAt),
	"phone":  func(m *matcher, at int, s *Sentence) (end int) { s.Words, end = m.phoneAt(at); return end },
})

// measured is a reader of an amount that goes to a field of a sentence, which notes in which
// units it was typed.
func measured[T any](field func(s *Sentence) *T, read func(m *matcher, at int) (T, bool, int)) func(m *matcher, at int, s *Sentence) int {
	return func(m *matcher, at int, s *Sentence) int {
		amount, imperial, end := read(m, at)
		*field(s), s.Imperial = amount, s.Imperial || imperial
		return end
	}
}

// mostKilos is from where a bare weight of a pan is taken for grams (our own
// choice).
const mostKilos = 100

// unsure are the slots that do not take what is known alone, so that they make no
// sentence without any word of the language.
var unsure = language.SetOf("", "food", "foods", "newfood", "eaten", "subject", "any", "words", "item", "line", "count", "weight", "factor", "number", "measure", "packs", "cooked", "lost", "sum", "held", "currency")

// namers are of the slots that mean a dog or a recipe: each returns what can be
// meant at a place, likeliest first.
var namers = map[slot]func(m *matcher, at int) []ref{
	"dog":   (*matcher).dogsAt,
	"whose": (*matcher).whoseAt,
	"described": func(m *matcher, at int) []ref {
		if d, end := m.describedAt(at); end > 0 {
			return []ref{{end: end, words: new(d)}}
		}
		return nil
	},
	"name": func(m *matcher, at int) []ref { return m.named(m.dogs, at) },
	"taker": func(m *matcher, at int) []ref {
		return append(m.named(m.dogs, at), slices.DeleteFunc(m.whoseAt(at), func(r ref) bool { return r.id == "" })...)
	},
	"own":      func(m *matcher, at int) []ref { return m.named(m.foods, at) },
	"recipe":   func(m *matcher, at int) []ref { return m.recipesAt(at, false) },
	"mix":      func(m *matcher, at int) []ref { return m.recipesAt(at, true) },
	"othermix": func(m *matcher, at int) []ref { return m.recipesAt(at, true) },
	"title": func(m *matcher, at int) []ref {
		return slices.DeleteFunc(m.recipesAt(at, false), func(r ref) bool { return r.id == "" })
	},
}

// named is the name that begins at a place.
func (m *matcher) named(names []span.Name, at int) []ref {
	if r, ok := m.longest(names, at); ok {
		return []ref{r}
	}
	return nil
}

// stretches are of the slots that take some words as typed: each returns where
// these may end, in the order in which that is to be tried.
var stretches = map[slot]func(m *matcher, at int) []int{
	slotFood:    func(m *matcher, at int) []int { return m.foodEnds(at, mostFoodWords) },
	slotNewFood: func(m *matcher, at int) []int { return m.foodEnds(at, mostFoodWords) },
	"foods":     func(m *matcher, at int) []int { return m.foodEnds(at, mostFoodWords*3/2) },
	slotEaten:   func(m *matcher, at int) []int { return oneEnd(m.eatenEnd(at)) },
	"danger": func(m *matcher, at int) []int {
		if end := m.eatenEnd(at); end > 0 && m.dangerous(at, end) {
			return []int{end}
		}
		return nil
	},
	"alarm": func(m *matcher, at int) []int { return oneEnd(m.alarmEnd(at)) },
	slotSubject: func(m *matcher, at int) (ends []int) {
		for end := at + 1; end <= min(at+2, len(m.Tokens)) && !language.In("not-subject", m.Word(end-1)); end++ {
			ends = append(ends, end)
		}
		return ends
	},
	slotAny:  func(m *matcher, at int) []int { return m.endsFrom(at) }, // nothing first
	slotItem: func(m *matcher, at int) []int { return m.endsFrom(at + 1) },
	slotWords: func(m *matcher, at int) []int { // all that is left
		if at < len(m.Tokens) {
			return []int{len(m.Tokens)}
		}
		return nil
	},
	slotLine: (*matcher).lineEnds,
	"place": func(m *matcher, at int) (ends []int) { // what Zone knows
		for end := min(at+4, len(m.Tokens)); end > at; end-- {
			if _, err := span.Zone(m.typed(at, end)); err == nil {
				ends = append(ends, end)
			}
		}
		return ends
	},
}

// endsFrom are a place and all behind it.
func (m *matcher) endsFrom(at int) (ends []int) {
	for end := at; end <= len(m.Tokens); end++ {
		ends = append(ends, end)
	}
	return ends
}

func oneEnd(end int) []int {
	if end > 0 {
		return []int{end}
	}
	return nil
}

// ends are where a slot that begins at a place may end, in the order in which
// they are to be tried.
func (m *matcher) ends(s slot, at int) (ends []int) {
	if read := readers[s]; read != nil {
		return oneEnd(read(m, at, &Sentence{}))
	}
	if of := stretches[s]; of != nil {
		return of(m, at)
	}
	for _, r := range namers[s](m, at) {
		ends = append(ends, r.end)
	}
	return ends
}

// bodyWeightAt reads a body weight; a bare number is in the household's
// unit.
func (m *matcher) bodyWeightAt(at int) (w nutrition.Kilograms, imperial bool, end int) {
	if w, imperial, end = m.weightAt(at); end > 0 {
		return w, imperial, end
	}
	if n, to := m.numberAt(at); to > 0 && !m.Tokens[at].IsFigure() && n >= leastSpelt {
		w, end = nutrition.Kilograms(n), to // "twenty six"
	} else if at >= len(m.Tokens) || !m.Tokens[at].IsFigure() || m.Tokens[at].Num.Whole() <= 0 || strings.ContainsFunc(m.Tokens[at].Text, func(r rune) bool { return r == '/' || span.Fractions[r] != "" }) {
		return 0, false, 0
	}
	if end == 0 {
		w, end = nutrition.Kilograms(m.Tokens[at].Num.Whole()), at+1
	}
	if m.units.Pounds {
		return w * nutrition.KilosPerPound, true, end
	}
	return w, false, end
}

// leastSpelt is from which number on one in words may be a weight without its unit: "one"
// is rather a piece (our own choice).
const leastSpelt = 10

// phoneAt reads a telephone number, as typed, with the sign before it.
func (m *matcher) phoneAt(at int) (number string, end int) {
	digits := 0
	for end = at; end < len(m.Tokens) && m.Tokens[end].IsFigure(); end++ {
		digits += len(strings.Trim(m.Tokens[end].Text, ".,/"))
	}
	if digits < fewestDigits {
		return "", 0
	}
	if from := m.Tokens[at].Start; from > 0 && m.Text[from-1] == '+' {
		number = "+"
	}
	return number + m.typed(at, end), end
}

// fewestDigits is how many digits a telephone number has at least.
const fewestDigits = 5

// typed returns the words of a stretch as they were typed, with single
// spaces.
func (m *matcher) typed(start, end int) string {
	if start >= end {
		return ""
	}
	return strings.Join(strings.Fields(m.Text[m.Tokens[start].Start:m.Tokens[end-1].End]), " ")
}

// marked is a stretch of words as typed with the marks of some that touch it.
func (m *matcher) marked(start, end int, is func(r rune) bool) string {
	from, to := m.Tokens[start].Start, m.Tokens[end-1].End
	for from > 0 && (start == 0 || from > m.Tokens[start-1].End) {
		r, size := utf8.DecodeLastRuneInString(m.Text[:from])
		if !is(r) {
			break
		}
		from -= size
	}
	for to < len(m.Text) && (end == len(m.Tokens) || to < m.Tokens[end].Start) {
		r, size := utf8.DecodeRuneInString(m.Text[to:])
		if !is(r) {
			break
		}
		to += size
	}
	return span.JoinFields(m.Text[from:to])
}

// typedName is a stretch of words as typed with the marks that belong to it,
// of which a name may be made: "<b>Rex</b>", "Rex Jr." A full stop or an
// exclamation mark behind a whole word ends the sentence.
func (m *matcher) typedName(start, end int) string {
	name := m.marked(start, end, func(r rune) bool { return !unicode.IsSpace(r) && !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for _, mark := range []string{".", "!", "?", ","} {
		if word, ok := strings.CutSuffix(name, mark); ok && word == m.typed(start, end) {
			return word
		}
	}
	for _, quotes := range [][2]string{{`"`, `"`}, {"'", "'"}, {"“", "”"}, {"‘", "’"}, {"«", "»"}} {
		if word, ok := strings.CutPrefix(name, quotes[0]); ok && word == m.typed(start, end)+quotes[1] {
			return m.typed(start, end) // only quoted
		}
	}
	return name
}

// sentence makes a sentence of what the slots took.
func (m *matcher) sentence(intent Intent) Sentence {
	s := Sentence{Intent: intent}
	for _, c := range m.filled {
		m.take(&s, c)
	}
	if n := len(m.filled); n > 0 && m.filled[n-1].slot == slotWords && (intent == RenameDog || intent == RenameRecipe || intent == CopyRecipe || intent == RenameOwn) {
		s.Words = m.typedName(m.filled[n-1].start, m.filled[n-1].end)
	}
	if intent == HasEaten && len(s.FoodList) > 0 {
		slices.SortStableFunc(s.FoodList, func(a, b string) int { return refusal(b) - refusal(a) }) // "turkey and a grape"
		s.Food = s.FoodList[0]
	}
	if intent == FoodEnergy && s.Count > 0 && s.Measure == "" {
		s.Measure = "piece"
	}
	if len(s.FoodList) == 1 && s.Food != "" {
		s.FoodList = nil
	}
	return s
}

// take sets what one slot took.
func (m *matcher) take(s *Sentence, c capture) {
	if read := readers[c.slot]; read != nil {
		read(m, c.start, s)
		return
	}
	if of := namers[c.slot]; of != nil {
		for _, r := range of(m, c.start) {
			if r.end == c.end && s.means(c.slot, r) {
				return
			}
		}
		return
	}
	switch c.slot {
	case slotLine:
		s.Words = m.typedLine(c.start, c.end)
	case "place", slotWords, slotItem:
		s.Words = m.typed(c.start, c.end)
	case slotSubject, slotAny:
	default:
		m.takeFoods(s, c)
	}
}
