// Package foodline reads what is written down of food: the lines of a recipe, doses,
// labels, a laboratory's report, notes. It prints a recipe as lines that it reads
// back.
package foodline

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Line is one line of a recipe, understood: an ingredient or a dose.
type Line struct {
	Number     int // from 1
	Text       string
	Ingredient *planner.Ingredient
	Dose       *planner.Dose
	Measure    *nutrition.Measure // the household measure whose weight was taken; nil for a weighed amount
	Count      float64            // how many of it
	Ignored    []string           // words that made no difference
}

// Recipe is what a paste of recipe lines gives. Every line that is not blank,
// a comment, a heading or the name is a Line or a Problem, or several.
type Recipe struct {
	Name     string
	Days     float64 // how many days' food it says that it is; 0 where it does not
	Method   string  // how it is made, as typed
	Lines    []Line
	Problems []span.Problem
}

// How much of a paste is read, and how long one ingredient may be.
const (
	maxPasteRunes = 10_000
	maxPasteLines = 200
	maxLineRunes  = span.MaxProblemRunes
)

// RecipeText reads a recipe as people write it, a line for each ingredient;
// several on a line are told apart by commas and "and" where each has its own
// amount.
//
// A first line without an amount that ends in a colon, or one that begins with
// "recipe:" or "#", is the name. Other lines that begin with "#" are comments;
// a line that ends in a colon and names no food is a heading. A name or a
// heading may also stand before the ingredients on their line. A line "for 3
// days" says how many days' food it is. "Method:" begins how it is made, up to the
// next ingredient. What is beyond 10,000 characters or
// 200 lines is one Problem, TooLong, with the number of its first line.
func RecipeText(text string, t *nutrition.Table) Recipe {
	first, cut := span.FirstRunes(text, maxPasteRunes)
	if cut { // the line in which the text is cut is not read either
		first = first[:strings.LastIndexAny(first, "\n\r")+1]
	}
	r := &reader{table: t}
	clean := language.Without("recipe-lead", span.Clean(first))
	if strings.Count(clean, " / ") > 1 && !strings.Contains(clean, "\n") { // a sign for the end of a line
		clean = strings.ReplaceAll(clean, " / ", "\n")
	}
	lines := strings.Split(clean, "\n")
	dashes := countDashes(lines) > 1
	for i := 0; i < len(lines); i++ {
		if method, end := methodAt(lines, i, t); end > i {
			r.Method, i = strings.TrimSpace(r.Method+"\n"+method), end-1
			continue
		}
		line := trimBullet(lines[i], dashes)
		if first, rest, ok := strings.Cut(line, ":"); ok && strings.EqualFold(strings.TrimSpace(first), "ingredients") {
			line = strings.TrimSpace(rest)
		}
		if line == "" {
			continue
		}
		if i >= maxPasteLines || r.full() {
			r.tooLong(line, i+1)
			return r.Recipe
		}
		if !r.line(line, i+1) {
			return r.Recipe
		}
	}
	if unread := text[len(first):]; strings.TrimSpace(unread) != "" {
		rest := strings.TrimLeft(unread, " \t\r\n")
		skipped := strings.Count(unread[:len(unread)-len(rest)], "\n")
		rest, _, _ = strings.Cut(rest, "\n")
		r.tooLong(rest, len(lines)+skipped)
	}
	return r.Recipe
}

// Planner returns the recipe of the lines, in their order, with no id. It
// merges nothing.
func (r Recipe) Planner() planner.Recipe {
	out := planner.Recipe{Name: r.Name, Days: r.Days}
	for _, l := range r.Lines {
		if l.Dose != nil {
			out.Doses = append(out.Doses, *l.Dose)
		} else if l.Ingredient != nil {
			out.Ingredients = append(out.Ingredients, *l.Ingredient)
		}
	}
	return out
}

// reader is a paste on its way.
type reader struct {
	Recipe
	table *nutrition.Table
}

func (r *reader) tooLong(text string, number int) {
	p := span.NewProblem(span.TooLong, text)
	p.Line = number
	r.Problems = append(r.Problems, p)
}

// full reports that no more lines and problems are taken.
func (r *reader) full() bool { return len(r.Lines)+len(r.Problems) >= maxPasteLines }

// line reads one line that is not blank. It returns false where the rest of
// the paste is not read.
func (r *reader) line(line string, number int) bool {
	first := r.Name == "" && len(r.Lines)+len(r.Problems) == 0
	if name, ok := cutTitle(line, first); ok {
		if first && name != "" {
			r.Name = name
		}
		return true
	}
	if strings.HasSuffix(line, ":") && r.heading(strings.TrimRight(line, ": "), first) {
		return true
	}
	if days := daysOf(line); days > 0 && r.Days == 0 {
		r.Days = days
		return true
	}
	for _, part := range r.parts(r.untitled(line, first)) {
		if r.full() {
			r.tooLong(part, number)
			return false
		}
		if utf8.RuneCountInString(part) > maxLineRunes {
			r.tooLong(part, number)
			continue
		}
		l, p := parseLine(part, r.table, nil)
		if p != nil {
			p.Line = number
			r.Problems = append(r.Problems, *p)
			continue
		}
		l.Number = number
		r.Lines = append(r.Lines, l)
	}
	return true
}

