package bot

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// transitionDraft is the state of the dialogue that begins a transition.
type transitionDraft struct {
	Dog      string       `json:"dog,omitempty"`
	Old      string       `json:"old,omitempty"`
	Per100   float64      `json:"per_100,omitempty"`
	Recipe   string       `json:"recipe,omitempty"`
	Rotation string       `json:"rotation,omitempty"`
	Days     int          `json:"days,omitempty"`
	Start    planner.Date `json:"start,omitzero"`
}

// transitionCommand shows a transition, or begins or changes one as the rest
// says.
func (t *turn) transitionCommand(rest string) {
	tr := t.theTransition()
	switch strings.ToLower(rest) {
	case "":
		switch {
		case tr != nil:
			t.showTransition(tr, "")
		case len(t.activeTransitions()) > 1:
			t.whichTransition()
		default:
			t.askTransition(transitionDraft{})
		}
		return
	case "new", "add":
		t.askTransition(transitionDraft{})
		return
	case "hold", "wait", "resume", "go on", "stop", "end", "firm", "soft", "loose":
		if tr == nil {
			t.sayMsg("transition.none")
			return
		}
		t.onTransition(tr, strings.ToLower(rest))
		return
	}
	t.takeSwitch("transition " + rest)
}

// transitionWords answers a text that switches a dog's food, or says how the
// stool of one that is being switched is; it reports whether it was one.
func (t *turn) transitionWords(s string) bool {
	if read.IsSwitch(s, t.names()) {
		t.takeSwitch(s)
		return true
	}
	if stool, ok := read.StoolSaid(s); ok {
		if tr := t.theTransition(); tr != nil {
			t.checkStool(tr, t.date(), stool)
			return true
		}
	}
	return false
}

func (t *turn) onTransition(tr *planner.Transition, word string) {
	switch word {
	case "hold", "wait":
		t.holdTransition(tr)
	case "resume", "go on":
		t.resumeTransition(tr)
	case "stop", "end":
		t.askStopTransition(tr)
	default:
		t.checkStool(tr, t.date(), planner.Stool(word))
	}
}

// activeTransitions are the transitions that are not done and whose dog is
// there.
func (t *turn) activeTransitions() (out []*planner.Transition) {
	for i := range t.home.Transitions {
		if tr := &t.home.Transitions[i]; !tr.Done && t.dog(tr.Dog) != nil {
			out = append(out, tr)
		}
	}
	return out
}

// theTransition is the transition that is meant where none is named: that of
// the dog last spoken of, else the only one.
func (t *turn) theTransition() *planner.Transition {
	if d := t.theDog(); d != nil {
		if tr := planner.TransitionOf(t.home, d.ID); tr != nil {
			return tr
		}
	}
	if all := t.activeTransitions(); len(all) == 1 {
		return all[0]
	}
	return nil
}

func (t *turn) whichTransition() {
	out := t.sayMsg("transition.which")
	for _, tr := range t.activeTransitions() {
		out.offer(t.button(t.dog(tr.Dog).Name, "transition", "show", tr.Dog))
	}
}

// takeSwitch takes a transition as typed.
func (t *turn) takeSwitch(s string) {
	w, err := read.SwitchText(s, t.names(), t.event.At)
	if err != nil {
		t.saySwitchProblem(err)
		return
	}
	d := transitionDraft{Dog: w.Dog, Old: w.Old, Per100: w.Per100, Recipe: w.Recipe, Days: w.Days, Start: w.Start}
	if w.Rotation {
		switch own := planner.RotationOf(t.home, w.Dog); {
		case own != nil:
			d.Rotation = own.ID
		case len(t.home.Rotations) == 1:
			d.Rotation = t.home.Rotations[0].ID
		case len(t.home.Rotations) == 0:
			t.rotations()
			return
		}
	}
	t.askTransition(d)
}

// askTransition asks for what a transition still lacks, and begins it where
// it lacks nothing.
func (t *turn) askTransition(d transitionDraft) {
	if d.Dog == "" && len(t.home.Dogs) == 1 {
		d.Dog = t.home.Dogs[0].ID
	}
	dog := t.dog(d.Dog)
	switch {
	case len(t.home.Dogs) == 0:
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
	case len(t.home.Recipes) == 0:
		t.sayMsg("scale.no-recipe").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
	case dog == nil:
		t.ask("transition", "dog", d)
		t.dogButtons(t.sayMsg("transition.ask-dog"), "dog").offer(t.stopButton())
	case !t.mayBeSwitched(dog):
	case d.Recipe == "" && d.Rotation == "" && len(t.home.Recipes) == 1:
		d.Recipe = t.home.Recipes[0].ID
		t.askTransition(d)
	case d.Recipe == "" && d.Rotation == "":
		t.askTarget(d, dog)
	case d.Old == "":
		t.ask("transition", "old", d)
		t.sayMsg("transition.ask-old", "dog", dog.Name).offer(t.answer(msg("button.transition-kibble"), "old", "kibble"),
			t.answer(msg("button.transition-tins"), "old", "tinned food"), t.stopButton())
	case !(d.Per100 >= planner.LeastPer100 && d.Per100 <= planner.MostPer100):
		t.askPer100(d)
	case d.Days < planner.LeastSteps || d.Days > planner.MostSteps:
		t.askSteps(d)
	default:
		t.setTransition(d, dog)
	}
}

