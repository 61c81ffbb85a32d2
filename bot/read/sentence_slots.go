package read

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/nutrition"
)

// slot is a kind of gap in a pattern.
type slot uint8

// The slots; see the top of sentences.txt.
const (
	noSlot slot = iota
	slotDog
	slotWhose
	slotName
	slotRecipe
	slotMix
	slotFood
	slotFoods
	slotEaten
	slotSubject
	slotAny
	slotDays
	slotMass
	slotKcal
	slotFactor
	slotWeight
	slotCount
	slotActivity
	slotCondition
	slotPlace
	slotPhone
	slotWords
	slotTitle
	slotNewFood
	slotTwice
	slotUnit
	slotKilos
	slotScore
	slotDanger
	slotNumber
	slotMore
	slotLess
	slotDescribed
	slotMeasure
	slotAlarm
	slotLine
	slotTimes
	slotStage
	slotNutrient
)

var slotNames = map[string]slot{
	"dog": slotDog, "whose": slotWhose, "name": slotName, "recipe": slotRecipe, "mix": slotMix,
	"food": slotFood, "foods": slotFoods, "eaten": slotEaten, "subject": slotSubject, "any": slotAny,
	"days": slotDays, "mass": slotMass, "kcal": slotKcal, "factor": slotFactor, "weight": slotWeight,
	"count": slotCount, "activity": slotActivity, "condition": slotCondition, "place": slotPlace, "phone": slotPhone, "words": slotWords,
	"title": slotTitle, "newfood": slotNewFood, "twice": slotTwice, "unit": slotUnit, "kilos": slotKilos, "score": slotScore, "danger": slotDanger,
	"number": slotNumber, "more": slotMore, "less": slotLess,
	"described": slotDescribed, "measure": slotMeasure, "alarm": slotAlarm, "line": slotLine, "times": slotTimes, "stage": slotStage,
	"nutrient": slotNutrient,
}

// sure reports that a slot takes only what is known, so that it may make a
// sentence without any word of the language.
func (s slot) sure() bool {
	switch s {
	case noSlot, slotFood, slotFoods, slotNewFood, slotEaten, slotSubject, slotAny, slotWords, slotCount, slotWeight, slotFactor, slotNumber, slotMeasure, slotLine:
		return false
	}
	return true
}

// ends appends where a slot that begins at a place may end, in the order in
// which they are to be tried.
func (m *matcher) ends(s slot, at int, to []int) []int {
	one := func(end int) []int {
		if end > 0 {
			return append(to, end)
		}
		return to
	}
	end := 0
	switch s {
	case slotDog, slotWhose, slotName, slotRecipe, slotMix, slotTitle:
		var room [8]ref
		for _, r := range m.refs(s, at, room[:0]) {
			to = append(to, r.end)
		}
		return to
	case slotFood, slotNewFood, slotFoods:
		return m.foodEnds(at, s == slotFoods, to)
	case slotEaten:
		return one(m.eatenEnd(at))
	case slotDanger:
		if end = m.eatenEnd(at); end > 0 && m.dangerous(at, end) {
			return one(end)
		}
		return to
	case slotSubject:
		for end := at + 1; end <= min(at+2, len(m.words)) && !notSubject[m.at(end-1)]; end++ {
			to = append(to, end)
		}
		return to
	case slotAny, slotWords:
		return m.anyEnds(s, at, to)
	case slotDays:
		_, end = m.daysAt(at)
	case slotMass:
		_, _, end = m.massAt(at)
	case slotKcal:
		_, end = m.energyAt(at)
	case slotFactor:
		_, end = m.factorAt(at)
	case slotTwice:
		_, end = m.timesAt(at)
	case slotNumber:
		if _, end = m.factorAt(at); m.at(end-1) == "percent" {
			end = 0 // "by 20 %" may mean to a fifth or by a fifth
		}
	case slotMore, slotLess:
		_, end = m.changeAt(at, s == slotLess)
	case slotUnit:
		_, end = m.unitAt(at)
	case slotKilos:
		_, _, end = m.weightAt(at)
	case slotWeight:
		_, _, end = m.bodyWeightAt(at)
	case slotCount:
		_, end = m.countAt(at)
	case slotDescribed:
		_, end = m.describedAt(at)
	case slotMeasure:
		_, _, end = m.measureAt(at)
	case slotAlarm:
		end = m.alarmEnd(at)
	case slotLine:
		return m.lineEnds(at, to)
	case slotTimes:
		_, end = m.timesADayAt(at)
	case slotStage:
		_, end = m.stageAt(at)
	case slotNutrient:
		_, end = m.nutrientAt(at)
	case slotActivity:
		_, end = m.activityAt(at)
	case slotCondition:
		_, end = m.conditionAt(at)
	case slotScore:
		if _, end = m.conditionAt(at); end == at+1 && !strings.Contains(m.at(at), "/") {
			end = 0
		}
	case slotPlace:
		return m.placeEnds(at, to)
	case slotPhone:
		end = m.phoneEnd(at)
	}
	return one(end)
}

