package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// mostFoodWords is how many words the name of a food may have.
const mostFoodWords = 10

// foodEnds are where a food's name of some words at most may end that begins at
// a place, the shortest first; several foods may have "or" and "and" between them.
func (m *matcher) foodEnds(at, most int) (ends []int) {
	if m.Any(at, "or", "and", "in", "with") {
		return nil
	}
	content := false
	for end := at + 1; end <= min(at+most, len(m.Tokens)); end++ {
		w := &m.Tokens[end-1]
		if w.Text == "'s" && m.Word(end-2) == "baker" {
			continue // baker's yeast
		}
		if language.In("never-food", w.Text) && !m.isMeal(at, end) || w.Stop && end-1 > at || w.IsFigure() && w.Num.Whole() <= 0 {
			break
		}
		boneIn := w.Text == "in" && m.Word(end-2) == "bone"
		joint := language.In("joints", w.Text) && !boneIn || w.Text == "or" || language.In("determiners", w.Text) || w.Text == "no"
		if !w.IsFigure() && !joint && w.Text != "percent" {
			content = true
		}
		if content && !joint && !m.isNameAlone(at, end) {
			ends = append(ends, end)
		}
	}
	return ends
}

// isMeal reports that a food's name ends in what is a meal elsewhere: "bone meal".
func (m *matcher) isMeal(at, end int) bool {
	if end-at < 2 || m.Word(end-1) != "meal" || language.In("determiners", m.Word(end-2)) {
		return false
	}
	f := nutrition.Default().Find(m.typed(end-2, end)).Food
	return f != nil && strings.HasPrefix(f.Name, m.Word(end-2))
}

// eatenEnd returns where that which a dog has eaten ends: at the end of the
// sentence, or where it goes on about something else. It returns 0 where it
// is nothing or an ordinary meal.
func (m *matcher) eatenEnd(at int) int {
	end := at
	for end < len(m.Tokens) && end-at < mostFoodWords*2 {
		w := &m.Tokens[end]
		if end > at && (w.Stop || language.In("eaten-stops", w.Text)) {
			break
		}
		if w.Text == "and" && language.In("eaten-stops", m.Word(end+1)) || end > at && language.In("owners-after", w.Text) && m.endsThing(end) {
			break
		}
		if _, next := m.numberAt(end); next > 0 && language.In("time-words", m.Word(next)) || w.Text == "few" && language.In("time-words", m.Word(end+1)) {
			break
		}
		end++
	}
	for end > at && (language.In("joints", m.Word(end-1)) || language.In("determiners", m.Word(end-1)) || span.NumberWords[m.Word(end-1)] > 0) {
		end--
	}
	if end > at && language.In("not-eaten", m.Word(end-1)) {
		return 0
	}
	for i := m.foodStart(at, end, true); i < end; i++ {
		if r, ok := m.longest(m.dogs, i); ok && r.end <= end && m.isNameAlone(i, r.end) {
			i = r.end - 1 // "Pip's dinner"
			continue
		}
		if w := &m.Tokens[i]; !language.In("meal-words", w.Text) && !w.IsFigure() && !language.In("eaten-stops", w.Text) && w.Text != "'s" && !tellsHow(w.Text) {
			return end
		}
	}
	return 0
}

// endsThing reports that a thing is named right before a place, so that whose word
// stands there begins another clause: "a wing my husband gave him".
func (m *matcher) endsThing(at int) bool {
	before := &m.Tokens[at-1]
	return !language.In("meal-words", before.Text) && !language.In("joints", before.Text) && !language.In("determiners", before.Text) && !language.In("thing-follows", before.Text) && !before.IsFigure() && !tellsHow(before.Text)
}

// tellsHow reports that a word says how or on which day a dog ate, and is no thing:
// "greedily", "2nd".
func tellsHow(word string) bool {
	adverb := len(word) >= fewestAdverb && strings.HasSuffix(word, "ly") && !strings.HasSuffix(word, "fly")
	return adverb && !isFood(word) || language.Says("ordinal", word)
}