// mayBeSwitched reports whether a plan may be made for a dog, and says why
// where it may not.
func (t *turn) mayBeSwitched(d *planner.Dog) bool {
	t.talk.Dog = d.ID
	if tr := planner.TransitionOf(t.home, d.ID); tr != nil && !tr.Over(t.date()) {
		t.endSwitchDialogue()
		t.sayMsg("transition.already", "dog", d.Name, "old", tr.Old).
			offer(t.button(msg("button.transition-show"), "transition", "show", d.ID), t.button(msg("button.transition-stop"), "transition", "stop", d.ID))
		return false
	}
	if t.held(d) {
		t.endSwitchDialogue()
		return false
	}
	return true
}

func (t *turn) endSwitchDialogue() {
	if t.talk.Kind == "transition" {
		t.endDialogue()
	}
}

func (t *turn) askTarget(d transitionDraft, dog *planner.Dog) {
	t.ask("transition", "target", d)
	out := t.sayMsg("transition.ask-target", "dog", dog.Name)
	for i := range min(len(t.home.Rotations), 3) {
		r := &t.home.Rotations[i]
		out.offer(t.answer(msg("transition.rotation", "dogs", t.dogNames(r.Dogs)), "target", r.ID))
	}
	for i := range min(len(t.home.Recipes), 6) {
		out.offer(t.answer(t.home.Recipes[i].Name, "target", t.home.Recipes[i].ID))
	}
	out.offer(t.stopButton())
}

// askPer100 asks for the energy of the old food; what was said of it and
// cannot be is said first.
func (t *turn) askPer100(d transitionDraft) {
	wrong := ""
	if d.Per100 != 0 {
		wrong = msg("transition-wrong.odd-kcal", "what", trim(d.Per100, 1), "low", planner.LeastPer100, "high", planner.MostPer100)
	}
	d.Per100 = 0
	t.ask("transition", "kcal", d)
	t.say(para(wrong), para(msg("transition.ask-kcal", "old", d.Old))).offer(t.stopButton())
}

func (t *turn) askSteps(d transitionDraft) {
	wrong := ""
	if d.Days != 0 {
		wrong = msg("transition-wrong.days", "what", trim(float64(d.Days), 0))
		if d.Days < 0 {
			wrong = msg("transition-wrong.days", "what", "?")
		}
	}
	d.Days = 0
	t.ask("transition", "days", d)
	t.say(para(wrong), para(msg("transition.ask-days"))).
		offer(t.answer(msg("button.days", "n", 7), "days", "7"), t.answer(msg("button.days", "n", 10), "days", "10"),
			t.answer(msg("button.days", "n", 14), "days", "14"), t.stopButton())
}

// transitionDialogue takes the answer to the open question about a
// transition.
func (t *turn) transitionDialogue(in answer) {
	var d transitionDraft
	t.draft(&d)
	switch t.talk.Step {
	case "dog":
		ids, ok := t.dogsAnswered(in, func() { t.askTransition(d) })
		if !ok {
			return
		}
		d.Dog = ids[0]
	case "target":
		if !t.takeTarget(&d, in) {
			return
		}
	case "old":
		old := strings.Join(strings.Fields(in.value()), " ")
		if in.press == "" && t.aside(in.text) {
			return
		}
		if in.press == "" && t.nothingDue(old) {
			return // "later" is no food
		}
		if in.press == "" && read.IsQuestion(old) {
			t.notUnderstood(old)
			return
		}
		if !hasLetters(old) {
			t.wrong(msg("transition-wrong.old"), func() { t.askTransition(d) })
			return
		}
		// "kibble 380 kcal per 100 g" answers two questions at once.
		if w, err := read.SwitchText("transition from "+old, t.names(), t.event.At); err == nil && w.Old != "" {
			d.Old = w.Old
			if w.Per100 > 0 {
				d.Per100 = w.Per100
			}
		} else {
			d.Old = short(old)
		}
	case "kcal":
		if in.press == "" && t.treatMeanwhile(in.text) {
			return
		}
		per100, err := read.Density(in.value())
		if err != nil {
			t.sayDensityProblem(d, err, in)
			return
		}
		if d.Per100 = per100; per100 == 0 {
			t.wrong(msg("transition-wrong.odd-kcal", "what", 0, "low", planner.LeastPer100, "high", planner.MostPer100), func() { t.askPer100(d) })
			return
		}
	case "days":
		days, ok := read.DayCount(in.value())
		if !ok || days < planner.LeastSteps || days > planner.MostSteps {
			if in.press != "" || !t.asked(in.text) {
				t.wrong(msg("transition-wrong.days", "what", short(in.value())), func() { t.askSteps(d) })
			}
			return
		}
		d.Days = days
	}
	t.askTransition(d)
}

