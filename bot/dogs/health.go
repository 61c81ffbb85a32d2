package dogs

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// addHealth adds what was answered to the notes that a dog has. An answer that
// the dog is well takes none away before it is asked for: a note can be what
// keeps its food for the vet to set.
func addHealth(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	said := strings.ToLower(changed.Health)
	if (said == "" || read.Says("answers-well", said)) && len(illness.In(said)) == 0 || read.Says("no-longer", said) {
		askWell(t, d)
		return
	}
	changed.Health = d.Health + ", " + changed.Health
	keepHealth(t, d, changed)
}

// NoteFound notes the illnesses that a text tells that a vet found, and reports whether
// one is new; a medicine may be for days only.
func NoteFound(t *talk.Turn, d *planner.Dog, s string) bool {
	changed := *d
	changed.Health = withFound(changed, s)
	if changed.Health == d.Health {
		return false
	}
	keepHealth(t, d, changed)
	return true
}

// withFound is a dog's notes with the illnesses that a text tells that a vet found.
func withFound(d planner.Dog, s string) string {
	s = read.Without("medicine-stopped", s)
	found := slices.DeleteFunc(illness.In(s), func(code string) bool { return code == illness.Medicine || slices.Contains(illness.In(d.Health), code) })
	for _, w := range span.SplitWords(s) {
		if read.In("conditions", w.Text) && !read.HasName(d.Health, w.Text) && !read.Says("no-condition", s) {
			found = append(found, w.Text)
		}
	}
	for _, what := range found {
		d.Health = strings.TrimPrefix(d.Health+", "+strings.ReplaceAll(what, "-", " "), ", ")
	}
	return d.Health
}

// NoteMedicine notes a medicine that is given for an illness, where none is noted of
// its kind.
func NoteMedicine(t *talk.Turn, d *planner.Dog, medicine string) {
	known := illness.In(d.Health)
	if slices.ContainsFunc(illness.In(medicine), func(code string) bool { return !slices.Contains(known, code) }) {
		changed := *d
		changed.Health = strings.TrimPrefix(d.Health+", "+medicine, ", ")
		keepHealth(t, d, changed)
	}
}

// askWell asks which note on health is to go, of a dog that is said to be well: one that
// is named, or where nothing was told of lately that may be meant.
func askWell(t *talk.Turn, d *planner.Dog) {
	s, notes := t.AsTyped(), strings.Split(d.Health, ", ")
	named := len(illness.In(s)) > 0 || slices.ContainsFunc(notes, func(note string) bool { return read.HasName(s, note) })
	switch {
	case !named && t.Event.Text != "" && SayWell(t, []string{d.ID}, t.Event.Text):
		return
	case d.Health == "":
		t.SayMsg("urgent.calm")
		return
	}
	out := t.SayMsg("health.drop-which", "dog", d.Name, "notes", d.Health)
	for _, note := range notes {
		out.Offer(t.Button(msg("button.health-drop", "note", say.Short(note)), "dog", "well", d.ID, talk.ChangeID(note)))
	}
	out.Offer(t.Button(msg("button.keep"), "dog", "show", d.ID))
}

// dropHealth takes away the note that a button names.
func dropHealth(t *talk.Turn, d *planner.Dog, id string) {
	changed := *d
	notes := slices.DeleteFunc(strings.Split(d.Health, ", "), func(note string) bool { return talk.ChangeID(note) == id })
	changed.Health = strings.Join(notes, ", ")
	if talk.Gone(t, changed.Health == d.Health) {
		return
	}
	if changed.Health == "" {
		changed.Healthy, changed.Ill = true, false
	}
	keepHealth(t, d, changed)
}

func keepHealth(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	if talk.Unfit(t, changed) {
		return
	}
	ChangeDog(t, d.ID, changed)
}

// answerDied answers the news that a dog has died: nothing more is said of it,
// and nothing is taken away before a carer says so.
func answerDied(t *talk.Turn, s read.Sentence) {
	if d := t.Dog(s.Dog); d != nil {
		sayDied(t, d)
		return
	}
	talk.OfferDogs(t, t.SayMsg("died.sorry"), "dog", "died")
}

// sayDied stops all that is said of a dog that has died, at once, and keeps
// its records.
func sayDied(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	if d.Died.IsZero() {
		t.Mutate("did.dog-changed", d.Name)
		d.Died = t.Event.At.UTC()
		t.Happened(&talk.DogRested{ID: d.ID})
		if len(t.Living()) == 0 {
			t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind != planner.NoteReminder })
		}
	}
	t.InPlace(t.SayMsg("died.sorry-for", "dog", d.Name).
		Offer(t.UndoButton(), t.Button(msg("button.died-remove"), "dog", "remove", d.ID)))
}

// AskedOf are the dogs that a reminder is about: one, or every one that lives.
func AskedOf(t *talk.Turn, r *planner.Reminder) []*planner.Dog {
	return slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool { return r.Dog != "" && r.Dog != d.ID })
}