// daysOf reads a line that is nothing but "for 3 days", "makes 7 days" or
// "for a week", 0 where it is not.
func daysOf(line string) float64 {
	if !strings.Contains(line, "day") && !strings.Contains(line, "week") {
		return 0
	}
	l := span.Lex(line)
	if !l.Any(0, "for", "makes", "lasts", "feeds", "enough") {
		return 0
	}
	at := 1
	if l.Any(0, "enough") && l.Any(1, "for") {
		at = 2
	}
	n, end := l.NumberAt(at)
	if end == 0 || n.Value <= 0 {
		return 0
	}
	p, ok := l.PeriodAt(end)
	for end++; end < len(l.Tokens) && l.Any(end, ".", ")"); end++ {
	}
	if days := n.Value * float64(p); ok && end >= len(l.Tokens) && days <= span.MaxEveryDays {
		return days
	}
	return 0
}

// countDashes counts the lines that begin with a dash right before a number:
// one may be a negative amount, several are a list.
func countDashes(lines []string) int {
	n := 0
	for _, s := range lines {
		if s = strings.TrimSpace(s); len(s) > 1 && s[0] == '-' && s[1] != ' ' {
			n++
		}
	}
	return n
}

// trimBullet takes away what lists put before a line: "-", "*", "•", "[x]",
// "1.", "2)". A number that counts something stays: "2 eggs", "1.5 kg". dashes
// says that a dash right before a number is a bullet too.
func trimBullet(s string, dashes bool) string {
	s = strings.TrimSpace(s)
	for s != "" {
		r, size := utf8.DecodeRuneInString(s)
		rest := s[size:]
		switch {
		case strings.ContainsRune("*•·–—‣▪+>~", r) && !(r == '~' && rest != "" && rest[0] != ' '):
		case r == '-' && (dashes || !span.SignAt(s, 0, nil)):
		case r == '[' && len(s) > 2 && s[2] == ']' && strings.IndexByte(" xXvV", s[1]) >= 0:
			rest = s[3:]
		default:
			return trimNumbering(s)
		}
		s = strings.TrimSpace(rest)
	}
	return s
}

// trimNumbering takes "1." or "2)" from the beginning, where a space follows.
func trimNumbering(s string) string {
	digits := 0
	for digits < len(s) && span.IsASCIIDigit(s[digits]) {
		digits++
	}
	if digits == 0 || digits > 3 || digits+1 >= len(s) || s[digits] != '.' && s[digits] != ')' || s[digits+1] != ' ' {
		return s
	}
	return strings.TrimSpace(s[digits+1:])
}

// separators part ingredients on one line. What stands after a hard one is
// another food; after a soft one it may be more about the food before.
var (
	hardSeparators = []string{";", "+", "plus"}
	softSeparators = []string{",", "&", "and"}
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
		if t.Kind == span.NumberToken || span.NumberWords[t.Text] > 0 || language.In("lone-measures", t.Text) {
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
	p.amount = len(l.Amounts) > 0
	p.food = span.HasLetter(l.withoutForm(l.Food())) && !l.onlyNutrient() && !l.onlyQualifier()
}

// onlyNutrient reports that what is left of a text is a nutrient that is no
// supplement of its own: the "EPA 180 mg" after fish oil.
func (l *lexed) onlyNutrient() bool {
	for i := range l.Tokens {
		n, end := NutrientAt(l.Lexed, i)
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

// With completes a line that lacked nothing but which food it means: NoFood,
// UnknownFood, AmbiguousFood. It reports false where the line lacks something
// else.
func With(p span.Problem, f *nutrition.Food) (Line, bool) {
	if f == nil || p.Code == span.RefusedFood || p.Code == span.TooLong {
		return Line{}, false
	}
	line, still := parseLine(p.Text, nil, f)
	line.Number = p.Line
	return line, still == nil
}

// WithAmount completes a line that lacked its amount: NoAmount, NoMeasure, BareNumber. It
// reports false where amount is none, or the line lacks something else.
func WithAmount(p span.Problem, amount string, t *nutrition.Table) (Line, bool) {
	l := ReadLine(span.Clean(amount))
	if len(l.Amounts) == 0 || l.Code != "" || span.HasLetter(l.withoutForm(l.Food())) {
		return Line{}, false
	}
	words := p.Text
	if old := ReadLine(p.Text); p.Code == span.NoMeasure && old.Code == "" || p.Code == span.BareNumber {
		words = old.Food()
	}
	line, still := parseLine(l.Text+" "+words, t, nil)
	line.Number = p.Line
	return line, still == nil
}
