package dogs

import (
	"cmp"
	"slices"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// Held reports that nothing is made of a dog's food before its vet has spoken or
// it is known whether it is a healthy adult, and says which. A bowl, a batch, a
// swap, a balanced recipe, a recipe to eat from now on, a rotation and a switch
// ask it alike.
func Held(t *talk.Turn, d *planner.Dog) bool {
	if d == nil {
		return false
	}
	t.Talk.Dog = d.ID
	switch n := planner.AmountOf(*d, t.Event.At); {
	case n.Waits():
		r := t.Say(say.Whole(HeldText(t, d, n)))
		if len(planner.LitterSteps(*d)) > 0 && n.Gate != planner.DiedGate && n.Gate != planner.FastingGate {
			r.Offer(t.Button(msg("button.litter-steps"), "amount", "steps", d.ID))
		}
		r.Offer(GateButtons(t, d, n)...)
	case !d.Classed():
		askClass(t, d, "")
	case d.AgeWanted():
		editDog(t, d, "age")
	default:
		asked := talk.BowlHeld{Dog: d}
		t.Happened(&asked)
		return asked.Held
	}
	return true
}

// HeldAny is held for several dogs: it says it of each that waits.
func HeldAny(t *talk.Turn, ids []string) bool {
	any := false
	for _, id := range ids {
		any = Held(t, t.Dog(id)) || any
	}
	return any
}

// HeldText says why a dog's food waits, and what ends that.
func HeldText(t *talk.Turn, d *planner.Dog, n planner.Need) string {
	return say.JoinParas(GateText(*d, n), say.Where(n.Gate != planner.DiedGate, msg("bowl.gated", "dog", d.Name)))
}

// GateButtons are what ends a gate.
func GateButtons(t *talk.Turn, d *planner.Dog, n planner.Need) []say.Button {
	switch n.Gate {
	case planner.DiedGate:
		return nil
	case planner.FastingGate:
		return []say.Button{VetKcalButton(t, d), t.Button(msg("button.vet-says-eat"), "dog", "eats", d.ID)}
	}
	return []say.Button{VetKcalButton(t, d)}
}

// eatsAgain ends the gate of a dog that ate nothing, by its vet's word.
func eatsAgain(t *talk.Turn, d *planner.Dog) {
	t.Mutate("did.dog-changed", d.Name)
	d.Fasting = time.Time{}
	showDog(t, d, "", t.UndoButton())
}

func VetKcalButton(t *talk.Turn, d *planner.Dog) say.Button {
	return t.Button(msg("button.set-kcal"), "dog", "field", d.ID, "kcal")
}

// askClass asks, once, what has to be known of a dog before its first amount; of what
// its age and sex leave open.
func askClass(t *talk.Turn, d *planner.Dog, head string) *say.Reply {
	healthy, ill := t.Button(msg("button.class-healthy"), "class", d.ID, "healthy"), t.Button(msg("button.class-ill"), "class", d.ID, "ill")
	r := t.Say(say.Para(head), say.Para(ClassText(d)))
	if planner.Growing(*d, t.Event.At) {
		healthy.Label = msg("button.class-young")
		return r.Offer(healthy, ill)
	}
	ask := []say.Button{healthy}
	if d.Born.IsZero() {
		ask = append(ask, t.Button(msg("button.class-puppy"), "class", d.ID, "puppy"))
	}
	if d.Sex != planner.Male {
		ask = append(ask, t.Button(msg("button.class-breeding"), "class", d.ID, "breeding"))
	}
	return r.Rows(2, append(ask, ill)...)
}

// ClassText asks what has to be known of a dog before its first amount.
func ClassText(d *planner.Dog) string { return msg("class.ask", "dog", d.Name) }

// pressClass takes the answer to askClass.
func pressClass(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 0))
	if talk.Gone(t, d == nil) {
		return
	}
	t.Talk.Dog = d.ID
	changed, next := *d, ""
	switch talk.Arg(args, 1) {
	case "healthy":
		changed.Healthy = true
	case "puppy":
		changed.Puppy, next = true, "age"
	case "ill":
		changed.Ill, next = true, "health"
	case "breeding":
		t.InPlace(t.SayMsg("class.which", "dog", d.Name).
			Offer(t.Button(msg("button.class-pregnant"), "class", d.ID, "pregnant"), t.Button(msg("button.class-nursing"), "class", d.ID, "nursing")))
		return
	case "pregnant", "nursing":
		breeds(&changed, talk.Arg(args, 1))
	case "over":
		t.GoTo(read.Sentence{Intent: read.LitterWeaned, Dog: d.ID})
		return
	default:
		t.SayMsg("press.stale")
		return
	}
	if talk.Unfit(t, changed) {
		return
	}
	t.Mutate("did.dog-changed", d.Name)
	*d = changed
	waited := talk.DogClassed{Dog: d}
	if t.Happened(&waited); waited.Taken {
		t.InPlace(&t.Replies[0])
		return
	}
	if next != "" {
		editDog(t, d, next)
		return
	}
	if talk.TheRecipe(t, d) == nil {
		showDog(t, d, "", t.UndoButton())
		return
	}
	t.GoTo(read.Sentence{Intent: read.BowlAmount, Dog: d.ID})
	t.InPlace(&t.Replies[0])
}

