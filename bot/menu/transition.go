package menu

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
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
	Sure     bool         `json:"sure,omitempty"` // it has in it what the dog is not to get, all the same
}

// transitionCommand shows a transition, or begins or changes one as the rest
// says.
func transitionCommand(t *talk.Turn, rest string) {
	tr, verb := theTransition(t), strings.ToLower(rest)
	switch do, done := transitionVerbs()[verb]; {
	case verb == "" && tr != nil:
		ShowTransition(t, tr, "")
	case verb == "" && len(activeTransitions(t)) > 1:
		whichTransition(t)
	case verb == "", verb == "new", verb == "add":
		askTransition(t, transitionDraft{})
	case done && tr == nil:
		t.SayMsg("transition.none")
	case done:
		do(t, tr)
	default:
		takeSwitch(t, "transition "+rest)
	}
}

// TransitionWords answers a text that switches a dog's food, or says how the
// stool of one that is being switched is; it reports whether it was one.
func TransitionWords(t *talk.Turn, s string) bool {
	is, _ := t.Understand(s)
	stops := is.Intent == read.StopSwitch || !read.IsQuestion(s) && slices.ContainsFunc(activeTransitions(t), func(tr *planner.Transition) bool { return oldAgain(tr, s) })
	if stops && len(activeTransitions(t)) > 0 {
		if _, _, of := talk.DogsIn(t, s); len(of) == 1 {
			is.Dog = of[0].ID
		}
		answerStopSwitch(t, is)
		return true
	}
	switch _, tr := dogSwitched(t, s); {
	case tr != nil && read.Says("switch-on", s):
		transitionVerbs()[say.Choose(read.Says("switch-holds", s), "hold", "on")](t, tr)
		return true
	case tr != nil && read.Find("switch-step", s) != "" && !read.IsQuestion(s):
		stepBackTo(t, tr, read.Find("switch-step", s))
		return true
	case tr != nil && read.Find("switch-named", s) != "":
		nameOld(t, tr, read.Find("switch-named", s))
		return true
	case tr != nil && read.Says("switch-longer", s):
		ShowTransition(t, tr, msg("transition.longer"))
		return true
	}
	if read.IsSwitch(s, t.Names()) {
		if s == t.Event.Text {
			s = t.AsTyped() // which says more than the sentence put for it
		}
		takeSwitch(t, s)
		return true
	}
	return stoolWords(t, s) || stepAhead(t, s)
}

// dogSwitched is the dog that a text tells of, and its switch.
func dogSwitched(t *talk.Turn, s string) (*planner.Dog, *planner.Transition) {
	d, tr := talk.TheDog(t), theTransition(t)
	if of := t.Alarm(s).Dogs; len(of) == 1 {
		d, tr = t.Dog(of[0]), planner.TransitionOf(t.Home, of[0])
	}
	if tr == nil || tr.Over(t.Date()) || d != nil && d.ID != tr.Dog {
		return d, nil
	}
	return d, tr
}

// transitionVerbs are what a word or a button does with a switch.
func transitionVerbs() map[string]func(t *talk.Turn, tr *planner.Transition) {
	stool := func(s planner.Stool) func(*talk.Turn, *planner.Transition) {
		return func(t *talk.Turn, tr *planner.Transition) { checkStool(t, tr, t.Date(), s) }
	}
	return map[string]func(t *talk.Turn, tr *planner.Transition){
		"show":     func(t *talk.Turn, tr *planner.Transition) { ShowTransition(t, tr, "") },
		"hold":     holdTransition,
		"wait":     holdTransition,
		"on":       resumeTransition,
		"resume":   resumeTransition,
		"go on":    resumeTransition,
		"stop":     askStopTransition,
		"end":      askStopTransition,
		"really":   stopTransition,
		"old":      backToOld,
		"tomorrow": beginTomorrow,
		"firm":     stool(planner.FirmStool),
		"soft":     stool(planner.SoftStool),
		"loose":    stool(planner.LooseStool),
	}
}

