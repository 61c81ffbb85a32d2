package menu

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// rotationDraft is the state of the dialogue that sets a rotation.
type rotationDraft struct {
	ID     string         `json:"id,omitempty"` // of the rotation that is changed
	Turns  []planner.Turn `json:"turns,omitempty"`
	Whole  bool           `json:"whole,omitempty"` // no more turns are to come
	Dogs   []string       `json:"dogs,omitempty"`
	Nobody bool           `json:"nobody,omitempty"` // it is a plan, which no dog here eats
	New    bool           `json:"new,omitempty"`    // it takes the place of none
	Start  planner.Date   `json:"start,omitzero"`
	Asked  time.Time      `json:"asked,omitzero"` // when its first day was asked for last
}

// rotationCommand shows the rotations, or sets or changes one as the rest
// says.
func rotationCommand(t *talk.Turn, rest string) {
	if rest == "" {
		rotations(t)
		return
	}
	if rotationWord(t, strings.ToLower(rest)) {
		return
	}
	takeOrder(t, rotationDraft{}, rest)
}

// rotationVerbs are what is done with a rotation, by word, sentence or button.
func rotationVerbs() map[string]func(t *talk.Turn, r *planner.Rotation) {
	return map[string]func(t *talk.Turn, r *planner.Rotation){
		"skip":   skipRotation,
		"repeat": repeatRotation,
		"swap":   askExchange,
		"stop":   askStopRotation,
		"cycle":  func(t *talk.Turn, r *planner.Rotation) { cycle(t, r, nil) },
		"edit": func(t *talk.Turn, r *planner.Rotation) {
			askRotation(t, rotationDraft{ID: r.ID, Dogs: slices.Clone(r.Dogs), Nobody: len(r.Dogs) == 0})
		},
	}
}

// rotationWord does what a word asks of the rotation that there is.
func rotationWord(t *talk.Turn, s string) bool {
	verb, rest := talk.CutWord(s)
	do := rotationVerbs()[cmp.Or(read.SaidKind("rotation-said", verb), verb)]
	switch {
	case verb == "new" && rest == "" || verb == "add":
		askRotation(t, rotationDraft{New: true})
	case verb == "swap" && rest != "":
		onRotation(t, func(t *talk.Turn, r *planner.Rotation) { takeExchange(t, r, rest) })
	case do != nil:
		onRotation(t, do)
	default:
		return false
	}
	return true
}

// RotationWords answers a text that sets a rotation or asks something of the
// one that there is, and reports whether it was one.
func RotationWords(t *talk.Turn, s string) bool {
	words := strings.Fields(strings.ToLower(strings.Trim(s, " .!?")))
	if len(words) == 0 {
		return false
	}
	if verb := read.SaidKind("rotation-said", strings.Join(words, " ")); verb == "show" {
		rotations(t)
		return true
	} else if verb != "" && len(words) > 1 {
		return len(t.Home.Rotations) > 0 && rotationWord(t, verb)
	}
	switch words[0] {
	case "rotate", "alternate":
		takeOrder(t, rotationDraft{}, s)
		return true
	case "swap":
		if r := theRotation(t); r != nil {
			if x, ok := read.ExchangeText(s, t.Names(), t.Event.At); ok {
				exchange(t, r, x)
				return true
			}
		}
		return false
	}
	if len(t.Home.Recipes) == 0 { // none can be named
		return false
	}
	o, err := read.OrderText(s, t.Names(), t.Event.At)
	if err != nil || len(o.Turns) < 2 || slices.ContainsFunc(o.Turns, func(w read.OrderTurn) bool { return w.Days == 0 }) {
		return false
	}
	takeOrder(t, rotationDraft{}, s)
	return true
}

// theRotation is the rotation that is meant where none is named: the only
// one, the only one that a dog eats, or that of the dog last spoken of.
func theRotation(t *talk.Turn) *planner.Rotation {
	if len(t.Home.Rotations) == 1 {
		return &t.Home.Rotations[0]
	}
	if d := talk.TheDog(t); d != nil {
		return planner.RotationOf(t.Home, d.ID)
	}
	eaten := func(r planner.Rotation) bool { return len(r.Dogs) > 0 }
	if i := slices.IndexFunc(t.Home.Rotations, eaten); i >= 0 && !slices.ContainsFunc(t.Home.Rotations[i+1:], eaten) {
		return &t.Home.Rotations[i]
	}
	return nil
}

// onRotation does something with the rotation that is meant; where that is
// not clear it asks.
func onRotation(t *talk.Turn, do func(t *talk.Turn, r *planner.Rotation)) {
	if r := theRotation(t); r != nil {
		do(t, r)
		return
	}
	rotations(t)
}

