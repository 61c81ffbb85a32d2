package bot

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// The questions about a dog, each with how it is asked and how its answer is
// read.

// maxName is how many characters the name of a dog or recipe may have.
const maxName = 40

func askDogName(t *turn, _ *planner.Dog) { t.sayMsg("ask.dog-name").offer(t.stopButton()) }

func (t *turn) stopButton() Button { return t.button(msg("button.stop"), "stop") }

func takeDogName(_ *turn, d *planner.Dog, in answer) string {
	name, ok := read.DogName(in.value())
	if !ok {
		return msg("wrong.no-name", "text", short(name))
	}
	if n := utf8.RuneCountInString(name); n == 0 || n > maxName {
		return msg("wrong.name", "n", maxName)
	}
	d.Name = name
	return ""
}

func askUnits(t *turn, _ *planner.Dog) {
	t.sayMsg("ask.units").offer(t.answer(msg("units.metric"), "units", "metric"),
		t.answer(msg("units.imperial"), "units", "imperial"))
}

func takeUnits(t *turn, d *planner.Dog, in answer) string {
	u, ok := unitsFromWords(in.value(), t.home.Units)
	if metric, ok := dogsWeight(d, in.text, planner.Units{}); ok { // "8 kg" tells both
		if pounds, _ := dogsWeight(d, in.text, planner.Units{Pounds: true}); pounds == metric {
			d.Weight = metric
			t.adoptUnits(in.text)
			t.changed = true
			return ""
		}
	}
	if !ok {
		return msg("wrong.units")
	}
	t.home.Units, t.changed = u, true
	return ""
}

// unitsFromWords reads which units a person wants; words that name only one
// kind ("ounces") leave the other as it was.
func unitsFromWords(s string, now planner.Units) (planner.Units, bool) {
	hit := false
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,+&/.;", r) }) {
		switch w {
		case "metric":
			now, hit = planner.Units{}, true
		case "imperial", "us":
			now, hit = planner.Units{Ounces: true, Pounds: true}, true
		case "g", "gram", "grams":
			now.Ounces, hit = false, true
		case "oz", "ounce", "ounces":
			now.Ounces, hit = true, true
		case "kg", "kilo", "kilos", "kilograms":
			now.Pounds, hit = false, true
		case "lb", "lbs", "pound", "pounds":
			now.Pounds, hit = true, true
		}
	}
	return now, hit
}

func askDogWeight(t *turn, d *planner.Dog) {
	key := "ask.dog-weight"
	if t.home.Units.Pounds {
		key = "ask.dog-weight-lb"
	}
	t.sayMsg(key, "dog", d.Name)
}

// dogsWeight reads a weight, with the dog's name beside it or without.
func dogsWeight(d *planner.Dog, s string, u planner.Units) (nutrition.Kilograms, bool) {
	if w, err := read.BodyWeight(s, u); err == nil {
		return w, true
	}
	w, _, ok := read.NamedWeight(d.Name+" "+s, read.Names{Dogs: []read.Named{{ID: "x", Name: d.Name}}}, u)
	if !ok {
		w, _, ok = read.NamedWeight(s, read.Names{Dogs: []read.Named{{ID: "x", Name: d.Name}}}, u)
	}
	return w, ok
}

func takeDogWeight(t *turn, d *planner.Dog, in answer) string {
	if isYes(in.text) && d.Weight > 0 {
		return "" // to the question whether it is right
	}
	w, err := read.BodyWeight(in.value(), t.home.Units)
	if named, ok := dogsWeight(d, in.text, t.home.Units); err != nil && ok {
		w, err = named, nil // "she weighs 8 kg"
	}
	if err != nil {
		return problemOf(err, in.value())
	}
	changed := *d
	changed.Weight = w
	if err := changed.Validate(t.event.At); err != nil {
		return fieldText(err, t.home.Units)
	}
	d.Weight = w
	return ""
}

func askDogAge(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-age", "dog", d.Name).offer(t.answer(msg("button.not-sure"), "age", "skip"))
}

func takeDogAge(t *turn, d *planner.Dog, in answer) string {
	if in.press == "skip" || isNotSure(in.text) {
		d.Born, d.BornAbout = time.Time{}, false
		return ""
	}
	born, about, err := read.Age(in.value(), t.event.At)
	if err != nil {
		return problemOf(err, in.value())
	}
	changed := *d
	changed.Born, changed.BornAbout = born, about
	if err := changed.Validate(t.event.At); err != nil {
		return fieldText(err, t.home.Units)
	}
	d.Born, d.BornAbout = born, about
	return ""
}

func isNotSure(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .?!")) {
	case "not sure", "unsure", "don't know", "dont know", "no idea", "unknown", "skip", "not known":
		return true
	}
	return false
}

func askDogSex(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-sex", "dog", d.Name).
		offer(t.answer(msg("sex.spayed"), "sex", "female:yes"), t.answer(msg("sex.female"), "sex", "female:no")).
		offer(t.answer(msg("sex.neutered"), "sex", "male:yes"), t.answer(msg("sex.male"), "sex", "male:no")).
		offer(t.answer(msg("button.not-sure"), "sex", "skip"))
}

