package dogs

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// restLater is the answer that leaves the questions about a dog that is kept.
const restLater = "rest-later"

// FirstDog begins the profile of a household's first dog with what was told of
// it in any words.
func FirstDog(t *talk.Turn, s string) bool {
	var draft dogDraft
	switch {
	case len(t.Home.Dogs) > 0:
		return false
	case severalTold(t, s):
		return true
	case read.Says("oneself", s) || !read.TellsOfDog(s, t.Home.Units, t.Event.At) || !draft.fill(t, s):
		return false
	}
	household.AdoptHome(t, s)
	askNextDogStep(t, draft)
	return true
}

// NamedDog begins the profile of a household's first dog, or of its several,
// with what was told where a name is said: "her name is".
func NamedDog(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) > 0 || t.Talk.Kind != "" {
		return anotherDog(t, s)
	}
	d, problems := read.DogLine(s, t.Home.Units, t.Event.At)
	told := read.ToldOfDog(s, t.Home.Units, t.Event.At).Name
	unfit := slices.ContainsFunc(problems, func(p span.Problem) bool { return p.Code != span.NotPlaced })                   // "dog Rex 4000 kg"
	whole := unfit || d.Name != "" && d.Weight > 0 && len(problems) == 0 && (told == "" || strings.EqualFold(told, d.Name)) // as a line about a dog has it
	return severalTold(t, s) || !whole && read.NamesDog(s, t.Names()) && FirstDog(t, s)
}

// anotherDog begins the profile of one more dog, also where only the name is told: "my other
// one is Tess".
func anotherDog(t *talk.Turn, s string) bool {
	var draft dogDraft
	is := t.Talk.Kind == "" && read.Says("another-dog", s) && read.NamesDog(s, t.Names()) && !strings.ContainsAny(s, "?0123456789") && draft.fill(t, s) && t.DogNamed(draft.Dog.Name) == nil
	if is {
		askNextDogStep(t, draft)
	}
	return is
}

// AnotherTold begins it with all that is told of the dog, also of its medicine.
func AnotherTold(t *talk.Turn, s string) bool {
	_, told := toldBeside(t, s)
	return told && t.Talk.Kind == "" && read.Says("another-dog", s) && DogAside(t, s)
}

// KeepFirst keeps a household's first dog with what was told of it, if that is
// its name and weight at least, and asks nothing.
func KeepFirst(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) == 0 && severalTold(t, s) {
		return true
	}
	var draft dogDraft
	if len(t.Home.Dogs) > 0 || !draft.fill(t, s) || draft.Dog.Name == "" || draft.Dog.Weight == 0 {
		return false
	}
	household.AdoptHome(t, s)
	keepDog(t, draft)
	return true
}

// BeginDog asks for a household's first dog, of which little or nothing was told.
func BeginDog(t *talk.Turn, s string) {
	if !FirstDog(t, s) {
		askNextDogStep(t, dogDraft{})
	}
}

// Introduced begins the profiles of dogs that a text introduces, by what else it tells
// of them. It reports whether it names one that is new.
func Introduced(t *talk.Turn, s string) bool {
	names := read.NewNames(s, t.Names(), true)
	if len(names) == 0 || severalTold(t, s) {
		return len(names) > 0
	}
	is, own := span.Named{ID: say.Capital(names[0].Name), Name: names[0].Name}, s
	draft := dogDraft{Dog: planner.Dog{Name: is.ID}}
	draft.done("name")
	if told := read.OfEach(s, append(slices.Clone(t.Names().Dogs), is), t.Home.Units, t.Event.At); len(told) > 1 { // "Bran isn't fat, it's Biscuit that's fat"
		for _, d := range told {
			if d.Name == is.ID {
				own = d.Text
			} else if read.TellsFacts(d.Dog, d.Text) {
				takeTold(t, d)
			}
		}
	}
	draft.fill(t, own)
	askNextDogStep(t, draft)
	return true
}

