package bot

import (
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// held reports that nothing is made of a dog's food before its vet has spoken or
// it is known whether it is a healthy adult, and says which. A bowl, a batch, a
// swap, a balanced recipe, a recipe to eat from now on, a rotation and a switch
// ask it alike.
func (t *turn) held(d *planner.Dog) bool {
	if d == nil {
		return false
	}
	t.talk.Dog = d.ID
	switch n := planner.AmountOf(*d, t.event.At); {
	case n.Waits():
		r := t.say(para(t.heldText(d, n)))
		if len(planner.LitterSteps(*d)) > 0 && n.Gate != planner.DiedGate && n.Gate != planner.FastingGate {
			r.offer(t.button(msg("button.litter-steps"), "amount", "steps", d.ID))
		}
		r.offer(t.gateButtons(d, n)...)
	case !d.Classed():
		t.askClass(d, "")
	case d.AgeWanted():
		t.editDog(d, "age")
	default:
		asked := bowlHeld{dog: d}
		t.happened(&asked)
		return asked.held
	}
	return true
}

// heldAny is held for several dogs: it says it of each that waits.
func (t *turn) heldAny(ids []string) bool {
	any := false
	for _, id := range ids {
		any = t.held(t.dog(id)) || any
	}
	return any
}

// heldText says why a dog's food waits, and what ends that.
func (t *turn) heldText(d *planner.Dog, n planner.Need) string {
	if n.Gate == planner.DiedGate {
		return t.gateText(*d, n)
	}
	return joinParas(t.gateText(*d, n), msg("bowl.gated", "dog", d.Name))
}

// gateButtons are what ends a gate.
func (t *turn) gateButtons(d *planner.Dog, n planner.Need) []Button {
	switch n.Gate {
	case planner.DiedGate:
		return nil
	case planner.FastingGate:
		return []Button{t.vetKcalButton(d), t.button(msg("button.vet-says-eat"), "dog", "eats", d.ID)}
	}
	return []Button{t.vetKcalButton(d)}
}

// eatsAgain ends the gate of a dog that ate nothing, by its vet's word.
func (t *turn) eatsAgain(d *planner.Dog) {
	t.mutate("did.dog-changed", d.Name)
	d.Fasting = time.Time{}
	t.showDog(d, "", t.undoButton())
}

func (t *turn) vetKcalButton(d *planner.Dog) Button {
	return t.button(msg("button.set-kcal"), "dog", "field", d.ID, "kcal")
}

// askClass asks, once, what has to be known of a dog before its first amount.
func (t *turn) askClass(d *planner.Dog, head string) *Reply {
	return t.say(para(head), para(msg("class.ask", "dog", d.Name))).
		offer(t.button(msg("button.class-healthy"), "class", d.ID, "healthy"), t.button(msg("button.class-puppy"), "class", d.ID, "puppy")).
		offer(t.button(msg("button.class-breeding"), "class", d.ID, "breeding"), t.button(msg("button.class-ill"), "class", d.ID, "ill"))
}

// pressClass takes the answer to askClass.
func (t *turn) pressClass(args []string) {
	d := t.dog(arg(args, 0))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	changed, next := *d, ""
	switch arg(args, 1) {
	case "healthy":
		changed.Healthy = true
	case "puppy":
		changed.Puppy, next = true, "age"
	case "ill":
		changed.Ill, next = true, "health"
	case "breeding":
		t.inPlace(t.sayMsg("class.which", "dog", d.Name).
			offer(t.button(msg("button.class-pregnant"), "class", d.ID, "pregnant"), t.button(msg("button.class-nursing"), "class", d.ID, "nursing")))
		return
	case "pregnant", "nursing":
		breeds(&changed, arg(args, 1))
	case "over":
		t.goTo(read.Sentence{Intent: read.LitterWeaned, Dog: d.ID})
		return
	default:
		t.sayMsg("press.stale")
		return
	}
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	t.mutate("did.dog-changed", d.Name)
	*d = changed
	if next != "" {
		t.editDog(d, next)
		return
	}
	if t.theRecipe(d) == nil {
		t.showDog(d, "", t.undoButton())
		return
	}
	t.goTo(read.Sentence{Intent: read.BowlAmount, Dog: d.ID})
	t.inPlace(&t.replies[0])
}

// movedDiabetic is what is said first where meals of a diabetic dog are to be
// moved or to rest: they go with its insulin.
func (t *turn) movedDiabetic(dogs ...*planner.Dog) string {
	for _, d := range dogs {
		if d != nil && d.Diabetic() {
			return msg("diabetic.moved", "dog", d.Name)
		}
	}
	return ""
}

// diabetic is what is said where a meal of a diabetic dog was left out.
func (t *turn) diabetic(d *planner.Dog) string {
	if !d.Diabetic() {
		return ""
	}
	return msg("diabetic.meal", "dog", d.Name)
}