// activeTransitions are the transitions that are not done and whose dog is
// there.
func activeTransitions(t *talk.Turn) (out []*planner.Transition) {
	for i := range t.Home.Transitions {
		if tr := &t.Home.Transitions[i]; !tr.Done && t.Dog(tr.Dog) != nil {
			out = append(out, tr)
		}
	}
	return out
}

// theTransition is the transition that is meant where none is named: that of
// the dog last spoken of, else the only one.
func theTransition(t *talk.Turn) *planner.Transition {
	if d := talk.TheDog(t); d != nil {
		if tr := planner.TransitionOf(t.Home, d.ID); tr != nil {
			return tr
		}
	}
	if all := activeTransitions(t); len(all) == 1 {
		return all[0]
	}
	return nil
}

func whichTransition(t *talk.Turn) {
	out := t.SayMsg("transition.which")
	for _, tr := range activeTransitions(t) {
		out.Offer(t.Button(t.Dog(tr.Dog).Name, "transition", "show", tr.Dog))
	}
}

// takeSwitch takes a transition as typed.
func takeSwitch(t *talk.Turn, s string) {
	w, err := read.SwitchText(s, t.Names(), t.Event.At)
	var p span.Problem
	if err != nil && !(errors.As(err, &p) && p.Code == read.UnknownRecipe && !read.IsSwitch(s, t.Names())) {
		saySwitchProblem(t, err)
		return
	}
	if of := dogsSaid(t, w.Dog); len(of) == 1 {
		w.Dog = of[0]
	}
	d := transitionDraft{Dog: w.Dog, Old: w.Old, Per100: w.Per100, Recipe: w.Recipe, Days: w.Days, Start: w.Start}
	if w.Rotation {
		switch own := planner.RotationOf(t.Home, w.Dog); {
		case own != nil:
			d.Rotation = own.ID
		case len(t.Home.Rotations) == 1:
			d.Rotation = t.Home.Rotations[0].ID
		case len(t.Home.Rotations) == 0:
			rotations(t)
			return
		}
	}
	askTransition(t, d)
}

// askTransition asks for what a transition still lacks, and begins it where
// it lacks nothing.
func askTransition(t *talk.Turn, d transitionDraft) {
	if d.Dog == "" && len(t.Home.Dogs) == 1 {
		d.Dog = t.Home.Dogs[0].ID
	}
	dog := t.Dog(d.Dog)
	switch {
	case len(t.Home.Dogs) == 0:
		talk.NoDog(t)
	case len(t.Home.Recipes) == 0:
		t.SayMsg("scale.no-recipe").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	case dog == nil:
		t.Ask("transition", "dog", d)
		talk.DogButtons(t, t.SayMsg("transition.ask-dog"), "dog").Offer(t.StopButton())
	case !mayBeSwitched(t, dog):
	case d.Recipe == "" && d.Rotation == "" && len(t.Home.Recipes) == 1:
		d.Recipe = t.Home.Recipes[0].ID
		askTransition(t, d)
	case d.Recipe == "" && d.Rotation == "":
		askTarget(t, d, dog)
	case d.Old == "":
		t.Ask("transition", "old", d)
		t.SayMsg("transition.ask-old", "dog", dog.Name).Offer(t.Answer(msg("button.transition-kibble"), "old", "kibble"),
			t.Answer(msg("button.transition-tins"), "old", "tinned food"), t.StopButton())
	case oddKcal(d.Per100) != "":
		askPer100(t, d)
	case d.Days < planner.LeastSteps || d.Days > planner.MostSteps:
		askSteps(t, d)
	default:
		if r := t.Recipe(d.Recipe); r != nil && !d.Sure && dogs.ExcludedText(t, dog, *r) != "" {
			t.Ask("transition", "sure", d)
			t.Say(say.Whole(dogs.ExcludedText(t, dog, *r)), say.Para(msg("eats.sure", "dog", dog.Name, "recipe", r.Name))).
				Offer(t.Answer(msg("button.eats", "recipe", r.Name), "sure", "yes"), t.StopButton())
			return
		}
		setTransition(t, d, dog)
	}
}

