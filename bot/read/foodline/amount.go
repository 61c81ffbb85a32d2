package foodline

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// mostCount is the most pieces or measures that a line may name, and
// mostActive the most IU.
const (
	mostCount  = 10_000
	mostActive = 10_000_000
)

// takeAmounts finds the quantities of a line and marks them as used.
func (l *lexed) takeAmounts() {
	for i := 0; i < len(l.Tokens); {
		i = max(l.takeAmount(i), i+1)
	}
	l.takeForm()
	l.judgeAmounts()
}

// takeAmount takes the quantity that begins at a token and returns its end,
// or 0.
func (l *lexed) takeAmount(i int) int {
	n, end := l.NumberAt(i)
	if end == 0 {
		if t := &l.Tokens[i]; t.Kind == span.NumberToken && t.Num.Bad && !t.Used && l.IsUnit(i+1) {
			l.Wrong(span.BadNumber, i, i+2) // "1/0 g"
		}
		if language.In("lone-measures", l.Word(i)) && l.first(i) && i+1 < len(l.Tokens) { // "handful of spinach"
			return l.takeUnit(i, i, span.Numeral{Value: 1}, false)
		}
		return 0
	}
	if l.inName(i, end, n) {
		return end
	}
	if l.Any(end, "-", "–", "—", "to", "or") && end+1 < len(l.Tokens) && l.Tokens[end+1].Kind == span.NumberToken {
		if _, to := l.NumberAt(end + 1); to > 0 {
			l.Wrong(span.TwoAmounts, i, to) // "2-3 eggs"
			l.Use(i, to)
			return to
		}
	}
	if l.Any(i-1, "x", "×", "*") {
		l.Use(i-1, i) // "egg x 2"
		return l.takeCount(i, end, n)
	}
	if l.Any(end, "x", "×", "*") {
		if m, to := l.NumberAt(end + 1); to > 0 {
			if u, _ := l.UnitAt(to); u.Kind != 0 { // "2 x 250 g"
				l.add(span.Amount{Kind: span.ByCount, N: n.Value, Unit: "piece", From: i, To: end + 1})
				return l.takeUnit(end+1, to, m, true)
			}
		}
		return l.takeCount(i, end+1, n)
	}
	if to := l.takeUnit(i, end, n, false); to > 0 {
		return to
	}
	if m, to := l.NumberAt(end); to > 0 && l.Tokens[i].Kind == span.NumberToken {
		return l.takeTwoNumbers(i, end, to, n, m)
	}
	if to := l.takeLabelled(i, end, n); to > 0 {
		return to
	}
	if l.Tokens[i].Kind == span.WordToken && !l.first(i) {
		return 0
	}
	if l.first(i) || l.last(end) {
		fewest := span.Choose(l.first(i) && l.plural(end), fewestOdd, fewestGrams)
		if l.Tokens[i].Kind == span.NumberToken && n.Value >= float64(fewest) {
			l.Wrong(span.BareNumber, i, end)
		}
		return l.takeCount(i, end, n)
	}
	return end
}

// From how many on a bare number is rather a weight than a count: in front of
// several of a food ("20 blueberries"), and elsewhere ("50 liver", "chicken
// liver 50"). Our own
// choice; a hundred livers are no recipe of anybody.
const (
	fewestOdd   = 60
	fewestGrams = 10
)

// plural reports that the words from a place on name several of a food.
func (l *lexed) plural(at int) bool {
	last := ""
	for ; at < len(l.Tokens) && l.Tokens[at].Kind == span.WordToken; at++ {
		last = l.Tokens[at].Text
	}
	return strings.HasSuffix(last, "s")
}

// inName reports that a number is a part of a food's name: how lean a meat
// is, or the 3 of omega-3 and of CaCO3.
func (l *lexed) inName(i, end int, n span.Numeral) bool {
	if l.Any(end, "%", "percent", "pct", "lean") || l.isGrade(i, end, n) {
		return true
	}
	before := i - 1
	if l.Any(before, "-") {
		before--
	}
	if l.Any(before, "omega", "caco") {
		return n.Value == 3 || n.Value == 6 || n.Value == 9
	}
	if _, to := l.UnitAt(end); to > 0 || n.Value > 12 || n.Value != float64(int(n.Value)) {
		return false
	}
	return l.Any(before, "b", "d", "k", "q") && l.Any(before-1, "vitamin", "vit", "coenzyme")
}

// From 70 % to 99 % lean is what ground meats are sold as (the rows of the
// table, USDA SR26, are of 70-97 %).
const leastLean, mostLean = 70, 99

// isGrade reports that a bare number behind a ground meat says how lean it is,
// its amount standing elsewhere in the line: "3 lbs ground beef 85".
func (l *lexed) isGrade(i, end int, n span.Numeral) bool {
	if l.Tokens[i].Kind != span.NumberToken || n.Value < leastLean || n.Value > mostLean || l.IsUnit(end) {
		return false
	}
	graded, weighed := false, len(l.of(span.ByMass)) > 0
	for k := range l.Tokens {
		graded = graded || k < i && language.In("graded", l.Tokens[k].Text)
		if k != i && l.Tokens[k].Kind == span.NumberToken {
			u, _ := l.UnitAt(k + 1)
			weighed = weighed || u.Kind == span.ByMass
		}
	}
	return graded && weighed
}

