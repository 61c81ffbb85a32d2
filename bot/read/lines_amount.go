package read

import (
	"slices"
	"strings"
)

// amount is a quantity found in a line.
type amount struct {
	kind     amountKind
	n        float64 // grams, IU, kcal, millilitres, or how many
	unit     string  // its name; "piece" of a bare number
	metric   bool    // of masses
	each     bool    // typed as what each piece has: "2 x 250 g"
	inside   bool    // in round brackets
	from, to int     // tokens
}

// mostCount is the most pieces or measures that a line may name, and
// mostActive the most IU.
const (
	mostCount  = 10_000
	mostActive = 10_000_000
)

// takeAmounts finds the quantities of a line and marks them as used.
func (l *lexed) takeAmounts() {
	for i := 0; i < len(l.tokens); {
		i = max(l.takeAmount(i), i+1)
	}
	l.takeForm()
	l.judgeAmounts()
}

// takeAmount takes the quantity that begins at a token and returns its end,
// or 0.
func (l *lexed) takeAmount(i int) int {
	n, end := l.numberAt(i)
	if end == 0 {
		if t := &l.tokens[i]; t.kind == numberToken && t.num.bad && !t.used && l.isUnit(i+1) {
			l.wrong(BadNumber, i, i+2) // "1/0 g"
		}
		return 0
	}
	if l.inName(i, end, n) {
		return end
	}
	if l.any(end, "-", "–", "—", "to", "or") && end+1 < len(l.tokens) && l.tokens[end+1].kind == numberToken {
		if _, to := l.numberAt(end + 1); to > 0 {
			l.wrong(TwoAmounts, i, to) // "2-3 eggs"
			l.use(i, to)
			return to
		}
	}
	if l.any(i-1, "x", "×", "*") {
		l.use(i-1, i) // "egg x 2"
		return l.takeCount(i, end, n)
	}
	if l.any(end, "x", "×", "*") {
		if m, to := l.numberAt(end + 1); to > 0 {
			if u, _ := l.unitAt(to); u.kind != 0 { // "2 x 250 g"
				l.add(amount{kind: byCount, n: n.value, unit: "piece", from: i, to: end + 1})
				return l.takeUnit(end+1, to, m, true)
			}
		}
		return l.takeCount(i, end+1, n)
	}
	if to := l.takeUnit(i, end, n, false); to > 0 {
		return to
	}
	if m, to := l.numberAt(end); to > 0 && l.tokens[i].kind == numberToken {
		return l.takeTwoNumbers(i, end, to, n, m)
	}
	if to := l.takeLabelled(i, end, n); to > 0 {
		return to
	}
	if l.tokens[i].kind == wordToken && !l.first(i) {
		return 0
	}
	if l.first(i) || l.last(end) {
		fewest := fewestGrams
		if l.first(i) && l.plural(end) {
			fewest = fewestOdd
		}
		if l.tokens[i].kind == numberToken && n.value >= float64(fewest) {
			l.wrong(BareNumber, i, end)
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
	for ; at < len(l.tokens) && l.tokens[at].kind == wordToken; at++ {
		last = l.tokens[at].text
	}
	return strings.HasSuffix(last, "s")
}

// inName reports that a number is a part of a food's name: how lean a meat
// is, or the 3 of omega-3.
func (l *lexed) inName(i, end int, n number) bool {
	if l.any(end, "%", "percent", "pct", "lean") || l.isGrade(i, end, n) {
		return true
	}
	before := i - 1
	if l.any(before, "-") {
		before--
	}
	if l.any(before, "omega") {
		return n.value == 3 || n.value == 6 || n.value == 9
	}
	if _, to := l.unitAt(end); to > 0 || n.value > 12 || n.value != float64(int(n.value)) {
		return false
	}
	return l.any(before, "b", "d", "k", "q") && l.any(before-1, "vitamin", "vit", "coenzyme")
}

// gradedWords are those of meats that are sold by how lean they are.
var gradedWords = setOf("ground", "mince", "minced", "hamburger", "burger")

// From 70 % to 99 % lean is what ground meats are sold as (the rows of the
// table, USDA SR26, are of 70-97 %).
const leastLean, mostLean = 70, 99

// isGrade reports that a bare number behind a ground meat says how lean it is,
// its amount standing elsewhere in the line: "3 lbs ground beef 85".
func (l *lexed) isGrade(i, end int, n number) bool {
	if l.tokens[i].kind != numberToken || n.value < leastLean || n.value > mostLean || l.isUnit(end) {
		return false
	}
	graded, weighed := false, len(l.of(byMass)) > 0
	for k := range l.tokens {
		graded = graded || k < i && gradedWords[l.tokens[k].text]
		if k != i && l.tokens[k].kind == numberToken {
			u, _ := l.unitAt(k + 1)
			weighed = weighed || u.kind == byMass
		}
	}
	return graded && weighed
}

// takeUnit takes a number with the unit after it; each says that it is what
// each piece has.
func (l *lexed) takeUnit(i, end int, n number, each bool) int {
	note, at := l.sizeAt(end)
	u, to := l.unitAt(at)
	if to == 0 {
		if note == "" || each {
			return 0
		}
		l.note = note // "3 large eggs"
		return l.add(amount{kind: byCount, n: n.whole(), unit: "piece", from: i, to: at})
	}
	if note != "" {
		l.note = note
	}
	if (u.isGram() || u.kind == byActive) && n.point {
		l.wrong(BadNumber, i, to)
	}
	a := amount{kind: u.kind, n: u.in(n), unit: u.name, metric: u.metric, each: each, from: i, to: to}
	switch u.kind {
	case byForm:
		a.to = at // the word stays: it may be in the name
	case byMass, byMeasure:
		l.addSmaller(&a, u)
	}
	return l.add(a)
}

// sizeAt reads a size before a piece or a measure.
func (l *lexed) sizeAt(i int) (string, int) {
	if l.any(i, "extra") && l.any(i+1, "large", "small") {
		return "extra " + l.word(i+1), i + 2
	}
	if s := sizeWords[l.word(i)]; s != "" {
		return s, i + 1
	}
	return "", i
}

// perTeaspoon is how many teaspoons the measures are that can be named
// together: "1 cup 2 tbsp".
var perTeaspoon = map[string]float64{"cup": 48, "fl oz": 6, "tbsp": 3, "tsp": 1}

// addSmaller adds the smaller units that follow an amount: "1 lb 4 oz", "1 cup
// and 2 tbsp", "1 kg 200 g".
func (l *lexed) addSmaller(a *amount, u unit) {
	for {
		at := a.to
		if l.any(at, ",", "and", "plus", "&", "+") {
			at++
		}
		n, end := l.numberAt(at)
		if end == 0 || l.tokens[at].kind != numberToken || l.tokens[at].apart {
			return
		}
		v, to := l.unitAt(end)
		if to == 0 || v.kind != u.kind {
			return
		}
		switch {
		case v.kind == byMass && v.metric != u.metric:
			if at == a.to {
				l.wrong(MixedUnits, a.from, to)
				a.to = to
			}
			return
		case v.kind == byMass && v.factor < u.factor:
			a.n += v.in(n)
		case v.kind == byMeasure && perTeaspoon[v.name] > 0 && perTeaspoon[v.name] < perTeaspoon[u.name]:
			a.n = a.n*perTeaspoon[u.name]/perTeaspoon[v.name] + v.in(n)
			a.unit = v.name
		default:
			return
		}
		a.to, u = to, v
	}
}

// takeTwoNumbers takes a count and what each piece has: "2 400 IU capsules",
// "1 15 oz can". Elsewhere two numbers in a row are one or the other: nobody
// can tell whether "2 500 g" is 2500 g or a kilogram.
func (l *lexed) takeTwoNumbers(i, second, end int, n, m number) int {
	u, to := l.unitAt(end)
	if to == 0 {
		return 0
	}
	v, _ := l.unitAt(to)
	if small := u.kind == byActive || u.kind == byMass && u.metric && u.factor < 1; small || v.kind == byForm || holders[v.name] {
		l.add(amount{kind: byCount, n: n.whole(), unit: "piece", from: i, to: second})
		return l.takeUnit(second, end, m, true)
	}
	l.wrong(BadNumber, i, to)
	l.use(i, to)
	return to
}

// takeLabelled takes a count with the weight of each in brackets, before what
// is counted: "1 (15 oz) can".
func (l *lexed) takeLabelled(i, end int, n number) int {
	m, at := l.numberAt(end + 1)
	if !l.any(end, "(") || at == 0 {
		return 0
	}
	u, to := l.unitAt(at)
	holder, next := l.unitAt(to + 1)
	if u.kind != byMass || !l.any(to, ")") || next == 0 || !holders[holder.name] {
		return 0
	}
	l.add(amount{kind: holder.kind, n: n.whole(), unit: holder.name, from: i, to: end})
	l.takeUnit(end+1, at, m, true)
	if holder.kind == byMeasure {
		l.use(to+1, next)
	}
	return next
}

// takeCount takes a bare number as a count of pieces.
func (l *lexed) takeCount(i, end int, n number) int {
	if to := l.takeUnit(i, end, n, false); to > 0 {
		return to
	}
	return l.add(amount{kind: byCount, n: n.whole(), unit: "piece", from: i, to: end})
}

// first reports that no word stands before a token.
func (l *lexed) first(i int) bool {
	for k := range i {
		if t := &l.tokens[k]; !t.used && t.kind != signToken && !lineFillers[t.text] || t.kind == nameToken {
			return false
		}
	}
	return true
}

// last reports that no word stands at a token or after it.
func (l *lexed) last(i int) bool {
	for ; i < len(l.tokens); i++ {
		if t := &l.tokens[i]; !t.used && t.kind != signToken && !lineFillers[t.text] {
			return false
		}
	}
	return true
}

func (l *lexed) add(a amount) int {
	a.inside = l.tokens[a.from].inside
	l.use(a.from, a.to)
	l.amounts = append(l.amounts, a)
	return a.to
}

// takeForm notes a form that is named without a number of its own: "vitamin E
// capsule 400 IU". Drops and pumps are then not counted.
func (l *lexed) takeForm() {
	for i := range l.amounts {
		if l.amounts[i].kind == byForm {
			l.form = l.amounts[i].unit
			return
		}
	}
	for i := range l.tokens {
		if l.tokens[i].kind != wordToken || l.tokens[i].used {
			continue
		}
		if u := unitWords[l.tokens[i].text]; u.kind == byForm {
			l.form = u.name
			return
		}
	}
}

// judgeAmounts notes amounts that cannot be.
func (l *lexed) judgeAmounts() {
	most := map[amountKind]float64{byMass: mostOfAFood, byVolume: mostOfAFood, byActive: mostActive}
	for _, a := range l.amounts {
		limit := float64(mostCount)
		if m, ok := most[a.kind]; ok {
			limit = m
		}
		switch {
		case a.n < 0:
			l.wrong(Negative, a.from, a.to)
		case a.n == 0:
			l.wrong(Zero, a.from, a.to)
		case !(a.n <= limit):
			l.wrong(TooMuch, a.from, a.to)
		}
	}
}

// of returns the amounts of some kinds.
func (l *lexed) of(kinds ...amountKind) (found []amount) {
	for _, a := range l.amounts {
		if slices.Contains(kinds, a.kind) {
			found = append(found, a)
		}
	}
	return found
}
