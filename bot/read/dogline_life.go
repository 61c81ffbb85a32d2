package read

import (
	"bowlwright/bot/read/language"
	"bowlwright/planner"
)

// Words of lists.txt.
var (
	exerciseWords = language.Set("exercise-words")
	shapeWords    = language.Set("shape-words")
	breedingWords = map[string][][]string{StagePregnant: language.Phrases("breeding:pregnant"), StageNursing: language.Phrases("breeding:nursing")}
)

// stageAt reads "pregnant", "8 weeks pregnant", "nursing 5 pups", "not
// pregnant".
func (l *dogLine) stageAt(at int) int {
	from, deny := at, false
	if l.at(at) == "not" {
		from, deny = at+1, true
	} else if months, _, end := l.durationAt(at); end > 0 && months <= longestStage {
		from = end
	}
	stage, end := l.breedingAt(from)
	if end == 0 {
		return 0
	}
	if !deny {
		l.dog.Stage = planner.Stage(stage)
	}
	return l.untilDue(l.litterAt(end))
}

// breedingAt reads the words for a bitch that is pregnant or nursing.
func (m *matcher) breedingAt(at int) (stage string, end int) {
	for _, kind := range []string{StagePregnant, StageNursing} {
		if to := m.longestOf(at, breedingWords[kind]); to > end {
			stage, end = kind, to
		}
	}
	if end == 0 && m.at(at) == "carrying" && (at+1 == len(m.words) || m.words[at+1].Comma || m.words[at+1].Stop) {
		return StagePregnant, at + 1 // but not "carrying some weight"
	}
	return stage, end
}

// untilDue steps over how long it is until pups come, which is no age.
func (l *dogLine) untilDue(at int) int {
	from := at
	for l.at(from) == "due" || l.at(from) == "in" || l.at(from) == "about" || l.at(from) == "and" {
		from++
	}
	if _, _, end := l.durationAt(from); end > 0 && !l.words[from].Comma {
		return end
	}
	return l.after(at, "due")
}

// longestStage is the months that a bitch may be said to be pregnant or
// nursing; what is longer is her age. A pregnancy takes about 63 days (common
// practice, no source).
const longestStage = 3

// ageBeforeStage reads the age in "4 years 8 weeks pregnant", where the last
// part is how long she has been pregnant, and returns its end or 0.
func (l *dogLine) ageBeforeStage(at int) (birth, int) {
	_, _, whole := l.durationAt(at)
	for last := at + 2; last < whole; last++ {
		probe := dogLine{matcher: l.matcher, now: l.now}
		if probe.stageAt(last) <= whole {
			continue
		}
		probe.words = l.words[:last]
		if b, end := probe.ageAt(at, l.now); end == last {
			return b, end
		}
	}
	return birth{}, 0
}

// hoursAt reads "2 hours a day", "45 min walk twice a day" of moving, in
// FEDIAF's bands: under 1 h low, 1 to 3 h moderate, above high.
func (l *dogLine) hoursAt(at int) int {
	n, end := l.numberAt(at)
	switch l.at(end) {
	case "h", "hr", "hrs", "hour", "hours":
	case "min", "mins", "minute", "minutes":
		n /= 60
	default:
		return 0
	}
	if end == 0 || n > 24 || l.at(at-1) == "in" { // "in 5 hours" is a time
		return 0
	}
	end++
	for range 2 {
		end = l.aDay(end)
		if next := l.after(end, "of"); exerciseWords[l.at(next)] {
			end = next + 1
		}
	}
	if times, next := l.timesADay(end); next > 0 {
		n, end = n*times, next
	}
	switch {
	case n < 1:
		l.dog.Activity = planner.LowActivity
	case n <= 3:
		l.dog.Activity = planner.ModerateCalm
	default:
		l.dog.Activity = planner.HighActivity
	}
	return end
}

// shapeAt notes "a bit overweight". Where the line names no score it is a
// problem: the energy that a dog needs hangs on the score.
func (l *dogLine) shapeAt(at int) int {
	end := at
	for l.at(end) == "a" || l.at(end) == "bit" || l.at(end) == "little" || l.at(end) == "slightly" || l.at(end) == "very" || l.at(end) == "too" {
		end++
	}
	if !shapeWords[l.at(end)] || !l.named && l.isCapital(end) {
		return 0
	}
	l.shape = [2]int{at, end + 1}
	return end + 1
}