// takeUnit takes a number with the unit after it; each says that it is what
// each piece has.
func (l *lexed) takeUnit(i, end int, n span.Numeral, each bool) int {
	note, at := l.sizeAt(end)
	u, to := l.UnitAt(at)
	if to == 0 && (note == "" || each) {
		return 0
	}
	l.note = cmp.Or(note, l.note)
	if to == 0 { // "3 large eggs"
		return l.add(span.Amount{Kind: span.ByCount, N: n.Whole(), Unit: "piece", From: i, To: at})
	}
	if (u.IsGram() || u.Kind == span.ByActive) && n.Point {
		l.Wrong(span.BadNumber, i, to)
	}
	a := span.Amount{Kind: u.Kind, N: u.In(n), Unit: u.Name, Metric: u.Metric, Each: each, From: i, To: to}
	switch u.Kind {
	case span.ByForm:
		a.To = at // the word stays: it may be in the name
	case span.ByMass, span.ByMeasure:
		l.AddSmaller(&a, u)
	}
	return l.add(a)
}

// sizeAt reads a size before a piece or a measure.
func (l *lexed) sizeAt(i int) (string, int) {
	if l.Any(i, "extra") && l.Any(i+1, "large", "small") {
		return "extra " + l.Word(i+1), i + 2
	}
	if s := span.SizeWords[l.Word(i)]; s != "" {
		return s, i + 1
	}
	return "", i
}

// takeTwoNumbers takes a count and what each piece has: "2 400 IU capsules",
// "1 15 oz can". Elsewhere two numbers in a row are one or the other: nobody
// can tell whether "2 500 g" is 2500 g or a kilogram.
func (l *lexed) takeTwoNumbers(i, second, end int, n, m span.Numeral) int {
	u, to := l.UnitAt(end)
	if to == 0 {
		return 0
	}
	v, _ := l.UnitAt(to)
	if small := u.Kind == span.ByActive || u.Kind == span.ByMass && u.Metric && u.Factor < 1; small || v.Kind == span.ByForm || span.Holders[v.Name] {
		l.add(span.Amount{Kind: span.ByCount, N: n.Whole(), Unit: "piece", From: i, To: second})
		return l.takeUnit(second, end, m, true)
	}
	l.Wrong(span.BadNumber, i, to)
	l.Use(i, to)
	return to
}

// takeLabelled takes a count with the weight of each in brackets, before what
// is counted: "1 (15 oz) can".
func (l *lexed) takeLabelled(i, end int, n span.Numeral) int {
	m, at := l.NumberAt(end + 1)
	if !l.Any(end, "(") || at == 0 {
		return 0
	}
	u, to := l.UnitAt(at)
	holder, next := l.UnitAt(to + 1)
	if u.Kind != span.ByMass || !l.Any(to, ")") || next == 0 || !span.Holders[holder.Name] {
		return 0
	}
	l.add(span.Amount{Kind: holder.Kind, N: n.Whole(), Unit: holder.Name, From: i, To: end})
	l.takeUnit(end+1, at, m, true)
	if holder.Kind == span.ByMeasure {
		l.Use(to+1, next)
	}
	return next
}

// takeCount takes a bare number as a count of pieces.
func (l *lexed) takeCount(i, end int, n span.Numeral) int {
	if to := l.takeUnit(i, end, n, false); to > 0 {
		return to
	}
	return l.add(span.Amount{Kind: span.ByCount, N: n.Whole(), Unit: "piece", From: i, To: end})
}

// first reports that no word stands before a token, and last that none stands at it or
// after it.
func (l *lexed) first(i int) bool { return !slices.ContainsFunc(l.Tokens[:i], isWord) }
func (l *lexed) last(i int) bool {
	return i >= len(l.Tokens) || !slices.ContainsFunc(l.Tokens[i:], isWord)
}

// isWord reports that a token is not taken yet, and says something.
func isWord(t span.Token) bool {
	return !t.Used && t.Kind != span.SignToken && !language.In("line-fillers", t.Text)
}

func (l *lexed) add(a span.Amount) int {
	a.Inside = l.Tokens[a.From].Inside
	l.Use(a.From, a.To)
	l.Amounts = append(l.Amounts, a)
	return a.To
}

// takeForm notes a form that is named without a number of its own: "vitamin E
// capsule 400 IU". Drops and pumps are then not counted.
func (l *lexed) takeForm() {
	if forms := l.of(span.ByForm); len(forms) > 0 {
		l.form = forms[0].Unit
		return
	}
	for _, t := range l.Tokens {
		if u := span.UnitWords[t.Text]; t.Kind == span.WordToken && !t.Used && u.Kind == span.ByForm {
			l.form = u.Name
			return
		}
	}
}

// judgeAmounts notes amounts that cannot be.
func (l *lexed) judgeAmounts() {
	most := map[span.AmountKind]float64{span.ByMass: span.MostOfAFood, span.ByVolume: span.MostOfAFood, span.ByActive: mostActive}
	for _, a := range l.Amounts {
		if code := span.Unmeant(a.N, cmp.Or(most[a.Kind], mostCount)); code != "" {
			l.Wrong(code, a.From, a.To)
		}
	}
}

// of returns the amounts of some kinds.
func (l *lexed) of(kinds ...span.AmountKind) (found []span.Amount) {
	for _, a := range l.Amounts {
		if slices.Contains(kinds, a.Kind) {
			found = append(found, a)
		}
	}
	return found
}
