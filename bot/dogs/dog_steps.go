package dogs

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

func askDogName(t *talk.Turn, _ *planner.Dog) { t.SayMsg("ask.dog-name").Offer(t.StopButton()) }

func takeDogName(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	name, ok := read.DogName(in.Value())
	if _, err := span.Number(in.Value()); err == nil {
		return msg("wrong.name-number", "text", in.Value())
	}
	if !ok || talk.IsNotSure(name) || talk.IsNo(name) || talk.IsYes(name) || read.Said("the-rest-later", name) || strings.Contains(name, ",") && name == in.Text || name == in.Text && read.EverydayWords(name) || len(strings.Fields(name)) > 4 && name == in.Text {
		return msg("wrong.no-name", "text", say.Short(name))
	}
	if told, problems := read.DogLine("x, "+name, t.Home.Units, t.Event.At); name == in.Text && len(problems) == 0 && told.Neutered+planner.Answer(told.Sex) != "" {
		return msg("wrong.no-name", "text", say.Short(name)) // "female spayed"
	}
	if n := utf8.RuneCountInString(name); n == 0 || n > say.MaxName {
		return msg("wrong.name", "n", say.MaxName)
	}
	if name == strings.ToLower(name) {
		name = say.Capital(name) // typed in a hurry
	}
	d.Name = name
	return ""
}

func askDogWeight(t *talk.Turn, d *planner.Dog) {
	t.SayMsg(say.Choose(t.Home.Units.Pounds, "ask.dog-weight-lb", "ask.dog-weight"), "dog", d.Name)
}

func takeDogWeight(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if talk.IsYes(in.Text) && d.Weight > 0 {
		return "" // to the question whether it is right
	}
	w, err := span.BodyWeight(in.Value(), t.Home.Units)
	if named, ok := household.DogsWeight(d, in.Text, t.Home.Units); err != nil && ok {
		if !read.Says("of-weight", in.Text) {
			return msg("wrong.age-or-weight", "n", say.Trim(float64(named), 1)) // "Jip is 13"
		}
		w, err = named, nil // "she weighs 8 kg"
	}
	if err != nil {
		return talk.ProblemOf(err, in.Value())
	}
	return setFit(t, d, func(d *planner.Dog) { d.Weight = w })
}

// setFit sets what a dog was told to be, where that can be; else it returns what is
// wrong.
func setFit(t *talk.Turn, d *planner.Dog, set func(*planner.Dog)) string {
	changed := *d
	set(&changed)
	if err := changed.Validate(t.Event.At); err != nil {
		return say.FieldText(err, t.Home.Units)
	}
	set(d)
	return ""
}

// takes reads an answer about a dog, and returns what is wrong with it.
type takes = func(t *talk.Turn, d *planner.Dog, in talk.Answer) (wrong string)

// orClears takes an answer, or clears what was asked for where a carer is not sure of it.
func orClears(clears func(*planner.Dog), take takes) takes {
	return func(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
		if in.Press == "skip" || talk.IsNotSure(in.Text) {
			clears(d)
			return ""
		}
		return take(t, d, in)
	}
}

func takeDogAge(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	born, about, err := read.Age(in.Value(), t.Event.At)
	if err != nil {
		return talk.ProblemOf(err, in.Value())
	}
	return setFit(t, d, func(d *planner.Dog) { d.Born, d.BornAbout = born, about })
}

func askDogSex(t *talk.Turn, d *planner.Dog) {
	r := t.SayMsg("ask.dog-sex", "dog", d.Name)
	if d.Sex != planner.Male { // else "he" was said
		r.Offer(t.Answer(msg("sex.spayed"), "sex", "female:yes"), t.Answer(msg("sex.female"), "sex", "female:no"))
	}
	if d.Sex != planner.Female {
		r.Offer(t.Answer(msg("sex.neutered"), "sex", "male:yes"), t.Answer(msg("sex.male"), "sex", "male:no"))
	}
	r.Offer(t.Answer(msg("button.not-sure"), "sex", "skip"))
}

