package card

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/planner/portions"
	"bowlwright/store"
)

// How far back a sheet for the vet looks, and how much it lists (our own
// choices).
const (
	vetSignDays = 90
	vetSigns    = 14
	vetWeights  = 10
	vetFedDays  = 14
)

// vetSheet is what a vet wants to know of a dog: records, and what the tables say
// of its food. It judges nothing.
func vetSheet(t *talk.Turn, d *planner.Dog) (sheet, error) {
	n := planner.AmountOf(*d, t.Event.At)
	s := sheet{Title: msg("vet.title", "dog", d.Name), Foot: msg("vet.foot", "day", dayText(t.Date()))}
	s.Under = paras(msg("vet.for"), strings.Join(dogs.Facts(t, d), ", "), say.Where(d.Health != "", msg("vet.health", "notes", d.Health)), recordsText(t, d))
	s.add(fedBlock(t, d, n), supplementsBlock(t, d))
	weights, err := weightBlocks(t, d)
	if err != nil {
		return s, err
	}
	s.add(weights...)
	s.add(signsBlock(t, d))
	s.add(analysisBlocks(t, d)...)
	return s, nil
}

// recordsText says on what ground the amount of a dog is in force, where it is.
func recordsText(t *talk.Turn, d *planner.Dog) string {
	n := planner.AmountOf(*d, t.Event.At)
	switch {
	case n.Waits() && d.Kcal > 0:
		return msg("vet.waits-kcal", "kcal", say.Kcal(d.Kcal))
	case n.Waits():
		return msg("vet.waits")
	case d.Kcal == 0 || d.InForce.Since.IsZero():
		return msg("vet.kcal", "kcal", say.Kcal(n.Kcal))
	}
	since := t.DateAt(d.InForce.Since)
	return msg("vet.kcal-since", "kcal", say.Kcal(n.Kcal), "day", dayText(since), "ground", strings.TrimSuffix(dogs.NeedReason(n, t.Home.Units), "."))
}

// fedBlock is what a dog eats, with its amounts a day, and what it was fed of
// late.
func fedBlock(t *talk.Turn, d *planner.Dog, n planner.Need) block {
	b := block{Head: msg("vet.fed"), half: true}
	if tr := planner.TransitionOf(t.Home, d.ID); tr != nil && !tr.Over(t.Date()) {
		b.Paras = append(b.Paras, msg("vet.switch", "old", tr.Old, "new", talk.RecipeName(t, tr.NewRecipe(t.Home)), "day", dayText(tr.Start), "n", tr.Days))
	}
	r := t.Home.UsualOn(d, t.Date())
	switch m, _ := day.MealFor(t, d, t.Date(), talk.MealsOf(*d)-1); {
	case r == nil:
	case n.Waits():
		b.Paras = append(b.Paras, msg("vet.eats", "recipe", r.Name)+sinceFed(t, d, r))
		b.Table = &table{Heads: [][]string{{msg("vet.as-written"), say.MassUnit(t.Home.Units)}}}
		for _, in := range r.Ingredients {
			b.Table.Rows = append(b.Table.Rows, []string{foodText(t, in), figure(in.Grams, t.Home.Units.Ounces)})
		}
	case m != nil:
		b.Paras = append(b.Paras, msg("vet.eats", "recipe", m.Recipe.Name)+sinceFed(t, d, r))
		b.Table = dayTable(t, m.Bowl)
	}
	b.Notes = append(b.Notes, turnsText(t, d), lateText(t, d))
	b.Notes = paras(b.Notes...)
	return b
}

// dayTable is a day's bowl with its whole.
func dayTable(t *talk.Turn, b portions.Bowl) *table {
	tab := &table{Heads: [][]string{{"", msg("vet.a-day", "unit", say.MassUnit(t.Home.Units))}}, sums: 1}
	for _, row := range b.Rows {
		tab.Rows = append(tab.Rows, []string{t.FoodName(row.Food), say.Figure(row.Day, t.Home.Units)})
	}
	for _, tiny := range b.Tiny {
		tab.Rows = append(tab.Rows, []string{t.FoodName(tiny.Food), say.Trim(float64(tiny.Day), 2) + " g"})
	}
	tab.Rows = append(tab.Rows, []string{msg("card.together"), say.Figure(b.Day, t.Home.Units)})
	return tab
}

