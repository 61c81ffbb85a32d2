package bot

import (
	"errors"
	"math"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// stoolTime is when the evening's question about the stool is asked (our own
// choice); a carer can change it like any reminder's.
var stoolTime = planner.At(19, 0)

// lateStart is the hour from which a transition that is set begins tomorrow: the dog has had
// a meal of the day already.
const lateStart = 12

// setTransition begins a transition.
func (t *turn) setTransition(d transitionDraft, dog *planner.Dog) {
	tr := planner.Transition{Dog: d.Dog, Old: d.Old, OldPer100: d.Per100, Recipe: d.Recipe, Rotation: d.Rotation, Days: d.Days, Start: d.Start}
	if tr.Start.IsZero() {
		if tr.Start = t.date(); t.event.At.Hour() >= lateStart {
			tr.Start = tr.Start.AddDays(1)
		}
	}
	home := *t.home // a transition that is over does not stand in the way
	home.Transitions = slices.DeleteFunc(slices.Clone(home.Transitions), func(o planner.Transition) bool { return o.Dog == d.Dog })
	if err := tr.Validate(&home); err != nil {
		t.sayTransitionError(err)
		return
	}
	t.endSwitchDialogue()
	t.mutate("did.transition", dog.Name)
	t.dropTransition(dog.ID)
	left := t.joinTarget(tr, dog)
	t.home.Transitions = append(t.home.Transitions, tr)
	t.home.Reminders = append(t.home.Reminders, planner.Reminder{ID: t.newID("n"), Kind: planner.StoolReminder, Dog: dog.ID, Since: t.event.At.UTC(),
		Schedule: planner.Schedule{EveryDays: 1, Anchor: tr.Start, Times: []planner.Clock{stoolTime}}})
	t.planRotations()
	t.sayTransitionSet(&t.home.Transitions[len(t.home.Transitions)-1], dog, left)
}

// joinTarget puts a dog on what it is switched to, so that it eats that when
// the transition is over, and says which rotation it leaves.
func (t *turn) joinTarget(tr planner.Transition, dog *planner.Dog) (left string) {
	kept := t.home.Rotations[:0]
	for _, r := range t.home.Rotations {
		if i := slices.Index(r.Dogs, dog.ID); i >= 0 && r.ID != tr.Rotation {
			r.Dogs = slices.Delete(slices.Clone(r.Dogs), i, i+1)
			left = msg("transition.left-rotation", "dog", dog.Name)
		}
		if r.ID == tr.Rotation && !slices.Contains(r.Dogs, dog.ID) {
			r.Dogs = append(slices.Clone(r.Dogs), dog.ID)
		}
		if len(r.Dogs) > 0 {
			kept = append(kept, r)
		}
	}
	t.home.Rotations = kept
	if tr.Recipe != "" {
		dog.Recipe = tr.Recipe
	}
	return left
}

// sayTransitionSet says the plan: what is switched, then each day's amounts.
func (t *turn) sayTransitionSet(tr *planner.Transition, dog *planner.Dog, left string) {
	n := planner.AmountOf(*dog, t.event.At)
	r := t.recipe(tr.NewRecipe(t.home))
	target := r.Name
	if tr.Rotation != "" {
		target = msg("transition.a-rotation")
	}
	rows, trouble := t.stepRows(tr, dog, r)
	failing := t.failing(dog, r)
	blocks := []Block{para(msg("transition.set", "dog", dog.Name, "old", tr.Old, "per100", trim(tr.OldPer100, 1), "target", target, "n", tr.Days, "day", dayText(tr.Start),
		"kcal", kcal(n.Kcal), "range", t.needRange(n)))}
	if trouble != "" {
		blocks = append(blocks, para(trouble))
	} else {
		blocks = append(blocks, tableBlock(rows))
	}
	blocks = append(blocks, para(t.afterText(tr)), para(msg("transition.set-how")), para(left),
		para(joinParas(failing, t.tooMuchText(r, dog), t.excludedText(dog, *r), t.gateText(*dog, n))))
	out := t.say(blocks...)
	t.offerMissing(out, dog, r, failing)
	if tr.Start == t.date() {
		out.offer(t.button(msg("button.transition-tomorrow"), "transition", "tomorrow", dog.ID))
	}
	out.offer(t.button(msg("button.transition-show"), "transition", "show", dog.ID), t.undoButton())
}

// stepRows are the amounts of each day, if every stool is firm.
func (t *turn) stepRows(tr *planner.Transition, dog *planner.Dog, r *planner.Recipe) (rows []tableRow, trouble string) {
	n := planner.AmountOf(*dog, t.event.At)
	u := t.home.Units
	unit := choose(u.Ounces, "oz", "g")
	rows = append(rows, tableRow{unit, []string{text.Snip(tr.Old, 10, "…"), text.Snip(r.Name, 12, "…")}})
	for i := range tr.Days {
		day := tr.Start.AddDays(i)
		p, err := tr.PortionOn(day, *r, t.foods, n.Kcal, mealsOf(*dog), u)
		if err != nil {
			return nil, scaleTrouble(t, r.Name, err)
		}
		rows = append(rows, tableRow{dayText(day), alike(u, p.Old, p.New)})
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
		cells = append(cells, figure(g, u))
	}
	return cells
}

// afterText says what a rotation does when the transition is over.
func (t *turn) afterText(tr *planner.Transition) string {
	if over := tr.OverOn(); tr.Rotation != "" && !over.IsZero() {
		return msg("transition.then", "day", dayText(over))
	}
	return ""
}

// sayTransitionError says what is wrong with a transition.
func (t *turn) sayTransitionError(err error) {
	var e *planner.TransitionError
	if !errors.As(err, &e) {
		t.fail(err)
		return
	}
	t.endSwitchDialogue()
	switch e.Code {
	case planner.NoTarget:
		t.sayMsg("transition-wrong.no-target")
	case planner.NoSuchDog, planner.GoneTarget:
		t.sayMsg("transition-wrong.gone-target")
	default:
		t.sayMsg("transition-wrong.no-target")
	}
}

// pressTransition does what a button about a transition asks.
func (t *turn) pressTransition(args []string) {
	tr, d := planner.TransitionOf(t.home, arg(args, 1)), t.dog(arg(args, 1))
	if tr == nil || d == nil {
		t.sayMsg("press.gone").InPlace = t.event.Message
		return
	}
	before := len(t.replies)
	switch arg(args, 0) {
	case "show":
		t.showTransition(tr, "")
	case "hold":
		t.holdTransition(tr)
	case "on":
		t.resumeTransition(tr)
	case "stop":
		t.askStopTransition(tr)
	case "really":
		t.stopTransition(tr)
	case "tomorrow":
		if tr.Start != t.date() || len(tr.Checks) > 0 {
			t.sayMsg("press.stale")
			break
		}
		t.mutate("did.transition", d.Name)
		tr.Start = tr.Start.AddDays(1)
		for i := range t.home.Reminders {
			if r := &t.home.Reminders[i]; r.Kind == planner.StoolReminder && r.Dog == d.ID {
				r.Schedule.Anchor = tr.Start
			}
		}
		t.planRotations()
		t.sayTransitionSet(tr, d, "")
	default:
		t.sayMsg("press.stale")
	}
	if len(t.replies) > before {
		t.replies[before].InPlace = t.event.Message
	}
}

// holdTransition holds a transition at its step.
func (t *turn) holdTransition(tr *planner.Transition) {
	d := t.dog(tr.Dog)
	if tr.Over(t.date()) {
		t.showTransition(tr, "")
		return
	}
	t.mutate("did.transition-hold", d.Name)
	*tr = tr.Hold(t.date())
	t.showTransition(tr, msg("transition.hold-set", "dog", d.Name, "n", tr.StepOn(t.date()), "of", tr.Days)).offer(t.undoButton())
}

// resumeTransition goes on with one that is held.
func (t *turn) resumeTransition(tr *planner.Transition) {
	if !tr.Held() {
		t.showTransition(tr, "")
		return
	}
	d := t.dog(tr.Dog)
	t.mutate("did.transition-on", d.Name)
	*tr = tr.Resume(t.date())
	t.planRotations()
	next := min(tr.StepOn(t.date().AddDays(1)), tr.Days)
	t.showTransition(tr, msg("transition.hold-ended", "dog", d.Name, "n", next, "of", tr.Days)).offer(t.undoButton())
}

func (t *turn) askStopTransition(tr *planner.Transition) {
	d := t.dog(tr.Dog)
	t.askedSure("transition", "really", d.ID)
	t.sayMsg("transition.stop-sure", "dog", d.Name, "recipe", t.recipeName(tr.NewRecipe(t.home)), "old", tr.Old).
		offer(t.button(msg("button.transition-stop"), "transition", "really", d.ID), t.button(msg("button.keep"), "transition", "show", d.ID))
}

// stopTransition ends a transition by hand. A rotation that waited for its
// end begins.
func (t *turn) stopTransition(tr *planner.Transition) {
	d, rotation := t.dog(tr.Dog), tr.Rotation
	t.mutate("did.transition-stopped", d.Name)
	t.dropTransition(d.ID)
	if r := t.rotation(rotation); r != nil && len(r.Dogs) == 1 && t.date().Before(r.Start) {
		r.Start = t.date()
	}
	t.sayMsg("transition.stopped", "dog", d.Name).offer(t.button(msg("button.bowl"), "bowl", "dog", d.ID), t.undoButton())
}

// finishTransition marks a transition done whose last step is past.
func (t *turn) finishTransition(tr *planner.Transition) {
	tr.Done, t.changed = true, true
	t.dropStoolReminder(tr.Dog)
}

// overText says what is eaten once a transition is over.
func (t *turn) overText(tr *planner.Transition, d *planner.Dog) string {
	id, _ := planner.RecipeOn(t.home, d.ID, t.date())
	if strings.TrimSpace(tr.Rotation) != "" && t.rotation(tr.Rotation) != nil {
		return msg("transition.over-rotation", "dog", d.Name, "recipe", t.recipeName(id))
	}
	return msg("transition.over", "dog", d.Name, "recipe", t.recipeName(id))
}
