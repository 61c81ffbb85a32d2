package dogs

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// dogDraft is the state of the dialogue that adds a dog: what is known so
// far, and the steps that have had their answer.
type dogDraft struct {
	Dog  planner.Dog     `json:"dog"`
	Done map[string]bool `json:"done,omitempty"`

	Told   []planner.Dog `json:"told,omitempty"`   // several dogs, whose weights are asked for
	Number string        `json:"number,omitempty"` // an age whose unit is asked for
	Sure   bool          `json:"sure,omitempty"`   // its weight was asked about
}

// done notes that steps have had their answer.
func (draft *dogDraft) done(steps ...string) {
	if draft.Done == nil {
		draft.Done = map[string]bool{}
	}
	for _, s := range steps {
		draft.Done[s] = true
	}
}

// newSteps are the questions about a new dog in the order in which they are
// asked.
func newSteps() []talk.Step[planner.Dog] {
	return []talk.Step[planner.Dog]{
		{Name: "name", Is: "dog.name", Ask: askDogName, Take: takeDogName, Free: true},
		{Name: "units", Is: "units", Ask: household.AskUnits, Take: household.TakeUnits, Repeats: true},
		{Name: "weight", Is: "dog.weight", Ask: askDogWeight, Take: takeDogWeight},
		{Name: "age", Is: "dog.age", Ask: asks("age", msg("button.not-sure"), "skip"), Take: orClears(func(d *planner.Dog) { d.Born, d.BornAbout = time.Time{}, false }, takeDogAge)},
		{Name: "sex", Is: "dog.sex", Ask: askDogSex, Take: orClears(func(d *planner.Dog) { d.Neutered = "" }, takeDogSex), Repeats: true},
		{Name: "activity", Is: "dog.activity", Ask: askDogActivity, Take: orClears(func(d *planner.Dog) { d.Activity = "" }, takeDogActivity), Repeats: true},
		{Name: "condition", Is: "dog.condition", Ask: askDogCondition, Take: orClears(func(d *planner.Dog) { d.Condition = 0 }, takeDogCondition)},
		{Name: "health", Is: "dog.health", Ask: asks("health", msg("button.nothing"), "none"), Take: takeDogHealth, Free: true},
		{Name: "meals", Is: "dog.meals", Ask: askDogMeals, Take: takeDogMeals, Repeats: true},
		{Name: "place", Is: "dog.place", Ask: household.AskPlace, Take: household.TakePlace},
	}
}

// dogSteps are all questions about a dog: the last are asked only where a carer
// edits it.
func dogSteps() []talk.Step[planner.Dog] {
	return append(newSteps(),
		talk.Step[planner.Dog]{Name: "excludes", Ask: asks("excludes", msg("button.nothing"), "none"), Take: takeDogExcludes},
		talk.Step[planner.Dog]{Name: "kcal", Ask: askDogKcal, Take: takeDogKcal},
		talk.Step[planner.Dog]{Name: "ideal", Is: "dog.weight", Ask: asks("ideal", msg("button.not-sure"), "skip"), Take: takesWeight(func(d *planner.Dog, w nutrition.Kilograms) { d.SetGoal(w, planner.GoalSet) })},
		talk.Step[planner.Dog]{Name: "adult", Is: "dog.weight", Ask: asks("adult", msg("button.not-sure"), "skip"), Take: takesWeight(func(d *planner.Dog, w nutrition.Kilograms) { d.AdultWeight = w })})
}

// asks asks a question that a button answers where the carer has nothing to type.
func asks(step, label, press string) func(*talk.Turn, *planner.Dog) {
	return func(t *talk.Turn, d *planner.Dog) {
		t.SayMsg("ask.dog-"+step, "dog", d.Name).Offer(t.Answer(label, step, press))
	}
}

// ofHousehold reports that a question is about the household: it is asked only
// with the first dog.
func ofHousehold(step string) bool { return step == "units" || step == "place" }

