package dogs

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
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
	ask func(t *talk.Turn, d *planner.Dog)
	// take reads the answer into the dog and returns the message that says
	// what is wrong with it, empty where it was taken.
	take func(t *talk.Turn, d *planner.Dog, in talk.Answer) string
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
		{name: "units", ask: household.AskUnits, take: household.TakeUnits, once: true, buttons: true},
		{name: "weight", ask: askDogWeight, take: takeDogWeight},
		{name: "age", ask: askDogAge, take: takeDogAge},
		{name: "sex", ask: askDogSex, take: takeDogSex, buttons: true},
		{name: "activity", ask: askDogActivity, take: takeDogActivity, buttons: true},
		{name: "condition", ask: askDogCondition, take: takeDogCondition},
		{name: "health", ask: askDogHealth, take: takeDogHealth},
		{name: "meals", ask: askDogMeals, take: takeDogMeals, buttons: true},
		{name: "place", ask: household.AskPlace, take: household.TakePlace, once: true},
		{name: "excludes", ask: askDogExcludes, take: takeDogExcludes, later: true},
		{name: "kcal", ask: askDogKcal, take: takeDogKcal, later: true},
		{name: "ideal", ask: askDogIdeal, take: takeDogIdeal, later: true},
		{name: "adult", ask: askDogAdult, take: takeDogAdult, later: true},
	}
}

// jump is how far a weight may move at once before it is said, as a fraction:
// common veterinary practice calls 5 % in a month fast.
const jump = 0.10