// rotation returns a rotation of the household, nil where there is none.
func rotation(t *talk.Turn, id string) *planner.Rotation {
	return planner.FirstOf(t.Home.Rotations, func(r *planner.Rotation) bool { return r.ID == id })
}

// takeOrder takes an order as typed into the draft, and goes on.
func takeOrder(t *talk.Turn, d rotationDraft, s string) {
	o, err := read.OrderText(s, t.Names(), t.Event.At)
	if err != nil {
		sayOrderProblem(t, d, err)
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
		d.Dogs = talk.AllDogs(t)
	}
	if len(o.Dogs) > 0 {
		d.Dogs = o.Dogs
	}
	d.New = d.New || o.New
	d.Nobody = len(d.Dogs) == 0 && (d.Nobody || o.Nobody || len(t.Home.Dogs) == 0)
	if !o.Start.IsZero() {
		d.Start = o.Start
	}
	askRotation(t, d)
}

// askRotation asks for what a rotation still lacks, and sets it where it
// lacks nothing.
func askRotation(t *talk.Turn, d rotationDraft) {
	long := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days > planner.MostTurnDays })
	switch i := slices.IndexFunc(d.Turns, func(w planner.Turn) bool { return w.Days == 0 }); {
	case len(t.Home.Recipes) < 2:
		t.SayMsg("rotation.few-recipes").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	case long >= 0:
		what := say.Trim(float64(d.Turns[long].Days), 0)
		d.Turns[long].Days = 0
		talk.Wrong(t, msg("rotation-wrong.days", "what", what, "most", planner.MostTurnDays), func() { askRotation(t, d) })
	case i >= 0:
		askTurnDays(t, d, d.Turns[i])
	case len(d.Turns) < 2 || !d.Whole:
		askNextTurn(t, d)
	case !d.Nobody && len(d.Dogs) == 0 && len(t.Home.Dogs) == 1:
		d.Dogs = []string{t.Home.Dogs[0].ID}
		askRotation(t, d)
	case !d.Nobody && len(d.Dogs) == 0 && len(t.Home.Dogs) > 0:
		t.Ask("rotation", "dogs", d)
		talk.DogButtons(t, t.SayMsg("rotation.ask-dogs"), "dogs").
			Offer(t.Answer(msg("button.rotation-everyone"), "dogs", "all"), t.Answer(msg("button.rotation-nobody"), "dogs", "none"), t.StopButton())
	case d.Start.IsZero() && len(d.Dogs) > 0:
		d.Asked = t.Event.At
		t.Ask("rotation", "start", d)
		dayButtons(t, t.SayMsg("rotation.ask-start"), "start")
	default:
		if d.Start.IsZero() {
			d.Start = t.Date() // no dog waits for it
		}
		before := ""
		if d.ID == "" && len(d.Dogs) == 0 && !d.New {
			d.ID = planLike(t, d.Turns)
			if was := rotation(t, d.ID); was != nil {
				before = msg("rotation.in-place", "order", orderText(t, was.Turns))
			}
		}
		setRotation(t, d, before)
	}
}

// planLike is the plan that no dog eats and that has a recipe of some turns: they
// are its new order. Empty where there is none.
func planLike(t *talk.Turn, turns []planner.Turn) string {
	for _, r := range t.Home.Rotations {
		shares := func(w planner.Turn) bool {
			return slices.ContainsFunc(r.Turns, func(o planner.Turn) bool { return o.Recipe == w.Recipe })
		}
		if len(r.Dogs) == 0 && slices.ContainsFunc(turns, shares) {
			return r.ID
		}
	}
	return ""
}

// askNextTurn asks which recipe comes next.
func askNextTurn(t *talk.Turn, d rotationDraft) {
	t.Ask("rotation", "order", d)
	var out *say.Reply
	switch len(d.Turns) {
	case 0:
		example := msg("rotation.example", "first", t.Home.Recipes[0].Name, "second", t.Home.Recipes[1].Name)
		out = t.SayMsg("rotation.ask-order", "example", example)
	case 1:
		out = t.SayMsg("rotation.few-turns", "recipe", talk.RecipeName(t, d.Turns[0].Recipe))
	default:
		out = t.SayMsg("rotation.so-far", "order", orderText(t, d.Turns))
	}
	for i, offered := 0, 0; i < len(t.Home.Recipes) && offered < 6; i++ { // six: our own choice
		if r := &t.Home.Recipes[i]; !r.Topper() {
			out.Offer(t.Answer(r.Name, "order", r.ID))
			offered++
		}
	}
	if len(d.Turns) > 1 {
		out.Offer(t.Answer(msg("button.rotation-all"), "order", "all"))
	}
	out.Offer(t.StopButton())
}