// askNextDogStep asks the first question that has no answer, or finishes. What
// is known of the dog is kept before; at first the draft may hold what a one-line
// description gave.
func askNextDogStep(t *talk.Turn, draft dogDraft) {
	draft.done()
	kept := keepSoFar(t, &draft)
	others := slices.ContainsFunc(t.Home.Dogs, func(d planner.Dog) bool { return d.ID != draft.Dog.ID })
	asked := newSteps()
	if draft.Dog.AdultWeight == 0 && planner.Growing(draft.Dog, t.Event.At) {
		asked = append(asked, *talk.StepNamed(dogSteps(), "adult"))
	}
	for _, s := range asked {
		known := s.Name == "place" && t.Home.Zone != talk.DefaultZoneName
		if draft.Done[s.Name] || known || ofHousehold(s.Name) && others {
			continue
		}
		t.Ask("dog", s.Name, draft)
		s.Ask(t, &draft.Dog)
		last := t.LastReply().Begin(draft.heard(t, kept, s.Name))
		if kept {
			last.Offer(t.Answer(msg("button.rest-later"), s.Name, restLater))
		}
		return
	}
	keepDog(t, draft)
}

// dogDialogue takes the answer to one question of the dialogue that adds a
// dog.
func dogDialogue(t *talk.Turn, draft dogDraft, in talk.Answer) {
	s := talk.StepNamed(dogSteps(), t.Talk.Step)
	if s == nil {
		t.StopDialogue()
		return
	}
	draft.renew(t)
	was := draft.Dog
	in.Text = otherNamed(t, &was, in.Text)
	if name := read.NameLed(in.Text); s.Name == "name" && name != "" {
		in.Text = name
	} else if s.Name != "name" {
		in.Text = cmp.Or(strings.TrimSpace(read.Without("told-lead", in.Text)), in.Text)
		if !s.Free {
			in.Text = cmp.Or(strings.TrimSpace(read.Without("compared", in.Text)), in.Text) // "two, same as Bran"
		}
	}
	if s.Name == "age" && in.Press == "" {
		if age := ageSaid(in.Text); len(strings.Fields(age)) < 4 {
			in.Text = age // "years obvs"
		}
		if n, err := span.Number(in.Text); err == nil {
			in.Text = say.Trim(n, 1) // "eight" is no slip of "weight"
		}
	}
	in = withNumber(in, draft.Number)
	times := ""
	if s.Name == "meals" {
		in.Text, times = mealTimes(in.Text)
	}
	if answer := read.Without("why-asked", in.Text); answer != in.Text && in.Press == "" {
		t.SayMsg("dog.why-asked", "dog", draft.Dog.Name)
		if in.Text = strings.TrimSpace(answer); in.Text == "" {
			s.Ask(t, &draft.Dog)
			return
		}
	}
	asked := ""
	if m := read.Pattern("asks-with").FindStringSubmatch(in.Text); m != nil && s.Name != "name" { // "I said 8 not 7, and what's her goal now?"
		if n, _ := read.ScoreSaid(m[1]); n > 0 || s.Name != "health" {
			in.Text, asked = m[1], m[2]
		}
	}
	if first, rest, more := strings.Cut(in.Text, ". "); s.Name == "place" && more { // "leeds. my husband feeds him too"
		in.Text, asked = first, rest
	}
	score, or := read.ScoreSaid(in.Text)
	ofScore := s.Name == "condition" || s.Name == "health" || read.Says("of-condition", in.Text)
	switch {
	case in.Press == "" && talk.Pasted(t, in.Text): // before "lean" is a dog's
		t.Again(func() { s.Ask(t, &draft.Dog) })
		return
	case len(draft.Told) > 0 && in.Press == "" && draft.weigh(t, in.Text):
		keepTold(t, in.Text, draft.Told)
		sayKept(t)
		return
	case len(draft.Told) > 0 && in.Press == "" && read.Says("weight", in.Text):
		t.Ask("dog", "name", draft)
		askWeights(t, unweighed(draft.Told))
		return
	case s.Name == "name" && in.Press == "" && draft.empty() && severalTold(t, in.Text):
		return
	case in.Press == restLater || draft.Dog.ID != "" && s.Name != "place" && read.Said("the-rest-later", in.Text):
		keepDog(t, draft)
		return
	case s.Name == "name" && len(strings.Fields(in.Text)) > 1 && draft.fill(t, in.Text):
		askNextDogStep(t, draft)
		return
	case in.Press == "" && s.Name != "name" && s.Name != "units" && draft.putRight(t, in.Text):
		putRightSaid(t, &was, draft, s)
		return
	case in.Press == "" && read.IsBreed(in.Text) && (s.Name != "name" || strings.Contains(in.Text, " ")):
		draft.Dog.StoresCopper = draft.Dog.StoresCopper || read.StoresCopper(in.Text)
		draft.renew(t)
		s.Ask(t, &draft.Dog) // it says nothing else that is reckoned with, and is no name
		return
	case s.Name == "health" && in.Press == "" && score > 0 && say.HasLetters(in.Text): // "5 i think, I feel the ribs"
		draft.Dog.Condition = score
		askNextDogStep(t, draft)
		echo(t, &was, &draft.Dog)
		if asked != "" {
			t.Aside(asked)
		}
		return
	case s.Name == "health" && in.Press == "" && read.Says("score-not", in.Text): // of the condition told last
		draft.Dog.Condition = 0
		delete(draft.Done, "condition")
		askNextDogStep(t, draft)
		return
	case s.Name == "health" && in.Press == "" && draft.beside(t, in.Text):
		echo(t, &was, &draft.Dog)
		return
	case s.Name == "health" && factsIf(t, in.Text, func(told planner.Dog) bool { return told.Health == "" && len(told.Excludes) > 0 }): // "no chicken for Pip" is no note
		draft.renew(t)
		t.Again(func() { s.Ask(t, &draft.Dog) })
		return
	case s.Name == "health" && (noNote(t, draft.Dog.Name, in.Text) && t.Aside(in.Text) || factsIf(t, in.Text, func(told planner.Dog) bool { return told.Health == "" && !read.SaysWell(in.Text) })): // "she's 9 and spayed"
		t.Again(func() { dogAgain(t, draft) })
		return
	case in.Press == "" && s.Name != "name" && (draft.others(t, in.Text) || ofScore && draft.others(t, read.Without("score-had", in.Text))):
		return
	case (s.Name != "condition" || or == 0) && (ofAnother(t, &draft.Dog, s, in) || interrupted(t, s, &draft.Dog, in)):
		return
	}
	switch {
	case in.Press != "":
	case s.Name == "age":
		in.Text = ageSaid(in.Text) // "six, she is spayed"
	case s.Name == "weight":
		in.Text = read.Without("weight-answer", in.Text) // "about 20 last time"
	case s.Name == "sex":
		in.Text = read.Without("sex-answer", in.Text) // "she had the operation"
	}
	if wrong := s.Take(t, &draft.Dog, in); wrong != "" {
		switch {
		case in.Press == "" && draft.fill(t, in.Text):
			news := noted(t, &was, &draft.Dog)
			if news == "" && s.Name != "name" && len(strings.Fields(in.Text)) >= fewestSaid { // it says little of the dog, and more
				t.Ask("dog", s.Name, draft)
				sayElse(t, s, &draft.Dog, in.Text)
				return
			}
			askNextDogStep(t, draft)
			echo(t, &was, &draft.Dog)
		case in.Press == "" && draft.Dog.ID != "" && DogFacts(t, in.Text): // "she is 6 years old" corrects what is kept
			t.Again(func() { dogAgain(t, draft) })
		default:
			if draft.Number = sayWrong(t, s, &draft.Dog, in, wrong); draft.Number != "" {
				t.Ask("dog", s.Name, draft)
			}
		}
		return
	}
	draft.Number = ""
	draft.done(s.Name)
	if s.Name == "units" && draft.Dog.Weight > 0 {
		draft.done("weight")
	}
	if in.Press == "" && !s.Free {
		draft.fill(t, in.Text) // "5 years, neutered" answers two questions
	}
	if asked != "" && !draft.putRight(t, asked) && !t.Aside(asked) {
		t.Unused(asked)
	}
	askNextDogStep(t, draft)
	if in.Press == "" && t.Talk.Kind == "dog" && len(strings.Fields(t.AsTyped())) > fewWords {
		echo(t, &was, &draft.Dog)
	}
	if times != "" {
		feedAt(t, "feed "+draft.Dog.Name+" at"+times)
	}
}