// mayBeSwitched reports whether a plan may be made for a dog, and says why
// where it may not.
func mayBeSwitched(t *talk.Turn, d *planner.Dog) bool {
	t.Talk.Dog = d.ID
	if tr := planner.TransitionOf(t.Home, d.ID); tr != nil && !tr.Over(t.Date()) && !tr.Resting(t.Date()) {
		t.EndIf("transition")
		out := t.SayMsg("transition.already", "dog", d.Name, "old", tr.Old)
		if tr.Held() {
			out.Offer(t.Button(msg("button.transition-on"), "transition", "on", d.ID))
		}
		out.Offer(t.Button(msg("button.transition-show"), "transition", "show", d.ID), t.Button(msg("button.transition-stop"), "transition", "stop", d.ID))
		return false
	}
	if dogs.Held(t, d) {
		t.EndIf("transition")
		return false
	}
	return true
}

func askTarget(t *talk.Turn, d transitionDraft, dog *planner.Dog) {
	t.Ask("transition", "target", d)
	out := t.SayMsg("transition.ask-target", "dog", dog.Name)
	for i := range min(len(t.Home.Rotations), 3) {
		r := &t.Home.Rotations[i]
		out.Offer(t.Answer(msg("transition.rotation", "dogs", dogNames(t, r.Dogs)), "target", r.ID))
	}
	for i := range min(len(t.Home.Recipes), 6) {
		out.Offer(t.Answer(t.Home.Recipes[i].Name, "target", t.Home.Recipes[i].ID))
	}
	out.Offer(t.StopButton())
}

// askPer100 asks for the energy of the old food; what was said of it and
// cannot be is said first.
func askPer100(t *talk.Turn, d transitionDraft) {
	wrong := say.Where(d.Per100 != 0, oddKcal(d.Per100))
	d.Per100 = 0
	t.Ask("transition", "kcal", d)
	t.Say(say.Para(wrong), say.Para(msg("transition.ask-kcal", "old", d.Old))).Offer(t.StopButton())
}

func askSteps(t *talk.Turn, d transitionDraft) {
	wrong := say.Where(d.Days != 0, msg("transition-wrong.days", "what", say.Choose(d.Days > 0, say.Trim(float64(d.Days), 0), "?")))
	d.Days = 0
	t.Ask("transition", "days", d)
	t.Say(say.Para(wrong), say.Para(msg("transition.ask-days"))).
		Offer(t.Answer(msg("button.days", "n", 7), "days", "7"), t.Answer(msg("button.days", "n", 10), "days", "10"),
			t.Answer(msg("button.days", "n", 14), "days", "14"), t.StopButton())
}

