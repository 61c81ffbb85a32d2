package read

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// exclusionAt reads "no poultry", "without beef or lamb", "allergic to
// chicken". An allergy is a note on health as well, where it is more than supposed.
func (l *dogLine) exclusionAt(at int) int {
	from := l.LongestOf(at, language.Phrases("exclusion-words"))
	if from == 0 || from >= len(l.Tokens) || l.Tokens[from].Comma || language.In("denies-fact", l.Word(at-1)) || l.begins(from) {
		return 0
	}
	end, ill := from, false
	for end == from || !l.clauseEnds(end) && !l.begins(end) && !l.Any(end, "because", "due", "cos", "coz") {
		ill = ill || language.In("ill-nouns", l.Word(end))
		end++
	}
	if ill {
		l.noteHealth(at, end)
		return end
	}
	l.exclude(from, end)
	if (strings.HasPrefix(l.Word(at), "allerg") || l.Word(at) == "intolerant") && !language.Says("supposes", l.Text) {
		l.health = append(l.health, l.typed(at, end))
	}
	return end
}

// begins reports that a feature which cannot be part of a food's name or of
// a note on health begins at a place.
func (l *dogLine) begins(at int) bool {
	probe := dogLine{matcher: l.matcher, now: l.now}
	for _, f := range []func(int) int{
		probe.stageAt, probe.otherWeightAt, probe.ownWeightAt, probe.kcalAt, probe.mealsAt, probe.scoreAt, probe.bornAt, probe.sexAt,
	} {
		if f(at) > 0 {
			return true
		}
	}
	_, end := l.activityAt(at)
	return end > at+1 || l.LongestOf(at, language.Phrases("exclusion-words")) > 0
}

// mostExclusions is how many foods one line may exclude.
const mostExclusions = 20

// exclude takes the foods of a stretch. One that would exclude nothing of
// the food table is a problem: it would seem to be heeded.
func (l *dogLine) exclude(start, end int) {
	for i := start; i <= end; i++ {
		if i < end && l.Word(i) != "or" && l.Word(i) != "and" && l.Word(i) != "nor" {
			continue
		}
		if food := l.foodIn(l.foodStart(start, i, false), i); food != "" {
			if len(l.dog.Excludes) == mostExclusions {
				l.problem(start, end, span.TooLong)
				return
			}
			if excludesSome(food) {
				l.dog.Excludes = append(l.dog.Excludes, food)
			} else {
				l.problem(start, i, "unknown-food")
				l.problems[len(l.problems)-1].Finding = nutrition.Default().Find(food)
			}
		}
		start = i + 1
	}
}

// foodIn is the food with which a stretch begins: "chicken for now" is chicken.
// Where none does, it is all of the stretch.
func (l *dogLine) foodIn(start, end int) string {
	for to := end; to > start; to-- {
		if food := strings.ToLower(l.typed(start, to)); (to == end || language.In("not-of-food", l.Word(to))) && excludesSome(food) {
			return food
		}
	}
	return strings.ToLower(l.typed(start, end))
}

func excludesSome(food string) bool {
	if len(food) < 3 || language.In("not-of-food", food) {
		return false // "no no" is no word of noodles, nor "no only" of yolk only
	}
	words := []string{food}
	return slices.ContainsFunc(nutrition.Default().Foods(), func(f *nutrition.Food) bool { return nutrition.Excluded(f, words) }) || nutrition.FindRefusal(food) != nil
}

// notesAt reads "health: ..." and "notes: ..." up to the end of the line.
func (l *dogLine) notesAt(at int) int {
	if !l.Any(at, "health", "notes", "note") {
		return 0
	}
	from := l.After(at+1, "notes")
	if from >= len(l.Tokens) || !l.Tokens[from].Comma {
		return 0
	}
	l.health = append(l.health, l.typed(from, len(l.Tokens)))
	return len(l.Tokens)
}

// healthAt reads a note on health: the words around one that names an
// illness, between commas and other features.
func (l *dogLine) healthAt(at int) int {
	if at < l.well || language.In("denies-fact", l.Word(at-1)) {
		return 0
	}
	end := at
	ill := false
	for end == at || !l.clauseEnds(end) && !l.begins(end) {
		ill = ill || l.isIll(end)
		end++
	}
	if !ill {
		l.well = end
		return 0
	}
	if _, to := l.timesADay(end); to > 0 && language.Says("medicine", l.typed(at, end)) {
		end = l.aDay(to) // "benazepril 5 mg once a day"
	}
	for language.In("fillers", l.Word(at)) && at < end-1 {
		at++
	}
	l.noteHealth(at, end)
	return end
}

