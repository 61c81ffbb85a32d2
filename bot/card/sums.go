package card

import (
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// A card has amounts for dogs of these goal weights (our own choice: what grown
// dogs weigh, but for a few).
const (
	leastKilos nutrition.Kilograms = 1
	mostKilos  nutrition.Kilograms = 90
)

// The six sizes of a card: about as far apart in what such dogs eat (our own
// choice).
var (
	sizesKilos  = []float64{5, 10, 20, 30, 40, 60}
	sizesPounds = []float64{10, 20, 40, 65, 90, 130}
)

// sums is what a page needs to work out the amounts for a weight as the program
// does, and for which weights.
type sums struct {
	Factor float64   `json:"factor"` // kcal a day per kg^0.75
	Kcal   float64   `json:"kcal"`   // of the recipe as written
	Grams  float64   `json:"grams"`  // its weight
	Least  float64   `json:"least"`  // kg
	Most   float64   `json:"most"`
	Lines  []line    `json:"lines"`
	Doses  []perKcal `json:"doses"` // those per 1000 kcal
	Pounds bool      `json:"pounds"`

	sizes []size
	over  string // what is too much for some sizes
}

// line is a food as written.
type line struct {
	Name  string  `json:"name"`
	Grams float64 `json:"grams"`
	Fine  bool    `json:"fine,omitempty"` // a mineral, an oil or the like: see portions.IsFine
}

// perKcal is a supplement by the energy fed: so much of a unit for 1000 kcal.
type perKcal struct {
	Name   string  `json:"name"`
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Rest   string  `json:"rest"` // how often
}

// size is a day of a dog of a goal weight; not fed where its supplements would
// be far too much for it.
type size struct {
	weight nutrition.Kilograms
	kcal   nutrition.Kcal
	fed    bool
	grams  portions.Bowl
	ounces portions.Bowl
}

// aDay is what a healthy adult dog of a goal weight eats of a recipe in a day:
// the need of a moderately active one, or a topper's share of it.
func aDay(r planner.Recipe, w nutrition.Kilograms) nutrition.Kcal {
	return r.Share(planner.EnergyBy(nutrition.ActivityModerate, w))
}

// sumsOf works out the sizes, and what a page needs for others.
func sumsOf(t *talk.Turn, r planner.Recipe, sum planner.Totals) (*sums, error) {
	s := &sums{Factor: float64(aDay(r, 1)), Kcal: sum.Energy.Mid, Grams: float64(sum.Grams), Most: float64(mostKilos), Pounds: t.Home.Units.Pounds}
	for _, in := range r.Ingredients {
		s.Lines = append(s.Lines, line{t.FoodName(in.Food), float64(in.Grams), portions.IsFine(t.Foods.Food(in.Food))})
	}
	for _, d := range r.Doses {
		s.Doses = append(s.Doses, perKcals(t, d)...)
	}
	s.Least = float64(leastKilos)
	checked := !r.Topper() || slices.ContainsFunc(r.Doses, forOneDog) // else the rest of the day is not known
	if checked {
		s.Least = s.least(t, r)
	}
	unit := say.Choose(s.Pounds, nutrition.KilosPerPound, 1)
	for _, x := range say.Choose(s.Pounds, sizesPounds, sizesKilos) {
		w := nutrition.Kilograms(x) * unit
		is, err := sizeOf(t, r, w)
		if err != nil {
			return nil, err
		}
		is.fed = float64(w) >= s.Least
		s.sizes = append(s.sizes, is)
	}
	if checked {
		s.over = s.overText(t, r)
	}
	return s, nil
}

// forOneDog reports that a supplement is for a dog, whatever its size.
func forOneDog(d planner.Dose) bool { return !d.Per1000 && !d.Batch }

func sizeOf(t *talk.Turn, r planner.Recipe, w nutrition.Kilograms) (is size, err error) {
	is = size{weight: w, kcal: aDay(r, w)}
	if is.grams, err = portions.BowlFor(r, t.Foods, is.kcal, 1, planner.Units{}); err == nil {
		is.ounces, err = portions.BowlFor(r, t.Foods, is.kcal, 1, planner.Units{Ounces: true})
	}
	return is, err
}

// perKcals are the parts of a supplement that is given by the energy fed.
func perKcals(t *talk.Turn, d planner.Dose) (out []perKcal) {
	if !d.Per1000 {
		return nil
	}
	rest := say.CadenceText(d.Cadence)
	for _, a := range d.Amounts {
		out = append(out, perKcal{t.FoodName(d.Food) + say.Where(len(d.Amounts) > 1, " "+a.Nutrient.Name()), a.Amount, say.UnitText(a.Nutrient.Unit()), rest})
	}
	switch {
	case len(out) > 0:
	case d.Count > 0:
		out = []perKcal{{t.FoodName(d.Food), d.Count, d.Form, rest}}
	case d.Grams > 0:
		out = []perKcal{{t.FoodName(d.Food), float64(d.Grams), "g", rest}}
	}
	return out
}

// least is the least weight for which there are amounts: under it the supplements,
// which are for one dog whatever its size, would be many times too much.
func (s *sums) least(t *talk.Turn, r planner.Recipe) float64 {
	far := func(w float64) bool {
		d := planner.Dog{Name: r.Name, Weight: nutrition.Kilograms(w)}
		return balance.FarOver(t, &d, &r) != ""
	}
	low, high := float64(leastKilos), float64(mostKilos)
	switch {
	case !far(low):
		return low
	case far(high):
		return high + 1
	}
	for high-low > 0.5 {
		if mid := (low + high) / 2; far(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// overText says for which sizes the supplements bring more than a maximum.
func (s *sums) overText(t *talk.Turn, r planner.Recipe) string {
	over := map[string][]string{}
	var order []string
	for _, is := range s.sizes {
		size, d := say.BodyWeight(is.weight, t.Home.Units), planner.Dog{Weight: is.weight}
		l, err := balance.Look(t, &r, &d)
		if err != nil {
			continue
		}
		for _, o := range nutrition.Overdoses(l.Mixture, l.Profile, is.kcal) {
			name := o.Subject.Name()
			if len(over[name]) == 0 {
				order = append(order, name)
			}
			if !slices.Contains(over[name], size) {
				over[name] = append(over[name], size)
			}
		}
	}
	var lines []string
	for _, name := range order {
		whom := msg("card.over-any")
		if len(over[name]) < len(s.sizes) {
			whom = say.List(over[name])
		}
		lines = append(lines, msg("card.over", "nutrient", name, "whom", whom))
	}
	return strings.Join(lines, "\n")
}

// dayCells are what a size gets of each line: an amount of the bowl, or what is
// less than a scale shows.
func dayCells(r planner.Recipe, b portions.Bowl, u planner.Units) (cells []string) {
	rows, tiny := b.Rows, b.Tiny
	for _, in := range r.Ingredients {
		switch {
		case len(rows) > 0 && rows[0].Food == in.Food:
			cells, rows = append(cells, say.Figure(rows[0].Day, u)), rows[1:]
		case len(tiny) > 0 && tiny[0].Food == in.Food:
			cells, tiny = append(cells, say.Trim(float64(tiny[0].Day), 2)+say.Where(u.Ounces, " g")), tiny[1:]
		default:
			cells = append(cells, "0")
		}
	}
	return cells
}

// block is the table of a day's amounts.
func (s *sums) block(t *talk.Turn, r planner.Recipe) block {
	b := block{Head: msg("card.sizes", "unit", say.Choose(t.Home.Units.Ounces, msg("card.ounces"), msg("card.grams"))), Calculator: true}
	if s.Least > s.Most {
		b.Paras = []string{msg("card.none-fed")}
		return b
	}
	b.Table = s.table(t, r, t.Home.Units)
	b.Notes = append(b.Notes, msg("card.sizes-note", "factor", say.Trim(s.Factor, 1)), msg("card.sizes-range"))
	if slices.ContainsFunc(s.sizes, func(is size) bool { return len(is.grams.Tiny) > 0 }) {
		b.Notes = append(b.Notes, msg("card.tiny"))
	}
	if s.Least > float64(leastKilos) {
		b.Notes = append(b.Notes, msg("card.least", "weight", say.AboutWeight(nutrition.Kilograms(s.Least), t.Home.Units)))
	}
	return b
}

// joined is the recipe as written and a day's amounts in one table.
func (s *sums) joined(t *talk.Turn, r planner.Recipe, sum planner.Totals) block {
	b, written := s.block(t, r), linesBlock(t, r, sum)
	if b.Table == nil {
		b.Table, b.Notes = written.Table, written.Notes
		return b
	}
	tab := b.Table
	join := func(rows [][]string, i int, cells ...string) {
		rows[i] = slices.Concat(rows[i][:1], cells, rows[i][1:])
	}
	for i := range r.Ingredients {
		join(tab.Rows, i, written.Table.Rows[i][1:]...)
		tab.Rows[i][0] = written.Table.Rows[i][0]
	}
	last := written.Table.Rows[len(r.Ingredients)]
	join(tab.Rows, len(r.Ingredients), last[1:]...)
	join(tab.Rows, len(r.Ingredients)+1, "", "")
	join(tab.Heads, 0, "g", "oz")
	join(tab.Heads, 1, "", "")
	join(tab.Heads, 2, say.Kcal(nutrition.Kcal(s.Kcal)), "")
	tab.split = 3
	b.Head = msg("card.joined", "unit", say.Choose(t.Home.Units.Ounces, msg("card.ounces"), msg("card.grams")))
	b.Notes = append(written.Notes, b.Notes...)
	return b
}

// table has a column for each size and a row for each food.
func (s *sums) table(t *talk.Turn, r planner.Recipe, u planner.Units) *table {
	kg, lb, kcal := []string{msg("card.goal")}, []string{""}, []string{msg("card.kcal")}
	sumG, sumOz := []string{msg("card.together-g")}, []string{msg("card.together-oz")}
	rows := make([][]string, len(r.Ingredients))
	for i, in := range r.Ingredients {
		rows[i] = []string{t.FoodName(in.Food)}
	}
	for _, is := range s.sizes {
		kg = append(kg, say.Trim(float64(is.weight), 0)+" kg")
		lb = append(lb, say.Trim(is.weight.Pounds(), 0)+" lb")
		if !is.fed {
			kcal, sumG, sumOz = append(kcal, "-"), append(sumG, "-"), append(sumOz, "-")
			for i := range rows {
				rows[i] = append(rows[i], "-")
			}
			continue
		}
		kcal = append(kcal, say.Kcal(is.kcal))
		b := is.grams
		if u.Ounces {
			b = is.ounces
		}
		for i, cell := range dayCells(r, b, u) {
			rows[i] = append(rows[i], cell)
		}
		sumG, sumOz = append(sumG, say.Figure(is.grams.Day, planner.Units{})), append(sumOz, say.Figure(is.ounces.Day, planner.Units{Ounces: true}))
	}
	heads := [][]string{kg, lb, kcal}
	if s.Pounds {
		lb[0], kg[0] = kg[0], ""
		heads = [][]string{lb, kg, kcal}
	}
	if u.Ounces {
		sumG, sumOz = sumOz, sumG
	}
	return &table{Heads: heads, Rows: append(rows, sumG, sumOz), sums: 2}
}

// dosesBlock is the supplements, each with its cadence; those by the energy fed
// for each size.
func dosesBlock(t *talk.Turn, r planner.Recipe, s *sums) block {
	b := block{Head: msg("card.doses"), half: true}
	for _, d := range r.Doses {
		text := talk.DoseAmount(t, d) + ", " + say.Choose(d.Batch, msg("card.stirred"), say.CadenceText(d.Cadence))
		b.Paras = append(b.Paras, say.Capital(text)+".")
	}
	if slices.ContainsFunc(r.Doses, forOneDog) {
		b.Notes = append(b.Notes, msg("card.dose-fixed"))
	}
	if len(s.Doses) == 0 {
		return b
	}
	row := func(first string, of func(size) string) []string {
		return append([]string{first}, say.Each(s.sizes, of)...)
	}
	b.half, b.Table = false, &table{Heads: [][]string{row(msg("card.goal"), func(is size) string { return say.BodyWeight(is.weight, t.Home.Units) })}}
	for _, d := range s.Doses {
		b.Table.Rows = append(b.Table.Rows, row(d.Name+", "+d.Unit+", "+d.Rest, func(is size) string { return say.Choose(is.fed, d.on(is.kcal), "-") }))
	}
	return b
}

// on is how much of it goes with so many kcal, to what is of use.
func (d perKcal) on(k nutrition.Kcal) string {
	switch x := d.Amount * float64(k) / 1000; {
	case x >= 10:
		return say.Trim(x, 0)
	case x >= 1:
		return say.Trim(x, 1)
	default:
		return say.Trim(x, 2)
	}
}
