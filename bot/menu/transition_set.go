package menu

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strconv"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/bot/balance"
	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// stoolTime is when the evening's question about the stool is asked (our own
// choice); a carer can change it like any reminder's.
var stoolTime = planner.At(19, 0)

// lateStart is the hour from which a transition that is set begins tomorrow: the dog has had
// a meal of the day already.
const lateStart = 12

// setTransition begins a transition.
func setTransition(t *talk.Turn, d transitionDraft, dog *planner.Dog) {
	tr := planner.Transition{Dog: d.Dog, Old: d.Old, OldPer100: d.Per100, Recipe: d.Recipe, Rotation: d.Rotation, Days: d.Days, Start: d.Start}
	if tr.Start.IsZero() {
		if tr.Start = t.Date(); t.Event.At.Hour() >= lateStart {
			tr.Start = tr.Start.AddDays(1)
		}
	}
	home := *t.Home // a transition that is over does not stand in the way
	home.Transitions = slices.DeleteFunc(slices.Clone(home.Transitions), func(o planner.Transition) bool { return o.Dog == d.Dog })
	if wrong := tr.Validate(&home); wrong != "" {
		t.EndIf("transition")
		t.Say(say.Para(cmp.Or(transitionWrong[wrong], msg("transition-wrong.no-target"))))
		return
	}
	t.EndIf("transition")
	t.Mutate("did.transition", dog.Name)
	dropTransition(t, dog.ID)
	left := joinTarget(t, tr, dog)
	t.Home.Transitions = append(t.Home.Transitions, tr)
	talk.AddReminder(t, planner.Reminder{Kind: planner.StoolReminder, Dog: dog.ID,
		Schedule: planner.Schedule{EveryDays: 1, Anchor: tr.Start, Times: []planner.Clock{stoolTime}}})
	planRotations(t)
	sayTransitionSet(t, &t.Home.Transitions[len(t.Home.Transitions)-1], dog, left)
}

// joinTarget puts a dog on what it is switched to, so that it eats that when
// the transition is over, and says which rotation it leaves.
func joinTarget(t *talk.Turn, tr planner.Transition, dog *planner.Dog) (left string) {
	kept := t.Home.Rotations[:0]
	for _, r := range t.Home.Rotations {
		nobody := len(r.Dogs) == 0
		if i := slices.Index(r.Dogs, dog.ID); i >= 0 && r.ID != tr.Rotation {
			r.Dogs = slices.Delete(slices.Clone(r.Dogs), i, i+1)
			left = msg("transition.left-rotation", "dog", dog.Name)
		}
		if r.ID == tr.Rotation && !slices.Contains(r.Dogs, dog.ID) {
			r.Dogs = append(slices.Clone(r.Dogs), dog.ID)
		}
		if nobody || len(r.Dogs) > 0 {
			kept = append(kept, r)
		}
	}
	t.Home.Rotations = kept
	if tr.Recipe != "" {
		dog.Eat(tr.Recipe)
	}
	others := slices.Clone(t.Home.Others)
	for i := range others { // half of its food by the plan and the switch's share beside it would be too much
		if o := &others[i]; o.Dog == dog.ID && o.Lasting() {
			o.Until = tr.Start.AddDays(-1)
			left = say.JoinParas(left, msg("transition.ends-share", "dog", dog.Name, "food", say.Capital(cmp.Or(o.Name, talk.RecipeName(t, o.Recipe)))))
		}
	}
	t.Home.Others = slices.DeleteFunc(others, func(o planner.Other) bool { return !o.Lasting() && o.Until.Before(o.From) })
	return left
}

// sayTransitionSet says the plan: what is switched, then each day's amounts.
func sayTransitionSet(t *talk.Turn, tr *planner.Transition, dog *planner.Dog, left string) {
	n := planner.AmountOf(*dog, t.Event.At)
	r := t.Recipe(tr.NewRecipe(t.Home))
	target := say.Choose(tr.Rotation != "", msg("transition.a-rotation"), r.Name)
	rows, trouble := stepRows(t, tr, dog, r)
	failing := balance.Failing(t, dog, r)
	out := t.Say(say.Para(msg("transition.set", "dog", dog.Name, "old", tr.Old, "per100", say.Trim(tr.OldPer100, 1), "target", target, "n", tr.Days, "day", say.DayText(tr.Start),
		"kcal", say.Kcal(n.Kcal), "range", dogs.NeedRange(t, n))), say.Para(trouble), say.TableBlock(rows), say.Para(afterText(tr)), say.Para(msg("transition.set-how")), say.Para(left),
		say.Whole(say.JoinParas(failing, recipes.CookText(t, r.Ingredients), balance.TooMuchText(t, r, dog), balance.KeptText(t, dog, r), dogs.GateText(*dog, n))))
	balance.OfferMissing(t, out, dog, r, failing)
	if tr.Start == t.Date() {
		out.Offer(t.Button(msg("button.transition-tomorrow"), "transition", "tomorrow", dog.ID))
	}
	out.Offer(t.Button(msg("button.transition-show"), "transition", "show", dog.ID), t.UndoButton())
}

