package dogs

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// EachTold takes what a text tells of each of several dogs, of which the household has one
// at least: "Bran is 4/9, Biscuit is a girl, 8/9".
func EachTold(t *talk.Turn, s string) bool {
	told := toldOfEach(t, s, nil)
	if len(told) < 2 || !slices.ContainsFunc(told, func(d read.Told) bool { return t.Dog(d.Name) != nil }) {
		return false
	}
	for _, d := range told {
		takeTold(t, d)
	}
	return true
}

// toldOfEach is what a text tells of each dog that it names: of the household's, of new
// ones, and of the one that is asked about. It is nothing where something is not told of
// all, or no facts are.
func toldOfEach(t *talk.Turn, s string, asked *planner.Dog) (told []read.Told) {
	names := t.Names()
	s = read.OwnersMarked(s, names.Dogs)
	if a := t.Alarm(s); len(s) > mostIntroduced || asksIn(s) || a.Signs || a.Past || a.Took && a.Eaten != nil || a.Stranger || len(a.Unhad) > 0 || read.Says("wishes", s) || len(t.RecipeText(s).Lines) > 0 {
		return nil
	}
	for _, n := range read.NewNames(s, names, false) {
		if n.P >= read.SurelyName {
			names.Dogs = append(names.Dogs, span.Named{ID: span.Capital(n.Name), Name: n.Name})
		}
	}
	if asked == nil && len(span.Mentions(s, names.Dogs)) < 2 && !read.Says("of-both", s) && len(span.AllNamed(s))*len(span.Mentions(s, names.Dogs)) == 0 {
		return nil
	}
	if asked != nil { // what names none is of it: "2 years, and Bran is 13"
		if t.Dog(asked.ID) == nil {
			names.Dogs = append(slices.Clone(names.Dogs), span.Named{ID: asked.Name, Name: asked.Name})
		}
		s = asked.Name + ", " + s
	}
	facts := false
	for _, d := range read.OfEach(s, names.Dogs, t.Home.Units, t.Event.At) {
		switch tells := read.TellsFacts(d.Dog, d.Text); {
		case tells || d.Weight > 0 || read.SaysHealthy(d.Text):
			facts, told = facts || tells, append(told, d)
		case asked == nil || d.Name != asked.Name && d.Name != asked.ID:
			return nil
		}
	}
	if !facts {
		return nil
	}
	if both := read.Find("two-figures", s); both != "" && (read.Says("of-both", s) || len(span.AllNamed(s)) > 0) { // "both boys, 4 and 6 years"
		t.Unused(both)
	}
	return told
}

// otherNamed puts its name for the only dog of the other sex than the one that is asked
// about, where a text speaks of it: "she" is not Bruno.
func otherNamed(t *talk.Turn, asked *planner.Dog, s string) string {
	others := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return d.Sex == "" || d.Sex == asked.Sex })
	if asked.Sex == "" || len(others) != 1 || len(span.Mentions(s, t.Names().Dogs)) > 0 {
		return s
	}
	pronoun := say.Choose(others[0].Sex == planner.Female, read.Pattern("pronoun-female"), read.Pattern("pronoun-male"))
	return pronoun.ReplaceAllStringFunc(s, func(said string) string {
		_, is, _ := strings.Cut(said, " ")
		return others[0].Name + " " + cmp.Or(is, "is")
	})
}

// takeTold keeps what was told of one of several dogs, or begins with it where it is new.
func takeTold(t *talk.Turn, told read.Told) {
	d := t.Dog(told.Name)
	switch {
	case d != nil:
		if d.Sex != "" && !read.Says("sex-named", told.Text) { // a pronoun, or "castrated" of a bitch
			told.Sex = ""
		}
		n := len(t.Replies)
		if takeFacts(t, d, told.Dog); len(t.Replies) == n {
			showDog(t, d, msg("dog.as-told"))
		}
	case told.Weight > 0 && told.Validate(t.Event.At) == nil:
		showAdded(t, Append(t, told.Dog))
	default:
		draft := dogDraft{Dog: planner.Dog{Name: told.Name}}
		draft.done("name")
		draft.fill(t, told.Text)
		askNextDogStep(t, draft)
	}
}

// others takes what an answer tells of other dogs, and what it tells beside of the one that
// is asked about, and asks on. It reports whether a text was that.
func (draft *dogDraft) others(t *talk.Turn, s string) bool {
	told, was := toldOfEach(t, s, &draft.Dog), draft.Dog
	isOwn := func(d read.Told) bool { return d.Name == was.Name || d.Name == was.ID }
	other := func(d read.Told) bool { return !isOwn(d) }
	kept := slices.ContainsFunc(told, func(d read.Told) bool { return other(d) && t.Dog(d.Name) != nil })
	if !kept || slices.ContainsFunc(told, func(d read.Told) bool { return other(d) && t.Dog(d.Name) == nil && d.Weight == 0 }) {
		return false
	}
	for _, d := range told {
		if other(d) {
			takeTold(t, d)
			continue
		}
		done := draft.Done
		draft.Done = map[string]bool{"name": true} // what is told again puts right
		draft.fill(t, d.Text)
		for step := range done {
			draft.Done[step] = true
		}
	}
	t.EndDialogue()
	askNextDogStep(t, *draft)
	echo(t, &was, &draft.Dog)
	return true
}