// askTurnDays asks for how many days a recipe runs.
func askTurnDays(t *talk.Turn, d rotationDraft, w planner.Turn) {
	t.Ask("rotation", "days", d)
	out := t.SayMsg("rotation.ask-days", "recipe", talk.RecipeName(t, w.Recipe))
	out.Offer(t.Answer("1", "days", "1"), t.Answer("2", "days", "2"), t.Answer("3", "days", "3"), t.Answer("4", "days", "4"))
	out.Offer(t.Answer("5", "days", "5"), t.Answer("7", "days", "7"), t.Answer("14", "days", "14"), t.StopButton())
}

// dayButtons offers the next days as the answer to a step.
func dayButtons(t *talk.Turn, out *say.Reply, step string) *say.Reply {
	today := t.Date()
	monday := today.AddDays(2)
	for monday.Weekday() != time.Monday {
		monday = monday.AddDays(1)
	}
	out.Offer(t.Answer(msg("button.rotation-today"), step, today.String()), t.Answer(msg("button.tomorrow"), step, today.AddDays(1).String()),
		t.Answer(say.DayText(monday), step, monday.String()))
	return out.Offer(t.StopButton())
}

// setRotation sets a rotation, and says of which other one it has the place. Its
// dogs leave the ones that they were in.
func setRotation(t *talk.Turn, d rotationDraft, before string) {
	r := planner.Rotation{ID: d.ID, Dogs: d.Dogs, Turns: d.Turns, Start: d.Start}
	others, moved := otherRotations(t, d)
	home := *t.Home
	home.Rotations = others
	if err := r.Validate(&home); err != nil {
		sayRotationError(t, d, err)
		return
	}
	names := dogNames(t, d.Dogs)
	t.EndDialogue()
	if dogs.HeldAny(t, d.Dogs) {
		return
	}
	t.Mutate("did.rotation", names)
	if rotation(t, r.ID) == nil {
		r.ID = t.NewID("o")
	}
	for i := range t.Home.Transitions {
		if tr := &t.Home.Transitions[i]; !tr.Done && tr.Rotation != "" && slices.Contains(r.Dogs, tr.Dog) {
			tr.Rotation = r.ID
		}
	}
	t.Home.Rotations = append(others, r)
	planRotations(t)
	out := showRotation(t, &t.Home.Rotations[len(others)], say.JoinParas(msg("rotation.set", "order", orderText(t, r.Turns), "dogs", names),
		before, say.Where(len(moved) > 0, msg("rotation.moved-dogs", "dogs", talk.DogNames(t, moved), "n", len(moved))), notForText(t, r)))
	out.Offer(t.UndoButton())
}

// PutOn lets a dog eat recipes in turns from now on, and returns the id of the
// rotation. It leaves the one that it was in.
func PutOn(t *talk.Turn, d *planner.Dog, turns []planner.Turn) string {
	r := planner.Rotation{ID: t.NewID("o"), Dogs: []string{d.ID}, Turns: turns, Start: t.Date()}
	others, _ := otherRotations(t, rotationDraft{Dogs: r.Dogs})
	for _, w := range turns {
		d.Forget(w.Recipe)
	}
	t.Home.Rotations = append(others, r)
	planRotations(t)
	return r.ID
}

// otherRotations are the household's rotations without the one that is set
// and its dogs, and the dogs that left one for it.
func otherRotations(t *talk.Turn, d rotationDraft) (others []planner.Rotation, moved []string) {
	for _, o := range t.Home.Rotations {
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
		if nobody := len(o.Dogs) == 0; nobody || len(kept) > 0 {
			o.Dogs = kept
			others = append(others, o)
		}
	}
	return others, moved
}

// sayRotationError says what is wrong with a rotation, and asks anew.
func sayRotationError(t *talk.Turn, d rotationDraft, err error) {
	var e *planner.RotationError
	if !errors.As(err, &e) {
		t.Fail(err)
		return
	}
	switch e.Code {
	case planner.ManyTurns:
		d.Turns, d.Whole = nil, false
	case planner.GoneRecipe, planner.TopperTurn:
		d.Turns = slices.DeleteFunc(d.Turns, func(w planner.Turn) bool { return w.Recipe == e.Of })
		d.Whole = false
	case planner.GoneDog, planner.DogTwice:
		d.Dogs = nil
	}
	wrong := ""
	if key := "rotation-wrong." + string(e.Code); words.Has(key) {
		wrong = msg(key, "most", planner.MostTurns, "recipe", talk.RecipeName(t, e.Of))
	}
	talk.Wrong(t, wrong, func() { askRotation(t, d) })
}
