package bot

import (
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// rotationDraft is the state of the dialogue that sets a rotation.
type rotationDraft struct {
	ID    string         `json:"id,omitempty"` // of the rotation that is changed
	Turns []planner.Turn `json:"turns,omitempty"`
	Whole bool           `json:"whole,omitempty"` // no more turns are to come
	Dogs  []string       `json:"dogs,omitempty"`
	Start planner.Date   `json:"start,omitzero"`
	Asked time.Time      `json:"asked,omitzero"` // when its first day was asked for last
}

// rotationCommand shows the rotations, or sets or changes one as the rest
// says.
func (t *turn) rotationCommand(rest string) {
	if rest == "" {
		t.rotations()
		return
	}
	if t.rotationWord(strings.ToLower(rest)) {
		return
	}
	t.takeOrder(rotationDraft{}, rest)
}

// rotationWord does what a word asks of the rotation that there is.
func (t *turn) rotationWord(s string) bool {
	verb, rest := cutWord(s)
	switch verb {
	case "new", "add":
		t.askRotation(rotationDraft{})
	case "skip":
		t.onRotation(func(r *planner.Rotation) { t.skipRotation(r) })
	case "repeat":
		t.onRotation(func(r *planner.Rotation) { t.repeatRotation(r) })
	case "swap":
		t.onRotation(func(r *planner.Rotation) {
			if rest == "" {
				t.askExchange(r)
				return
			}
			t.takeExchange(r, rest)
		})
	case "stop", "end", "off", "remove", "delete":
		t.onRotation(func(r *planner.Rotation) { t.askStopRotation(r) })
	case "cycle", "analysis", "analyse", "analyze", "complete":
		t.onRotation(func(r *planner.Rotation) { t.cycle(r, nil) })
	case "change", "edit":
		t.onRotation(func(r *planner.Rotation) { t.askRotation(rotationDraft{ID: r.ID, Dogs: slices.Clone(r.Dogs)}) })
	default:
		return false
	}
	return true
}

// rotationWords answers a text that sets a rotation or asks something of the
// one that there is, and reports whether it was one.
func (t *turn) rotationWords(s string) bool {
	words := strings.Fields(strings.ToLower(strings.Trim(s, " .!?")))
	if len(words) == 0 {
		return false
	}
	switch strings.Join(words, " ") {
	case "skip today's recipe", "skip todays recipe", "skip this recipe", "next recipe":
		return len(t.home.Rotations) > 0 && t.rotationWord("skip")
	case "repeat yesterday", "repeat yesterday's", "repeat yesterdays", "same as yesterday", "the same as yesterday":
		return len(t.home.Rotations) > 0 && t.rotationWord("repeat")
	case "is the rotation complete", "analyse the rotation", "analyze the rotation", "check the rotation":
		return len(t.home.Rotations) > 0 && t.rotationWord("cycle")
	case "stop the rotation", "remove the rotation", "end the rotation":
		return len(t.home.Rotations) > 0 && t.rotationWord("stop")
	case "show the rotation", "the rotation", "my rotation", "what is in the rotation", "what's in the rotation", "whats in the rotation":
		t.rotations()
		return true
	}
	switch words[0] {
	case "rotate", "alternate":
		t.takeOrder(rotationDraft{}, s)
		return true
	case "swap":
		if r := t.theRotation(); r != nil {
			if x, ok := read.ExchangeText(s, t.names(), t.event.At); ok {
				t.exchange(r, x)
				return true
			}
		}
		return false
	}
	if len(t.home.Recipes) == 0 { // none can be named
		return false
	}
	o, err := read.OrderText(s, t.names(), t.event.At)
	if err != nil || len(o.Turns) < 2 || slices.ContainsFunc(o.Turns, func(w read.OrderTurn) bool { return w.Days == 0 }) {
		return false
	}
	t.takeOrder(rotationDraft{}, s)
	return true
}

// theRotation is the rotation that is meant where none is named: the only
// one, or that of the dog last spoken of.
func (t *turn) theRotation() *planner.Rotation {
	if len(t.home.Rotations) == 1 {
		return &t.home.Rotations[0]
	}
	if d := t.theDog(); d != nil {
		return planner.RotationOf(t.home, d.ID)
	}
	return nil
}

// onRotation does something with the rotation that is meant; where that is
// not clear it asks.
func (t *turn) onRotation(do func(r *planner.Rotation)) {
	if r := t.theRotation(); r != nil {
		do(r)
		return
	}
	t.rotations()
}

// rotation returns a rotation of the household, nil where there is none.
func (t *turn) rotation(id string) *planner.Rotation {
	for i := range t.home.Rotations {
		if t.home.Rotations[i].ID == id {
			return &t.home.Rotations[i]
		}
	}
	return nil
}

// takeOrder takes an order as typed into the draft, and goes on.
func (t *turn) takeOrder(d rotationDraft, s string) {
	o, err := read.OrderText(s, t.names(), t.event.At)
	if err != nil {
		t.sayOrderProblem(d, err)
		return
	}
	turns := make([]planner.Turn, len(o.Turns))
	for i, w := range o.Turns {
		turns[i] = planner.Turn{Recipe: w.Recipe, Days: w.Days}
	}
	if len(turns) == 1 && len(d.Turns) > 0 {
		turns = append(d.Turns, turns...)
	}
	d.Turns, d.Whole = turns, len(turns) > 1 && (len(o.Turns) > 1 || d.Whole)
	if o.All {
		d.Dogs = t.allDogs()
	}
	if len(o.Dogs) > 0 {
		d.Dogs = o.Dogs
	}
	if !o.Start.IsZero() {
		d.Start = o.Start
	}
	t.askRotation(d)
}

// askRotation asks for what a rotation still lacks, and sets it where it
// lacks nothing.
func (t *turn) askRotation(d rotationDraft) {
	long := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days > planner.MostTurnDays })
	switch i := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days == 0 }); {
	case len(t.home.Recipes) < 2:
		t.sayMsg("rotation.few-recipes").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
	case len(t.home.Dogs) == 0:
		t.sayMsg("rotation-wrong.no-dogs").offer(t.button(msg("button.add-dog"), "dog", "add"))
	case long >= 0:
		what := trim(float64(d.Turns[long].Days), 0)
		d.Turns[long].Days = 0
		t.wrong(msg("rotation-wrong.days", "what", what, "most", planner.MostTurnDays), func() { t.askRotation(d) })
	case i >= 0:
		t.askTurnDays(d, d.Turns[i])
	case len(d.Turns) < 2 || !d.Whole:
		t.askNextTurn(d)
	case len(d.Dogs) == 0 && len(t.home.Dogs) == 1:
		d.Dogs = []string{t.home.Dogs[0].ID}
		t.askRotation(d)
	case len(d.Dogs) == 0:
		t.ask("rotation", "dogs", d)
		t.dogButtons(t.sayMsg("rotation.ask-dogs"), "dogs").
			offer(t.answer(msg("button.rotation-everyone"), "dogs", "all"), t.stopButton())
	case d.Start.IsZero():
		d.Asked = t.event.At
		t.ask("rotation", "start", d)
		t.dayButtons(t.sayMsg("rotation.ask-start"), "start")
	default:
		t.setRotation(d)
	}
}