// refs are the dogs or recipes that a slot may mean at a place.
func (m *matcher) refs(s slot, at int, to []ref) []ref {
	switch s {
	case slotDog:
		return m.dogsAt(at, to)
	case slotDescribed:
		if d, end := m.describedAt(at); end > 0 {
			to = append(to, ref{end: end, words: d})
		}
		return to
	case slotWhose:
		return m.whoseAt(at, to)
	case slotName:
		if at < len(m.words) {
			if r, ok := m.longest(m.dogs, at); ok {
				to = append(to, r)
			}
		}
		return to
	case slotTitle:
		for _, r := range m.recipesAt(at, false, nil) {
			if r.id != "" {
				to = append(to, r)
			}
		}
		return to
	}
	return m.recipesAt(at, s == slotMix, to)
}

// bodyWeightAt reads a body weight; a bare number is in the household's
// unit.
func (m *matcher) bodyWeightAt(at int) (w nutrition.Kilograms, imperial bool, end int) {
	if w, imperial, end = m.weightAt(at); end > 0 {
		return w, imperial, end
	}
	if at >= len(m.words) || !m.words[at].number || m.words[at].value <= 0 || isFraction(m.words[at].text) {
		return 0, false, 0
	}
	w = nutrition.Kilograms(m.words[at].value)
	if m.units.Pounds {
		return w * nutrition.KilosPerPound, true, at + 1
	}
	return w, false, at + 1
}

// anyEnds gives {any} nothing first and then ever more, {words} at least one
// word up to the end.
func (m *matcher) anyEnds(s slot, at int, to []int) []int {
	if s == slotWords {
		if at < len(m.words) {
			return append(to, len(m.words))
		}
		return to
	}
	for end := at; end <= len(m.words); end++ {
		to = append(to, end)
	}
	return to
}

// placeEnds gives {place} what Zone knows.
func (m *matcher) placeEnds(at int, to []int) []int {
	for end := min(at+4, len(m.words)); end > at; end-- {
		if _, err := Zone(m.typed(at, end)); err == nil {
			to = append(to, end)
		}
	}
	return to
}

// phoneEnd returns where a telephone number ends that goes on to the end of
// the text, 0 where there is none.
func (m *matcher) phoneEnd(at int) int {
	digits := 0
	for i := at; i < len(m.words); i++ {
		if !m.words[i].number {
			return 0
		}
		digits += len(strings.Trim(m.words[i].text, ".,/"))
	}
	if digits < fewestDigits {
		return 0
	}
	return len(m.words)
}

// fewestDigits is how many digits a telephone number has at least.
const fewestDigits = 5

// typedPhone is a telephone number as typed, with the sign before it.
func (m *matcher) typedPhone(start, end int) string {
	if from := m.words[start].start; from > 0 && m.text[from-1] == '+' {
		return "+" + m.typed(start, end)
	}
	return m.typed(start, end)
}

// typed returns the words of a stretch as they were typed, with single
// spaces.
func (m *matcher) typed(start, end int) string {
	if start >= end {
		return ""
	}
	return strings.Join(strings.Fields(m.text[m.words[start].start:m.words[end-1].end]), " ")
}