// sinceFed says since when meals of a recipe stand in the journal, else since when
// it is kept here.
func sinceFed(t *talk.Turn, d *planner.Dog, r *planner.Recipe) string {
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Fed}}) {
		if e.Recipe == r.ID {
			return " " + msg("vet.since", "day", dayText(e.Date))
		}
	}
	if first := append(slices.Clone(r.Versions), r.Present())[0]; !first.Since.IsZero() {
		return " " + msg("vet.kept-since", "day", dayText(t.DateAt(first.Since)))
	}
	return " " + msg("vet.since-unknown")
}

// turnsText is the order in which a dog eats its recipes, where it eats several.
func turnsText(t *talk.Turn, d *planner.Dog) string {
	rot := planner.RotationOf(t.Home, d.ID)
	if rot == nil {
		return ""
	}
	return msg("vet.turns", "turns", say.ListOf(rot.Turns, func(w planner.Turn) string {
		return msg("vet.turn", "recipe", talk.RecipeName(t, w.Recipe), "n", w.Days)
	}))
}

// lateText counts the meals and treats of late.
func lateText(t *talk.Turn, d *planner.Dog) string {
	var fed, left, treats int
	var kcal nutrition.Kcal
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, From: t.Event.At.AddDate(0, 0, -vetFedDays)}) {
		switch e.Kind {
		case planner.Fed:
			fed++
		case planner.NotFed:
			left++
		case planner.Treat:
			treats++
			kcal += e.Kcal
		}
	}
	return say.Where(fed+left+treats > 0, msg("vet.late", "days", vetFedDays, "fed", fed, "left", left, "treats", treats, "kcal", say.Kcal(kcal)))
}

// supplementsBlock is what reminders and recipes give a dog besides, with doses.
func supplementsBlock(t *talk.Turn, d *planner.Dog) block {
	tab := &table{words: true}
	for i := range t.Home.Reminders {
		r := &t.Home.Reminders[i]
		if balance.GivesTo(*r, d.ID) {
			since := say.Where(!r.Since.IsZero(), msg("vet.dose-since", "day", dayText(t.DateAt(r.Since))))
			tab.Rows = append(tab.Rows, []string{say.Capital(talk.DoseAmount(t, talk.DoseOf(t, r))), remind.ScheduleText(t, r) + since})
		}
	}
	if r := t.Home.UsualOn(d, t.Date()); r != nil {
		for _, dose := range r.Doses {
			if balance.SupplementOf(t, d.ID, dose.Food) == nil {
				tab.Rows = append(tab.Rows, []string{say.Capital(talk.DoseAmount(t, dose)), say.Choose(dose.Batch, msg("card.stirred"), say.CadenceText(dose.Cadence)) + msg("vet.of-recipe")})
			}
		}
	}
	return block{Head: msg("card.doses"), half: true, Table: tab}
}

// weightBlocks are the picture of a dog's weight, and its newest weigh-ins.
func weightBlocks(t *talk.Turn, d *planner.Dog) ([]block, error) {
	newest := weighing.NewestWeighed(t, d, vetWeights)
	tab := &table{Heads: [][]string{{msg("vet.day"), msg("vet.weight")}}}
	for _, e := range newest {
		tab.Rows = append(tab.Rows, []string{dayText(e.Date), say.BodyWeight(e.Weight, t.Home.Units)})
	}
	list := block{Head: msg("vet.weights"), half: true, Table: tab}
	h, _, posts := weighing.Judge(t, d)
	if len(posts) == 0 || judge.SlopeOf(h).WeighIns < 2 {
		return []block{list}, nil
	}
	trend := weighing.TrendOf(t, d, h, posts[len(posts)-1])
	png, err := weighing.TrendPNG(trend)
	if err != nil {
		return nil, err
	}
	list.Notes = []string{trend.Head}
	picture := block{Head: msg("vet.trend"), half: true, chart: &chart{png, weighing.TrendHeight / float64(say.ChartWidth)}}
	return []block{list, picture}, nil
}