// fewWords is up to how many words an answer is as good as a tap, and is not said again
// (our own choice).
const fewWords = 2

// putRightSaid goes on after something was put right: it says what is kept now, if
// nothing was said, and asks again.
func putRightSaid(t *talk.Turn, was *planner.Dog, draft dogDraft, s *talk.Step[planner.Dog]) {
	if len(t.Replies) > 0 {
		draft.renew(t)
		t.Again(func() { s.Ask(t, &draft.Dog) })
		return
	}
	askNextDogStep(t, draft)
	if was.Health != "" && draft.Dog.Health == "" {
		t.LastReply().Begin(msg("dog.note-gone", "note", say.Short(was.Health)))
		return
	}
	t.LastReply().Begin(msg("dog.changed-to", "dog", draft.Dog.Name, "facts", cmp.Or(strings.Join(newFacts(t, was, &draft.Dog), ", "), say.BodyWeight(draft.Dog.Weight, t.Home.Units))))
}

// ageUnits are the units of an age, as they are typed.
var ageUnits = []string{"years", "months", "weeks"}

// sayWrong answers what is no answer about a dog. To an age without its unit it
// offers the units, and returns the number.
func sayWrong(t *talk.Turn, s *talk.Step[planner.Dog], d *planner.Dog, in talk.Answer, wrong string) (number string) {
	n, err := span.Number(in.Value())
	if in.Press == "" && !s.Free && len(strings.Fields(in.Text)) >= fewestSaid {
		sayElse(t, s, d, in.Text)
		return ""
	}
	if !s.Refuse(t, d, in, wrong) || s.Name != "age" || err != nil {
		return ""
	}
	number = say.Trim(n, 1)
	row := say.Each(ageUnits, func(unit string) say.Button { return t.Answer(number+" "+unit, "age", number+" "+unit) })
	last := t.LastReply()
	last.Buttons = append([][]say.Button{row}, last.Buttons...)
	return number
}

