package recipes

import (
	"cmp"
	"reflect"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// severalDays is the number of days' food from which a dose without "how often"
// may be meant for all of it (our own choice); anyDog is what counts as a day's
// food where no dog is known.
const (
	severalDays = 2
	anyDog      = nutrition.Kcal(1000)
)

// mostAnswer is how many words an answer to "each day, or in the whole recipe?" has
// at most (our own choice): "give Pip 5 drops daily" is none.
const mostAnswer = 4

// doubtfulDoses are the doses that were just typed into several days' food
// without saying whether they are for a day or for all of it.
func doubtfulDoses(t *talk.Turn, d RecipeDraft) (doubtful []int) {
	if d.BatchAsked || d.ID == "" && daysOf(t, d) < severalDays { // added to a recipe that is kept, it may be for whatever dog
		return nil
	}
	for i, dose := range d.Doses {
		if isNew(t, d, dose) && !dose.Batch && dose.Typed != "" && !foodline.SaysHowOften(dose.Typed) {
			doubtful = append(doubtful, i)
		}
	}
	return doubtful
}

// isNew reports that a dose of a draft is not yet in the recipe that it changes.
func isNew(t *talk.Turn, d RecipeDraft, dose planner.Dose) bool {
	r := t.Recipe(d.ID)
	return r == nil || !slices.ContainsFunc(r.Doses, func(old planner.Dose) bool { return old.Food == dose.Food && old.Typed == dose.Typed })
}

// daysOf is for how many days a draft is food: as it says, else for the dog of
// the household that eats most.
func daysOf(t *talk.Turn, d RecipeDraft) float64 {
	if d.Days > 0 {
		return d.Days
	}
	most := nutrition.Kcal(0)
	for _, dog := range t.Dogs() {
		most = max(most, aDay(t, dog))
	}
	return float64(kcalIn(t, d) / cmp.Or(most, anyDog))
}

// kcalIn is the energy of a draft's ingredients; 0 where it cannot be told.
func kcalIn(t *talk.Turn, d RecipeDraft) nutrition.Kcal {
	whole, _ := planner.TotalsOf(planner.Recipe{Ingredients: d.Ingredients}, t.Foods)
	return nutrition.Kcal(whole.Energy.Mid)
}

// askBatch asks once whether doses are for each day or for the whole recipe, and
// reports whether it did.
func askBatch(t *talk.Turn, d RecipeDraft, head string) bool {
	doubtful := doubtfulDoses(t, d)
	if len(doubtful) == 0 {
		return false
	}
	names := say.ListOf(doubtful, func(i int) string { return talk.DoseAmount(t, d.Doses[i]) })
	t.Ask("recipe", "batch", d)
	t.Say(say.Para(head), say.Para(msg("ask.batch", "doses", names, "days", say.Trim(daysOf(t, d), 0)))).
		Offer(t.Answer(msg("often.every-day"), "batch", "day"), t.Answer(msg("button.in-batch"), "batch", "batch")).Offer(t.StopButton())
	return true
}

// takeBatch takes the answer to askBatch.
func takeBatch(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	said := strings.ToLower(in.Value())
	batch := read.Says("whole-batch", said)
	if long := len(strings.Fields(said)) > mostAnswer; in.Press == "" && long || !batch && !strings.Contains(said, "da") { // "a day", "daily"
		t.Beside(in.Text, func() { askBatch(t, d, "") })
		return
	}
	doubtful := doubtfulDoses(t, d)
	d.BatchAsked, d.Doses = true, slices.Clone(d.Doses)
	for _, i := range doubtful {
		d.Doses[i].Batch = batch
	}
	goOnWithRecipe(t, d, nil, nil)
}

// withoutAbsurd takes the new doses out of a draft that bring every dog of the
// household far more than it is to have, and says which; of those that stay it
// says where they bring well more, or nobody knows how much.
func withoutAbsurd(t *talk.Turn, d RecipeDraft) (RecipeDraft, []string) {
	var notes []string
	whole := kcalIn(t, d)
	d.Doses = slices.DeleteFunc(slices.Clone(d.Doses), func(dose planner.Dose) bool {
		if !isNew(t, d, dose) {
			return false
		}
		notes = append(notes, NoStrength(t, &dose))
		if len(t.Home.Dogs) == 0 {
			return false
		}
		why, all, least := "", true, nutrition.Kcal(0)
		for _, dog := range t.Dogs() {
			perDay := max(1, dose.Cadence.PerDay())
			if eaten := aDay(t, dog); dose.Batch && whole > 0 {
				perDay = float64(eaten / whole)
			}
			text, far := DoseAbove(t, &dose, dog, perDay)
			all = all && far
			if text != "" && (why == "" || aDay(t, dog) < least) {
				why, least = text, aDay(t, dog)
			}
		}
		switch {
		case all:
			notes = append(notes, msg("recipe.far-dose", "line", say.Short(DoseText(t, dose)), "why", why))
		case why != "":
			notes = append(notes, why)
		}
		return all
	})
	return d, notes
}

// aDay is how much a dog gets a day.
func aDay(t *talk.Turn, d *planner.Dog) nutrition.Kcal { return planner.AmountOf(*d, t.Event.At).Kcal }

// same reports that a draft leaves its recipe as it is.
func (d RecipeDraft) same(r *planner.Recipe) bool {
	return reflect.DeepEqual(d.Ingredients, r.Ingredients) && reflect.DeepEqual(d.Doses, r.Doses) && d.Days == r.Days && (d.Method == "" || d.Method == r.Method)
}
