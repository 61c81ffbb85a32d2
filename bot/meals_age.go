package bot

import (
	"strconv"

	"bowlwright/planner"
)

// mealsForAge gives a young dog as many meals as are usual at its age, where a
// carer has not said how many.
func (t *turn) mealsForAge(d *planner.Dog) {
	if n := planner.MealsByAge(*d, t.event.At); d.Meals == 0 && n > 2 {
		d.Meals = n
	}
}

// newlyOld is how many days back a dog may have come to an age at which it needs
// fewer meals for that to be said (our own choice: the step of a schedule comes
// once a week, and one may be missed).
const newlyOld = 35

// sayFewerMeals says, once for each age, that a puppy has come to one at which
// fewer meals do, and offers times for them. It changes nothing.
func (t *turn) sayFewerMeals(d *planner.Dog) {
	n, now := planner.MealsByAge(*d, t.event.At), mealsOf(*d)
	told := "meals-" + strconv.Itoa(n) + "-" + d.ID
	if now <= n || planner.MealsByAge(*d, t.event.At.AddDate(0, 0, -newlyOld)) <= n || t.home.Told[told] || d.Diabetic() {
		return
	}
	if t.home.Told == nil {
		t.home.Told = map[string]bool{}
	}
	t.home.Told[told], t.changed = true, true
	times := clocksText(planner.DefaultMealTimes(n))
	t.sayMsg("meals.fewer", "dog", d.Name, "n", n, "now", now).offer(
		t.button(msg("button.meals-fewer", "n", n, "times", times), "meals", "fewer", d.ID, strconv.Itoa(n)),
		t.button(msg("button.meals-stay", "n", now), "meals", "stay", d.ID))
}

// pressFewerMeals takes the answer to sayFewerMeals.
func (t *turn) pressFewerMeals(what, dog, meals string) {
	d := t.dog(dog)
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	n, err := strconv.Atoi(meals)
	switch {
	case what == "stay":
		t.inPlace(t.sayMsg("meals.kept", "dog", d.Name, "n", mealsOf(*d)))
	case err != nil || n >= mealsOf(*d):
		t.sayMsg("press.stale")
	default:
		t.feedAt([]*planner.Dog{d}, planner.DefaultMealTimes(n), false)
	}
}