// askNextTurn asks which recipe comes next.
func (t *turn) askNextTurn(d rotationDraft) {
	t.ask("rotation", "order", d)
	var out *Reply
	switch len(d.Turns) {
	case 0:
		out = t.sayMsg("rotation.ask-order", "example", t.orderExample())
	case 1:
		out = t.sayMsg("rotation.few-turns", "recipe", t.recipeName(d.Turns[0].Recipe))
	default:
		out = t.sayMsg("rotation.so-far", "order", t.orderText(d.Turns))
	}
	for i := range min(len(t.home.Recipes), 6) {
		out.offer(t.answer(t.home.Recipes[i].Name, "order", t.home.Recipes[i].ID))
	}
	if len(d.Turns) > 1 {
		out.offer(t.answer(msg("button.rotation-all"), "order", "all"))
	}
	out.offer(t.stopButton())
}

// askTurnDays asks for how many days a recipe runs.
func (t *turn) askTurnDays(d rotationDraft, w planner.Turn) {
	t.ask("rotation", "days", d)
	out := t.sayMsg("rotation.ask-days", "recipe", t.recipeName(w.Recipe))
	out.offer(t.answer("1", "days", "1"), t.answer("2", "days", "2"), t.answer("3", "days", "3"), t.answer("4", "days", "4"))
	out.offer(t.answer("5", "days", "5"), t.answer("7", "days", "7"), t.answer("14", "days", "14"), t.stopButton())
}

// dogButtons offers each dog as the answer to a step.
func (t *turn) dogButtons(out *Reply, step string) *Reply {
	var row []Button
	for i := range t.home.Dogs {
		row = append(row, t.answer(t.home.Dogs[i].Name, step, t.home.Dogs[i].ID))
		if len(row) == 3 {
			out.offer(row...)
			row = nil
		}
	}
	return out.offer(row...)
}

// dayButtons offers the next days as the answer to a step.
func (t *turn) dayButtons(out *Reply, step string) *Reply {
	today := t.date()
	monday := today.AddDays(2)
	for monday.Weekday() != time.Monday {
		monday = monday.AddDays(1)
	}
	out.offer(t.answer(msg("button.rotation-today"), step, today.String()), t.answer(msg("button.tomorrow"), step, today.AddDays(1).String()),
		t.answer(dayText(monday), step, monday.String()))
	return out.offer(t.stopButton())
}

