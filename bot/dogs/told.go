package dogs

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// DescribedDog takes "Bella is a labrador, 5 years, 28 kg" for a dog to be
// added, where nothing else was understood: a name that no dog has, a weight
// and something else that is known of a dog.
func DescribedDog(t *talk.Turn, s string) bool {
	return illAtFirst(t, s) || DogAside(t, s)
}

// DogAside takes the same in the middle of a question that is about something
// else.
func DogAside(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) == 0 && KeepSeveral(t, s) {
		sayKept(t)
		return true
	}
	d, told := toldBeside(t, s)
	describes := describedInLine(t, s)
	line, _ := read.DogLine(s, t.Home.Units, t.Event.At)
	switch {
	case describes && (d.Name == "" || strings.EqualFold(d.Name, line.Name)):
		dogFromLine(t, s)
	case !describes && !told:
		return false
	case t.Talk.Kind == "" && Introduced(t, s):
	case told:
		household.AdoptHome(t, s)
		keepDog(t, dogDraft{Dog: d})
	default:
		dogFromLine(t, s)
	}
	return true
}

// toldBeside is the dog that a text introduces in any words, which names none of the
// household's: its name, its weight and something else.
func toldBeside(t *talk.Turn, s string) (d planner.Dog, is bool) {
	another := read.Says("another-dog", s)
	_, _, known := talk.DogsIn(t, s)
	names := read.NewNames(s, t.Names(), another)
	if len(s) > mostIntroduced || len(names) != 1 || len(known) > 0 && !another || asksIn(s) || strings.Contains(s, "\n") || len(t.RecipeText(s).Lines) > 0 {
		return d, false
	}
	d = read.ToldOfDog(s, t.Home.Units, t.Event.At)
	d.Name = span.Capital(names[0].Name)
	return d, (!d.Born.IsZero() || d.Sex != "") && d.Weight > 0 && d.Validate(t.Event.At) == nil && !givesSomething(t, d.Name)
}

// mostIntroduced is how long a text is that introduces a dog (our own choice).
const mostIntroduced = 400

// asksIn reports that one of a text's sentences is a question.
func asksIn(s string) bool {
	return slices.ContainsFunc(strings.FieldsFunc(s, func(r rune) bool { return r == '.' || r == '!' || r == '?' }), func(q string) bool {
		return read.BeginsQuestion(strings.TrimSpace(q))
	})
}

// DescribesDog reports that a text is about a dog that is none of the household's.
func DescribesDog(t *talk.Turn, s string) bool {
	_, told := toldBeside(t, s)
	return told || describedInLine(t, s)
}

// describedInLine reports the same of a text of which every word is read: it names the
// dog, or tells that it is new, with its weight and something else.
func describedInLine(t *talk.Turn, s string) bool {
	if len(s) > 160 || strings.ContainsAny(s, "?\n") {
		return false
	}
	d, problems := read.DogLine(s, t.Home.Units, t.Event.At)
	told := !d.Born.IsZero() || d.Sex != "" || d.Neutered != "" || d.Activity != "" || d.Condition > 0 || len(illness.In(d.Health)) > 0
	if d.Name == "" && d.Weight > 0 && told && len(problems) == 0 && read.NewsOfDog(s) {
		return true // "I got a 20 kg lab, 3 years": the name is asked for
	}
	if givesSomething(t, d.Name) {
		return false
	}
	if d.Name == "" || d.Weight == 0 || !told || len(problems) > 1 || len(strings.Fields(d.Name)) > 3 || t.DogNamed(d.Name) != nil {
		return false
	}
	isA := strings.HasPrefix(strings.ToLower(s), strings.ToLower(d.Name)+" is a") || read.Says("another-dog", s) || read.NamesDog(s, t.Names())
	return (isA || !namesFood(t, d.Name)) && len(t.RecipeText(s).Lines) == 0 // Honey is a labrador
}

