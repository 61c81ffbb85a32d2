package read

import (
	"bowlwright/nutrition"
)

// amount is a quantity found in a line.
type amount struct {
	kind  amountKind
	grams nutrition.Grams // byMass
	n     float64         // of the unit
	unit  string          // byMeasure: one of nutrition.MeasureUnits; byActive: "iu", "mg", "ug"; byVolume: "ml"
	from  int             // first token
	to    int             // after the last
}

type amountKind uint8

const (
	byMass    amountKind = iota
	byMeasure            // cups, spoons, pieces
	byVolume             // millilitres
	byActive             // IU, mg or ug of an active nutrient, or a small mass
	byCount              // a bare number: pieces
)

// measureWords are the words of household measures.
var measureWords = map[string]string{
	"cup": "cup", "cups": "cup", "tbsp": "tbsp", "tbsps": "tbsp", "tablespoon": "tbsp", "tablespoons": "tbsp", "tbs": "tbsp", "tbl": "tbsp",
	"tsp": "tsp", "tsps": "tsp", "teaspoon": "tsp", "teaspoons": "tsp", "piece": "piece", "pieces": "piece", "pcs": "piece", "pc": "piece",
	"slice": "slice", "slices": "slice", "can": "can", "cans": "can", "tin": "can", "tins": "can", "fillet": "fillet", "fillets": "fillet",
	"leaf": "leaf", "leaves": "leaf", "head": "head", "heads": "head", "stalk": "stalk", "stalks": "stalk", "spear": "spear", "spears": "spear",
	"sprig": "sprig", "sprigs": "sprig", "sheet": "sheet", "sheets": "sheet", "wedge": "wedge", "wedges": "wedge",
	"floret": "floret", "florets": "floret", "packet": "packet", "packets": "packet", "strip": "strip", "strips": "strip",
	"handful": "handful", "handfuls": "handful", "pinch": "pinch", "pinches": "pinch", "dash": "dash", "splash": "splash", "scoop": "scoop", "scoops": "scoop",
	"bunch": "bunch", "clove": "clove", "cloves": "clove",
}

// formWords are the forms that supplements come in.
var formWords = map[string]string{
	"capsule": "capsule", "capsules": "capsule", "cap": "capsule", "caps": "capsule", "softgel": "capsule", "softgels": "capsule",
	"tablet": "tablet", "tablets": "tablet", "tab": "tablet", "tabs": "tablet", "pill": "tablet", "pills": "tablet",
	"drop": "drop", "drops": "drop", "pump": "pump", "pumps": "pump", "squirt": "pump", "squirts": "pump",
}

// activeUnits are units of active nutrients.
var activeUnits = map[string]string{
	"iu": "iu", "ius": "iu", "mg": "mg", "mgs": "mg", "milligram": "mg", "milligrams": "mg",
	"mcg": "ug", "ug": "ug", "µg": "ug", "μg": "ug", "microgram": "ug", "micrograms": "ug",
}

// sizeWords are sizes of pieces.
var sizeWords = map[string]string{
	"small": "small", "medium": "medium", "large": "large", "big": "large", "jumbo": "jumbo",
}

// takeAmounts finds the quantities of a line and marks them as used.
func (l *lexed) takeAmounts() {
	words := l.words()
	for at := 0; at < len(words); {
		at = max(l.amountAt(words, at), at+1)
	}
	l.takeForms()
	l.judgeAmounts()
}

