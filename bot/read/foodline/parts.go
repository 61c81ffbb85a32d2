package foodline

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// splitLine splits a line where every part has an amount and a food of its
// own. A part that lacks one of them belongs to the one before, or, where the
// amounts stand last, to the one after.
func splitLine(line string, table *nutrition.Table) []string {
	l := span.Lex(line)
	tokens := l.Tokens
	var pieces []piece
	from, numbers, hard, anyHard := 0, 0, false, false
	for i := range tokens {
		t := &tokens[i]
		if _, often := l.CadenceAt(i, false); often > 0 || t.Kind == span.NumberToken || span.NumberWords[t.Text] > 0 || language.In("lone-measures", t.Text) {
			numbers++
		}
		if begins(l, i, line[from:t.Start], table) {
			pieces = append(pieces, piece{from: from, to: t.Start, hard: hard})
			from, hard = t.Start, false
			continue
		}
		if t.Kind == span.NumberToken || t.Kind == span.NameToken || t.Inside || t.Text == "and" && i+2 < len(tokens) && tokens[i+1].Text == "a" && span.Multiples[tokens[i+2].Text] > 0 {
			continue
		}
		isHard := slices.Contains(hardSeparators, t.Text)
		if isHard || slices.Contains(softSeparators, t.Text) {
			pieces = append(pieces, piece{from: from, to: t.Start, hard: hard})
			from, hard, anyHard = t.End, isHard, anyHard || isHard
		}
	}
	if len(pieces) == 0 || numbers == 0 || numbers == 1 && !anyHard {
		return []string{line}
	}
	pieces = append(pieces, piece{from: from, to: len(line), hard: hard})
	for i := range pieces {
		pieces[i].judge(line)
	}
	return join(line, pieces)
}

// begins reports that another ingredient begins at a token, behind a line that is whole:
// "500 g mince 200 g rice 3 eggs", "a pound of beef half a cup of rice", "mince 500 g rice
// 200 g".
func begins(l *span.Lexed, i int, before string, table *nutrition.Table) bool {
	_, end := l.NumberAt(i)
	if i == 0 || l.Any(i-1, ":") || l.Tokens[i].Inside {
		return false
	}
	of := func() bool { return table.Find(ReadLine(before).Food()).Known() }
	weighs := func(u span.Unit) bool { return (u.Kind == span.ByMass || u.Kind == span.ByMeasure) && u.Factor >= 1 }
	figure := l.Tokens[i].Kind == span.NumberToken
	u, to := l.UnitAt(max(i, end))
	switch {
	case end == 0 && language.In("lone-measures", l.Word(i)):
		return wholeLine(before) && of()
	case end == 0 && to > 0:
		return false
	case end == 0: // a food, behind one with its amount after it
		_, counted := l.NumberAt(i - 1)
		_, unit := l.UnitAt(i - 1)
		was := ReadLine(before)
		if counted+unit == 0 || len(was.Amounts) != 1 || was.first(was.Amounts[0].From) || !was.last(was.Amounts[0].To) || !of() {
			return false
		}
		after := foodFrom(l, i, table)
		_, next := l.NumberAt(after)
		u, to = l.UnitAt(next)
		return after > 0 && next > 0 && (to == 0 || weighs(u))
	case to > 0:
		return weighs(u) && wholeLine(before) && (figure || of())
	}
	return (figure || span.Figures[l.Word(i)] > 0) && wholeLine(before) && of() && foodFrom(l, end, table) > 0
}

// foodFrom is where words end that begin at a token and name a food, before a separator or
// a number; 0 where they name none.
func foodFrom(l *span.Lexed, i int, table *nutrition.Table) int {
	to := i
	for ; to < len(l.Tokens) && l.Tokens[to].Kind == span.WordToken && !slices.Contains(softSeparators, l.Word(to)) && !language.In("lone-measures", l.Word(to)); to++ {
		if _, number := l.NumberAt(to); number > 0 {
			break
		}
	}
	if to == i || language.In("counted-times", l.Word(i)) || span.CutWords[l.Word(i)] != "" || !table.Find(l.Span(i, to)).Known() {
		return 0
	}
	return to
}

// wholeLine reports that a text begins with an amount, of a food.
func wholeLine(text string) bool {
	l := ReadLine(text)
	return len(l.Amounts) > 0 && l.first(l.Amounts[0].From) && span.HasLetter(l.withoutForm(l.Food()))
}

// parts splits a line into its ingredients, and one that is no food into the foods that
// it lists: of "3 carrots, spinach and peas" two have no amount.
func (r *reader) parts(line string) (all []string) {
	known := func(food string) bool { return r.table.Find(ReadLine(food).Food()).Known() }
	for _, part := range splitLine(line, r.table) {
		foods := strings.Split(part, ", ")
		if len(ReadLine(part).Amounts) == 0 || known(part) || !known(foods[0]) && len(foods) > 1 || slices.ContainsFunc(foods, func(food string) bool { return ReadLine(food).onlyQualifier() }) {
			foods = []string{part}
		}
		for _, food := range foods {
			both := strings.Split(food, " and ")
			if len(both) < 2 || known(food) || slices.ContainsFunc(both, func(food string) bool { return !known(food) }) {
				both = []string{food}
			}
			all = append(all, both...)
		}
	}
	return all
}

// piece is a part of a line between separators.
type piece struct {
	from, to     int // bytes
	amount, food bool
	hard         bool // the separator before it is
}

func (p *piece) judge(line string) {
	l := ReadLine(line[p.from:p.to])
	p.amount = len(l.Amounts) > 0 || l.Often.Named
	p.food = span.HasLetter(l.withoutForm(l.Food())) && !l.onlyNutrient() && !l.onlyQualifier()
}

// onlyNutrient reports that what is left of a text is a nutrient that is no
// supplement of its own: the "EPA 180 mg" after fish oil.
func (l *lexed) onlyNutrient() bool {
	for i := range l.Tokens {
		n, end := nutrientAt(l.Lexed, i)
		if end == 0 {
			continue
		}
		switch n {
		case nutrition.EPA, nutrition.DHA, nutrition.DPA, nutrition.Linoleic, nutrition.AlphaLinolenic, nutrition.Energy, nutrition.Protein, nutrition.Fat:
			return l.last(end) && l.first(i)
		}
	}
	return false
}

// join puts pieces together until each has an amount and a food.
func join(line string, pieces []piece) []string {
	var groups []piece
	for _, p := range pieces {
		last := len(groups) - 1
		if last < 0 {
			groups = append(groups, p)
			continue
		}
		g := &groups[last]
		whole := g.amount && g.food
		// With the amounts first, what has none is more about the food before;
		// with the amounts last, it begins the next.
		if whole && p.food && (p.amount || p.hard || !pieces[0].amount) {
			groups = append(groups, p)
			continue
		}
		g.to, g.amount, g.food = p.to, g.amount || p.amount, g.food || p.food
	}
	if last := len(groups) - 1; last > 0 && !groups[last].hard && !(groups[last].amount && groups[last].food) {
		groups[last-1].to = groups[last].to
		groups = groups[:last]
	}
	parts := make([]string, 0, len(groups))
	for _, g := range groups {
		parts = append(parts, strings.TrimSpace(line[g.from:g.to]))
	}
	return parts
}