// illAtFirst keeps the illness with which somebody's first dog is told of, and
// asks for what else must be known of it: "got an old dog, bad kidneys".
func illAtFirst(t *talk.Turn, s string) bool {
	told := read.ToldOnly(s)
	if len(t.Home.Dogs) > 0 || len(s) > 400 || told == "" {
		return false
	}
	d, _ := read.DogLine(told, t.Home.Units, t.Event.At)
	if d.Health == "" && len(illness.In(d.Name)) > 0 { // "my dog is diabetic and 12"
		d.Health, d.Name = strings.TrimSuffix(d.Name, " and"), ""
	}
	if len(illness.In(d.Health)) == 0 || read.Says("health-denial", d.Health) || len(strings.Fields(d.Name)) > 3 || read.Says("oneself", told) {
		return false
	}
	if onlyFoods(d.Health) && !strings.Contains(told, "dog") && !strings.Contains(told, " has ") {
		return false // "show turkey and heart"
	}
	household.AdoptHome(t, told)
	if d.Name == "" || d.Weight == 0 || d.Validate(t.Event.At) != nil || read.SaysDog(d.Name) {
		askRestOfIll(t, d)
		return true
	}
	keepDog(t, dogDraft{Dog: d})
	return true
}

// onlyFoods reports that what would be an illness names organs alone, as foods do.
func onlyFoods(health string) bool {
	return !slices.ContainsFunc(strings.FieldsFunc(strings.ToLower(health), func(r rune) bool { return r == ' ' || r == ',' }), func(w string) bool {
		return w != "and" && !nutrition.KnownWord(w)
	})
}

// askRestOfIll asks for what must be known of a dog of which an illness is told.
func askRestOfIll(t *talk.Turn, d planner.Dog) {
	if read.SaysDog(d.Name) {
		d.Name = ""
	}
	askNextDogStep(t, dogDraft{Dog: d, Done: knownSteps(d)})
	t.LastReply().Begin(msg("dog.ill-first", "health", d.Health))
}

// givesSomething reports that what would be a name is of what a dog gets: it
// begins with a dog's name, or ends with a food's ("Mia vitamin E"), or is a food's in
// the middle of a recipe.
func givesSomething(t *talk.Turn, name string) bool {
	words := strings.Fields(name)
	if t.Talk.Kind == "recipe" && t.Foods.Find(name).Known() && nutrition.KnownWord(strings.ToLower(name)) {
		return true
	}
	for i := 1; i < len(words); i++ {
		if t.DogNamed(strings.Join(words[:i], " ")) != nil || namesFood(t, strings.Join(words[i:], " ")) {
			return true
		}
	}
	return len(words) > 1 && words[len(words)-1] == "gets"
}

// namesFood reports that words are a food's name as it is spelt: Bella is no
// slip of "belly".
func namesFood(t *talk.Turn, words string) bool {
	return t.Foods.Find(words).Food != nil && !slices.ContainsFunc(strings.Fields(words), func(w string) bool {
		return !nutrition.KnownWord(strings.ToLower(w))
	})
}

// DogFacts takes "she is spayed" and "no chicken for Pip" for what is to be
// kept of a dog, where nothing else was understood.
func DogFacts(t *talk.Turn, s string) bool {
	led := s
	if is := read.Without("asks-if-kept", s); is != s {
		s = strings.TrimRight(is, " ?")
	}
	if _, due := read.DueAnswer(s, t.Names(), t.Event.At); due {
		return false // "he had it" tells nothing of him
	}
	from, to, named := talk.DogsIn(t, s)
	one := s
	if len(named) > 1 { // "both are 5"
		one = s[:from] + s[to:]
		for _, m := range slices.Backward(span.Mentions(one, t.Names().Dogs)) {
			one = one[:m.From] + one[m.To:]
		}
		one = named[0].Name + " is " + read.Without("dogs-are", one)
	}
	id, told, ok := read.DogFacts(one, t.Names(), t.Home.Units, t.Event.At)
	d := t.Dog(id)
	if d == nil && id == "" {
		d = talk.TheDog(t)
	}
	first, _ := talk.CutWord(strings.ToLower(told.Health))
	switch breed := read.Find("is-a", s); {
	case !ok && d != nil && breed != "" && read.IsBreed(breed):
		t.Talk.Dog = d.ID
		t.SayMsg("dog.breed", "dog", d.Name)
		return true
	case !ok || d == nil && talk.TalkedOf(t) == nil || read.In("of-giving", first) || read.Says("ate-told", told.Health) || led != s && told.Health != "":
		return false
	case d == nil:
		talk.WhichDog(t)
		return true
	}
	if a := t.Alarm(s); (a.Signs || a.Past) && len(illness.In(told.Health)) == 0 || a.Stranger || len(a.Unhad) > 0 || read.Says("wishes", s) || len(named) < len(span.Mentions(s, t.Names().Dogs)) {
		return false // a sign is news, and no note on health
	}
	if read.Says("health-denial", told.Health) {
		t.SayMsg("urgent.calm")
		return true
	}
	if len(named) < 2 {
		named = []*planner.Dog{d}
	}
	for _, d := range named {
		takeFacts(t, d, told)
	}
	return true
}