// amountAt takes a quantity that begins at a word and returns its end, or 0.
func (l *lexed) amountAt(words []string, at int) int {
	if words[at] == "" {
		return 0
	}
	if g, end, code := massIn(words, at); end > 0 {
		if code != "" {
			l.wrong(code, at, end)
		}
		return l.add(amount{kind: byMass, grams: g, n: 1, from: at, to: end})
	}
	n, next := numberIn(words, at)
	if next == 0 {
		return 0
	}
	unit := func(i int) string {
		if i < len(words) {
			return words[i]
		}
		return ""
	}
	w := unit(next)
	switch {
	case w == "%" || w == "percent" || w == "lean":
		return next // how lean a meat is: a part of its name
	case activeUnits[w] != "":
		return l.add(amount{kind: byActive, n: n, unit: activeUnits[w], from: at, to: next + 1})
	case w == "i" && unit(next+1) == "." && unit(next+2) == "u":
		return l.add(amount{kind: byActive, n: n, unit: "iu", from: at, to: next + 3})
	case w == "ml" || w == "millilitres" || w == "milliliters":
		return l.add(amount{kind: byVolume, n: n, unit: "ml", from: at, to: next + 1})
	case w == "l" || w == "litre" || w == "liter" || w == "litres" || w == "liters":
		return l.add(amount{kind: byVolume, n: n * 1000, unit: "ml", from: at, to: next + 1})
	case w == "dl":
		return l.add(amount{kind: byVolume, n: n * 100, unit: "ml", from: at, to: next + 1})
	case (w == "fl" || w == "fluid") && massUnits[unit(next+1)] == nutrition.GramsPerOunce:
		return l.add(amount{kind: byMeasure, n: n, unit: "fl oz", from: at, to: next + 2})
	case formWords[w] != "":
		l.form = formWords[w]
		return l.add(amount{kind: byCount, n: n, unit: formWords[w], from: at, to: next}) // the word stays: it can be in a name
	case measureWords[w] != "":
		return l.add(amount{kind: byMeasure, n: n, unit: measureWords[w], from: at, to: next + 1})
	case sizeWords[w] != "":
		if m := measureWords[unit(next+1)]; m != "" {
			l.note = sizeWords[w]
			return l.add(amount{kind: byMeasure, n: n, unit: m, from: at, to: next + 2})
		}
		l.note = sizeWords[w]
		return l.add(amount{kind: byCount, n: n, unit: "piece", from: at, to: next + 1})
	}
	if !l.isCount(words, at, next) {
		return next
	}
	return l.add(amount{kind: byCount, n: n, unit: "piece", from: at, to: next})
}

// isCount reports that a bare number counts pieces: it begins the line, or
// ends it, or follows a times sign.
func (l *lexed) isCount(words []string, from, to int) bool {
	first, last := true, true
	for i := range from {
		if words[i] != "" && hasLetter(words[i]) {
			first = false
		}
	}
	for i := to; i < len(words); i++ {
		if words[i] != "" && hasLetter(words[i]) && words[i] != "x" {
			last = false
		}
	}
	if from > 0 && (words[from-1] == "x" || words[from-1] == "×") {
		l.tokens[from-1].used = true
		return true
	}
	if numberWords[words[from]] > 0 { // "a", "one": only where they begin the line
		return first
	}
	return first || last
}

func (l *lexed) add(a amount) int {
	l.amounts = append(l.amounts, a)
	l.use(a.from, a.to)
	if a.to < len(l.tokens) && l.tokens[a.to].text == "." && a.kind != byCount {
		l.tokens[a.to].used = true // "oz.", "tbsp."
	}
	return a.to
}

// takeForms notes a form that is named without a number of its own: "vitamin
// E capsule 400 IU".
func (l *lexed) takeForms() {
	if l.form != "" {
		return
	}
	for i := range l.tokens {
		if f := formWords[l.tokens[i].text]; f != "" && !l.tokens[i].used && f != "pump" {
			l.form = f
		}
	}
}

// judgeAmounts notes amounts that cannot be.
func (l *lexed) judgeAmounts() {
	for _, a := range l.amounts {
		x := a.n
		if a.kind == byMass {
			x = float64(a.grams)
		}
		switch {
		case x < 0:
			l.wrong(Negative, a.from, a.to)
		case x == 0:
			l.wrong(Zero, a.from, a.to)
		case a.kind == byMass && x > mostOfAFood || x > 1e7:
			l.wrong(TooMuch, a.from, a.to)
		}
	}
	if a, b, ok := l.two(byMass); ok {
		l.wrong(TwoAmounts, a.from, b.to)
	}
}

// one returns the amount of a kind, nil where there is none.
func (l *lexed) one(kinds ...amountKind) *amount {
	for i := range l.amounts {
		for _, k := range kinds {
			if l.amounts[i].kind == k {
				return &l.amounts[i]
			}
		}
	}
	return nil
}

// two returns two amounts of a kind that are apart.
func (l *lexed) two(kind amountKind) (a, b amount, ok bool) {
	found := 0
	for _, x := range l.amounts {
		if x.kind != kind {
			continue
		}
		if found++; found == 2 {
			return a, x, true
		}
		a = x
	}
	return a, b, false
}