// fewestSaid is from how many words on what is no answer about a dog is taken for
// something else (our own choice).
const fewestSaid = 5

// sayElse answers what is about something else than the question about a dog, or says
// that it was not understood, and asks again in a line or so.
func sayElse(t *talk.Turn, s *talk.Step[planner.Dog], d *planner.Dog, text string) {
	ask := func() { askBriefly(t, s, d) }
	switch {
	case t.Aside(text):
		t.Again(ask)
	case talk.Likeliest(t, text).Intent != "chat.none" && t.Elsewhere(text, ask):
	default:
		t.SayMsg("wrong.no-answer", "text", say.Short(text))
		ask()
	}
}

// askBriefly asks a question about a dog again, without the nine lines of the body
// condition.
func askBriefly(t *talk.Turn, s *talk.Step[planner.Dog], d *planner.Dog) {
	if s.Name != "condition" {
		s.Ask(t, d)
		return
	}
	row := say.Each(strings.Split("123456789", ""), func(n string) say.Button { return t.Answer(n, "condition", n) })
	t.SayMsg("ask.condition-brief", "dog", d.Name).Rows(3, row...).Offer(t.Answer(msg("button.not-sure"), "condition", "skip"))
}

// interrupted answers what is no answer to a step that takes any text.
func interrupted(t *talk.Turn, s *talk.Step[planner.Dog], d *planner.Dog, in talk.Answer) bool {
	return !(s.Name == "health" && read.SaysWell(in.Text)) && s.Interrupted(t, d, in)
}

// EditDraft is the state of the dialogue that changes one thing of a dog.
type EditDraft struct {
	Dog    string `json:"dog"`
	Number string `json:"number,omitempty"` // an age whose unit is asked for
}

// dogAgain asks the open question about a new dog once more.
func dogAgain(t *talk.Turn, d dogDraft) {
	d.renew(t)
	known := knownSteps(d.Dog) // what was told in between is not asked
	for step, done := range d.Done {
		known[step] = known[step] || done
	}
	d.Done = known
	askNextDogStep(t, d)
}

// keepDog adds the dog of a draft. A weight that no dog of its age has is asked
// about first, once: often it is what the dog is to weigh when grown.
func keepDog(t *talk.Turn, draft dogDraft) {
	most, growing := planner.HeaviestAt(draft.Dog, t.Event.At)
	if draft.Sure || !growing || draft.Dog.Weight <= most {
		t.EndDialogue()
		addDog(t, draft.Dog)
		return
	}
	draft.Done, draft.Sure = allDogSteps("weight"), true
	d := draft.Dog
	t.Ask("dog", "weight", draft)
	u := t.Home.Units
	why := say.Choose(d.AdultWeight > 0, msg("dog.heavy-grown", "grown", say.BodyWeight(d.AdultWeight, u)), msg("dog.heavy-breed"))
	weight := say.BodyWeight(d.Weight, u)
	t.Say(say.Para(msg("dog.heavy", "weight", weight, "dog", d.Name, "age", ageText(d.Born, t.Event.At))),
		say.Para(why)).
		Offer(t.Answer(msg("button.is-right", "weight", weight), "weight", weight), t.StopButton())
}