// beside takes an answer about health that tells of more, each in its place, and asks on:
// "just overweight. The vet set her 540 kcal, target 14 kg. 2 meals". The note is what
// tells nothing else.
func (draft *dogDraft) beside(t *talk.Turn, s string) bool {
	if slices.Contains(illness.In(s), illness.Medicine) {
		return false // "benazepril, two a day"
	}
	var notes []string
	for _, part := range read.Pattern("health-parts").Split(s, -1) {
		told := read.ToldOfDog(part, t.Home.Units, t.Event.At)
		if told.Kcal+nutrition.Kcal(told.Ideal+told.AdultWeight) == 0 && told.Meals == 0 && strings.TrimSpace(part) != "" {
			notes = append(notes, strings.TrimSpace(part))
		} else if told.Health != "" {
			return false
		}
	}
	note, before := strings.Join(notes, ", "), *draft
	if note == s || !draft.fill(t, s) {
		return false
	}
	if !draft.Done["health"] && note != "" {
		if takeDogHealth(t, &draft.Dog, talk.Answer{Text: note}) != "" {
			*draft = before
			return false
		}
		draft.done("health")
	}
	askNextDogStep(t, *draft)
	return true
}

// severalTold keeps the dogs that somebody tells of, each with its name and weight,
// and asks for the weights that are not told. It reports whether there are two or more.
func severalTold(t *talk.Turn, s string) bool {
	told := read.DogsTold(s, t.Names(), t.Home.Units, t.Event.At)
	several := len(told) > 1 && !asksIn(s) && keepTold(t, s, told)
	if several && len(unweighed(told)) == 0 {
		sayKept(t)
	}
	return several
}

// KeepSeveral keeps them where all weights are told, and says nothing.
func KeepSeveral(t *talk.Turn, s string) bool {
	told := read.DogsTold(s, t.Names(), t.Home.Units, t.Event.At)
	return len(told) > 1 && !asksIn(s) && len(unweighed(told)) == 0 && keepTold(t, s, told)
}

// unweighed are the names of the dogs whose weights are not told.
func unweighed(told []planner.Dog) (names []string) {
	for _, d := range told {
		if d.Weight == 0 {
			names = append(names, d.Name)
		}
	}
	return names
}

// keepTold keeps several dogs together, or asks for the weights that are missing.
func keepTold(t *talk.Turn, s string, told []planner.Dog) bool {
	for _, d := range told {
		if d.Weight > 0 && d.Validate(t.Event.At) != nil || t.DogNamed(d.Name) != nil {
			return false
		}
	}
	household.AdoptHome(t, s)
	if names := unweighed(told); len(names) > 0 {
		t.Ask("dog", "name", dogDraft{Told: told})
		askWeights(t, names)
		return true
	}
	for _, d := range told {
		Append(t, d)
	}
	t.EndDialogue()
	return true
}

// askWeights asks what one dog weighs, or several.
func askWeights(t *talk.Turn, names []string) {
	if len(names) == 1 {
		t.SayMsg("ask.dog-weight", "dog", names[0]).Offer(t.StopButton())
		return
	}
	t.SayMsg("ask.dogs-weight", "dogs", say.List(names), "one", names[0], "other", names[1]).Offer(t.StopButton())
}

// sayKept lists the dogs that were told of together, with what was heard of each.
func sayKept(t *talk.Turn) {
	heard := say.LinesOf(t.Dogs(), func(d *planner.Dog) string { return noted(t, &planner.Dog{}, d) })
	listDogs(t)
	t.LastReply().Begin(heard).Offer(t.UndoButton())
}

// weigh takes the weights of the dogs for which they were asked: with their names, or
// in their order, "27 and 9 kg". It reports whether all are told.
func (draft *dogDraft) weigh(t *talk.Turn, s string) bool {
	missing := unweighed(draft.Told)
	var names span.Names
	for _, n := range missing {
		names.Dogs = append(names.Dogs, span.Named{ID: n, Name: n})
	}
	all, ok, err := read.Weighings(s, names, t.Home.Units, t.Event.At)
	if kg, dog, one := read.NamedWeight(s, names, t.Home.Units); one {
		all = []read.WeighingSaid{{Dog: dog, Weight: kg}}
	} else if weights := read.Pattern("some-weight").FindAllString(s, -1); (!ok || err != nil || len(all) != len(missing)) && len(weights) == len(missing) {
		all = nil
		unit := strings.TrimLeft(weights[len(weights)-1], "0123456789.,")
		if unit == "" { // where nobody says another, what the household weighs in
			unit = say.Choose(t.Home.Units.Pounds, " lb", " kg")
		}
		for i, w := range weights {
			if !strings.ContainsAny(w, "klp") {
				w += unit
			}
			kg, err := span.BodyWeight(w, t.Home.Units)
			if err != nil {
				return false
			}
			all = append(all, read.WeighingSaid{Dog: missing[i], Weight: kg})
		}
	}
	for _, w := range all {
		for i := range draft.Told {
			if draft.Told[i].Name == w.Dog {
				draft.Told[i].Weight = w.Weight
			}
		}
	}
	return len(unweighed(draft.Told)) == 0
}
