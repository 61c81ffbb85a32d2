package edition

import (
	"math"
	"slices"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Own is a change that a reader made to a recipe of somebody else's: a food put
// in the place of another, one left out, one added, or another amount of one.
type Own struct {
	// Out and In are keys of foods: In is empty for one left out, Out for one
	// added, and they are the same where the amount is another.
	Out, In string
	Lost    Lost // why it does not go with the new version; empty where it does
}

// Lost is why a reader's change does not go with a new version.
type Lost string

// The reasons.
const (
	LineGone  Lost = "line-gone"  // the food that it was made to is no longer in the recipe
	NowInside Lost = "now-inside" // the new version has the food that the reader put in
)

// Merge is the version that a published recipe has come to, with what a reader
// changed of the version that it was: each change where the line that it was
// made to is still there. Where the reader or the author wrote the whole for
// more or less food, amounts follow. The foods of all three have the same keys.
func Merge(was, is, own planner.Recipe) (planner.Recipe, []Own) {
	size, grown := sizeOf(was, own), sizeOf(was, is)
	before, mine := piecesOf(was), piecesOf(own)
	var pieces []piece
	for _, p := range piecesOf(is) {
		old, kept := pieceIn(before, p.food), pieceIn(mine, p.food)
		if old != nil && kept != nil && p.like(old, 1) {
			p = *kept // as the reader typed it
		} else {
			p = p.times(size)
		}
		pieces = append(pieces, p)
	}
	changes := ownChanges(before, mine, size)
	agreed := func(c Own) bool { return c.In == "" && pieceIn(pieces, c.Out) == nil }
	changes = slices.DeleteFunc(changes, agreed)
	for i, c := range changes {
		pieces, changes[i].Lost = applied(pieces, c, pieceIn(mine, c.In), grown)
	}
	out := is
	out.Days = mergedDays(was, is, own)
	out.Ingredients, out.Doses = nil, nil
	for _, p := range pieces {
		out.Ingredients = append(out.Ingredients, p.lines...)
		out.Doses = append(out.Doses, p.doses...)
	}
	return out, changes
}

// OwnChanges are what a reader changed of a recipe.
func OwnChanges(was, own planner.Recipe) []Own {
	return ownChanges(piecesOf(was), piecesOf(own), sizeOf(was, own))
}

// applied makes a reader's change to a new version, or says why not. mine is the
// food that the reader put in.
func applied(pieces []piece, c Own, mine *piece, grown float64) ([]piece, Lost) {
	at := slices.IndexFunc(pieces, func(p piece) bool { return p.food == c.Out })
	switch {
	case c.In != c.Out && c.In != "" && pieceIn(pieces, c.In) != nil:
		return pieces, NowInside
	case c.Out == "":
		return append(pieces, mine.times(grown)), ""
	case at < 0:
		return pieces, LineGone
	case c.In == "":
		return slices.Delete(pieces, at, at+1), ""
	}
	pieces[at] = mine.times(grown)
	return pieces, ""
}

// mergedDays is for how many days' food a merged recipe is written.
func mergedDays(was, is, own planner.Recipe) float64 {
	switch {
	case own.Days == was.Days:
		return is.Days
	case is.Days == was.Days:
		return own.Days
	}
	days := func(r planner.Recipe) float64 { return max(r.Days, 1) }
	return days(is) * days(own) / days(was)
}

// piece is all that a recipe has of one food.
type piece struct {
	food  string
	lines []planner.Ingredient
	doses []planner.Dose
}

// piecesOf are the foods of a recipe in their order.
func piecesOf(r planner.Recipe) (all []piece) {
	of := func(food string) *piece {
		return planner.FirstOrAdded(&all, func(p *piece) bool { return p.food == food }, piece{food: food})
	}
	for _, in := range r.Ingredients {
		p := of(in.Food)
		p.lines = append(p.lines, in)
	}
	for _, d := range r.Doses {
		p := of(d.Food)
		p.doses = append(p.doses, d)
	}
	return all
}

func pieceIn(pieces []piece, food string) *piece {
	return planner.FirstOf(pieces, func(p *piece) bool { return p.food == food })
}

func (p *piece) grams() (sum nutrition.Grams) {
	for _, in := range p.lines {
		sum += in.Grams
	}
	return sum
}

// times is so many times as much. What is given by the day stays.
func (p piece) times(f float64) piece {
	if f == 1 {
		return p
	}
	p.lines, p.doses = slices.Clone(p.lines), slices.Clone(p.doses)
	for i := range p.lines {
		p.lines[i].Grams *= nutrition.Grams(f)
		p.lines[i].Typed = ""
	}
	for i := range p.doses {
		if p.doses[i].Batch {
			p.doses[i] = p.doses[i].Times(f)
		}
	}
	return p
}

// sameSize is how near two ratios are that count as one; our own choice.
const sameSize = 0.01

// like reports that a piece is so many times another.
func (p *piece) like(o *piece, size float64) bool {
	scaled := o.times(size)
	same := planner.SameLines(&planner.Recipe{Ingredients: p.lines, Doses: p.doses}, &planner.Recipe{Ingredients: scaled.lines, Doses: scaled.doses})
	if same || size == 1 || len(p.doses)+len(scaled.doses) > 0 {
		return same
	}
	return math.Abs(float64(p.grams()/scaled.grams())-1) <= sameSize
}

// sizeOf is how many times as much of everything a recipe has as it had, 1
// where its foods differ among themselves. It is seen in two foods at least.
func sizeOf(was, is planner.Recipe) float64 {
	before := piecesOf(was)
	var all []float64
	for _, p := range piecesOf(is) {
		if old := pieceIn(before, p.food); old != nil && old.grams() > 0 && p.grams() > 0 {
			all = append(all, float64(p.grams()/old.grams()))
		}
	}
	if len(all) < 2 || slices.Max(all)/slices.Min(all) > 1+sameSize || math.Abs(all[0]-1) <= sameSize {
		return 1
	}
	return all[0]
}

// ownChanges are what differs between a recipe's pieces and a reader's, who has
// so many times as much of everything.
func ownChanges(was, own []piece, size float64) (changes []Own) {
	var added []string
	for _, p := range own {
		if pieceIn(was, p.food) == nil {
			added = append(added, p.food)
		}
	}
	for _, p := range was {
		mine := pieceIn(own, p.food)
		switch {
		case mine == nil:
			in := inPlace(was, own, p, added)
			added = slices.DeleteFunc(added, func(food string) bool { return food == in })
			changes = append(changes, Own{Out: p.food, In: in})
		case !mine.like(&p, size):
			changes = append(changes, Own{Out: p.food, In: p.food})
		}
	}
	for _, food := range added {
		changes = append(changes, Own{In: food})
	}
	return changes
}

// inPlace is which of the added foods stands where one was that is out; empty
// where none does. A supplement takes no food's place, nor a food its.
func inPlace(was, own []piece, out piece, added []string) string {
	for _, food := range added {
		in := pieceIn(own, food)
		if (len(in.doses) > 0) == (len(out.doses) > 0) && foodBefore(own, food, was) == foodBefore(was, out.food, own) {
			return food
		}
	}
	return ""
}

// foodBefore is the last food before one that another recipe has too.
func foodBefore(pieces []piece, food string, other []piece) (last string) {
	for _, p := range pieces {
		if p.food == food {
			break
		}
		if pieceIn(other, p.food) != nil {
			last = p.food
		}
	}
	return last
}