// stepRows are the amounts of each day, if every stool is firm.
func stepRows(t *talk.Turn, tr *planner.Transition, dog *planner.Dog, r *planner.Recipe) (rows []say.TableRow, trouble string) {
	n := planner.AmountOf(*dog, t.Event.At)
	u := t.Home.Units
	unit := say.MassUnit(u)
	rows = append(rows, say.TableRow{Label: unit, Cells: []string{text.Snip(tr.Old, 10, "…"), text.Snip(r.Name, 12, "…") + say.Where(bowls.Made(t, dog, r, n.Kcal, talk.MealsOf(*dog)).Raw, msg("bowl.raw"))}})
	for i := range tr.Days {
		day := tr.Start.AddDays(i)
		p, err := portions.PortionOn(*tr, day, *r, t.Foods, n.Kcal, talk.MealsOf(*dog), u)
		if err != nil {
			return nil, recipes.RecipeTrouble(r.Name, err)
		}
		rows = append(rows, say.TableRow{Label: say.DayText(day), Cells: alike(u, p.Old, p.New)})
	}
	return rows, ""
}

// alike prints the amounts of a row that are beside each other in the same
// steps: where one is told in 5 g, the others are too, but for what would
// vanish.
func alike(u planner.Units, row ...nutrition.Grams) (cells []string) {
	coarse := !u.Ounces && slices.Max(row) >= 50
	for _, g := range row {
		if coarse && g >= 5 {
			g = nutrition.Grams(math.Round(float64(g)/5) * 5)
		}
		cells = append(cells, say.Figure(g, u))
	}
	return cells
}

// afterText says what a rotation does when the transition is over.
func afterText(tr *planner.Transition) string {
	over := tr.OverOn()
	return say.Where(tr.Rotation != "" && !over.IsZero(), msg("transition.then", "day", say.DayText(over)))
}

// transitionWrong is what is said of what is wrong with a transition.
var transitionWrong = map[planner.TransitionCode]string{planner.TopperTarget: msg("transition-wrong.topper"),
	planner.NoSuchDog: msg("transition-wrong.gone-target"), planner.GoneTarget: msg("transition-wrong.gone-target")}

// pressTransition does what a button about a transition asks.
func pressTransition(t *talk.Turn, args []string) {
	tr := planner.TransitionOf(t.Home, talk.Arg(args, 1))
	do := transitionVerbs()[talk.Arg(args, 0)]
	if !talk.Gone(t, tr == nil || t.Dog(tr.Dog) == nil) && !talk.Stale(t, do == nil) {
		do(t, tr)
	}
}

// beginTomorrow puts off the first day of a switch that was set today.
func beginTomorrow(t *talk.Turn, tr *planner.Transition) {
	d := t.Dog(tr.Dog)
	if talk.Stale(t, tr.Start != t.Date() || len(tr.Checks) > 0) {
		return
	}
	t.Mutate("did.transition", d.Name)
	tr.Start = tr.Start.AddDays(1)
	for i := range t.Home.Reminders {
		if r := &t.Home.Reminders[i]; r.Kind == planner.StoolReminder && r.Dog == d.ID {
			r.Schedule.Anchor = tr.Start
		}
	}
	planRotations(t)
	sayTransitionSet(t, tr, d, "")
}

// holdTransition holds a transition at its step.
func holdTransition(t *talk.Turn, tr *planner.Transition) {
	d := t.Dog(tr.Dog)
	if tr.Over(t.Date()) {
		ShowTransition(t, tr, "")
		return
	}
	t.Mutate("did.transition-hold", d.Name)
	*tr = tr.Hold(t.Date())
	ShowTransition(t, tr, msg("transition.hold-set", "dog", d.Name, "n", tr.StepOn(t.Date()), "of", tr.Days)).Offer(t.UndoButton())
}

