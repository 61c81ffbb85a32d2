package bot

import (
	"errors"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// dogDraft is the state of the dialogue that adds a dog: what is known so
// far, and the steps that have had their answer.
type dogDraft struct {
	Dog  planner.Dog     `json:"dog"`
	Done map[string]bool `json:"done,omitempty"`

	Number string `json:"number,omitempty"` // an age whose unit is asked for
	Sure   bool   `json:"sure,omitempty"`   // its weight was asked about
}

// dogStep is one question about a dog.
type dogStep struct {
	name string
	// ask says the question and offers its buttons.
	ask func(t *turn, d *planner.Dog)
	// take reads the answer into the dog and returns the message that says
	// what is wrong with it, empty where it was taken.
	take func(t *turn, d *planner.Dog, in answer) string
	// once says that the question is about the household and is asked only
	// until it is answered; later that it is asked only where a carer edits
	// the dog.
	once, later bool
	// buttons says that they are asked again with what is wrong with an answer.
	buttons bool
}

// dogSteps are the questions in the order in which they are asked.
func dogSteps() []dogStep {
	return []dogStep{
		{name: "name", ask: askDogName, take: takeDogName},
		{name: "units", ask: askUnits, take: takeUnits, once: true, buttons: true},
		{name: "weight", ask: askDogWeight, take: takeDogWeight},
		{name: "age", ask: askDogAge, take: takeDogAge},
		{name: "sex", ask: askDogSex, take: takeDogSex, buttons: true},
		{name: "activity", ask: askDogActivity, take: takeDogActivity, buttons: true},
		{name: "condition", ask: askDogCondition, take: takeDogCondition},
		{name: "health", ask: askDogHealth, take: takeDogHealth},
		{name: "meals", ask: askDogMeals, take: takeDogMeals, buttons: true},
		{name: "place", ask: askPlace, take: takePlace, once: true},
		{name: "excludes", ask: askDogExcludes, take: takeDogExcludes, later: true},
		{name: "kcal", ask: askDogKcal, take: takeDogKcal, later: true},
		{name: "ideal", ask: askDogIdeal, take: takeDogIdeal, later: true},
		{name: "adult", ask: askDogAdult, take: takeDogAdult, later: true},
	}
}

// jump is how far a weight may move at once before it is said, as a fraction:
// common veterinary practice calls 5 % in a month fast.
const jump = 0.10

// jumpText says that a weight is far from the one before.
func (t *turn) jumpText(before, after planner.Dog) string {
	var notes []string
	grown := t.gated(&after) && planner.AmountOf(after, t.event.At).Gate == planner.GrowthGate
	if change := float64(after.Weight/before.Weight) - 1; math.Abs(change) > jump && !grown {
		way := "dog.weight-more"
		if change < 0 {
			way = "dog.weight-less"
		}
		notes = append(notes, msg("dog.weight-jump", "percent", percent(math.Abs(change)), "way", msg(way),
			"before", bodyWeight(before.Weight, t.home.Units)))
	}
	return joinParas(notes...)
}

func findDogStep(name string) *dogStep {
	for _, s := range dogSteps() {
		if s.name == name {
			return &s
		}
	}
	return nil
}

// startDog opens the dialogue that adds a dog; the draft may hold what a
// one-line description gave.
func (t *turn) startDog(draft dogDraft) {
	if draft.Done == nil {
		draft.Done = map[string]bool{}
	}
	t.askNextDogStep(draft)
}

// askNextDogStep asks the first question that has no answer, or finishes.
func (t *turn) askNextDogStep(draft dogDraft) {
	for _, s := range dogSteps() {
		if draft.Done[s.name] || s.later || s.once && len(t.home.Dogs) > 0 {
			continue
		}
		t.ask("dog", s.name, draft)
		s.ask(t, &draft.Dog)
		return
	}
	t.keepDog(draft)
}

// dogDialogue takes the answer to one question of the dialogue that adds a
// dog.
func (t *turn) dogDialogue(in answer) {
	var draft dogDraft
	t.draft(&draft)
	s := findDogStep(t.talk.Step)
	if s == nil {
		t.stopDialogue()
		return
	}
	in = withNumber(in, draft.Number)
	if s.name == "name" && t.wholeDog(in) {
		return
	}
	if s.free() && t.interrupted(in) {
		t.again(func() { s.ask(t, &draft.Dog) })
		return
	}
	if wrong := s.take(t, &draft.Dog, in); wrong != "" {
		if in.press == "" && t.aside(in.text) {
			t.again(func() { s.ask(t, &draft.Dog) })
			return
		}
		if draft.Number = t.sayWrong(s, &draft.Dog, in, wrong); draft.Number != "" {
			t.ask("dog", s.name, draft)
		}
		return
	}
	if draft.Done == nil {
		draft.Done = map[string]bool{}
	}
	draft.Done[s.name], draft.Number = true, ""
	if s.name == "units" && draft.Dog.Weight > 0 {
		draft.Done["weight"] = true
	}
	t.askNextDogStep(draft)
}

// ageUnits are the units of an age, as they are typed.
var ageUnits = []string{"years", "months", "weeks"}

// sayWrong says what is wrong with an answer about a dog. Of an age without
// its unit it offers the units, and returns the number.
func (t *turn) sayWrong(s *dogStep, d *planner.Dog, in answer, wrong string) (number string) {
	if s.buttons {
		t.wrong(wrong, func() { s.ask(t, d) })
		return ""
	}
	out := t.say(para(wrong))
	if n, err := read.Number(in.value()); s.name == "age" && err == nil {
		number = trim(n, 1)
		var row []Button
		for _, u := range ageUnits {
			row = append(row, t.answer(number+" "+u, "age", number+" "+u))
		}
		out.offer(row...)
	}
	out.offer(t.stopButton())
	return number
}

// withNumber puts the number that was typed before in front of its unit.
func withNumber(in answer, number string) answer {
	unit := strings.ToLower(strings.Trim(in.text, " .!"))
	if number != "" && unit != "" && slices.ContainsFunc(ageUnits, func(u string) bool { return u == unit || u[:1] == unit || u == unit+"s" }) {
		in.text = number + " " + unit
	}
	return in
}

// free reports that any text answers the step, so that a question has to be
// looked for first.
func (s *dogStep) free() bool { return s.name == "name" || s.name == "health" }

// interrupted answers a question typed where any text would be an answer, and
// reports whether it did: a sentence of three words or more, or one with a
// question mark, or the answer to a reminder that waits for one.
func (t *turn) interrupted(in answer) bool {
	if in.press != "" || len(strings.Fields(in.text)) < 3 && !strings.HasSuffix(strings.TrimSpace(in.text), "?") && !t.reg.hears.Due(t, in.text) {
		return false
	}
	return t.aside(in.text)
}

// wholeDog takes a dog described in one line where only its name was asked
// for.
func (t *turn) wholeDog(in answer) bool {
	if in.press != "" || !strings.ContainsAny(in.text, "0123456789") {
		return false
	}
	d, problems := read.DogLine(in.text, t.home.Units, t.event.At)
	if d.Name == "" || d.Weight == 0 || len(problems) > 0 {
		return false
	}
	t.adoptUnits(in.text)
	t.startDog(dogDraft{Dog: d, Done: knownSteps(d)})
	return true
}

// addDog keeps a new dog and shows it.
func (t *turn) addDog(d planner.Dog) {
	if other := t.dogNamed(d.Name); other != nil {
		t.sayMsg("dog.name-taken", "name", d.Name)
		draft := dogDraft{Dog: d, Done: allDogSteps("name")}
		t.startDog(draft)
		return
	}
	t.mutate("did.dog-added", d.Name)
	d.ID = t.newID("d")
	d.Weighed = t.event.At
	t.mealsForAge(&d)
	t.home.Dogs = append(t.home.Dogs, d)
	t.noteDog(planner.Dog{}, d)
	t.talk.Dog = d.ID
	t.showDog(&d, msg("dog.added", "dog", d.Name), t.undoButton())
	t.happened(&dogAdded{&d, &t.replies[len(t.replies)-1]})
}

// allDogSteps is every step but some, as done.
func allDogSteps(but ...string) map[string]bool {
	done := map[string]bool{}
	for _, s := range dogSteps() {
		done[s.name] = true
	}
	for _, b := range but {
		delete(done, b)
	}
	return done
}

func (t *turn) dogNamed(name string) *planner.Dog {
	for i := range t.home.Dogs {
		if strings.EqualFold(t.home.Dogs[i].Name, name) {
			return &t.home.Dogs[i]
		}
	}
	return nil
}

// editDraft is the state of the dialogue that changes one thing of a dog.
type editDraft struct {
	Dog    string `json:"dog"`
	Number string `json:"number,omitempty"` // an age whose unit is asked for
}

// editDog asks the one question whose answer is to be changed.
func (t *turn) editDog(d *planner.Dog, step string) {
	s := findDogStep(step)
	if s == nil {
		t.sayMsg("press.stale")
		return
	}
	t.ask("dog-edit", step, editDraft{Dog: d.ID})
	s.ask(t, d)
}

// dogEditDialogue takes the answer to the question that editDog asked.
func (t *turn) dogEditDialogue(in answer) {
	var draft editDraft
	t.draft(&draft)
	d, s := t.dog(draft.Dog), findDogStep(t.talk.Step)
	if d == nil || s == nil {
		t.endDialogue()
		t.sayMsg("press.stale")
		return
	}
	in = withNumber(in, draft.Number)
	if s.free() && t.interrupted(in) {
		t.again(func() { s.ask(t, d) })
		return
	}
	changed := *d
	if wrong := s.take(t, &changed, in); wrong != "" {
		if in.press == "" && t.aside(in.text) {
			t.again(func() { s.ask(t, d) })
			return
		}
		if draft.Number = t.sayWrong(s, d, in, wrong); draft.Number != "" {
			t.ask("dog-edit", s.name, draft)
		}
		return
	}
	t.endDialogue()
	if other := t.dogNamed(changed.Name); other != nil && other.ID != d.ID {
		t.sayMsg("dog.name-taken", "name", changed.Name)
		return
	}
	if s.name == "health" && d.Health != "" {
		t.addHealth(d, changed)
		return
	}
	if s.name == "ideal" && changed.Ideal != d.Ideal {
		typed := goalTyped{dog: d, goal: changed.Ideal}
		if t.happened(&typed); typed.asked {
			return
		}
	}
	if s.name == "kcal" && changed.InForce.Ground != planner.OnEquation {
		said := read.Sentence{Intent: read.DogKcal, Dog: d.ID, Kcal: changed.Kcal}
		if changed.ByVet {
			said.Intent = read.VetKcal
		}
		t.goTo(said)
		return
	}
	t.changeDog(d.ID, changed)
}

// changeDog keeps a changed dog and shows it.
func (t *turn) changeDog(id string, changed planner.Dog) {
	d := t.dog(id)
	if changed.Weight != d.Weight { // alone, from its field: a weigh-in like another
		t.happened(&dogWeighed{d, changed.Weight})
		return
	}
	t.mutate("did.dog-changed", changed.Name)
	if !changed.Born.Equal(d.Born) && len(changed.FeedAt) == 0 {
		t.mealsForAge(&changed)
	}
	notes := t.jumpText(*d, changed)
	t.noteDog(*d, changed)
	moved := len(changed.FeedAt) > 0 && len(changed.FeedAt) != changed.Meals && changed.Meals != d.Meals
	if moved {
		changed.FeedAt = planner.DefaultMealTimes(changed.Meals)
		notes = joinParas(notes, msg("feeding.moved", "dog", changed.Name, "times", clocksText(changed.FeedAt)))
	}
	was := *d
	*d = changed
	if moved {
		t.happened(&dogTimesMoved{d})
	}
	t.talk.Dog = id
	t.showDog(d, joinParas(msg("dog.changed", "dog", d.Name), notes), t.undoButton())
	t.happened(&dogChanged{was, d})
}

// short cuts what a person typed to what a reply repeats of it.
func short(s string) string {
	const most = 60
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most-1]) + "…"
}

// problemOf says what is wrong with a text that package read refused.
func problemOf(err error, typed string) string {
	var p read.Problem
	if errors.As(err, &p) {
		return problemText(p)
	}
	return msg("wrong.text", "text", short(typed))
}

// dogAgain asks the open question about a new dog once more.
func (t *turn) dogAgain() {
	var d dogDraft
	t.draft(&d)
	t.askNextDogStep(d)
}
