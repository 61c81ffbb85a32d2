package bot

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// severalDays is from how many days' food on a dose without a word of how often
// may as well be stirred into all of it (our own choice), and anyDog is what is
// taken for a day's food where no dog is known.
const (
	severalDays = 2
	anyDog      = nutrition.Kcal(1000)
)

// doubtfulDoses are the doses of a draft that were just typed into several days'
// food, and of which nobody said whether they are for a day or for all of it.
func (t *turn) doubtfulDoses(d recipeDraft) (doubtful []int) {
	if d.BatchAsked || t.daysOf(d) < severalDays {
		return nil
	}
	for i, dose := range d.Doses {
		if t.isNew(d, dose) && !dose.Batch && dose.Typed != "" && !read.SaysHowOften(dose.Typed) {
			doubtful = append(doubtful, i)
		}
	}
	return doubtful
}

// isNew reports that a dose of a draft is not yet in the recipe that it changes.
func (t *turn) isNew(d recipeDraft, dose planner.Dose) bool {
	r := t.recipe(d.ID)
	return r == nil || !slices.ContainsFunc(r.Doses, func(old planner.Dose) bool { return old.Food == dose.Food && old.Typed == dose.Typed })
}

// daysOf is for how many days a draft is food: as it says, else for the dog of
// the household that eats most.
func (t *turn) daysOf(d recipeDraft) float64 {
	if d.Days > 0 {
		return d.Days
	}
	aDay := nutrition.Kcal(0)
	for _, dog := range t.home.Dogs {
		aDay = max(aDay, planner.AmountOf(dog, t.event.At).Kcal)
	}
	if aDay <= 0 {
		aDay = anyDog
	}
	return float64(t.kcalIn(d) / aDay)
}

// kcalIn is the energy of a draft's ingredients; 0 where it cannot be told.
func (t *turn) kcalIn(d recipeDraft) nutrition.Kcal {
	whole, err := planner.TotalsOf(planner.Recipe{Ingredients: d.Ingredients}, t.foods)
	if err != nil {
		return 0
	}
	return nutrition.Kcal(whole.Energy.Mid)
}

// askBatch asks once whether doses are for each day or for the whole recipe, and
// reports whether it did.
func (t *turn) askBatch(d recipeDraft, head string) bool {
	doubtful := t.doubtfulDoses(d)
	if len(doubtful) == 0 {
		return false
	}
	var names []string
	for _, i := range doubtful {
		names = append(names, t.doseAmount(d.Doses[i]))
	}
	t.ask("recipe", "batch", d)
	t.say(para(head), para(msg("ask.batch", "doses", list(names), "days", trim(t.daysOf(d), 0)))).
		offer(t.answer(msg("often.every-day"), "batch", "day"), t.answer(msg("button.in-batch"), "batch", "batch")).offer(t.stopButton())
	return true
}

// takeBatch takes the answer to askBatch.
func (t *turn) takeBatch(d recipeDraft, in answer) {
	said := strings.ToLower(in.value())
	batch := strings.Contains(said, "batch") || strings.Contains(said, "whole") || strings.Contains(said, "recipe") || strings.Contains(said, "all")
	if !batch && !strings.Contains(said, "da") { // "a day", "daily"
		if in.press != "" || !t.aside(in.text) {
			t.notUnderstood(in.text)
		}
		t.again(func() { t.askBatch(d, "") })
		return
	}
	doubtful := t.doubtfulDoses(d)
	d.BatchAsked, d.Doses = true, slices.Clone(d.Doses)
	for _, i := range doubtful {
		d.Doses[i].Batch = batch
	}
	t.goOnWithRecipe(d, nil, nil)
}

// withoutAbsurd takes the new doses out of a draft that bring every dog of the
// household far more than it is to have, and says which.
func (t *turn) withoutAbsurd(d recipeDraft) (recipeDraft, []string) {
	var refused []string
	whole := t.kcalIn(d)
	d.Doses = slices.DeleteFunc(slices.Clone(d.Doses), func(dose planner.Dose) bool {
		if !t.isNew(d, dose) || len(t.home.Dogs) == 0 {
			return false
		}
		why := ""
		for i := range t.home.Dogs {
			dog, perDay := &t.home.Dogs[i], max(1, dose.Cadence.PerDay())
			if eaten := planner.AmountOf(*dog, t.event.At).Kcal; dose.Batch && whole > 0 {
				perDay = float64(eaten / whole)
			}
			text, times := t.doseAbove(&dose, dog, perDay, farAbove)
			if times < farAbove {
				return false
			}
			why = text
		}
		refused = append(refused, msg("recipe.far-dose", "line", short(t.doseText(dose)), "why", why))
		return true
	})
	return d, refused
}