// stepBackTo holds a transition at the step that a carer says, the middle one for "half
// and half". Of one that is still to come it says when that is.
func stepBackTo(t *talk.Turn, tr *planner.Transition, said string) {
	step, err := strconv.Atoi(said)
	if err != nil {
		step = tr.Days / 2
	}
	switch now := tr.StepOn(t.Date()); {
	case step == now:
		holdTransition(t, tr)
		return
	case step > now && step <= tr.Days:
		sayStep(t, tr, step)
		return
	case step < 1 || step > now:
		ShowTransition(t, tr, "")
		return
	}
	d := t.Dog(tr.Dog)
	t.Mutate("did.transition-hold", d.Name)
	*tr = tr.BackTo(t.Date(), step)
	planRotations(t)
	ShowTransition(t, tr, msg("transition.hold-set", "dog", d.Name, "n", step, "of", tr.Days)).Offer(t.UndoButton())
}

// stepAhead answers a text that asks for a step that is still to come, or has the switch
// skip to it, and reports whether it was one.
func stepAhead(t *talk.Turn, s string) bool {
	_, tr := dogSwitched(t, s)
	step, _ := strconv.Atoi(read.Find("switch-to", s))
	switch {
	case tr == nil || step < tr.StepOn(t.Date()) || step > tr.Days || step == 0:
		return false
	case step == tr.StepOn(t.Date()):
		ShowTransition(t, tr, "")
	default:
		sayStep(t, tr, step)
	}
	return true
}

// sayStep says when a step comes that is still to come, and what it is: a day takes one
// step at most.
func sayStep(t *talk.Turn, tr *planner.Transition, step int) {
	d, on, day := t.Dog(tr.Dog), tr.Resume(t.Date()), t.Date()
	t.Talk.Dog = d.ID
	for on.StepOn(day) < step {
		day = day.AddDays(1)
	}
	first := msg(say.Choose(tr.Held(), "transition.step-held", "transition.step"), "n", step, "of", tr.Days, "day", say.DayText(day), "dog", d.Name)
	out := t.Say(append([]say.Block{say.Para(first)}, portionBlocks(t, &on, d, t.Recipe(tr.NewRecipe(t.Home)), day)...)...)
	if tr.Held() {
		out.Offer(t.Button(msg("button.transition-on"), "transition", "on", d.ID))
	}
}

// nameOld calls the old food of a switch what a carer calls it.
func nameOld(t *talk.Turn, tr *planner.Transition, name string) {
	was := tr.Old
	t.Mutate("did.transition", t.Dog(tr.Dog).Name)
	tr.Old = say.Short(name)
	t.SayMsg("transition.named", "old", tr.Old, "was", was).Offer(t.UndoButton())
}

// HoldForSign holds the switches of dogs of which a sign was told just now, with that
// change, until a carer goes on with them, and says so.
func HoldForSign(t *talk.Turn, out *say.Reply, dogs []*planner.Dog) {
	for _, d := range dogs {
		tr := planner.TransitionOf(t.Home, d.ID)
		if tr == nil || tr.Held() || tr.Over(t.Date()) {
			continue
		}
		*tr = tr.Hold(t.Date())
		planRotations(t)
		step := tr.StepOn(t.Date())
		out.Add(msg(say.Choose(step > 0, "transition.hold-sign", "transition.hold-old"), "dog", d.Name, "n", step, "of", tr.Days, "old", tr.Old)).
			Offer(t.Button(msg("button.transition-show"), "transition", "show", d.ID))
	}
}

// resumeTransition goes on with one that is held.
func resumeTransition(t *talk.Turn, tr *planner.Transition) {
	if !tr.Held() {
		ShowTransition(t, tr, "")
		return
	}
	d := t.Dog(tr.Dog)
	if dogs.SignHeld(t, d, nil) {
		return
	}
	t.Mutate("did.transition-on", d.Name)
	*tr = tr.Resume(t.Date())
	planRotations(t)
	next := min(tr.StepOn(t.Date().AddDays(1)), tr.Days)
	ShowTransition(t, tr, msg("transition.hold-ended", "dog", d.Name, "n", next, "of", tr.Days)).Offer(t.UndoButton())
}

func askStopTransition(t *talk.Turn, tr *planner.Transition) {
	d := t.Dog(tr.Dog)
	recipe := talk.RecipeName(t, tr.NewRecipe(t.Home))
	t.SayMsg("transition.stop-sure", "dog", d.Name, "recipe", recipe, "old", tr.Old).
		Offer(t.Button(say.Capital(tr.Old), "transition", "old", d.ID), t.Button(recipe, "transition", "really", d.ID), t.Button(msg("button.transition-keep"), "transition", "show", d.ID))
}