// Told keeps what a text tells of a dog that it very likely changes, however it
// is put, and reports whether it tells of anything. name is the dog's, empty
// where none is named. A note that names no illness is none.
func Told(t *talk.Turn, s, name string) bool {
	told, ok := read.FactsWithin(s, t.Names(), t.Home.Units, t.Event.At)
	if len(illness.In(told.Health)) == 0 {
		told.Health = ""
	}
	if !ok || read.IsQuestion(s) || t.Alarm(s).Stranger || read.Says("health-denial", told.Health) || read.NewsOfDog(s) || read.Says("another-dog", s) || read.NamesDog(s, t.Names()) {
		return false
	}
	d := t.DogNamed(name)
	_, _, named := talk.DogsIn(t, s)
	if name == "" && read.Says("feeds-all", s) {
		named = t.Living()
	}
	if d == nil && len(named) == 1 {
		d = named[0]
	} else if len(named) > 1 && told.Ideal == 0 && told.AdultWeight == 0 {
		for _, d := range named {
			takeFacts(t, d, told)
		}
		return true
	} else if name == "" {
		d = talk.TheDog(t)
	}
	switch {
	case name != "" && d == nil: // "both"
		return false
	case d == nil:
		talk.WhichDog(t)
	case !told.Born.IsZero() && !d.Born.IsZero() && !read.Says("says-age", s): // "on that diet for 8 weeks"
		return false
	default:
		takeFacts(t, d, told)
	}
	return true
}

// HealthAside takes "Rex is allergic to chicken" in the middle of a question
// that is about something else.
func HealthAside(t *talk.Turn, s string) bool {
	return factsIf(t, s, func(told planner.Dog) bool {
		return (told.Health != "" || len(told.Excludes) > 0) && !talk.AnswersFreely(t)
	})
}

// factsIf takes what a text tells of a dog where that is such as is meant.
func factsIf(t *talk.Turn, s string, is func(told planner.Dog) bool) bool {
	_, told, ok := read.DogFacts(s, t.Names(), t.Home.Units, t.Event.At)
	return ok && is(told) && DogFacts(t, s)
}

// LeavesOutOf takes "Pip can't have chicken" for the food where a recipe has it and is
// called after it.
func LeavesOutOf(t *talk.Turn, d *planner.Dog, r *planner.Recipe) bool {
	told, ok := read.FactsWithin(t.AsTyped(), t.Names(), t.Home.Units, t.Event.At)
	named := func(food string) bool { return strings.Contains(strings.ToLower(r.Name), food) }
	out := ok && ExcludedText(t, &told, *r) != "" && slices.ContainsFunc(told.Excludes, named)
	if out {
		takeFacts(t, d, planner.Dog{Excludes: told.Excludes})
	}
	return out
}

// MissingFacts takes "4 years, spayed" for what is not known yet of the dog
// under discussion, where nothing else was understood. What is known already
// would be another dog's, or said with its name.
func MissingFacts(t *talk.Turn, s string) bool {
	d := talk.TalkedOf(t)
	if d == nil {
		return false
	}
	told, ok := read.BareFacts(s, t.Home.Units, t.Event.At)
	known := !told.Born.IsZero() && !d.Born.IsZero() || told.Sex != "" && d.Sex != "" && told.Sex != d.Sex || told.Neutered != "" && d.Neutered != "" ||
		told.Activity != "" && d.Activity != "" || told.Condition > 0 && d.Condition > 0
	if !ok || known {
		return false
	}
	if talk.TheDog(t) == nil {
		talk.WhichDog(t)
		return true
	}
	takeFacts(t, d, told)
	return true
}