// signsBlock are the signs and stools of the last weeks, the newest first.
func signsBlock(t *talk.Turn, d *planner.Dog) block {
	tab := &table{words: true}
	kinds := []planner.EntryKind{planner.SignSeen, planner.WellAgain, planner.StoolSeen, planner.VetSaw}
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: kinds, From: t.Event.At.AddDate(0, 0, -vetSignDays), Newest: true}) {
		text := e.Text
		if e.Kind == planner.StoolSeen {
			if e.Stool == planner.FirmStool {
				continue
			}
			text = msg("vet.stool", "stool", string(e.Stool))
		}
		if text = strings.TrimSpace(text); text != "" && len(tab.Rows) < vetSigns {
			tab.Rows = append(tab.Rows, []string{dayText(e.Date), text})
		}
	}
	b := block{Head: msg("vet.signs", "days", vetSignDays), half: true, Table: tab}
	if len(tab.Rows) == 0 {
		b.Notes = []string{msg("vet.no-signs")}
	}
	return b
}

// analysisBlocks say how what a dog is fed compares with its Table: each nutrient
// with its limits, and what is not known.
func analysisBlocks(t *talk.Turn, d *planner.Dog) []block {
	r := t.Home.UsualOn(d, t.Date())
	if r == nil {
		return nil
	}
	l, err := balance.Fed(t, d, r)
	if err != nil {
		return []block{{Head: msg("vet.analysis"), Paras: paras(recipes.RecipeTrouble(r.Name, err))}}
	}
	wrong, open := balance.FindingLines(l, len(l.Result.Rows), len(l.Result.Rows))
	first := block{Head: msg("vet.analysis"), Lead: say.Unmarked(balance.VerdictText(l)),
		Paras: unmarked(paras(wrong, open)), Notes: unmarked(paras(balance.BasisText(t, l), say.Where(planner.AmountOf(*d, t.Event.At).Gate != "", msg("vet.table-healthy"))))}
	blocks := []block{first}
	rows := l.Result.Rows
	for half := range 2 {
		tab := &table{Heads: [][]string{{msg("vet.nutrient"), msg("vet.amount"), msg("vet.min"), msg("vet.max")}}}
		for i := half * (len(rows) + 1) / 2; i < len(rows) && i < (half+1)*(len(rows)+1)/2; i++ {
			tab.Rows = append(tab.Rows, nutrientCells(&rows[i]))
		}
		blocks = append(blocks, block{half: true, Table: tab})
	}
	blocks[1].Head, blocks[2].Head = msg("vet.table"), msg("vet.table-on")
	blocks[2].Notes = paras(msg("vet.legend"), labText(rows))
	return blocks
}

// nutrientCells are a nutrient, what there is of it, and its limits, in one unit.
func nutrientCells(r *nutrition.Row) []string {
	s := r.Requirement.Subject
	most := r.Value.Mid
	for _, limit := range [...]float64{r.Min, r.Max} {
		if limit > most { // not where there is none
			most = limit
		}
	}
	f, unit := say.DisplayUnit(most, s.Unit())
	mark := ""
	switch {
	case r.Verdict.TooLittle():
		mark = "↓ "
	case r.Verdict.TooMuch():
		mark = "↑ "
	}
	limit := func(x float64) string {
		if math.IsNaN(x) {
			return "-"
		}
		return say.Sig(x / f)
	}
	name := s.Name()
	if s.Unit() != "ratio" {
		name += "," + unit
	}
	return []string{name, mark + balance.CompactAmount(r.Value, f) + balance.Mark(r), limit(r.Min), limit(r.Max)}
}
