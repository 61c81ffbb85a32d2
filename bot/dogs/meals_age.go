package dogs

import (
	"strconv"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// mealsForAge gives a young dog as many meals as are usual at its age, where a
// carer has not said how many.
func mealsForAge(t *talk.Turn, d *planner.Dog) {
	if n := planner.MealsByAge(*d, t.Event.At); d.Meals == 0 && n > 2 {
		d.Meals = n
	}
}

// newlyOld is how many days back a dog may have come to an age at which it needs
// fewer meals for that to be said (our own choice: the step of a schedule comes
// once a week, and one may be missed).
const newlyOld = 35

// SayFewerMeals says, once for each age, that a puppy has come to one at which
// fewer meals do, and offers times for them. It changes nothing.
func SayFewerMeals(t *talk.Turn, d *planner.Dog) {
	n, now := planner.MealsByAge(*d, t.Event.At), talk.MealsOf(*d)
	told := "meals-" + strconv.Itoa(n) + "-" + d.ID
	if now <= n || planner.MealsByAge(*d, t.Event.At.AddDate(0, 0, -newlyOld)) <= n || d.Diabetic() || !t.TellOnce(told) {
		return
	}
	times := say.ClocksText(planner.DefaultMealTimes(n))
	t.SayMsg("meals.fewer", "dog", d.Name, "n", n, "now", now).Offer(
		t.Button(msg("button.meals-fewer", "n", n, "times", times), "meals", "fewer", d.ID, strconv.Itoa(n)),
		t.Button(msg("button.meals-stay", "n", now), "meals", "stay", d.ID))
}