// noteHealth keeps a stretch as a note on health. What denies an illness, and
// names none besides, is no note.
func (l *dogLine) noteHealth(at, end int) {
	note := l.typed(at, end)
	if !l.Any(at, "no", "not", "without", "never") || len(illness.In(note)) > 0 {
		l.health = append(l.health, note)
	}
}

func (l *dogLine) isIll(at int) bool {
	w := l.Word(at)
	return (language.In("health-words", w) || len(illness.In(w)) > 0) && !(language.In("organs", w) && l.weighed(at))
}

// weighed reports that an amount of food stands before a word: "50 g beef
// liver". Kilograms are the dog's: "19.6 kg bad kidneys".
func (l *dogLine) weighed(at int) bool {
	for i := at - 1; i > max(at-4, 0) && !l.Tokens[i+1].Comma; i-- {
		if u := span.UnitWords[l.Word(i)]; l.Tokens[i-1].IsFigure() && (u.IsGram() || u.Name == "oz" || u.Kind == span.ByMeasure) {
			return true
		}
	}
	return false
}

// isCapital reports that a word begins with a capital, as a part of a name
// does: "Brave Heart".
func (l *dogLine) isCapital(at int) bool {
	r, _ := utf8.DecodeRuneInString(l.Text[l.Tokens[at].Start:])
	return unicode.IsUpper(r)
}

var breedingWords = map[string][][]string{StagePregnant: language.Phrases("breeding:pregnant"), StageNursing: language.Phrases("breeding:nursing")}

// stageAt reads "pregnant", "8 weeks pregnant", "nursing 5 pups", "not
// pregnant".
func (l *dogLine) stageAt(at int) int {
	from, deny := l.stageFrom(at)
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
		if to := m.LongestOf(at, breedingWords[kind]); to > end {
			stage, end = kind, to
		}
	}
	if end == 0 && m.Word(at) == "carrying" && m.clauseEnds(at+1) {
		return StagePregnant, at + 1 // but not "carrying some weight"
	}
	return stage, end
}

// untilDue steps over how long it is until pups come, which is no age.
func (l *dogLine) untilDue(at int) int {
	from := l.AfterAll(at, "due", "in", "about", "and")
	if _, _, end := l.durationAt(from); end > 0 && !l.Tokens[from].Comma {
		return end
	}
	return l.After(at, "due")
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
		probe.Lexed = &span.Lexed{Text: l.Text, Tokens: l.Tokens[:last]}
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
	switch l.Word(end) {
	case "h", "hr", "hrs", "hour", "hours":
	case "min", "mins", "minute", "minutes":
		n /= 60
	default:
		return 0
	}
	if end == 0 || n > 24 || l.Word(at-1) == "in" { // "in 5 hours" is a time
		return 0
	}
	end++
	for range 2 {
		end = l.aDay(end)
		if next := l.After(end, "of"); language.In("exercise-words", l.Word(next)) {
			end = next + 1
		}
	}
	if times, next := l.timesADay(end); next > 0 {
		n, end = n*times, next
	}
	l.hours += n // "an hour in the morning, 30 min at night"
	if !l.activitySaid {
		l.dog.Activity = ActivityOf(l.hours)
	}
	return end
}

// ActivityOf is the class of so many hours a day: under 1 low, 1 to 3 moderate, above
// high (FEDIAF's bands).
func ActivityOf(hours float64) planner.Activity {
	switch {
	case hours < 1:
		return planner.LowActivity
	case hours <= 3:
		return planner.ModerateCalm
	}
	return planner.HighActivity
}

// shapeAt notes "a bit overweight". Where the line names no score it is a
// problem: the energy that a dog needs hangs on the score. It does not on that of
// a lean dog, which is worked out from what it weighs.
func (l *dogLine) shapeAt(at int) int {
	end := l.AfterAll(at, "a", "bit", "little", "slightly", "very", "too")
	if !language.In("shape-words", l.Word(end)) || !l.named && l.isCapital(end) {
		return 0
	}
	if n := ScoreInWords(l.typed(at, end+1)); n == leanScore && l.dog.Condition == 0 {
		l.dog.Condition = n
		return end + 1
	}
	l.shape = [2]int{at, end + 1}
	return end + 1
}

// leanScore is the body condition of a dog called lean (our own choice).
const leanScore = 4

// FoodUpsets reports that a food is said to make a dog's stools soft, and no
// illness is named.
func FoodUpsets(s string) bool {
	return language.Says("upsets", s) && len(illness.In(language.Without("denied", s))) == 0
}