func takeDogSex(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if sex, neutered, ok := strings.Cut(in.Press, ":"); ok {
		d.Sex, d.Neutered = planner.Sex(sex), planner.Answer(neutered)
		return ""
	}
	got := read.ToldOfDog(in.Text, t.Home.Units, t.Event.At)
	aside := got.Neutered == "" && len(strings.Fields(in.Text)) > 3 && !read.Says("sex", in.Text) // "she is on kibble at the minute"
	if got.Sex == "" && got.Neutered == "" || aside {
		return msg("wrong.sex")
	}
	d.Sex, d.Neutered = cmp.Or(got.Sex, d.Sex), got.Neutered
	return ""
}

// activities in the order of their buttons.
var activities = []planner.Activity{
	planner.LowActivity, planner.ModerateCalm, planner.ModerateBrisk, planner.HighActivity,
}

func askDogActivity(t *talk.Turn, d *planner.Dog) {
	r := t.SayMsg("ask.dog-activity", "dog", d.Name)
	for _, a := range activities {
		r.Offer(t.Answer(msg("activity."+string(a)), "activity", string(a)))
	}
	r.Offer(t.Answer(msg("button.not-sure"), "activity", "skip"))
}

func takeDogActivity(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	a, ok := activityFromWords(in.Value(), t)
	if !ok {
		return msg("wrong.activity")
	}
	d.Activity = a
	return ""
}

// activityFromWords reads a class by name or hours a day. A bare figure above 12, or in
// less than quarters of an hour, is taken for a weight (our own choice).
func activityFromWords(s string, t *talk.Turn) (planner.Activity, bool) {
	if i := slices.IndexFunc(activities, func(a planner.Activity) bool { return strings.EqualFold(s, string(a)) }); i >= 0 {
		return activities[i], true
	}
	hours, err := span.Number(read.Without("hours-a-day", strings.ToLower(s)))
	if _, bare := span.Number(s); bare == nil && (hours > 12 || hours*4 != math.Trunc(hours*4)) {
		return "", false // "19.2" is a weight
	}
	if err == nil && hours >= 0 && hours <= 24 {
		return read.ActivityOf(hours), true
	}
	got := read.ToldOfDog(s, t.Home.Units, t.Event.At)
	return got.Activity, got.Activity != ""
}

func askDogCondition(t *talk.Turn, d *planner.Dog) {
	SayConditions(t, d, func(n string) say.Button { return t.Answer(n, "condition", n) }).
		Offer(t.Answer(msg("button.not-sure"), "condition", "skip"))
}

func takeDogCondition(_ *talk.Turn, d *planner.Dog, in talk.Answer) string {
	s, _, _ := strings.Cut(strings.TrimSpace(in.Value()), "/")
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if words := read.ScoreInWords(in.Text); words > 0 && !strings.ContainsAny(in.Text, "0123456789?") {
		n, err = words, nil
	}
	if said, or := read.ScoreSaid(in.Text); or > 0 {
		return msg("wrong.condition-or", "n", said, "or", or)
	} else if said > 0 {
		n, err = said, nil
	}
	if err != nil || n < 1 || n > 9 {
		return msg("wrong.condition")
	}
	d.Condition = n
	return ""
}

func takeDogHealth(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	s := strings.Join(strings.Fields(in.Value()), " ")
	if read.SaysWell(s) || read.Says("was-ill", s) && len(illness.In(s)) == 0 {
		d.Health, d.Healthy, d.Ill = "", true, false
		return ""
	}
	if _, err := span.Number(s); err == nil || read.Says("only-time", s) { // of a question that was answered before
		return msg("wrong.health-number")
	}
	if read.FoodUpsets(s) {
		return msg("wrong.health-food", "dog", d.Name)
	}
	if read.Says("only-activity", s) {
		return msg("wrong.health-activity")
	}
	if utf8.RuneCountInString(s) > 300 {
		return msg("wrong.health", "n", 300)
	}
	d.Health = s
	d.Excludes = append(d.Excludes, read.ToldOfDog(s, t.Home.Units, t.Event.At).Excludes...) // "allergic to chicken"
	return ""
}

