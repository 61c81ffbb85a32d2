package talk

import (
	"cmp"
	"slices"

	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Dogs are the dogs of the household.
func (t *Turn) Dogs() []*planner.Dog { return within(t.Home.Dogs) }

// Living are those of them that have not died.
func (t *Turn) Living() []*planner.Dog {
	return slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return !d.Died.IsZero() })
}

// Recipes are the recipes of the household.
func (t *Turn) Recipes() []*planner.Recipe { return within(t.Home.Recipes) }

func within[T any](records []T) []*T {
	all := make([]*T, len(records))
	for i := range all {
		all[i] = &records[i]
	}
	return all
}

// Examples are what an example in a message is about: the dog and the recipe last
// spoken of, else the household's first, else made-up ones.
func Examples(t *Turn) []any {
	dog, weight, his := "Juniper", nutrition.Kilograms(19.4), "the"
	recipe := "Turkey and heart"
	d := TalkedOf(t)
	if d == nil && len(t.Home.Dogs) > 0 {
		d = &t.Home.Dogs[0]
	}
	if d != nil {
		dog, weight = d.Name, cmp.Or(d.Weight, weight)
		switch d.Sex {
		case planner.Female:
			his = "her"
		case planner.Male:
			his = "his"
		}
	}
	if r := TheRecipe(t, d); r != nil {
		recipe = r.Name
	} else if len(t.Home.Recipes) > 0 {
		recipe = t.Home.Recipes[0].Name
	}
	other := say.Choose(recipe == "Lamb and mackerel", "Turkey and heart", "Lamb and mackerel")
	if i := slices.IndexFunc(t.Home.Recipes, func(r planner.Recipe) bool { return r.Name != recipe }); i >= 0 {
		other = t.Home.Recipes[i].Name
	}
	return []any{"dog", dog, "weight", say.BodyWeight(weight, t.Home.Units), "his", msg("example." + his), "recipe", recipe, "other", other}
}

// NamesOf lists dogs by name.
func NamesOf(dogs []*planner.Dog) string {
	return say.ListOf(dogs, func(d *planner.Dog) string { return d.Name })
}

// OfferDogs offers a button for each dog, by its name, that calls a verb about it.
func OfferDogs(t *Turn, out *say.Reply, verb, what string, more ...string) *say.Reply {
	for _, d := range t.Dogs() {
		out.Offer(t.Button(d.Name, verb, append([]string{what, d.ID}, more...)...))
	}
	return out
}

// Unfit says which figure of a changed dog cannot be right, and reports whether
// one is.
func Unfit(t *Turn, changed planner.Dog) bool {
	err := changed.Validate(t.Event.At)
	if err != nil {
		t.Say(say.Para(say.FieldText(err, t.Home.Units)))
	}
	return err != nil
}

// TellOnce notes that the household was told or asked something, and reports
// whether that is news.
func TellOnce(t *Turn, what string) bool {
	if t.Home.Told[what] {
		return false
	}
	if t.Home.Told == nil {
		t.Home.Told = map[string]bool{}
	}
	t.Home.Told[what], t.Changed = true, true
	return true
}

// AddReminder adds a reminder from now on, and returns it.
func AddReminder(t *Turn, r planner.Reminder) *planner.Reminder {
	r.ID, r.Since = t.NewID("n"), t.Event.At.UTC()
	t.Home.Reminders = append(t.Home.Reminders, r)
	return &t.Home.Reminders[len(t.Home.Reminders)-1]
}

// DropReminders takes out the reminders of a kind for a dog.
func DropReminders(t *Turn, kind planner.ReminderKind, dog string) {
	t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Kind == kind && r.Dog == dog })
}

// EachDue says what has fallen due one by one; what is there no more says
// nothing.
func EachDue(do func(t *Turn, r *planner.Reminder, o planner.Occurrence)) DueKind {
	return func(t *Turn, due []planner.Occurrence) {
		for _, o := range due {
			if r := t.Reminder(o.Reminder); r != nil {
				do(t, r, o)
			}
		}
	}
}

// dogRecall is for how long the dog last spoken of is meant where something is
// recorded and no dog is named: later the carer may have another in mind (our
// own choice).
const dogRecall = time.Hour

// TheDog returns the dog that is meant where none is named: the only one, or
// the one spoken of recently. Where that is no "him" or no "her", it is the only
// other that is.
func TheDog(t *Turn) *planner.Dog {
	switch {
	case len(t.Home.Dogs) == 1:
		return &t.Home.Dogs[0]
	case t.Talk.Dog == "" && t.Event.At.Sub(t.Talk.LastAt) > dogRecall:
		return t.himOrHer(nil)
	}
	return t.himOrHer(t.Dog(cmp.Or(t.Talk.Dog, t.Talk.Last)))
}