// ClassWords takes it in words that the dogs which are named, or the one that was asked
// about, are healthy or not.
func ClassWords(t *talk.Turn, s string) bool {
	said := ""
	told := read.ToldOfDog(s, t.Home.Units, t.Event.At)
	tells := read.TellsFacts(told, s)
	switch asked := t.Offered("class"); {
	case t.Talk.Kind != "":
	case read.SaysHealthy(s) && !(tells && len(span.Mentions(s, t.Names().Dogs)) > 1): // else each is told of
		said = "healthy"
	case len(asked) > 0 && read.Says("ill", s):
		said = "ill"
	}
	_, _, ids := read.DogsNamed(s, t.Names())
	d := talk.TalkedOf(t)
	if len(ids) == 0 && d != nil {
		ids = []string{d.ID}
	}
	if said == "" && t.Talk.Kind == "" && d != nil && len(ids) == 1 && ids[0] == d.ID && len(t.Offered("class")) > 0 && len(illness.In(s)) > 0 && !asksIn(s) && len(t.RecipeText(s).Lines) == 0 && !talk.SaysElse(t, s, "dog.", "goal.", "health.", "answer") && !DescribesDog(t, s) && !read.NamesDog(s, t.Names()) { // "on the vet's weight loss diet"
		told, _ := read.FactsWithin(s, t.Names(), t.Home.Units, t.Event.At)
		told.Health = cmp.Or(told.Health, s)
		takeFacts(t, d, told)
		return true
	}
	if said == "healthy" && tells { // "healthy adult, low activity"
		told.Healthy = true
		for _, id := range ids {
			takeFacts(t, t.Dog(id), told)
		}
		return len(ids) > 0
	}
	return said != "" && classed(t, ids, said)
}

// classed notes of some dogs what each is, where that is not known.
func classed(t *talk.Turn, ids []string, said string) bool {
	if known := slices.Clone(ids); said == "healthy" && read.SaysOneOf(t.AsTyped(), "healthy-words") && !read.SaysOneOf(t.AsTyped(), "again-words") {
		for _, id := range slices.DeleteFunc(known, func(id string) bool {
			return !t.Dog(id).Classed() || t.Dog(id).Health != "" || len(UnseenSigns(t, t.Dog(id), HeldDays)) > 0
		}) {
			showDog(t, t.Dog(id), msg("dog.as-told"))
		}
	}
	ids = slices.DeleteFunc(ids, func(id string) bool { return t.Dog(id).Classed() })
	for _, id := range ids {
		pressClass(t, []string{id, said})
	}
	return len(t.Replies) > 0
}

// Diabetic is what is said where a meal of a diabetic dog was left out.
func Diabetic(t *talk.Turn, d *planner.Dog) string {
	return say.Where(d.Diabetic(), msg("diabetic.meal", "dog", d.Name))
}

// An older or lighter dog can wait less long (common practice, no source).
const (
	frailYears = 10
	frailKilos = 3
)

// Frail reports that a dog is for a vet sooner than others: young, old, tiny,
// ill, pregnant or nursing.
func Frail(t *talk.Turn, d *planner.Dog) bool {
	years, known := d.AgeAt(t.Event.At)
	if d.StageAt(t.Event.At) == planner.Puppy || known && years >= frailYears || d.Weight > 0 && d.Weight < frailKilos || d.Stage != "" {
		return true
	}
	return slices.ContainsFunc(illness.In(d.Health), func(code string) bool { return code != illness.Allergy })
}
