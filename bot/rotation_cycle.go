package bot

import (
	"slices"
	"strconv"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// cycleLook is what a rotation gives over its cycle, and each of its recipes
// by itself.
type cycleLook struct {
	whole looked
	parts []looked // one a recipe, in the order of their first turns
	days  []int    // of each part in a cycle
}

// lookCycle analyses a rotation for a dog: its recipes as they are eaten day
// by day, each scaled to the dog's kcal.
func (t *turn) lookCycle(r *planner.Rotation, d *planner.Dog) (c cycleLook, trouble string) {
	kcal := planner.AmountOf(*d, t.event.At).Kcal
	var turns []nutrition.Turn
	for _, w := range r.Turns {
		recipe := t.recipe(w.Recipe)
		if recipe == nil {
			continue
		}
		i := slices.IndexFunc(c.parts, func(l looked) bool { return l.recipe.ID == recipe.ID })
		if i < 0 {
			l, err := t.look(recipe, d)
			if err != nil {
				return c, t.recipeTrouble(recipe, err)
			}
			i, c.parts, c.days = len(c.parts), append(c.parts, l), append(c.days, 0)
		}
		c.days[i] += w.Days
		turns = append(turns, nutrition.Turn{Mixture: c.parts[i].mixture, Days: float64(w.Days)})
	}
	if len(c.parts) == 0 {
		return c, msg("rotation-wrong.gone-recipe")
	}
	first := c.parts[0]
	c.whole = looked{recipe: &planner.Recipe{ID: r.ID, Name: msg("cycle.name")}, dog: d, profile: first.profile, mixture: nutrition.Blend(turns, kcal)}
	c.whole.result = nutrition.Analyse(c.whole.mixture, c.whole.profile, first.result.Basis)
	return c, ""
}

// cycleDog is the dog that a cycle is judged for: the one that is meant, else
// the first that eats by the rotation.
func (t *turn) cycleDog(r *planner.Rotation, d *planner.Dog) *planner.Dog {
	if d == nil || !slices.Contains(r.Dogs, d.ID) {
		d = t.talkedOf()
	}
	for _, id := range r.Dogs {
		if d == nil || !slices.Contains(r.Dogs, d.ID) {
			d = t.dog(id)
		}
	}
	return d
}

// cycle says whether a rotation is complete over its cycle: the verdict, how
// each recipe is by itself, what one supplies that another lacks, and what is
// short or too much over all of it.
func (t *turn) cycle(r *planner.Rotation, d *planner.Dog) {
	if d = t.cycleDog(r, d); d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	c, trouble := t.lookCycle(r, d)
	if trouble != "" {
		t.say(para(trouble))
		return
	}
	out := t.say(para(t.verdictText(c.whole)), para(msg("cycle.basis", "n", r.Cycle())), para(t.basisText(c.whole)),
		para(t.gateText(*d, planner.AmountOf(*d, t.event.At))), tableBlock(t.cycleRows(c, r.Cycle())), para(msg("cycle.legend")),
		para(strings.Join(t.suppliedLines(c), "\n")), para(strings.Join(t.highDays(c), "\n")),
		para(strings.Join(t.findings(c.whole), "\n")), para(t.sharesOffText(c.whole)))
	out.offer(t.button(msg("button.whole-table"), "rotation", "table", r.ID, d.ID), t.button(msg("button.rotation"), "rotation", "show", r.ID))
	var row []Button
	for _, id := range r.Dogs {
		if other := t.dog(id); other != nil && other.ID != d.ID && len(row) < 3 {
			row = append(row, t.button(msg("button.for", "dog", other.Name), "rotation", "cycle", r.ID, other.ID))
		}
	}
	out.offer(row...)
}

// cycleTable shows every requirement over the cycle.
func (t *turn) cycleTable(r *planner.Rotation, d *planner.Dog) {
	if d = t.cycleDog(r, d); d == nil {
		t.sayMsg("press.gone")
		return
	}
	c, trouble := t.lookCycle(r, d)
	if trouble != "" {
		t.say(para(trouble))
		return
	}
	t.sayAnalysisTable(c.whole)
}

// cycleRows count the verdicts of each recipe by itself and of the whole.
func (t *turn) cycleRows(c cycleLook, days int) []tableRow {
	cells := func(n int, l looked) []string {
		low, high, unknown := 0, 0, 0
		for i := range l.result.Rows {
			switch v := l.result.Rows[i].Verdict; {
			case v.TooLittle():
				low++
			case v.TooMuch():
				high++
			case !v.Meets():
				unknown++
			}
		}
		return []string{trim(float64(n), 0), strconv.Itoa(low), strconv.Itoa(high), strconv.Itoa(unknown)}
	}
	rows := []tableRow{{"", []string{msg("cycle.days"), nutrition.Low.String(), nutrition.High.String(), msg("cycle.unknown")}}}
	for i, l := range c.parts {
		rows = append(rows, tableRow{l.recipe.Name, cells(c.days[i], l)})
	}
	return append(rows, tableRow{msg("cycle.whole"), cells(days, c.whole)})
}

// mostCycleLines is how many lines of a kind one message has.
const mostCycleLines = 6

// suppliedLines say what one recipe lacks and another supplies, so that it is
// enough over the cycle.
func (t *turn) suppliedLines(c cycleLook) []string {
	var lines []string
	for i := range c.whole.result.Rows {
		row := &c.whole.result.Rows[i]
		var lacking, supplying []string
		for k := range c.parts {
			switch part := &c.parts[k].result.Rows[i]; {
			case part.Verdict.TooLittle():
				lacking = append(lacking, c.parts[k].recipe.Name)
			case part.Verdict.Meets():
				supplying = append(supplying, c.parts[k].recipe.Name)
			}
		}
		if row.Verdict.Meets() && len(lacking) > 0 && len(supplying) > 0 {
			lines = append(lines, msg("cycle.supplied", "name", row.Requirement.Subject.Name(), "lacking", list(lacking), "n", len(lacking),
				"supplying", list(supplying), "m", len(supplying)))
		}
	}
	return fewLines(lines)
}

// highDays say which days stand out: those of a recipe with more of something
// than the limit, where the cycle's average is not above it. What is above it
// over the cycle is found there.
func (t *turn) highDays(c cycleLook) []string {
	var lines []string
	for _, l := range c.parts {
		for i := range l.result.Rows {
			if row := &l.result.Rows[i]; row.Verdict == nutrition.High && c.whole.result.Rows[i].Verdict != nutrition.High {
				lines = append(lines, msg("cycle.high-days", "recipe", l.recipe.Name, "finding", t.findingText(l, row)))
			}
		}
	}
	return fewLines(lines)
}

func fewLines(lines []string) []string {
	if more := len(lines) - mostCycleLines; more > 0 {
		lines = append(lines[:mostCycleLines], msg("cycle.more", "n", more))
	}
	return lines
}
