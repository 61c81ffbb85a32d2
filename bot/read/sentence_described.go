package read

import (
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// activityWords are what classes of activity are called.
var activityWords = map[planner.Activity][][]string{
	planner.LowActivity: language.Phrases("activity:low"), planner.ModerateCalm: language.Phrases("activity:moderate"),
	planner.ModerateBrisk: language.Phrases("activity:brisk"), planner.HighActivity: language.Phrases("activity:high"),
}

// activityAt reads a class of activity: "low activity", "very active",
// "activity high".
func (m *matcher) activityAt(at int) (planner.Activity, int) {
	from := m.After(m.After(at, "activity"), "level")
	class, end := planner.Activity(""), 0
	for is, words := range activityWords {
		if next := m.LongestOf(from, words); next > end {
			class, end = is, next
		}
	}
	if end == 0 {
		return "", 0
	}
	return class, m.After(m.After(end, "activity"), "level")
}

// yearsAt reads an age: "5 year old", "18 months old", "aged 5".
func (m *matcher) yearsAt(at int) (float64, int) {
	from := m.After(at, "aged")
	if months, days, end := m.durationAt(from); months > 0 || days >= span.DaysPerWeek {
		return months/12 + days/365.25, end
	}
	if from == at {
		return 0, 0
	}
	return m.numberAt(from)
}

// describedAt reads "a 12 kg dog", "a 30 lb dog, low activity", "a 5 year
// old dog of 12 kg". A weight and a word for dog are needed. It returns the
// end, or 0. "puppy" is such a word and says the stage.
func (m *matcher) describedAt(at int) (d Sentence, end int) {
	if language.In("owners", m.Word(at)) || m.Any(at, "a", "an", "another") {
		at++
	}
	dog := false
	for i := at; i < len(m.Tokens); {
		next := m.featureAt(i, dog, &d)
		if next == 0 && (dogNouns[m.Word(i)] || !dog && m.Any(i, "female", "male")) {
			dog, next = true, i+1
			if m.Any(i, "puppy", "pup") {
				d.Stage = StagePuppy
			}
		}
		if next == 0 {
			link := i
			for dog && language.In("link-words", m.Word(link)) && link-i < 3 {
				link++
			}
			if next = m.featureAt(link, dog, &d); next == 0 {
				break
			}
		}
		i = next
		if dog && d.Weight > 0 {
			end = i
		}
	}
	return d, end
}

// featureAt reads one feature of a description, and returns its end or 0.
func (m *matcher) featureAt(at int, dog bool, d *Sentence) int {
	if w, imperial, end := m.weightAt(at); end > 0 && d.Weight == 0 && w > 0 {
		d.Weight, d.Imperial = w, imperial
		return end
	}
	if years, end := m.yearsAt(at); end > 0 && d.Years == 0 {
		d.Years = years
		return end
	}
	if a, end := m.activityAt(at); end > 0 && d.Activity == "" {
		d.Activity = a
		return end
	}
	before := m.Word(at - 1)
	if c, end := m.conditionAt(at); end > 0 && d.Condition == 0 &&
		(strings.Contains(m.Word(at), "/") || before == "condition" || before == "score" || before == "bcs") {
		d.Condition = c
		return end
	}
	if stage, end := m.stageAt(at); end > 0 && stage != StageNone && !dogNouns[m.Word(at)] {
		if d.Stage == "" {
			d.Stage = stage
		}
		return end
	}
	if end := m.litterAt(at); end > at && dog && (d.Stage == StageNursing || d.Stage == StagePregnant) {
		return end
	}
	return span.Choose(language.In("traits", m.Word(at)) && !dog, at+1, 0)
}

var stageWords = language.Kinds[string]("stage")

// stageAt reads "pregnant", "nursing 5 pups", "a bit overweight", "no longer
// pregnant", and returns its end or 0.
func (m *matcher) stageAt(at int) (string, int) {
	from, deny := m.stageFrom(at)
	for i := 0; i < 2 && m.Any(from, "a", "bit", "slightly", "very"); i++ {
		from++
	}
	stage, end := m.breedingAt(from)
	if end == 0 {
		stage, end = stageWords[m.Word(from)], from+1
	}
	if stage == "" || stage == StagePuppy && end < len(m.Tokens) && m.Tokens[end].Text == "'s" {
		return "", 0
	}
	if stage == StagePregnant || stage == StageNursing {
		end = m.litterAt(end)
	}
	if deny {
		stage = StageNone
		if m.Word(end) == "any" && m.Word(end+1) == "more" {
			end += 2
		}
		return stage, m.After(end, "anymore")
	}
	return stage, end
}

// stageFrom steps over what stands before the word for a stage: "8 weeks", and "no longer",
// which denies it.
func (m *matcher) stageFrom(at int) (from int, deny bool) {
	switch {
	case m.Any(at, "not", "isnt"):
		return at + 1, true
	case m.Any(at, "no") && m.Any(at+1, "longer"):
		return at + 2, true
	}
	months, _, end := m.durationAt(at)
	if _, next := m.breedingAt(end); end > 0 && next > 0 && months <= longestStage {
		return end, false
	}
	return at, false
}

// litterAt steps over "with 5 pups".
func (m *matcher) litterAt(at int) int {
	from := m.After(m.After(at, "with"), "her")
	if _, end := m.numberAt(from); end > 0 {
		from = end
	}
	return span.Choose(m.Any(from, "pup", "pups", "puppy", "puppies"), from+1, at)
}

// timesADayAt reads how many meals: "twice a day", "3 times daily", "two
// meals a day". It returns its end, or 0.
func (m *matcher) timesADayAt(at int) (float64, int) {
	if n, end := m.numberAt(at); end > 0 {
		if end = max(end, m.LongestOf(end, language.Phrases("meal-sizes"))); language.In("meals-a-day", m.Word(end)) {
			return n, m.aDay(end + 1)
		}
	}
	return m.timesADay(at)
}

// timesADay reads "twice a day", "3 times daily", "once a day".
func (m *matcher) timesADay(at int) (float64, int) {
	c, end := m.CadenceAt(at, false)
	if c.EveryDays != 1 || m.Any(at, "a", "an") || !m.IsNumber(at) && !m.Any(at, "once", "twice") {
		return 0, 0
	}
	return max(c.Times, 1), end
}

// aDay steps over "a day".
func (m *matcher) aDay(at int) int {
	return max(at, m.LongestOf(at, language.Phrases("a-day")))
}

// countAt reads how many pieces: not of what is measured otherwise, and not
// how lean a meat is ("85 % lean", "80/20 beef").
func (m *matcher) countAt(at int) (float64, int) {
	n, end := m.numberAt(at)
	if end == 0 || m.Word(end) == "percent" || strings.Contains(m.Word(at), "/20") {
		return 0, 0
	}
	if u := span.UnitWords[m.Word(end)]; u.Kind != 0 && u.Name != "c" && end+1 < len(m.Tokens) {
		return 0, 0 // "2 handfuls of kale"
	}
	return n, end
}

// measures are the units of nutrition.MeasureUnits.
var measures = language.SetOf(nutrition.MeasureUnits...)

// measureAt reads an amount in a household measure: "2 cups", "a tablespoon",
// "100 ml", which is a part of a cup. It returns its end, or 0.
func (m *matcher) measureAt(at int) (n float64, measure string, end int) {
	n, next := m.numberAt(at)
	switch u, end := m.UnitAt(next); {
	case next == 0:
		return 0, "", 0
	case u.Kind == span.ByVolume:
		return n * u.Factor / nutrition.MillilitresPerCup, "cup", end
	case (u.Kind == span.ByMeasure || u.Kind == span.ByForm) && measures[u.Name] && m.Word(end-1) != "c":
		return n, u.Name, end
	}
	return 0, "", 0
}

// alarmEnd reads a text that is nothing but a food which dogs must not eat
// and an exclamation mark: "grape!!". Only what is spelt as such counts, for
// nothing else tells that it is a food. It returns its end, or 0.
func (m *matcher) alarmEnd(at int) int {
	end := len(m.Tokens)
	if at > 0 || end == 0 || end > 4 || !strings.Contains(m.Text[m.Tokens[end-1].End:], "!") {
		return 0
	}
	for i := at; i < end; i++ {
		if language.In("never-food", m.Word(i)) || language.In("calm-words", m.Word(i)) {
			return 0
		}
	}
	if nutrition.FindRefusalAsTyped(m.typed(at, end)) == nil {
		return 0
	}
	return end
}

// lineEnds are where a recipe line may end: the stretch must hold an
// amount and a food.
func (m *matcher) lineEnds(at int) (ends []int) {
	for end := at + 1; end <= len(m.Tokens); end++ {
		w := m.Word(end - 1)
		if end > at+1 && (w == "to" || w == "into") { // to a recipe that is not known
			break
		}
		if language.In("line-stops", w) || m.Tokens[end-1].Stop && end-1 > at {
			break
		}
		next := m.Word(end)
		if end < len(m.Tokens) && !language.In("after-line", next) {
			continue
		}
		l := foodline.ReadLine(span.Clean(m.typedLine(at, end)))
		if len(l.Amounts) > 0 && span.HasLetter(l.Food()) {
			ends = append(ends, end)
		}
	}
	return ends
}

// typedLine is a stretch as it was typed, with the bracket that closes it.
func (m *matcher) typedLine(start, end int) string {
	s := m.typed(start, end)
	if strings.HasPrefix(m.Text[m.Tokens[end-1].End:], ")") {
		s += ")"
	}
	return s
}