func takeDogSex(t *turn, d *planner.Dog, in answer) string {
	if in.press == "skip" || isNotSure(in.text) {
		d.Sex, d.Neutered = "", ""
		return ""
	}
	if sex, neutered, ok := strings.Cut(in.press, ":"); ok {
		d.Sex, d.Neutered = planner.Sex(sex), planner.Answer(neutered)
		return ""
	}
	got, _ := read.DogLine("x 10 kg "+in.text, t.home.Units, t.event.At)
	if got.Sex == "" && got.Neutered == "" {
		return msg("wrong.sex")
	}
	d.Sex, d.Neutered = got.Sex, got.Neutered
	return ""
}

// activities in the order of their buttons.
var activities = []planner.Activity{
	planner.LowActivity, planner.ModerateCalm, planner.ModerateBrisk, planner.HighActivity,
}

func askDogActivity(t *turn, d *planner.Dog) {
	r := t.sayMsg("ask.dog-activity", "dog", d.Name)
	for _, a := range activities {
		r.offer(t.answer(msg("activity."+string(a)), "activity", string(a)))
	}
	r.offer(t.answer(msg("button.not-sure"), "activity", "skip"))
}

func takeDogActivity(t *turn, d *planner.Dog, in answer) string {
	if in.press == "skip" || isNotSure(in.text) {
		d.Activity = ""
		return ""
	}
	a, ok := activityFromWords(in.value(), t)
	if !ok {
		return msg("wrong.activity")
	}
	d.Activity = a
	return ""
}

// activityFromWords reads a class by name or hours a day: under 1 low, 1 to
// 3 moderate, above high (FEDIAF's bands).
func activityFromWords(s string, t *turn) (planner.Activity, bool) {
	for _, a := range activities {
		if strings.EqualFold(s, string(a)) {
			return a, true
		}
	}
	words := strings.ToLower(s)
	for _, unit := range []string{"hours", "hour", "hrs", "hr", "h"} {
		if n, ok := strings.CutSuffix(strings.TrimSuffix(words, " a day"), unit); ok {
			words = strings.TrimSpace(n)
			break
		}
	}
	if hours, err := read.Number(words); err == nil && hours >= 0 && hours <= 24 {
		switch {
		case hours < 1:
			return planner.LowActivity, true
		case hours <= 3:
			return planner.ModerateCalm, true
		}
		return planner.HighActivity, true
	}
	got, _ := read.DogLine("x 10 kg "+s, t.home.Units, t.event.At)
	return got.Activity, got.Activity != ""
}

func askDogCondition(t *turn, d *planner.Dog) {
	t.sayConditions(d, func(n string) Button { return t.answer(n, "condition", n) }).
		offer(t.answer(msg("button.not-sure"), "condition", "skip"))
}

func takeDogCondition(_ *turn, d *planner.Dog, in answer) string {
	if in.press == "skip" || isNotSure(in.text) {
		d.Condition = 0
		return ""
	}
	switch strings.ToLower(strings.Trim(in.text, " .!")) {
	case "normal", "ideal", "just right", "perfect", "about right":
		d.Condition = 5
		return ""
	}
	s, _, _ := strings.Cut(strings.TrimSpace(in.value()), "/")
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > 9 {
		return msg("wrong.condition")
	}
	d.Condition = n
	return ""
}

func askDogHealth(t *turn, d *planner.Dog) {
	t.sayMsg("ask.dog-health", "dog", d.Name).offer(t.answer(msg("button.nothing"), "health", "none"))
}

func takeDogHealth(_ *turn, d *planner.Dog, in answer) string {
	s := strings.Join(strings.Fields(in.value()), " ")
	switch strings.ToLower(strings.Trim(s, ".! ")) {
	case "none", "no", "nope", "nothing", "healthy", "n/a", "-", "nothing at all", "none at all", "not that i know", "no problems", "no illness", "no issues",
		"all good", "fine", "all fine", "all healthy", "ok", "okay", "nothing known", "none known", "no notes", "perfectly healthy":
		d.Health, d.Healthy, d.Ill = "", true, false
		return ""
	}
	if utf8.RuneCountInString(s) > 300 {
		return msg("wrong.health", "n", 300)
	}
	d.Health = s
	return ""
}

func askDogMeals(t *turn, d *planner.Dog) {
	code := "ask.dog-meals"
	young := planner.MealsByAge(*d, t.event.At)
	if young > 2 {
		code = "ask.dog-meals-young"
	}
	r := t.sayMsg(code, "dog", d.Name, "n", young)
	r.offer(t.answer("1", "meals", "1"), t.answer("2", "meals", "2"), t.answer("3", "meals", "3"), t.answer("4", "meals", "4"))
}

func takeDogMeals(_ *turn, d *planner.Dog, in answer) string {
	n, err := read.Number(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(in.value()), "s"), " meal"))
	if err != nil || n != float64(int(n)) || n < 1 || n > 6 {
		return msg("wrong.meals")
	}
	d.Meals = int(n)
	return ""
}

func askPlace(t *turn, _ *planner.Dog) {
	t.sayMsg("ask.place").offer(t.answer(msg("button.later"), "place", "skip"))
}

func takePlace(t *turn, _ *planner.Dog, in answer) string {
	if in.press == "skip" || isNotSure(in.text) || strings.EqualFold(strings.Trim(in.text, " .!"), msg("button.later")) {
		return ""
	}
	zone, err := read.Zone(in.value())
	if err != nil {
		return wrongZone(in.value())
	}
	t.home.Zone, t.changed = zone, true
	return ""
}
