package bot

import (
	"slices"

	"bowlwright/planner"
)

// fedAtTimes are the dogs whose feeding times were said; all where none were.
func (t *turn) fedAtTimes() (dogs []*planner.Dog) {
	none := !slices.ContainsFunc(t.home.Dogs, func(d planner.Dog) bool { return len(d.FeedAt) > 0 })
	for i := range t.home.Dogs {
		if d := &t.home.Dogs[i]; none || len(d.FeedAt) > 0 {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

// sayUnreminded says of which dogs nobody said when they are fed.
func (t *turn) sayUnreminded(out *Reply) {
	switch dogs := t.fedElse(); len(dogs) {
	case 0:
	case 1:
		t.offerMealsLater(out, dogs[0])
	default:
		var names []string
		for _, d := range dogs {
			names = append(names, d.Name)
		}
		out.Body = append(out.Body, para(msg("feeding.none-of", "dog", list(names))))
	}
}

// fedElse are the dogs for whom nobody said when they are fed.
func (t *turn) fedElse() (dogs []*planner.Dog) {
	with := t.fedAtTimes()
	for i := range t.home.Dogs {
		if d := &t.home.Dogs[i]; !slices.Contains(with, d) {
			dogs = append(dogs, d)
		}
	}
	return dogs
}

// usualTimes are the times at which a dog is fed that has none yet: those of
// another dog of the household with as many meals, for they are fed together.
func (t *turn) usualTimes(d *planner.Dog) []planner.Clock {
	for i := range t.home.Dogs {
		if o := &t.home.Dogs[i]; o.ID != d.ID && len(o.FeedAt) == mealsOf(*d) {
			return o.FeedAt
		}
	}
	return planner.DefaultMealTimes(mealsOf(*d))
}

// offerMealsLater offers reminders of its meals for a dog that comes to a
// household whose other dogs have them.
func (t *turn) offerMealsLater(out *Reply, d *planner.Dog) {
	if t.mealsMode() != mealsEach || len(d.FeedAt) > 0 {
		return
	}
	out.Body = append(out.Body, para(msg("feeding.none-of", "dog", d.Name)))
	out.offer(t.button(msg("button.meals-same", "dog", d.Name, "times", clocksText(t.usualTimes(d))), "meals", "same", d.ID),
		t.button(msg("button.times-of", "dog", d.Name), "meals", "times", d.ID))
}