func askDogMeals(t *talk.Turn, d *planner.Dog) {
	young := planner.MealsByAge(*d, t.Event.At)
	t.SayMsg(say.Choose(young > 2, "ask.dog-meals-young", "ask.dog-meals"), "dog", d.Name, "n", young).Offer(t.Answer("1", "meals", "1"), t.Answer("2", "meals", "2"), t.Answer("3", "meals", "3"), t.Answer("4", "meals", "4"))
}

func takeDogMeals(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	said := read.Without("meals-answer", in.Value())
	n, err := span.Number(said)
	if told := read.ToldOfDog(said, t.Home.Units, t.Event.At).Meals; err != nil && told > 0 {
		n, err = float64(told), nil // "twice"
	}
	if err != nil || n != float64(int(n)) || n < 1 || n > 6 {
		return msg("wrong.meals")
	}
	d.Meals = int(n)
	return ""
}

// mealTimes parts the times of meals from how many there are: "two. breakfast about 7.30 and
// tea about half 5".
func mealTimes(s string) (meals, times string) {
	m := read.Pattern("meal-times").FindStringSubmatch(s)
	if m == nil {
		return s, ""
	}
	times = " " + strings.Join(strings.Fields(read.Without("meal-words", m[1])), " ")
	return strings.TrimSuffix(s, m[0]), strings.NewReplacer(" at night", " at night", " at ", " ").Replace(times)
}

// feedAt sets the times that were told with how many meals there are, before what is asked
// next; what is not understood is said.
func feedAt(t *talk.Turn, feed string) {
	next := t.Replies
	t.Replies, t.Event.Text = nil, feed
	if _, ok := t.Understand(feed); !ok {
		t.Unused(feed)
		t.Replies = next
	} else if done := t.Aside(feed); !done || t.Talk.Kind != "clock" {
		t.Replies = append(t.Replies, next...)
	}
}

// mealsForAge gives a young dog as many meals as are usual at its age, where a
// carer has not said how many.
func mealsForAge(t *talk.Turn, d *planner.Dog) {
	if n := planner.MealsByAge(*d, t.Event.At); d.Meals == 0 && n > 2 {
		d.Meals = n
	}
}

// newlyOld is how many days back a dog may have come to an age at which it needs
// fewer meals for that to be said (our own choice: the step of a schedule comes
// once a week, and one may be missed).
const newlyOld = 35

// SayFewerMeals says, once for each age, that a puppy has come to one at which
// fewer meals do, and offers times for them. It changes nothing.
func SayFewerMeals(t *talk.Turn, d *planner.Dog) {
	n, now := planner.MealsByAge(*d, t.Event.At), talk.MealsOf(*d)
	told := "meals-" + strconv.Itoa(n) + "-" + d.ID
	if now <= n || planner.MealsByAge(*d, t.Event.At.AddDate(0, 0, -newlyOld)) <= n || d.Diabetic() || !talk.TellOnce(t, told) {
		return
	}
	times := say.ClocksText(planner.DefaultMealTimes(n))
	t.SayMsg("meals.fewer", "dog", d.Name, "n", n, "now", now).Offer(
		t.Button(msg("button.meals-fewer", "n", n, "times", times), "meals", "fewer", d.ID, strconv.Itoa(n)),
		t.Button(msg("button.meals-stay", "n", now), "meals", "stay", d.ID))
}

// withNumber puts the number that was typed before in front of its unit.
func withNumber(in talk.Answer, number string) talk.Answer {
	unit := strings.ToLower(strings.Trim(in.Text, " .!"))
	if number != "" && unit != "" && slices.ContainsFunc(ageUnits, func(u string) bool { return u == unit || u[:1] == unit || u == unit+"s" }) {
		in.Text = number + " " + unit
	}
	return in
}

// What is asked of a dog only where a carer edits it.