// PutRight takes "5 not 4" and "female, not male" for what stands of a dog as it is said
// not to be, and asks where several facts do.
func PutRight(t *talk.Turn, s string) bool {
	right := read.Pattern("fact-right").FindStringSubmatch(s)
	if right == nil {
		return false
	}
	var of []*planner.Dog
	var told []string
	for _, d := range t.Living() {
		for _, fact := range Facts(t, d) {
			words := strings.Fields(strings.TrimSuffix(fact, "/9"))
			if t.Talk.Kind == "dog" && right[2] == "" && slices.Contains(words, right[1]) { // it was put right as it was told
				showDog(t, d, msg("dog.as-told"))
				return true
			}
			if slices.Contains(words, right[3]) && strings.Contains(fact, strings.TrimSpace(right[2])) {
				of, told = append(of, d), append(told, strings.Replace(fact, right[3], right[1], 1))
			}
		}
	}
	if len(told) == 1 {
		takeFacts(t, of[0], factOf(t, told[0]))
	} else if len(told) > 1 {
		out := t.SayMsg("fact.which")
		for i, d := range of {
			out.Offer(t.Button(d.Name+": "+told[i], "dog", "told", d.ID, told[i]))
		}
	}
	return len(told) > 0
}

// factOf is what a few words tell of a dog.
func factOf(t *talk.Turn, s string) planner.Dog {
	d, _ := read.DogLine("x, "+s, t.Home.Units, t.Event.At)
	return d
}

// ideal is the body condition of a dog that is neither fat nor thin.
const ideal = 5

// takeFacts keeps what was told of a dog.
func takeFacts(t *talk.Turn, d *planner.Dog, told planner.Dog) {
	if told.Weight > 0 && told.Weight != d.Weight { // "Pip 33.6 kg, still brisk walks"
		t.Happened(&talk.DogWeighed{Dog: d, Weight: told.Weight})
	}
	if slices.Contains(illness.In(told.Health), illness.Medicine) || read.Says("medicine", told.Health) {
		told.Meals = 0 // "apoquel 16 mg once a day"
	}
	said := told.Condition
	if n := said; n == read.ScoreInWords(t.AsTyped()) && (n > ideal && n <= d.Condition || n < ideal && d.Condition > 0 && n >= d.Condition) {
		told.Condition = 0 // "just overweight" of one that is scored 8
	}
	changed := *d
	changed.Activity, changed.Condition, changed.Meals = cmp.Or(told.Activity, d.Activity), cmp.Or(told.Condition, d.Condition), cmp.Or(told.Meals, d.Meals)
	if !told.Born.IsZero() {
		changed.Born, changed.BornAbout = told.Born, told.BornAbout
	}
	if told.Stage != "" {
		breeds(&changed, string(told.Stage))
	}
	changed.Sex, changed.Neutered = cmp.Or(told.Sex, d.Sex), cmp.Or(told.Neutered, d.Neutered)
	changed.StoresCopper, changed.Healthy = d.StoresCopper || told.StoresCopper, d.Healthy || told.Healthy
	changed.Excludes = slices.Clone(d.Excludes)
	for _, food := range told.Excludes {
		if !slices.Contains(changed.Excludes, food) {
			changed.Excludes = append(changed.Excludes, food)
		}
	}
	if told.Health != "" && !strings.Contains(d.Health, told.Health) {
		changed.Health = strings.TrimPrefix(d.Health+", "+told.Health, ", ")
	}
	switch {
	case talk.Unfit(t, changed):
	case !reflect.DeepEqual(changed, *d):
		ChangeDog(t, d.ID, changed)
	case said == 0 && (d.Condition < ideal && read.Says("thin-denied", t.AsTyped()) || d.Condition > ideal && read.Says("fat-denied", t.AsTyped())): // "he is not very thin"
		t.GoTo(read.Sentence{Intent: read.AskScore, Dog: d.ID})
	case told.Ideal+told.AdultWeight == 0 && len(t.Replies) == 0: // else its weight was said
		showDog(t, d, msg("dog.as-told"))
	}
	if vet := read.Says("names-vet", t.AsTyped()); told.Kcal > 0 && read.Says("kcal-set", t.AsTyped()) && !read.Says("kcal-per", t.AsTyped()) {
		t.GoTo(read.Sentence{Intent: say.Choose(vet, read.VetKcal, read.DogKcal), Dog: d.ID, Kcal: told.Kcal})
	}
	if told.Ideal > 0 {
		t.GoTo(read.Sentence{Intent: read.SetIdeal, Dog: d.ID, Weight: told.Ideal})
	}
	if told.AdultWeight > 0 {
		t.GoTo(read.Sentence{Intent: read.SetAdult, Dog: d.ID, Weight: told.AdultWeight})
	}
}
