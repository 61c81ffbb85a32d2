package read

import (
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Words of lists.txt.
var (
	activities = language.Kinds[planner.Activity]("activity")
)

// activityAt reads a class of activity: "low activity", "very active",
// "activity high".
func (m *matcher) activityAt(at int) (planner.Activity, int) {
	from := m.after(m.after(at, "activity"), "level")
	class, end := planner.Activity(""), 0
	for words, is := range activities {
		if !strings.HasPrefix(words, m.at(from)) {
			continue
		}
		if next := m.spells(from, strings.Fields(words)...); next > end {
			class, end = is, next
		}
	}
	if end == 0 {
		return "", 0
	}
	return class, m.after(m.after(end, "activity"), "level")
}

// yearsAt reads an age: "5 year old", "18 months old", "aged 5".
func (m *matcher) yearsAt(at int) (float64, int) {
	aged := m.at(at) == "aged"
	n, next := m.numberAt(m.after(at, "aged"))
	if next == 0 {
		return 0, 0
	}
	months, days := lived(m.at(next))
	if months == 0 && days < span.DaysPerWeek {
		return n, map[bool]int{true: next}[aged]
	}
	return n * (months/12 + days/365.25), m.after(next+1, "old")
}

// describedDog is a dog described in words.
type describedDog struct {
	weight    nutrition.Kilograms
	imperial  bool
	activity  planner.Activity
	condition int
	years     float64
	stage     string
}

// describedAt reads "a 12 kg dog", "a 30 lb dog, low activity", "a 5 year
// old dog of 12 kg". A weight and a word for dog are needed. It returns the
// end, or 0. "puppy" is such a word and says the stage.
func (m *matcher) describedAt(at int) (d describedDog, end int) {
	if owners[m.at(at)] || m.at(at) == "a" || m.at(at) == "an" || m.at(at) == "another" {
		at++
	}
	dog := false
	for i := at; i < len(m.words); {
		next := m.featureAt(i, dog, &d)
		if next == 0 && (dogNouns[m.at(i)] || !dog && (m.at(i) == "female" || m.at(i) == "male")) {
			dog, next = true, i+1
			if m.at(i) == "puppy" || m.at(i) == "pup" {
				d.stage = StagePuppy
			}
		}
		if next == 0 {
			link := i
			for dog && language.In("link-words", m.at(link)) && link-i < 3 {
				link++
			}
			if next = m.featureAt(link, dog, &d); next == 0 {
				break
			}
		}
		i = next
		if dog && d.weight > 0 {
			end = i
		}
	}
	return d, end
}

// featureAt reads one feature of a description, and returns its end or 0.
func (m *matcher) featureAt(at int, dog bool, d *describedDog) int {
	if w, imperial, end := m.weightAt(at); end > 0 && d.weight == 0 && w > 0 {
		d.weight, d.imperial = w, imperial
		return end
	}
	if years, end := m.yearsAt(at); end > 0 && d.years == 0 {
		d.years = years
		return end
	}
	if a, end := m.activityAt(at); end > 0 && d.activity == "" {
		d.activity = a
		return end
	}
	before := m.at(at - 1)
	if c, end := m.conditionAt(at); end > 0 && d.condition == 0 &&
		(strings.Contains(m.at(at), "/") || before == "condition" || before == "score" || before == "bcs") {
		d.condition = c
		return end
	}
	if stage, end := m.stageAt(at); end > 0 && stage != StageNone && !dogNouns[m.at(at)] {
		if d.stage == "" {
			d.stage = stage
		}
		return end
	}
	if end := m.litterAt(at); end > at && dog && (d.stage == StageNursing || d.stage == StagePregnant) {
		return end
	}
	if language.In("traits", m.at(at)) && !dog {
		return at + 1
	}
	return 0
}