// treatMeanwhile answers a treat typed while the kcal of the label are asked:
// "treat 40 kcal" taken for a label would give the dog many times its food.
func (t *turn) treatMeanwhile(s string) bool {
	if _, ok := read.Treat(s, t.names()); !ok || strings.Contains(s, "100") || strings.ContainsRune(s, '/') {
		return false
	}
	return t.asked(s)
}

// takeTarget takes what a dog is to be switched to.
func (t *turn) takeTarget(d *transitionDraft, in answer) bool {
	if r := t.rotation(in.press); r != nil {
		d.Rotation = r.ID
		return true
	}
	if r := t.recipe(in.press); r != nil {
		d.Recipe = r.ID
		return true
	}
	w, err := read.SwitchText("transition to "+in.text, t.names(), t.event.At)
	switch {
	case err == nil && w.Recipe != "":
		d.Recipe = w.Recipe
	case err == nil && w.Rotation && t.theRotation() != nil:
		d.Rotation = t.theRotation().ID
	case in.press == "" && t.asked(in.text):
		return false
	default:
		t.wrong(t.unknownTarget(short(in.value())), func() { t.askTransition(*d) })
		return false
	}
	return true
}

// hasLetters reports that a text says anything.
func hasLetters(s string) bool {
	return strings.ToLower(s) != strings.ToUpper(s)
}

// unknownTarget says that there is no such recipe, and which there are.
func (t *turn) unknownTarget(what string) string {
	if len(t.home.Recipes) == 0 {
		return msg("scale.no-recipe")
	}
	names := t.recipeNames()
	return msg("transition-wrong.recipe", "what", what, "recipes", list(names), "n", len(names))
}

// sayDensityProblem says why an energy was not understood; the question
// stays open.
func (t *turn) sayDensityProblem(d transitionDraft, err error, in answer) {
	var p read.Problem
	again := func() { t.askPer100(d) }
	switch {
	case errors.As(err, &p) && p.Code == read.NoWeightBasis:
		t.wrong(msg("transition-wrong.by-weight", "what", short(p.Part)), again)
	case !t.asked(in.text):
		t.wrong(msg("transition-wrong.no-kcal", "what", short(in.value())), again)
	}
}

// saySwitchProblem says why a transition as typed was not understood.
func (t *turn) saySwitchProblem(err error) {
	var p read.Problem
	if !errors.As(err, &p) {
		t.fail(err)
		return
	}
	what := short(p.Part)
	switch p.Code {
	case read.UnknownRecipe:
		t.say(para(t.unknownTarget(what)))
	case read.NoWeightBasis:
		t.sayMsg("transition-wrong.by-weight", "what", what)
	case read.NotEnergy:
		t.sayMsg("transition-wrong.no-kcal", "what", what)
	case read.BadDate, read.PastDate, read.AmbiguousDate, read.NoDate:
		t.sayMsg("transition-wrong.date", "what", what)
	default:
		t.say(para(problemText(p)))
	}
}

// dropTransition forgets the transitions of a dog.
func (t *turn) dropTransition(dog string) {
	t.home.Transitions = slices.DeleteFunc(t.home.Transitions, func(tr planner.Transition) bool { return tr.Dog == dog })
	t.dropStoolReminder(dog)
}

// dropStoolReminder forgets the evening's question about a dog's stool.
func (t *turn) dropStoolReminder(dog string) {
	t.home.Reminders = slices.DeleteFunc(t.home.Reminders, func(r planner.Reminder) bool {
		return r.Kind == planner.StoolReminder && r.Dog == dog
	})
}

// transitionAgain asks the open question about a switch once more.
func (t *turn) transitionAgain() {
	var d transitionDraft
	t.draft(&d)
	t.askTransition(d)
}