// setRotation sets a rotation. Its dogs leave the ones that they were in.
func (t *turn) setRotation(d rotationDraft) {
	r := planner.Rotation{ID: d.ID, Dogs: d.Dogs, Turns: d.Turns, Start: d.Start}
	others, moved := t.otherRotations(d)
	home := *t.home
	home.Rotations = others
	if err := r.Validate(&home); err != nil {
		t.sayRotationError(d, err)
		return
	}
	names := t.dogNames(d.Dogs)
	t.endDialogue()
	if t.heldAny(d.Dogs) {
		return
	}
	t.mutate("did.rotation", names)
	if t.rotation(r.ID) == nil {
		r.ID = t.newID("o")
	}
	for i := range t.home.Transitions {
		if tr := &t.home.Transitions[i]; !tr.Done && tr.Rotation != "" && slices.Contains(r.Dogs, tr.Dog) {
			tr.Rotation = r.ID
		}
	}
	t.home.Rotations = append(others, r)
	t.planRotations()
	out := t.showRotation(&t.home.Rotations[len(others)], joinParas(msg("rotation.set", "order", t.orderText(r.Turns), "dogs", names),
		t.movedText(moved), t.notForText(r)))
	out.offer(t.undoButton())
}

// otherRotations are the household's rotations without the one that is set
// and its dogs, and the dogs that left one for it.
func (t *turn) otherRotations(d rotationDraft) (others []planner.Rotation, moved []string) {
	for _, o := range t.home.Rotations {
		if o.ID == d.ID {
			continue
		}
		var kept []string
		for _, dog := range o.Dogs {
			if slices.Contains(d.Dogs, dog) {
				moved = append(moved, dog)
			} else {
				kept = append(kept, dog)
			}
		}
		if o.Dogs = kept; len(kept) > 0 {
			others = append(others, o)
		}
	}
	return others, moved
}

func (t *turn) movedText(dogs []string) string {
	if len(dogs) == 0 {
		return ""
	}
	return msg("rotation.moved-dogs", "dogs", t.dogNames(dogs), "n", len(dogs))
}

// notForText says which recipes of a rotation have what its dogs may not
// have.
func (t *turn) notForText(r planner.Rotation) string {
	var lines []string
	for _, id := range r.Dogs {
		for _, w := range r.Turns {
			if d, recipe := t.dog(id), t.recipe(w.Recipe); d != nil && recipe != nil {
				if s := t.excludedText(d, *recipe); s != "" && !slices.Contains(lines, s) {
					lines = append(lines, s)
				}
			}
		}
	}
	return joinParas(lines...)
}

// dogNames lists dogs by name.
func (t *turn) dogNames(ids []string) string {
	var names []string
	for _, id := range ids {
		if d := t.dog(id); d != nil {
			names = append(names, d.Name)
		}
	}
	return list(names)
}

// recipeName is a recipe's name, a word for it where it is gone.
func (t *turn) recipeName(id string) string {
	if r := t.recipe(id); r != nil {
		return r.Name
	}
	return msg("value.unknown")
}

// orderText prints turns: "Turkey and heart 4 days, Lamb and mackerel 3 days".
func (t *turn) orderText(turns []planner.Turn) string {
	var parts []string
	for _, w := range turns {
		parts = append(parts, msg("rotation.turn", "recipe", t.recipeName(w.Recipe), "n", w.Days))
	}
	return strings.Join(parts, ", ")
}

// orderExample is a rotation of the household's own recipes, as it is typed.
func (t *turn) orderExample() string {
	if len(t.home.Recipes) < 2 {
		return ""
	}
	return msg("rotation.example", "first", t.home.Recipes[0].Name, "second", t.home.Recipes[1].Name)
}

// sayRotationError says what is wrong with a rotation, and asks anew.
func (t *turn) sayRotationError(d rotationDraft, err error) {
	var e *planner.RotationError
	if !errors.As(err, &e) {
		t.fail(err)
		return
	}
	most, what := planner.MostTurnDays, ""
	switch e.Code {
	case planner.ManyTurns:
		most, d.Turns, d.Whole = planner.MostTurns, nil, false
	case planner.TurnDays:
		for i := range d.Turns {
			if w := &d.Turns[i]; w.Recipe == e.Of && (w.Days < 1 || w.Days > planner.MostTurnDays) {
				what, w.Days = trim(float64(w.Days), 0), 0
				break
			}
		}
	case planner.GoneRecipe:
		d.Turns = slices.DeleteFunc(d.Turns, func(w planner.Turn) bool { return w.Recipe == e.Of })
		d.Whole = false
	case planner.GoneDog, planner.DogTwice:
		d.Dogs = nil
	}
	wrong := ""
	if key := "rotation-wrong." + string(e.Code); hasMessage(key) {
		wrong = msg(key, "what", what, "most", most)
	}
	t.wrong(wrong, func() { t.askRotation(d) })
}