// transitionDialogue takes the answer to the open question about a
// transition.
func transitionDialogue(t *talk.Turn, d transitionDraft, in talk.Answer) {
	switch t.Talk.Step {
	case "dog":
		ids, ok := talk.DogsAnswered(t, in, func() { askTransition(t, d) })
		if !ok {
			return
		}
		d.Dog = ids[0]
	case "target":
		if !takeTarget(t, &d, in) {
			return
		}
	case "old":
		old := strings.Join(strings.Fields(in.Value()), " ")
		has := read.Says("fodder-have", strings.ToLower(old)) // "he's on kibble, 385 kcal per 100 g"
		w, err := read.SwitchText(say.Choose(has, "transition ", "transition from ")+old, t.Names(), t.Event.At)
		named := err == nil && w.Old != ""
		if in.Press == "" && !(named && (has || w.Per100 > 0)) && t.Aside(in.Text) {
			return
		}
		if days, ok := read.DayCount(old); ok {
			d.Days = days // of the next question
			break
		}
		if in.Press == "" && talk.NothingDue(t, old) {
			return // "later" is no food
		}
		if in.Press == "" && read.IsQuestion(old) {
			t.NotUnderstood(old)
			return
		}
		if !say.HasLetters(old) {
			talk.Wrong(t, msg("transition-wrong.old"), func() { askTransition(t, d) })
			return
		}
		// "kibble 380 kcal per 100 g" answers two questions at once.
		if named {
			d.Old, d.Per100, d.Days = w.Old, cmp.Or(w.Per100, d.Per100), cmp.Or(w.Days, d.Days)
		} else {
			d.Old = say.Short(old)
		}
	case "kcal":
		if in.Press == "" && treatMeanwhile(t, in.Text) {
			return
		}
		per100, err := read.Density(in.Value())
		if days, ok := read.DayCount(in.Value()); err != nil && ok {
			d.Days = days
			break
		}
		if err != nil {
			sayDensityProblem(t, d, err, in)
			return
		}
		for _, c := range read.Clauses(in.Text) { // "3650 kcal/kg, it's called Acme Lamb"
			d.Old = cmp.Or(read.Find("switch-named", c), d.Old)
		}
		if d.Per100 = per100; per100 == 0 {
			talk.Wrong(t, oddKcal(0), func() { askPer100(t, d) })
			return
		}
	case "days":
		days, ok := read.DayCount(in.Value())
		if !ok || days < planner.LeastSteps || days > planner.MostSteps {
			if in.Press != "" || !t.Asked(in.Text) {
				talk.Wrong(t, msg("transition-wrong.days", "what", say.Short(in.Value())), func() { askSteps(t, d) })
			}
			return
		}
		d.Days = days
	case "sure":
		if d.Sure = in.Press == "yes" || talk.IsYes(in.Text); !d.Sure {
			if talk.IsNo(in.Text) || !t.Asked(in.Text) {
				t.StopDialogue()
			}
			return
		}
	}
	askTransition(t, d)
}

// treatMeanwhile answers a treat typed while the kcal of the label are asked:
// "treat 40 kcal" taken for a label would give the dog many times its food.
func treatMeanwhile(t *talk.Turn, s string) bool {
	_, ok := read.Treat(s, t.Names())
	return ok && !strings.Contains(s, "100") && !strings.ContainsRune(s, '/') && t.Asked(s)
}

// takeTarget takes what a dog is to be switched to.
func takeTarget(t *talk.Turn, d *transitionDraft, in talk.Answer) bool {
	if r := rotation(t, in.Press); r != nil {
		d.Rotation = r.ID
		return true
	}
	if r := t.Recipe(in.Press); r != nil {
		d.Recipe = r.ID
		return true
	}
	w, err := read.SwitchText("transition to "+in.Text, t.Names(), t.Event.At)
	switch {
	case err == nil && w.Recipe != "":
		d.Recipe = w.Recipe
	case err == nil && w.Rotation && theRotation(t) != nil:
		d.Rotation = theRotation(t).ID
	case in.Press == "" && t.Asked(in.Text):
		return false
	default:
		talk.Wrong(t, unknownTarget(t, say.Short(in.Value())), func() { askTransition(t, *d) })
		return false
	}
	return true
}

// unknownTarget says that there is no such recipe, and which there are.
func unknownTarget(t *talk.Turn, what string) string {
	if len(t.Home.Recipes) == 0 {
		return msg("scale.no-recipe")
	}
	names := talk.RecipeNames(t)
	return msg("transition-wrong.recipe", "what", what, "recipes", say.List(names), "n", len(names))
}

// dropTransition forgets the transitions of a dog.
func dropTransition(t *talk.Turn, dog string) {
	t.Home.Transitions = slices.DeleteFunc(t.Home.Transitions, func(tr planner.Transition) bool { return tr.Dog == dog })
	talk.DropReminders(t, planner.StoolReminder, dog)
}
