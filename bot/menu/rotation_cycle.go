package menu

import (
	"slices"
	"strconv"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// cycleLook is what a rotation gives over its cycle, and each of its recipes
// by itself.
type cycleLook struct {
	whole balance.Looked
	parts []balance.Looked // one a recipe, in the order of their first turns
	days  []int            // of each part in a cycle
}

// lookCycle analyses a rotation for the dog that it is judged for: its recipes as they are
// eaten day by day, each scaled to the dog's kcal; without a dog per 1000 kcal. Where that
// cannot be done it says why.
func lookCycle(t *talk.Turn, r *planner.Rotation, d *planner.Dog) (c cycleLook, ok bool) {
	var kcal nutrition.Kcal
	switch d = cycleDog(t, r, d); {
	case d != nil:
		t.Talk.Dog, kcal = d.ID, planner.AmountOf(*d, t.Event.At).Kcal
	case len(r.Dogs) > 0:
		t.SayMsg("press.gone")
		return c, false
	}
	var turns []nutrition.Turn
	for _, w := range r.Turns {
		recipe := t.Recipe(w.Recipe)
		if recipe == nil {
			continue
		}
		i := slices.IndexFunc(c.parts, func(l balance.Looked) bool { return l.Recipe.ID == recipe.ID })
		if i < 0 {
			l, err := balance.Look(t, recipe, d)
			if recipes.Failed(t, recipe, err) {
				return c, false
			}
			i, c.parts, c.days = len(c.parts), append(c.parts, l), append(c.days, 0)
		}
		c.days[i] += w.Days
		turns = append(turns, nutrition.Turn{Mixture: c.parts[i].Mixture, Days: float64(w.Days)})
	}
	if len(c.parts) == 0 {
		t.SayMsg("rotation-wrong.gone-recipe")
		return c, false
	}
	first := c.parts[0]
	c.whole = balance.Looked{Recipe: &planner.Recipe{ID: r.ID, Name: msg("cycle.name")}, Dog: d, Profile: first.Profile, Mixture: nutrition.Blend(turns, kcal)}
	c.whole.Result = nutrition.Analyse(c.whole.Mixture, c.whole.Profile, first.Result.Basis)
	return c, true
}

// cycleDog is the dog that a cycle is judged for: the one that is meant, else
// the first that eats by the rotation.
func cycleDog(t *talk.Turn, r *planner.Rotation, d *planner.Dog) *planner.Dog {
	if len(r.Dogs) == 0 {
		return nil
	}
	if d == nil || !slices.Contains(r.Dogs, d.ID) {
		d = talk.TalkedOf(t)
	}
	for _, id := range r.Dogs {
		if d == nil || !slices.Contains(r.Dogs, d.ID) {
			d = t.Dog(id)
		}
	}
	return d
}

// cycle says whether a rotation is complete over its cycle: the verdict, how
// each recipe is by itself, what one supplies that another lacks, and what is
// short or too much over all of it.
func cycle(t *talk.Turn, r *planner.Rotation, d *planner.Dog) {
	c, ok := lookCycle(t, r, d)
	if !ok {
		return
	}
	d, gate := c.whole.Dog, ""
	if d != nil {
		gate = dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))
	}
	blocks := []say.Block{say.Para(balance.VerdictText(c.whole)), say.Para(msg("cycle.basis", "n", r.Cycle())), say.Para(balance.BasisText(t, c.whole)),
		say.Whole(gate), say.TableBlock(cycleRows(c, r.Cycle())), say.Waits(msg("cycle.legend")),
		say.Waits(suppliedText(c)), say.Whole(highDays(c))}
	out := t.Say(append(blocks, balance.Findings(t, c.whole)...)...)
	out.Offer(t.Button(msg("button.whole-table"), "rotation", "table", r.ID, dogs.IDOf(d)), t.Button(msg("button.rotation"), "rotation", "show", r.ID))
	var row []say.Button
	for _, id := range r.Dogs {
		if other := t.Dog(id); other != nil && other.ID != d.ID && len(row) < 3 {
			row = append(row, t.Button(msg("button.for", "dog", other.Name), "rotation", "cycle", r.ID, other.ID))
		}
	}
	out.Offer(row...)
}

// cycleRows count the verdicts of each recipe by itself and of the whole.
func cycleRows(c cycleLook, days int) []say.TableRow {
	cells := func(n int, l balance.Looked) []string {
		low, high, unknown := 0, 0, 0
		for i := range l.Result.Rows {
			switch v := l.Result.Rows[i].Verdict; {
			case v.TooLittle():
				low++
			case v.TooMuch():
				high++
			case !v.Meets():
				unknown++
			}
		}
		return []string{say.Trim(float64(n), 0), strconv.Itoa(low), strconv.Itoa(high), strconv.Itoa(unknown)}
	}
	rows := []say.TableRow{{Label: "", Cells: []string{msg("cycle.days"), nutrition.Low.String(), nutrition.High.String(), msg("cycle.unknown")}}}
	for i, l := range c.parts {
		rows = append(rows, say.TableRow{Label: l.Recipe.Name, Cells: cells(c.days[i], l)})
	}
	return append(rows, say.TableRow{Label: msg("cycle.whole"), Cells: cells(days, c.whole)})
}

// mostCycleLines is how many lines of a kind one message has.
const mostCycleLines = 6

// suppliedText says what one recipe lacks and another supplies, so that it is
// enough over the cycle.
func suppliedText(c cycleLook) string {
	var lines []string
	for i := range c.whole.Result.Rows {
		row := &c.whole.Result.Rows[i]
		var lacking, supplying []string
		for k := range c.parts {
			switch part := &c.parts[k].Result.Rows[i]; {
			case part.Verdict.TooLittle():
				lacking = append(lacking, c.parts[k].Recipe.Name)
			case part.Verdict.Meets():
				supplying = append(supplying, c.parts[k].Recipe.Name)
			}
		}
		if row.Verdict.Meets() && len(lacking) > 0 && len(supplying) > 0 {
			lines = append(lines, msg("cycle.supplied", "name", row.Requirement.Subject.Name(), "lacking", say.List(lacking), "n", len(lacking),
				"supplying", say.List(supplying), "m", len(supplying)))
		}
	}
	return fewLines(lines)
}

// highDays says which days stand out: those of a recipe with more of something
// than the limit, where the cycle's average is not above it. What is above it
// over the cycle is found there.
func highDays(c cycleLook) string {
	var lines []string
	for _, l := range c.parts {
		for i := range l.Result.Rows {
			if row := &l.Result.Rows[i]; row.Verdict == nutrition.High && c.whole.Result.Rows[i].Verdict != nutrition.High {
				lines = append(lines, msg("cycle.high-days", "recipe", l.Recipe.Name, "finding", balance.FindingText(l, row)))
			}
		}
	}
	return fewLines(lines)
}

func fewLines(lines []string) string {
	if more := len(lines) - mostCycleLines; more > 0 {
		lines = append(lines[:mostCycleLines], msg("cycle.more", "n", more))
	}
	return talk.JoinLines(lines)
}