// himOrHer is the dog last spoken of, or where that is no "him" or no "her" the
// only other that is.
func (t *Turn) himOrHer(last *planner.Dog) *planner.Dog {
	said := read.SexSaid(t.AsTyped())
	if said == "" || last != nil && MayBe(last, said) || t.Event.Press != "" {
		return last
	}
	var fits *planner.Dog
	for i := range t.Home.Dogs {
		switch d := &t.Home.Dogs[i]; {
		case !MayBe(d, said):
		case fits != nil:
			return nil
		default:
			fits = d
		}
	}
	return fits
}

// MayBe reports that a dog may be the "him" or "her" of a text; where it says neither, any.
func MayBe(d *planner.Dog, said planner.Sex) bool {
	return said == "" || d.Sex == "" || d.Sex == said
}

// TalkedOf is the dog last spoken of, however long ago, else the only one. It
// will do for questions, whose answers say which dog they are about.
func TalkedOf(t *Turn) *planner.Dog {
	if d := t.Dog(cmp.Or(t.Talk.Dog, t.Talk.Last)); d != nil {
		return t.himOrHer(d)
	}
	return cmp.Or(TheDog(t), t.himOrHer(nil))
}

// onlyAsks are the sentences about a dog that change nothing.
var onlyAsks = map[read.Intent]bool{read.Analyse: true, read.Balance: true, read.Swap: true, read.ShowDog: true,
	read.ViewAsFed: true, read.ViewPerKcal: true, read.ViewDryMatter: true, read.ViewPerKilo: true, read.ShowRatios: true, read.WhyFood: true, read.TreatsLeft: true,
	read.ShowWeight: true, read.ShowTrend: true, read.ShowGrowth: true, read.ListWeighIns: true, read.ShowGoal: true, read.EditDog: true}

// DogMeant is the dog a sentence names, else the one meant without a name;
// nil where that is not clear.
func DogMeant(t *Turn, s read.Sentence) *planner.Dog {
	if d := t.Dog(s.Dog); d != nil {
		return d
	}
	if _, _, named := DogsIn(t, t.typed); len(named) == 1 { // the sentence put for it may not name it
		return named[0]
	}
	if onlyAsks[s.Intent] {
		return cmp.Or(t.eater(s.Recipe), TalkedOf(t))
	}
	return TheDog(t)
}

// eater is the only dog that eats a recipe today; nil where there is none, or several.
func (t *Turn) eater(recipe string) *planner.Dog {
	eat := slices.DeleteFunc(t.Living(), func(d *planner.Dog) bool {
		id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
		return id == "" || id != recipe
	})
	if len(eat) != 1 {
		return nil
	}
	return eat[0]
}

// whichDraft is what is to be done for the dog that is asked for.
type whichDraft struct {
	Text string `json:"text"`
}

// WhichDog asks which dog a text without a name is about, and answers the text
// once that is told.
func WhichDog(t *Turn) {
	if len(t.Home.Dogs) == 0 {
		NoDog(t)
		return
	}
	t.askWhich(whichDraft{Text: t.Event.Text})
}

func (t *Turn) askWhich(draft whichDraft) {
	t.Ask("which", "dog", draft)
	OfferDogs(t, t.SayMsg("who.which"), "answer", "dog")
}

// whichDialogue takes the dog. What is asked in between is answered, and the
// question stays; with anything else it is dropped.
func (t *Turn) whichDialogue(in Answer) {
	var draft whichDraft
	t.Draft(&draft)
	d := cmp.Or(t.Dog(in.Press), t.DogNamed(strings.TrimRight(in.Text, ".! ")))
	if d == nil && in.Press == "" && !t.onlyNames(in.Text) && t.Aside(in.Text) {
		t.Again(func() { t.askWhich(draft) })
		return
	}
	t.EndDialogue()
	t.left = t.Talk.Parked != nil // what was open before can be gone on with
	text := in.Text
	if _, _, all := DogsIn(t, text); d == nil && len(all) > 1 && len(all) <= mostDogs {
		for _, d := range all {
			if t.Talk.Kind == "" {
				t.Talk.Dog, t.Event.Text = d.ID, draft.Text
				t.RouteWords(draft.Text)
			}
		}
		return
	}
	if d != nil {
		t.Talk.Dog, text, t.Picked = d.ID, draft.Text, true
	}
	t.Event.Text = text
	t.RouteWords(text)
}

// onlyNames reports that a text names several dogs and says no more: "both".
func (t *Turn) onlyNames(s string) bool {
	from, to, all := DogsIn(t, s)
	return len(all) > 1 && strings.Trim(s[:from]+s[to:], " .,!") == ""
}

// NoDog says that there is no dog yet, or not before the one is in that is being
// added.
func NoDog(t *Turn) {
	if t.Talk.Kind == "dog" {
		t.SayMsg("who.soon")
		return
	}
	t.SayMsg("who.none").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
}
