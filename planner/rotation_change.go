package planner

import (
	"maps"
)

// Skip returns the rotation without what the order gives on a day: the days up
// to the next recipe are left out, and the next begins on that day. Where
// another recipe stands in on the day, only that is dropped and the order
// stays. ok is false where the rotation has not begun, or where no other recipe
// follows.
func (r Rotation) Skip(day Date) (out Rotation, ok bool) {
	out = r.clone()
	if _, set := r.Instead[day]; set {
		delete(out.Instead, day)
		return out, true
	}
	today := r.byOrder(day)
	if today == "" {
		return r, false
	}
	// An order that was held may take longer than its cycle to move on.
	for n := range 2*r.Cycle() + keptDays {
		if r.byOrder(day.AddDays(n)) != today {
			return out.moved(day, n).pruned(day), true
		}
	}
	return r, false
}

// Repeat returns the rotation with what was eaten on the day before eaten on
// a day too. The order waits for it: what the order gave on the day comes on
// the next. ok is false where the rotation had not begun the day before.
func (r Rotation) Repeat(day Date) (out Rotation, ok bool) {
	_, before := r.On(day.AddDays(-1))
	if before == "" {
		return r, false
	}
	return r.clone().instead(day, before).moved(day, -1).pruned(day), true
}

// SwapDays returns the rotation with the recipes of two days exchanged. ok is
// false where it has not begun on one of them, or both have the same recipe.
func (r Rotation) SwapDays(a, b Date) (out Rotation, ok bool) {
	_, onA := r.On(a)
	_, onB := r.On(b)
	if onA == "" || onB == "" || onA == onB {
		return r, false
	}
	return r.clone().instead(a, onB).instead(b, onA).pruned(a), true
}

// Eat returns the rotation with another recipe on a day; the order is not
// moved by it. ok is false where the rotation has not begun on the day.
func (r Rotation) Eat(day Date, recipe string) (out Rotation, ok bool) {
	if turn, _ := r.On(day); turn < 0 {
		return r, false
	}
	return r.clone().instead(day, recipe).pruned(day), true
}

// Without returns the rotation with a recipe taken out of the order. What is
// left goes on where it was on a day; where that day was the recipe's, the
// next turn begins on it. ok is false where nothing is left.
func (r Rotation) Without(recipe string, day Date) (out Rotation, ok bool) {
	out = r.clone()
	maps.DeleteFunc(out.Instead, func(_ Date, id string) bool { return id == recipe })
	if !r.Has(recipe) {
		return out, true
	}
	turn, at := r.position(day)
	before := 0 // days of the order that is left before where it goes on
	out.Turns = nil
	for i, t := range r.Turns {
		if t.Recipe == recipe {
			continue
		}
		out.Turns = append(out.Turns, t)
		switch {
		case i < turn:
			before += t.Days
		case i == turn:
			before += at
		}
	}
	if len(out.Turns) == 0 {
		return out, false
	}
	if turn >= 0 {
		out.Start, out.Moves = day.AddDays(-before%out.Cycle()), nil
		maps.DeleteFunc(out.Instead, func(d Date, _ string) bool { return d.Before(out.Start) })
	}
	return out, true
}

// byOrder is the recipe that the order gives on a day, whatever stands
// instead of it; empty where it has not begun.
func (r Rotation) byOrder(day Date) string {
	turn, _ := r.position(day)
	if turn < 0 {
		return ""
	}
	return r.Turns[turn].Recipe
}

// instead sets what is eaten on a day, in place.
func (r Rotation) instead(day Date, recipe string) Rotation {
	if r.Instead == nil {
		r.Instead = map[Date]string{}
	}
	delete(r.Instead, day)
	if r.byOrder(day) != recipe {
		r.Instead[day] = recipe
	}
	return r
}

// moved leaves out so many days of the order from a day on, or where negative
// gives the day so many times more. What moves the order later goes along.
func (r Rotation) moved(day Date, days int) Rotation {
	moves := map[Date]int{day.AddDays(max(0, -days)): days}
	for d, n := range r.Moves {
		switch {
		case !day.Before(d): // before it or on the day itself
		case d.AddDays(-days).Before(day):
			d = day
		default:
			d = d.AddDays(-days)
		}
		moves[d] += n
	}
	maps.DeleteFunc(moves, func(_ Date, n int) bool { return n == 0 })
	r.Moves = moves
	return r
}

// keptDays is how far back a rotation knows what was changed in it: nothing
// asks for more than the day before.
const keptDays = 60

// pruned forgets, in place, the changes of days long past. The days that
// Start then moves back to are before all that is kept.
func (r Rotation) pruned(day Date) Rotation {
	old, cycle, sum := day.AddDays(-keptDays), r.Cycle(), 0
	maps.DeleteFunc(r.Instead, func(d Date, _ string) bool { return d.Before(old) })
	maps.DeleteFunc(r.Moves, func(d Date, n int) bool {
		if d.Before(old) {
			sum += n
		}
		return d.Before(old)
	})
	if sum != 0 && cycle > 0 {
		r.Start = r.Start.AddDays(-((sum%cycle + cycle) % cycle))
	}
	return r
}