// typedName is a stretch of words as typed with the marks that belong to it,
// of which a name may be made: "<b>Rex</b>", "Rex Jr." A full stop or an
// exclamation mark behind a whole word ends the sentence.
func (m *matcher) typedName(start, end int) string {
	if start >= end {
		return ""
	}
	from, to := m.words[start].start, m.words[end-1].end
	isMark := func(r rune) bool { return !unicode.IsSpace(r) && !unicode.IsLetter(r) && !unicode.IsDigit(r) }
	for from > 0 {
		r, size := utf8.DecodeLastRuneInString(m.text[:from])
		if !isMark(r) || start > 0 && from-size < m.words[start-1].end {
			break
		}
		from -= size
	}
	for to < len(m.text) {
		r, size := utf8.DecodeRuneInString(m.text[to:])
		if !isMark(r) {
			break
		}
		to += size
	}
	name := strings.Join(strings.Fields(m.text[from:to]), " ")
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
	for _, c := range m.filled[:m.count] {
		m.take(&s, c)
	}
	if last := m.filled[max(m.count-1, 0)]; m.count > 0 && last.slot == slotWords && (intent == RenameDog || intent == RenameRecipe) {
		s.Words = m.typedName(last.start, last.end)
	}
	if intent == HasEaten && len(s.FoodList) > 0 {
		refusedFirst(s.FoodList)
		s.Food = s.FoodList[0]
	}
	if intent == FoodEnergy && s.Count > 0 && s.Measure == "" {
		s.Measure = "piece"
	}
	if len(s.FoodList) == 1 {
		s.FoodList = nil
	}
	return s
}

// take sets what one slot took.
func (m *matcher) take(s *Sentence, c capture) {
	imperial := false
	switch c.slot {
	case slotDog, slotWhose, slotName, slotDescribed:
		m.takeDog(s, c)
	case slotRecipe, slotMix, slotTitle:
		var room [8]ref
		for _, r := range m.refs(c.slot, c.start, room[:0]) {
			if r.end == c.end && s.Recipe == "" {
				s.Recipe = r.id
			}
		}
	case slotFood, slotNewFood, slotFoods, slotEaten, slotDanger, slotAlarm:
		m.takeFoods(s, c)
	case slotDays:
		s.Days, _ = m.daysAt(c.start)
	case slotMass:
		s.Grams, imperial, _ = m.massAt(c.start)
	case slotKcal:
		s.Kcal, _ = m.energyAt(c.start)
	case slotMore, slotLess:
		s.Factor, _ = m.changeAt(c.start, c.slot == slotLess)
	case slotFactor, slotNumber:
		s.Factor, _ = m.factorAt(c.start)
	case slotTwice:
		s.Factor, _ = m.timesAt(c.start)
	case slotUnit:
		s.Words, _ = m.unitAt(c.start)
	case slotWeight, slotKilos:
		s.Weight, imperial, _ = m.bodyWeightAt(c.start)
	case slotCount:
		s.Count, _ = m.numberAt(c.start)
	case slotMeasure:
		s.Count, s.Measure, _ = m.measureAt(c.start)
	case slotTimes:
		s.Count, _ = m.timesADayAt(c.start)
	case slotStage:
		s.Stage, _ = m.stageAt(c.start)
	case slotNutrient:
		s.Nutrient, _ = m.nutrientAt(c.start)
	case slotLine:
		s.Words = m.typedLine(c.start, c.end)
	case slotActivity:
		s.Activity, _ = m.activityAt(c.start)
	case slotCondition, slotScore:
		s.Condition, _ = m.conditionAt(c.start)
	case slotPhone:
		s.Words = m.typedPhone(c.start, c.end)
	case slotPlace, slotWords:
		s.Words = m.typed(c.start, c.end)
	}
	s.Imperial = s.Imperial || imperial
}

func (m *matcher) takeDog(s *Sentence, c capture) {
	var room [8]ref
	for _, r := range m.refs(c.slot, c.start, room[:0]) {
		if r.end != c.end {
			continue
		}
		s.Dog = r.id
		s.Stage = r.words.stage
		s.Weight, s.Activity, s.Condition, s.Years = r.words.weight, r.words.activity, r.words.condition, r.words.years
		s.Imperial = s.Imperial || r.words.imperial
		return
	}
}
