package read

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// otherWeightAt reads an adult or an ideal weight.
func (l *dogLine) otherWeightAt(at int) int {
	from := l.AfterAll(at, "expected", "estimated", "her", "his")
	to, next := &l.dog.AdultWeight, max(l.LongestOf(from, language.Phrases("adult-words")), l.LongestOf(at, language.Phrases("adult-words")))
	if next == 0 {
		to, next = &l.dog.Ideal, l.LongestOf(from, language.Phrases("goal-words"))
	}
	if next == 0 {
		return l.weightAsAdult(at)
	}
	w, end := l.weightPast(next)
	if kg, _, last := l.bodyWeightAt(next); end == 0 && to == &l.dog.Ideal && (last == len(l.Tokens) || last > 0 && l.Tokens[last].Comma) {
		w, end = kg, last // "ideal weight 14"
	}
	if end == 0 || *to != 0 {
		return 0
	}
	*to = w
	if to == &l.dog.AdultWeight {
		end = max(end, l.LongestOf(end, language.Phrases("adult-after"))) // "will be 65 kg grown"
	}
	return end
}

// weightPast reads a weight past words that may stand before it.
func (l *dogLine) weightPast(at int) (nutrition.Kilograms, int) {
	w, _, end := l.weightAt(l.past("before-weight", at))
	return w, end
}

// weightAsAdult reads "30 kg as an adult", "30 kg grown". In "9 kg adult weight
// 65 kg" the words are of the weight that follows; "20 kg adult" of a dog whose
// weight is not said yet is that.
func (l *dogLine) weightAsAdult(at int) int {
	w, _, end := l.weightAt(at)
	next := l.LongestOf(end, language.Phrases("adult-after"))
	if end == 0 || next == 0 || l.dog.AdultWeight != 0 || next == end+1 && l.Word(end) == "adult" && l.dog.Weight == 0 {
		return 0
	}
	if _, other := l.weightPast(next); other > 0 {
		return 0
	}
	l.dog.AdultWeight = w
	return next
}

// ownWeightAt reads the body weight. One that is zero, below zero or beyond
// any dog is a problem here, so that the part which is wrong can be shown.
func (l *dogLine) ownWeightAt(at int) int {
	if at < len(l.Tokens) && l.Tokens[at].IsFigure() && l.Tokens[at].Num.Whole() <= 0 && span.UnitWords[l.Word(at+1)].Kind == span.ByMass {
		return l.problem(at, at+2, span.BadWeight)
	}
	w, _, end := l.weightAt(at)
	if end == 0 || l.dog.Weight != 0 {
		return 0
	}
	if w < planner.LightestDog || w > planner.HeaviestDog {
		return l.problem(at, end, span.BadWeight)
	}
	l.dog.Weight = w
	return end
}

// kcalAt reads the kcal a day that a carer sets.
func (l *dogLine) kcalAt(at int) int {
	k, end := l.energyAt(at)
	if end == 0 || l.dog.Kcal != 0 {
		return 0
	}
	l.dog.Kcal = k
	return l.aDay(end)
}

// mealsAt reads "3 meals a day", "fed twice a day", "3x daily", "meals: 3".
func (l *dogLine) mealsAt(at int) int {
	at = l.After(at, "fed")
	n, end := l.timesADayAt(at)
	if (l.Word(at) == "meals" || l.Word(at) == "meal") && l.Word(at+1) != "a" {
		n, end = l.numberAt(at + 1)
	}
	if end == 0 {
		return 0
	}
	end = l.aDay(end)
	if n != float64(int(n)) || n < 1 || n > 6 {
		return l.problem(at, end, span.BadMeals)
	}
	l.dog.Meals = int(n)
	return end
}

// scoreAt reads the body condition score: "5/9", "condition 6", "bcs 5".
func (l *dogLine) scoreAt(at int) int {
	from := l.AfterAll(at, "body", "condition", "score", "bcs")
	if from > at && (l.Word(from) == "is" || l.Word(from) == "of") {
		from++
	}
	if from >= len(l.Tokens) || !l.Tokens[from].IsFigure() {
		return 0
	}
	_, of, slash := strings.Cut(l.Word(from), "/")
	score, end := l.conditionAt(from)
	switch {
	case end > 0 && (slash || from > at || end > from+1):
		l.dog.Condition = score
		return end
	case slash && of == "9" || from > at && !slash:
		return l.problem(at, from+1, span.BadCondition)
	case slash && of == "5":
		return l.problem(at, from+1, span.OtherScale)
	}
	return 0
}