// fill takes what a text tells of the dog and was not known, and reports whether
// it told anything. A number alone answers the question that is open, or none.
func (draft *dogDraft) fill(t *talk.Turn, s string) bool {
	if _, err := span.Number(strings.TrimSpace(s)); err == nil {
		return false
	}
	told := read.ToldOfDog(s, t.Home.Units, t.Event.At)
	if told.Name != "" && told.Weight > 0 && draft.Dog.Name == "" && draft.Dog.Weight > 0 && told.Weight != draft.Dog.Weight {
		*draft = dogDraft{} // what was told before is of another dog
	}
	d, done := draft.Dog, map[string]bool{}
	again := read.Says("corrects-told", s) && strings.Contains(strings.ToLower(s), " not ") // "no he's 5 years, not 3 weeks"
	take := func(step string, is bool, keep func()) {
		if is && (!draft.Done[step] || again && step != "name") {
			keep()
			done[step] = true
		}
	}
	take("name", told.Name != "", func() { d.Name = told.Name })
	take("weight", told.Weight > 0, func() { d.Weight = told.Weight })
	take("age", !told.Born.IsZero(), func() { d.Born, d.BornAbout = told.Born, told.BornAbout })
	take("sex", told.Neutered != "", func() { d.Sex, d.Neutered = cmp.Or(told.Sex, d.Sex), told.Neutered })
	take("activity", told.Activity != "", func() { d.Activity = told.Activity })
	if score, err := span.Number(read.Find("score-of-nine", s)); err == nil { // before what words were taken for
		told.Condition = int(score)
		delete(draft.Done, "condition")
	}
	take("condition", told.Condition > 0, func() { d.Condition = told.Condition })
	told.Healthy = told.Healthy || told.Health == "" && len(strings.Fields(s)) > 2 && read.SaysWell(s)
	take("health", told.Health != "" || told.Healthy, func() { d.Health, d.Healthy = told.Health, told.Healthy })
	take("meals", told.Meals > 0, func() { d.Meals = told.Meals })
	if read.Says("kcal-set", s) && !read.Says("kcal-per", s) && told.Kcal >= LeastKcal && told.Kcal <= MostKcal && told.Kcal != d.Kcal {
		d.PutInForce(told.Kcal, say.Choose(read.Says("names-vet", s), planner.OnVet, planner.OnCarer), t.Event.Person, t.Event.At)
	}
	more := len(done) > 0 || d.Kcal != draft.Dog.Kcal || told.AdultWeight > 0 && d.AdultWeight == 0 || told.Stage != "" && d.Stage == "" || len(told.Excludes) > 0 || told.StoresCopper && !d.StoresCopper
	d.StoresCopper = d.StoresCopper || told.StoresCopper
	d.AdultWeight, d.Stage, d.Ideal = cmp.Or(d.AdultWeight, told.AdultWeight), cmp.Or(d.Stage, told.Stage), cmp.Or(d.Ideal, told.Ideal)
	d.Excludes = append(d.Excludes, told.Excludes...)
	if !draft.Done["sex"] {
		d.Sex = cmp.Or(d.Sex, told.Sex)
	}
	most, growing := planner.HeaviestAt(d, t.Event.At)
	if d.Name != "" && d.Weight > 0 && (d.Validate(t.Event.At) != nil || done["age"] && growing && d.Weight > most) {
		return false // no dog of that age weighs so much: one of them is misread
	}
	if done["weight"] {
		done["units"] = true
	}
	draft.Dog = d
	draft.done(slices.Collect(maps.Keys(done))...)
	return more
}

// ofAnother answers what is of no use for a question about a dog: it names
// another of the household, or a weight where health was asked for. It reports
// whether a text was that.
func ofAnother(t *talk.Turn, d *planner.Dog, s *talk.Step[planner.Dog], in talk.Answer) bool {
	_, _, named := read.DogsNamed(in.Text, t.Names())
	for _, m := range span.Mentions(in.Text, t.Names().Dogs) { // also those that stand apart
		named = append(named, m.ID)
	}
	other := slices.ContainsFunc(named, func(id string) bool { return id != d.ID }) || tellsOfAnother(t, d, in.Text)
	if in.Press != "" || s.Name == "name" || !other && !(s.Name == "health" && read.Says("weight", in.Text)) {
		return false
	}
	ask := func() { s.Ask(t, d) }
	switch {
	case read.SaysHealthy(in.Text) && classed(t, named, "healthy") || t.Aside(in.Text):
	case t.Elsewhere(in.Text, ask):
		return true
	default:
		t.SayMsg("wrong.other-dog")
	}
	t.Again(ask)
	return true
}

// tellsOfAnother reports that a text describes a dog besides the one that is
// asked about: "old terrier called Rip, 8 kg".
func tellsOfAnother(t *talk.Turn, d *planner.Dog, s string) bool {
	called := read.ToldOfDog(s, t.Home.Units, t.Event.At).Name
	other := called != "" && d.Name != "" && !strings.EqualFold(called, d.Name)
	return read.Says("another-dog", s) || other && (read.NamesDog(s, t.Names()) || DescribesDog(t, s))
}