func askDogKcal(t *talk.Turn, d *planner.Dog) {
	if planner.AmountOf(*d, t.Event.At).Waits() {
		t.SayMsg("ask.vet-kcal", "dog", d.Name)
		return
	}
	t.SayMsg("ask.dog-kcal", "dog", d.Name).Offer(t.Answer(msg("button.by-equation"), "kcal", "skip"))
}

// Kcal a day that can be set by hand: from a toy pup's to those of a sled dog
// in extreme cold (FEDIAF 2021, from memory; limits: common practice, no
// source).
const LeastKcal, MostKcal = 20, 30000

// takeDogKcal takes a figure set by hand. Of a dog whose food waits for its vet
// it is the vet's.
func takeDogKcal(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if in.Press == "skip" || strings.Contains(strings.ToLower(in.Text), "equation") {
		d.PutInForce(ByEquation(t, d), planner.OnEquation, t.Event.Person, t.Event.At)
		return ""
	}
	k, err := span.Energy(in.Value())
	if err != nil {
		n, wrong := span.Number(in.Value())
		if wrong != nil {
			return msg("wrong.kcal")
		}
		k = nutrition.Kcal(n)
	}
	if k < LeastKcal || k > MostKcal {
		return msg("wrong.kcal")
	}
	ground := say.Choose(d.ByVet || planner.AmountOf(*d, t.Event.At).Waits(), planner.OnVet, planner.OnCarer)
	d.PutInForce(k, ground, t.Event.Person, t.Event.At)
	return ""
}

// takesWeight reads a weight into one of a dog's fields; "not sure" clears it.
func takesWeight(set func(*planner.Dog, nutrition.Kilograms)) takes {
	return orClears(func(d *planner.Dog) { set(d, 0) }, func(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
		w, err := span.BodyWeight(in.Value(), t.Home.Units)
		if err != nil {
			return talk.ProblemOf(err, in.Value())
		}
		return setFit(t, d, func(d *planner.Dog) { set(d, w) })
	})
}

// takeDogExcludes reads what a dog may not have: foods, or kinds of food, at
// commas. A word that excludes nothing is said.
func takeDogExcludes(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	if read.Said("says-none", in.Value()) {
		d.Excludes = nil
		return ""
	}
	var words []string
	for _, w := range strings.FieldsFunc(in.Value(), func(r rune) bool { return strings.ContainsRune(",;/\n", r) }) {
		w = read.Without("excluded-lead", strings.TrimSpace(w))
		if w == "" || utf8.RuneCountInString(w) > say.MaxName {
			continue
		}
		excludes := slices.ContainsFunc(t.Foods.Foods(), func(f *nutrition.Food) bool { return nutrition.Excluded(f, []string{w}) })
		if !excludes {
			return msg("problem.unknown-food", "part", say.Short(w))
		}
		words = append(words, w)
	}
	d.Excludes = words
	return ""
}

// editAgain asks the open question about a dog once more.
func editAgain(t *talk.Turn, draft EditDraft) {
	if d := t.Dog(draft.Dog); d != nil {
		editDog(t, d, t.Talk.Step)
	} else {
		t.Gone()
	}
}

// allDogSteps is every step but some, as done.
func allDogSteps(but ...string) map[string]bool {
	done := map[string]bool{}
	for _, s := range dogSteps() {
		done[s.Name] = true
	}
	for _, b := range but {
		delete(done, b)
	}
	return done
}

// ageSaid is an answer to how old a dog is without what stands around the age.
func ageSaid(s string) string {
	return read.Without("age-first", strings.ToLower(strings.ReplaceAll(s, "’", "'")))
}

// noNote reports that what was typed where health is asked for is the dog's name,
// or a sentence that asks for something else: "my dogs".
func noNote(t *talk.Turn, name, s string) bool {
	_, asks := t.Understand(s)
	return strings.EqualFold(strings.Trim(s, " .!?"), name) || asks && !read.SaysWell(s) && len(illness.In(s)) == 0
}