// fewestAdverb is how many letters an adverb in -ly has at least: "holly" and "lolly"
// are things (our own choice).
const fewestAdverb = 6

// isNameAlone reports that a stretch is the name of a dog or a recipe of the
// household and not that of a food: a dog may be called Ginger.
func (m *matcher) isNameAlone(start, end int) bool {
	if start+1 < end && language.In("determiners", m.Word(start)) {
		start++
	}
	for _, names := range [][]span.Name{m.dogs, m.recipes} {
		for _, n := range names {
			if n.At(m.Tokens, start) == end {
				return !isFood(m.typed(start, end))
			}
		}
	}
	return false
}

// withoutNames leaves the names of the household's dogs out of a stretch, and
// reports whether there were any.
func (m *matcher) withoutNames(start, end int) (text string, named bool) {
	for i := start; i < end; i++ {
		if r, ok := m.longest(m.dogs, i); ok && r.end <= end && m.isNameAlone(i, r.end) {
			i, named = r.end-1, true
			continue
		}
		text += m.Tokens[i].Text + " "
	}
	return text, named
}

// isFood reports that a text as it is spelt means a food.
func isFood(text string) bool {
	return nutrition.FindRefusalAsTyped(text) != nil || wholeFood(text)
}

// wholeFood reports that a food of the table is called whole.
func wholeFood(text string) bool {
	found := nutrition.Default().Find(text)
	return found.Food != nil || len(found.Choices) > 0
}

// foodStart steps over what stands before a food's name: "a", "some"; and
// with portions "a whole bar of", "3", "50 g of".
func (m *matcher) foodStart(at, end int, portion bool) int {
	for at < end-1 {
		w := m.Word(at)
		if language.In("determiners", w) {
			at++
			continue
		}
		if !portion {
			break
		}
		if _, _, next := m.massAt(at); next > 0 && next < end {
			at = next
			continue
		}
		if w == "whole" && wholeFood(m.typed(at, end)) {
			break // a whole chicken, and whole milk
		}
		if language.In("amount-words", w) || m.Tokens[at].IsFigure() && m.Word(at+1) != "percent" || language.In("portions", w) && m.Word(at+1) == "of" {
			at++
			continue
		}
		break
	}
	return at
}

// dangerous reports that dogs must not eat something of a stretch.
func (m *matcher) dangerous(start, end int) bool {
	if text, named := m.withoutNames(start, end); named {
		return nutrition.FindRefusal(text) != nil
	}
	var s Sentence
	m.takeFoods(&s, capture{slotEaten, start, end})
	return slices.ContainsFunc(s.FoodList, func(food string) bool { return refusal(food) > 0 })
}

// refusal is how surely dogs must not eat a food.
func refusal(food string) int {
	switch {
	case nutrition.FindRefusalAsTyped(food) != nil:
		return 2
	case nutrition.FindRefusal(food) != nil:
		return 1
	}
	return 0
}

// takeFoods sets the foods that a slot took.
func (m *matcher) takeFoods(s *Sentence, c capture) {
	switch c.slot {
	case slotFood:
		s.Food = m.typed(m.foodStart(c.start, c.end, false), c.end)
		s.FoodList = append([]string{s.Food}, s.FoodList...)
		return
	case slotNewFood:
		s.FoodList = append(s.FoodList, m.typed(m.foodStart(c.start, c.end, false), c.end))
		return
	}
	start := c.start
	for i := c.start + 1; i <= c.end; i++ {
		split := i == c.end || m.Any(i, "or", "and") || m.Tokens[i].Comma && !language.In("qualifiers", m.Word(i))
		if !split {
			continue
		}
		from := m.foodStart(start, i, true)
		if food := m.typed(from, i); food != "" && !m.isNameAlone(from, i) {
			s.FoodList = append(s.FoodList, food)
		}
		start = i
		start = min(m.AfterAll(start, "or", "and"), c.end)
		i = start
	}
	if len(s.FoodList) > 0 {
		s.Food = s.FoodList[0]
	}
}