// JumpText says that a weight is far from the one before.
func JumpText(t *talk.Turn, before, after planner.Dog) string {
	var notes []string
	grown := Gated(t, &after) && planner.AmountOf(after, t.Event.At).Gate == planner.GrowthGate
	if change := float64(after.Weight/before.Weight) - 1; math.Abs(change) > jump && !grown {
		way := "dog.weight-more"
		if change < 0 {
			way = "dog.weight-less"
		}
		notes = append(notes, msg("dog.weight-jump", "percent", say.Percent(math.Abs(change)), "way", msg(way),
			"before", say.BodyWeight(before.Weight, t.Home.Units)))
	}
	return say.JoinParas(notes...)
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
func startDog(t *talk.Turn, draft dogDraft) {
	if draft.Done == nil {
		draft.Done = map[string]bool{}
	}
	askNextDogStep(t, draft)
}

// askNextDogStep asks the first question that has no answer, or finishes. What
// is known of the dog is kept before.
func askNextDogStep(t *talk.Turn, draft dogDraft) {
	kept := keepSoFar(t, &draft)
	for _, s := range dogSteps() {
		if draft.Done[s.name] || s.later || s.once && othersThan(t, draft.Dog.ID) || s.name == "place" && t.Home.Zone != talk.DefaultZoneName {
			continue
		}
		t.Ask("dog", s.name, draft)
		s.ask(t, &draft.Dog)
		if head := draft.heard(t, kept, s.name); head != "" {
			last := &t.Replies[len(t.Replies)-1]
			last.Body = append([]say.Block{say.Para(head)}, last.Body...)
		}
		if last := &t.Replies[len(t.Replies)-1]; kept {
			last.Offer(t.Answer(msg("button.rest-later"), s.name, restLater))
		}
		return
	}
	keepDog(t, draft)
}

// dogDialogue takes the answer to one question of the dialogue that adds a
// dog.
func dogDialogue(t *talk.Turn, in talk.Answer) {
	var draft dogDraft
	t.Draft(&draft)
	s := findDogStep(t.Talk.Step)
	if s == nil {
		t.StopDialogue()
		return
	}
	draft.renew(t)
	in = withNumber(in, draft.Number)
	if s.name == "name" && wholeDog(t, in) {
		return
	}
	if in.Press == restLater || draft.Dog.ID != "" && s.name != "place" && saysLater(in.Text) {
		keepDog(t, draft)
		return
	}
	if s.name == "name" && len(strings.Fields(in.Text)) > 1 && draft.fill(t, in.Text) {
		askNextDogStep(t, draft)
		return
	}
	if ofAnother(t, &draft.Dog, s, in) {
		if !t.Aside(in.Text) {
			t.SayMsg("wrong.other-dog", "dog", draft.Dog.Name)
		}
		t.Again(func() { s.ask(t, &draft.Dog) })
		return
	}
	if s.interrupted(t, in) {
		t.Again(func() { s.ask(t, &draft.Dog) })
		return
	}
	if wrong := s.take(t, &draft.Dog, in); wrong != "" {
		if in.Press == "" && draft.fill(t, in.Text) {
			askNextDogStep(t, draft)
			return
		}
		told := draft.Dog.ID != "" && DogFacts(t, in.Text) // "she is 6 years old" corrects what is kept
		if in.Press == "" && (told || t.Aside(in.Text)) {
			t.Again(func() { s.ask(t, &draft.Dog) })
			return
		}
		if draft.Number = sayWrong(t, s, &draft.Dog, in, wrong); draft.Number != "" {
			t.Ask("dog", s.name, draft)
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
	if in.Press == "" && !s.free() {
		draft.fill(t, in.Text) // "5 years, neutered" answers two questions
	}
	askNextDogStep(t, draft)
}

// ageUnits are the units of an age, as they are typed.
var ageUnits = []string{"years", "months", "weeks"}

// sayWrong says what is wrong with an answer about a dog. Of an age without
// its unit it offers the units, and returns the number.
func sayWrong(t *talk.Turn, s *dogStep, d *planner.Dog, in talk.Answer, wrong string) (number string) {
	if s.buttons {
		talk.Wrong(t, wrong, func() { s.ask(t, d) })
		return ""
	}
	out := t.Say(say.Para(wrong))
	if n, err := read.Number(in.Value()); s.name == "age" && err == nil {
		number = say.Trim(n, 1)
		var row []say.Button
		for _, u := range ageUnits {
			row = append(row, t.Answer(number+" "+u, "age", number+" "+u))
		}
		out.Offer(row...)
	}
	out.Offer(t.StopButton())
	return number
}

// withNumber puts the number that was typed before in front of its unit.
func withNumber(in talk.Answer, number string) talk.Answer {
	unit := strings.ToLower(strings.Trim(in.Text, " .!"))
	if number != "" && unit != "" && slices.ContainsFunc(ageUnits, func(u string) bool { return u == unit || u[:1] == unit || u == unit+"s" }) {
		in.Text = number + " " + unit
	}
	return in
}

// interrupted answers what is no answer to a step that takes any text.
func (s *dogStep) interrupted(t *talk.Turn, in talk.Answer) bool {
	return s.free() && !(s.name == "health" && read.SaysWell(in.Text)) && talk.Interrupted(t, in)
}

// free reports that any text answers the step, so that a question has to be
// looked for first.
func (s *dogStep) free() bool { return s.name == "name" || s.name == "health" }

// wholeDog takes a dog described in one line where only its name was asked
// for.
func wholeDog(t *talk.Turn, in talk.Answer) bool {
	if in.Press != "" || !strings.ContainsAny(in.Text, "0123456789") || read.NamesDog(in.Text) {
		return false
	}
	d, problems := read.DogLine(in.Text, t.Home.Units, t.Event.At)
	if d.Name == "" || d.Weight == 0 || len(problems) > 0 {
		return false
	}
	household.AdoptHome(t, in.Text)
	startDog(t, dogDraft{Dog: d, Done: knownSteps(d)})
	return true
}

// addDog keeps a new dog, unless it is kept already, and shows it.
func addDog(t *talk.Turn, d planner.Dog) {
	if kept := t.Dog(d.ID); kept != nil {
		showAdded(t, kept)
		return
	}
	if other := t.DogNamed(d.Name); other != nil {
		if other.Weight == d.Weight {
			takeFacts(t, other, d) // the same dog, and more of it
			return
		}
		t.SayMsg("dog.name-taken", "name", d.Name)
		d.Name = ""
		draft := dogDraft{Dog: d, Done: allDogSteps("name")}
		startDog(t, draft)
		return
	}
	showAdded(t, appendDog(t, d))
}

// appendDog keeps a new dog.
func appendDog(t *talk.Turn, d planner.Dog) *planner.Dog {
	t.Mutate("did.dog-added", d.Name)
	d.ID = t.NewID("d")
	d.Weighed = t.Event.At
	mealsForAge(t, &d)
	t.Home.Dogs = append(t.Home.Dogs, d)
	talk.NoteDog(t, planner.Dog{}, d)
	return &t.Home.Dogs[len(t.Home.Dogs)-1]
}

func showAdded(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	var undo []say.Button
	if t.Before != nil {
		undo = append(undo, t.UndoButton())
	}
	showDog(t, d, say.JoinParas(msg("dog.added", "dog", d.Name), household.PlaceHeard(t)), undo...)
	t.Happened(&talk.DogAdded{Dog: d, Out: &t.Replies[len(t.Replies)-1]})
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

// EditDraft is the state of the dialogue that changes one thing of a dog.
type EditDraft struct {
	Dog    string `json:"dog"`
	Number string `json:"number,omitempty"` // an age whose unit is asked for
}

// dogAgain asks the open question about a new dog once more.
func dogAgain(t *talk.Turn) {
	var d dogDraft
	t.Draft(&d)
	d.renew(t)
	askNextDogStep(t, d)
}