// putRight takes a weight, a name or how active it is in place of a wrong one, and a note
// away: "she is 19.2 kg, not 4", "calm, not brisk", "remove that note". It reports whether a text was that. The weight of a dog that is kept is a
// weigh-in, and is corrected as one.
func (draft *dogDraft) putRight(t *talk.Turn, s string) bool {
	d := draft.Dog
	kg, weight := read.WeightPutRight(s, t.Home.Units)
	name, activity := read.RightName(s), read.ToldOfDog(strings.TrimRight(read.Without("line-lead", s), "? "), t.Home.Units, t.Event.At).Activity
	switch {
	case d.Health != "" && read.Says("note-away", s):
		d.Health, d.Ill = "", false
	case activity != "" && d.Activity != "" && read.Says("activity-again", t.AsTyped()):
		d.Activity = activity
	case weight && d.ID != "":
		return t.Aside(s)
	case weight && d.Weight > 0:
		d.Weight = kg
	case name != "" && d.Name != "" && t.DogNamed(name) == nil:
		d.Name = name
	default:
		return false
	}
	if d.Name != "" && d.Weight > 0 && d.Validate(t.Event.At) != nil {
		return false
	}
	draft.Dog = d
	return true
}

// empty reports that nothing is known of the dog yet.
func (draft *dogDraft) empty() bool { return draft.Dog.ID == "" && len(draft.Done) == 0 }

// noted says what is known of a dog that was not before; empty where that is nothing.
func noted(t *talk.Turn, was, is *planner.Dog) string {
	news := newFacts(t, was, is)
	if was.Name == "" && is.Name != "" {
		news = append([]string{is.Name}, news...)
	}
	if is.Health != was.Health && is.Health != "" {
		news = append(news, is.Health)
	}
	if is.Ideal > 0 && is.Ideal != was.Ideal {
		news = append(news, msg("dog.goal", "weight", say.BodyWeight(is.Ideal, t.Home.Units)))
	}
	if is.Kcal > 0 && is.Kcal != was.Kcal {
		news = append(news, msg(say.Choose(is.ByVet, "dog.kcal-vet", "dog.kcal"), "kcal", say.Kcal(is.Kcal)))
	}
	if is.Healthy && !was.Healthy {
		news = append(news, msg("dog.no-illness"))
	}
	return say.Where(len(news) > 0, msg("dog.noted", "facts", strings.Join(news, ", ")))
}

// echo says what was heard in an answer about a dog, where the reply does not say so yet.
func echo(t *talk.Turn, was, is *planner.Dog) {
	lead, _, _ := strings.Cut(msg("dog.noted", "facts", "\n"), "\n")
	if r := t.LastReply(); !strings.HasPrefix(r.Body[0].Text, lead) {
		r.Begin(noted(t, was, is))
	}
}

// heard says that something was kept, or noted as far as there is no name to
// keep it by.
func (draft *dogDraft) heard(t *talk.Turn, kept bool, ask string) string {
	switch {
	case kept && len(strings.Fields(t.AsTyped())) > fewWords:
		return say.JoinParas(noted(t, &planner.Dog{}, &draft.Dog), household.PlaceHeard(t))
	case kept:
		return say.JoinParas(msg("dog.kept", "dog", draft.Dog.Name), household.PlaceHeard(t))
	case ask == "name" && len(draft.Done) > 0 && draft.Dog.Health == "":
		return noted(t, &planner.Dog{}, &draft.Dog)
	case (ask == "units" || ask == "weight") && draft.Dog.Health == "" && len(strings.Fields(t.AsTyped())) > 2 && read.HasName(t.AsTyped(), draft.Dog.Name):
		return noted(t, &planner.Dog{}, &draft.Dog)
	}
	return household.PlaceHeard(t)
}

// renew takes a dog that is kept as it is now: another carer may have changed
// it, or the step that kept it was undone.
func (draft *dogDraft) renew(t *talk.Turn) {
	if kept := t.Dog(draft.Dog.ID); kept != nil {
		draft.Dog = *kept
		return
	}
	draft.Dog.ID = ""
}

// keepSoFar keeps a dog as soon as it has a name and a weight, and what is told
// of it afterwards. It reports whether the dog is kept only now.
func keepSoFar(t *talk.Turn, draft *dogDraft) bool {
	d := &draft.Dog
	if most, growing := planner.HeaviestAt(*d, t.Event.At); d.Name == "" || d.Weight == 0 || growing && d.Weight > most || d.Validate(t.Event.At) != nil {
		return false
	}
	if kept := t.Dog(d.ID); kept != nil {
		was := *kept
		t.Mutate("did.dog-changed", d.Name)
		if d.Born != was.Born && !draft.Done["meals"] {
			mealsForAge(t, d)
		}
		*kept = *d
		talk.NoteDog(t, was, *d)
		return false
	}
	if t.DogNamed(d.Name) != nil {
		t.SayMsg("dog.name-taken", "name", d.Name)
		d.Name, draft.Done["name"] = "", false
		return false
	}
	*d = *Append(t, *d)
	t.Talk.Dog = d.ID
	return true
}

// dogLeft says that the dog stays whose questions are left.
func dogLeft(t *talk.Turn) string {
	var draft dogDraft
	t.Draft(&draft)
	kept := talk.DogNames(t, []string{draft.Dog.ID})
	return say.Where(kept != "", msg("dog.left", "dog", kept))
}