// bornAt reads an age or a birth date. A year alone needs "born" before it.
func (l *dogLine) bornAt(at int) int {
	if l.Any(at-1, "for", "since", "in", "every", "next", "last", "past", "within", "after", "another") {
		return 0 // "antibiotics for a week"
	}
	from := at
	for l.Word(from) == "born" || l.Word(from) == "dob" || from > at && (l.Word(from) == "in" || l.Word(from) == "on") {
		from++
	}
	b, end := l.ageBeforeStage(from)
	if end == 0 {
		b, end = l.ageAt(from, l.now)
	}
	if end == 0 {
		b, end = l.bareAgeAt(at)
	}
	if end == 0 || !l.dog.Born.IsZero() || from == at && end == at+1 && len(l.Word(at)) == 4 {
		return 0
	}
	if b.code != "" {
		return l.problem(at, end, b.code)
	}
	l.dog.Born, l.dog.BornAbout = b.born, b.about
	return end
}

// bareAgeAt reads an age in years without the word: "aged 4", and "is 4" where
// the line names a weight with its unit, so that the number can be none.
func (l *dogLine) bareAgeAt(at int) (birth, int) {
	if at == 0 || at >= len(l.Tokens) || !l.Tokens[at].IsFigure() {
		return birth{}, 0
	}
	told := l.Tokens[at].Comma || l.Any(at-1, "is", "shes", "hes", "'s") // "a boxer, 7, 29 kilos"
	if !l.Any(at-1, "aged", "age") && !(told && language.Says("weight", l.Text)) {
		return birth{}, 0
	}
	if next := l.Word(at + 1); !l.clauseEnds(at+1) && next != "and" && next != "weighs" && next != "weighing" {
		return birth{}, 0 // "is 4 kg", "is 4/9"
	}
	v := l.Tokens[at].Num.Whole()
	if !(v > 0 && v <= mostYears) {
		return birth{}, 0
	}
	return birth{born: monthsBefore(l.now, int(v*12)), about: true}, at + 1
}

// sexes are what words for sex and neutering say.
var sexes = []struct {
	words    [][]string
	sex      planner.Sex
	neutered planner.Answer
}{
	{language.Phrases("sex:female-intact"), planner.Female, planner.No},
	{language.Phrases("sex:intact"), "", planner.No},
	{language.Phrases("sex:female-neutered"), planner.Female, planner.Yes},
	{language.Phrases("sex:male-neutered"), planner.Male, planner.Yes},
	{language.Phrases("sex:neutered"), "", planner.Yes},
	{language.Phrases("sex:female"), planner.Female, ""},
	{language.Phrases("sex:male"), planner.Male, ""},
	{language.Phrases("sex:to-be"), "", toBe},
}

// toBe is what words say that tell of neutering only behind a denial: "no plans to".
const toBe planner.Answer = "to be"

// sexAt reads a word for sex or neutering. What a clearer word said stands:
// "neutered" does not unsay "female". What is denied or to come is not so yet, and what
// nobody knows is left: "she hasn't been spayed", "getting him fixed in May".
func (l *dogLine) sexAt(at int) int {
	denied, unsure := l.LongestOf(at, language.Phrases("sex:denied")), l.LongestOf(at, language.Phrases("sex:unsure"))
	from, not := at, language.In("sex:not", l.Word(at))
	if unsure > 0 {
		denied, from = 0, l.past("sex:between", l.past("sex:pronouns", unsure))
	} else if denied > 0 {
		from = l.past("sex:between", denied)
	}
	for _, s := range sexes {
		end := l.LongestOf(from, s.words)
		switch {
		case end == 0 || s.neutered == toBe && denied == 0 || slices.ContainsFunc(l.Tokens[at+1:end], func(t span.Token) bool { return t.Comma || t.Stop }):
			continue
		case unsure > 0:
			s.neutered = ""
		case denied == 0 && !(s.neutered == planner.Yes && l.clauseEnds(end+1) && l.Any(end, "no", "nope", "nah")): // "neutered: no"
		case s.neutered == planner.Yes || s.neutered == toBe:
			s.neutered = planner.No
		case !not || s.neutered == "" && language.In("sex:pronouns", l.Word(from)):
			return 0 // "getting a boy" is of a boy
		case s.neutered == planner.No:
			s.neutered = planner.Yes
		case s.sex == planner.Male:
			s.sex = planner.Female
		default:
			s.sex = planner.Male
		}
		if s.neutered == planner.Yes && l.dog.Sex != "" {
			s.sex = l.dog.Sex // "a girl, castrated"
		}
		if s.sex != "" && l.dog.Sex != "" && l.dog.Sex != s.sex {
			return l.problem(at, end, span.NotPlaced)
		}
		l.dog.Sex, l.dog.Neutered = cmp.Or(s.sex, l.dog.Sex), cmp.Or(s.neutered, l.dog.Neutered)
		return end
	}
	return 0
}

func (l *dogLine) activityWordAt(at int) int {
	a, end := l.activityAt(at)
	if end == 0 || l.activitySaid {
		return 0
	}
	l.dog.Activity, l.activitySaid = a, true
	return end
}

// growingAt notes a word for a puppy or an old dog, which says too little
// without an age.
func (l *dogLine) growingAt(at int) int {
	if !l.Any(at, "puppy", "pup", "senior", "elderly", "geriatric") {
		return 0
	}
	l.growing = at
	return at + 1
}