// answerStopSwitch stops a switch: with the old food from then on where that is said,
// else it asks.
func answerStopSwitch(t *talk.Turn, s read.Sentence) {
	if tr := switchMeant(t, s); tr != nil && oldAgain(tr, t.AsTyped()) {
		backToOld(t, tr)
	} else if tr != nil {
		askStopTransition(t, tr)
	}
}

// switchMeant is the switch that a sentence is about; where it is not clear or there is
// none it says so.
func switchMeant(t *talk.Turn, s read.Sentence) *planner.Transition {
	tr := theTransition(t)
	if s.Dog != "" {
		tr = planner.TransitionOf(t.Home, s.Dog)
	}
	if tr == nil && len(activeTransitions(t)) > 1 {
		whichTransition(t)
	} else if tr == nil {
		t.SayMsg("transition.none")
	}
	return tr
}

// oldAgain reports that a text has a dog eat what it ate before its switch.
func oldAgain(tr *planner.Transition, s string) bool {
	return read.Says("old-again", s) || read.Says("back-on-food", s) && read.HasName(s, tr.Old)
}

// backToOld has a dog eat its old food alone again, until somebody goes on with the switch.
func backToOld(t *talk.Turn, tr *planner.Transition) {
	d := t.Dog(tr.Dog)
	t.Mutate("did.transition-stopped", d.Name)
	*tr = tr.Back(t.Date())
	planRotations(t)
	ShowTransition(t, tr, msg("transition.stopped", "dog", d.Name)).Offer(t.UndoButton())
}

// stopTransition ends a transition by hand. A rotation that waited for its
// end begins.
func stopTransition(t *talk.Turn, tr *planner.Transition) {
	d, rot := t.Dog(tr.Dog), tr.Rotation
	t.Mutate("did.transition-stopped", d.Name)
	dropTransition(t, d.ID)
	if r := rotation(t, rot); r != nil && len(r.Dogs) == 1 && t.Date().Before(r.Start) {
		r.Start = t.Date()
	}
	t.SayMsg("transition.stopped", "dog", d.Name).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.UndoButton())
}

// overText says what is eaten once a transition is over.
func overText(t *talk.Turn, tr *planner.Transition, d *planner.Dog) string {
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	return msg(say.Choose(rotation(t, tr.Rotation) != nil, "transition.over-rotation", "transition.over"), "dog", d.Name, "recipe", talk.RecipeName(t, id))
}

// AskSwitch begins to switch a dog to a recipe, or a rotation, from what it had
// until now, over so many days, and asks for what is not known.
func AskSwitch(t *talk.Turn, d *planner.Dog, recipe, rotation, old string, days int) {
	if rotation != "" {
		recipe = ""
	}
	askTransition(t, transitionDraft{Dog: d.ID, Recipe: recipe, Rotation: rotation, Old: old, Days: days})
}

// sayDensityProblem says why an energy was not understood; the question
// stays open.
func sayDensityProblem(t *talk.Turn, d transitionDraft, err error, in talk.Answer) {
	var p span.Problem
	again := func() { askPer100(t, d) }
	switch {
	case errors.As(err, &p) && p.Code == read.NoWeightBasis:
		talk.Wrong(t, msg("transition-wrong.by-weight", "what", say.Short(p.Part)), again)
	case !t.Asked(in.Text):
		talk.Wrong(t, msg("transition-wrong.no-kcal", "what", say.Short(in.Value())), again)
	}
}

// saySwitchProblem says why a transition as typed was not understood.
func saySwitchProblem(t *talk.Turn, err error) {
	var p span.Problem
	if !errors.As(err, &p) {
		t.Fail(err)
		return
	}
	what := say.Short(p.Part)
	switch p.Code {
	case read.UnknownRecipe:
		t.Say(say.Para(unknownTarget(t, what)))
	case read.NoWeightBasis:
		t.SayMsg("transition-wrong.by-weight", "what", what)
	case span.NotEnergy:
		t.SayMsg("transition-wrong.no-kcal", "what", what)
	case span.BadDate, span.PastDate, span.AmbiguousDate, span.NoDate:
		t.SayMsg("transition-wrong.date", "what", what)
	default:
		t.Say(say.Para(say.ProblemText(p)))
	}
}
