package talk

import (
	"cmp"
	"slices"

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