// IllTold takes what is told of an illness or a medicine beside a question ("he's had
// stones, can he have spinach?"), or with its dose: it is kept first.
func IllTold(t *talk.Turn, s string) bool {
	var asked []string
	fact := ""
	s, apart := span.BindNames(s, t.Names()) // that of "Turkey and heart" is no illness
	for _, part := range read.Clauses(read.Without("note-it", s)) {
		_, told, ok := read.DogFacts(apart(part), t.Names(), t.Home.Units, t.Event.At)
		switch ill := ok && len(illness.In(told.Health)) > 0; {
		case ill && fact == "" && (read.Says("medicine", told.Health) || part != s):
			fact = part
		case !ill && (read.BeginsQuestion(part) || strings.HasSuffix(part, "?")):
			asked = append(asked, part)
		default:
			return false
		}
	}
	if w, err := span.WhenText(fact, t.Event.At); fact == "" || len(t.Home.Dogs) == 0 || read.Says("dose-had", fact) || err == nil && len(w.Times)+len(w.Meal) > 0 || !DogFacts(t, apart(fact)) {
		return false
	}
	for _, part := range asked {
		if read.Says("with-it", part) {
			t.SayMsg("dog.medicine-food")
		} else {
			t.RouteWords(apart(part))
		}
	}
	return true
}

// mostLimits is how many limits of a vet are kept for one dog.
const mostLimits = 10

// LimitWords keeps what a vet has a dog's food keep to, or takes it back; a newer limit of
// a nutrient takes the place of the one before. What is told beside it is done too.
func LimitWords(t *talk.Turn, s string) bool {
	l, rest, ok := read.LimitIn(s)
	drops := read.Says("limit-drop", s)
	if !ok && !drops || len(t.Home.Dogs) == 0 || !drops && !read.TellsLimit(s, l) {
		return false
	}
	d, named := talk.TheDog(t), t.Alarm(s).Dogs // "mabels got pancreatitis"
	if _, _, both := talk.DogsIn(t, s); l.Treats && len(both) > 1 {
		for _, d := range both {
			changed := *d
			changed.Limits = withLimit(d.Limits, l)
			ChangeDog(t, d.ID, changed)
		}
		return true
	}
	if len(named) == 1 {
		d = t.Dog(named[0])
	}
	switch {
	case len(named) == 0 && !l.Treats && !read.Says("names-vet", s) && !read.SaysShe(s): // of a recipe
		return false
	case d == nil:
		talk.WhichDog(t)
		return true
	}
	changed := *d
	changed.Health = withFound(changed, s)
	changed.Limits = slices.DeleteFunc(slices.Clone(d.Limits), func(was string) bool { return drops && (!ok || strings.Contains(was, l.Text)) })
	for ; ok && !drops && len(changed.Limits) < mostLimits; l, rest, ok = read.LimitIn(rest) {
		changed.Limits = withLimit(changed.Limits, l)
	}
	ChangeDog(t, d.ID, changed)
	if none := read.Find("limit-no", rest); none != "" && !strings.HasPrefix(none, "no more") {
		DogFacts(t, none+" for "+d.Name)
		rest = strings.TrimSuffix(strings.TrimRight(rest, ".! "), none)
	}
	for _, beside := range read.Pattern("clause-ends").Split(rest, -1) { // "vet said 720 kcal a day, and phosphorus under 1 g per 1000 kcal"
		beside = read.Without("limit-beside", beside)
		k, err := span.Number(read.Find("kcal-said", beside))
		switch is, _ := t.Understand(beside); {
		case read.Without("limit-beside", talk.WithoutDogs(t, beside)) == "":
		case read.BeginsQuestion(beside):
			t.RouteWords(beside)
		case err == nil && is.Intent != read.VetKcal && read.Says("names-vet", s):
			t.GoTo(read.Sentence{Intent: read.VetKcal, Dog: d.ID, Kcal: nutrition.Kcal(k)})
		default:
			for _, part := range read.Clauses(beside) {
				if is, ok := t.Understand(part); ok && is.Intent == read.EatsNot {
					beside = part
				}
			}
			talk.Sentence(t, beside)
		}
	}
	return true
}

// withLimit are limits with a newer one, in the place of the one before of the same.
func withLimit(limits []string, l read.Limit) []string {
	return append(slices.DeleteFunc(slices.Clone(limits), func(was string) bool {
		old, _, _ := read.LimitIn(was)
		return was == l.Text || l.Treats && old.Treats || l.Known && old.Of == l.Of && old.Least == l.Least && (l.Bound > 0 || old.Bound == 0)
	}), l.Text)
}

// MostTreats is how many kcal of treats a dog may have of a day's, and whether that was told.
func MostTreats(d *planner.Dog, day nutrition.Kcal) (most nutrition.Kcal, told bool) {
	for _, text := range d.Limits {
		if l, _, _ := read.LimitIn(text); l.Treats {
			return nutrition.Kcal(l.Bound), true
		}
	}
	return day * planner.TreatShare, false
}

// AllowsAgain takes "Pip can have chicken again" for a food that is no longer left out,
// and "neither can have chicken" for one that is from now on.
func AllowsAgain(t *talk.Turn, s string) bool {
	_, _, named := talk.DogsIn(t, s)
	switch both := read.Without("neither", s); {
	case read.IsQuestion(s):
		return false
	case both != s: // "neither can have chicken"
		return DogFacts(t, both)
	case len(named) != 1 || !read.Says("allows-again", s):
		return false
	}
	changed := *named[0]
	changed.Excludes = slices.DeleteFunc(slices.Clone(changed.Excludes), func(food string) bool { return strings.Contains(strings.ToLower(s), food) })
	lifted := len(changed.Excludes) < len(named[0].Excludes)
	if lifted {
		ChangeDog(t, changed.ID, changed)
	}
	return lifted
}
