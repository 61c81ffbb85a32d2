package read

import (
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// TreatSaid is what a carer says of treats that a dog had.
type TreatSaid struct {
	Dog    string         // id, where the text names one
	What   string         // "biscuits"; empty where only "treat" is said
	Pieces float64        // 1 where none are counted
	Each   nutrition.Kcal // of each piece; 0 where no kcal are said
	Rest   string         // where Each is 0, the line that says what it was: "10 g cheddar"
}

// Treat reads "treat 40 kcal", "two biscuits of 15 kcal", "Juniper had a
// 30 kcal chew", "treat 10 g cheddar", and reports whether a text is of that
// kind. Kcal stand for each piece unless the text says "in total".
func Treat(text string, names span.Names) (TreatSaid, bool) {
	s := strings.TrimSpace(span.Clean(text))
	l := &treatReader{span.Lex(s)}
	if len(l.Tokens) == 0 || len(l.Tokens) > 24 || strings.ContainsAny(s, "?\n") || language.In("asks-of", l.Word(0)) {
		return TreatSaid{}, false
	}
	said := TreatSaid{}
	if _, _, dogs := DogsNamed(s, names); len(dogs) > 1 && !strings.ContainsAny(s, "0123456789") {
		return said, false // "fed Mochi and Biscuit": a dog of that name is no treat
	}
	said.Dog = l.takeDog(names)
	first := 0
	for first < len(l.Tokens) && l.Tokens[first].Used {
		first++
	}
	noun, verb := -1, false
	for i := range l.Tokens {
		if w := l.Word(i); noun < 0 && language.In("treat-nouns", w) {
			noun = i
		} else if language.In("treat-verbs", w) {
			verb = true
			l.Use(i, i+1)
		}
	}
	if noun < 0 {
		return TreatSaid{}, false
	}
	total := l.takeWord("total")
	kcal, at := l.takeKcal()
	if at >= 0 {
		if kcal < 0 {
			return TreatSaid{}, false
		}
		said.Each = nutrition.Kcal(kcal)
	} else if w := l.Word(first); w != "treat" && w != "treats" && w != "snack" && !(verb && said.Dog != "") {
		return TreatSaid{}, false
	}
	if said.Each == 0 {
		said.Rest = l.restOfTreat(noun)
		return said, true
	}
	said.Pieces = l.takePieces(noun)
	if said.Pieces > 0 && (total || said.Pieces < 1 && at > noun) { // "half a chew, about 30 kcal"
		said.Each /= nutrition.Kcal(said.Pieces)
	}
	said.What = l.whatTreat()
	return said, true
}

// treatReader is what is said of a treat, on its way.
type treatReader struct{ *span.Lexed }

func (l *treatReader) takeWord(w string) bool {
	for i := range l.Tokens {
		if l.Word(i) == w {
			l.Use(i, i+1)
			return true
		}
	}
	return false
}

// takeKcal takes the first energy in the text, and tells where it stands; at -1
// there is none.
func (l *treatReader) takeKcal() (kcal float64, at int) {
	for i := range l.Tokens {
		n, unit := l.NumberAt(i)
		if unit == 0 {
			continue
		}
		if u, end := l.UnitAt(unit); end > 0 && u.Kind == span.ByEnergy {
			if l.Any(i-1, "-") && l.Tokens[i-1].End == l.Tokens[i].Start {
				return -1, i
			}
			l.Use(i, end)
			return u.In(n), i
		}
	}
	return 0, -1
}

// takePieces takes the count before or behind what was given.
func (l *treatReader) takePieces(noun int) float64 {
	for i := range l.Tokens {
		if l.Any(i, "a", "an") {
			continue
		}
		if n, end := l.NumberAt(i); end > 0 && n.Value > 0 {
			if _, unit := l.UnitAt(end); unit > 0 && end != noun {
				continue // "20 g": its weight
			}
			l.Use(i, end)
			return n.Value
		}
	}
	return 1
}

// whatTreat is what is left of the text: the name of the treat.
func (l *treatReader) whatTreat() string {
	var words []string
	for i := range l.Tokens {
		w := l.Word(i)
		if w == "" || language.In("treat-fillers", w) || w == "treat" || w == "treats" || l.Tokens[i].Kind == span.SignToken {
			continue
		}
		words = append(words, l.Text[l.Tokens[i].Start:l.Tokens[i].End])
	}
	return strings.Join(words, " ")
}

// restOfTreat is the text without the dog and the word "treat".
func (l *treatReader) restOfTreat(noun int) string {
	if l.Any(noun, "treat", "treats", "snack", "extra") {
		if l.Any(noun-1, "a", "an", "her", "his") && l.Any(noun-2, "as") {
			l.Use(noun-2, noun) // "20 g apple as a treat"
		}
		l.Use(noun, noun+1)
	}
	from, to := len(l.Tokens), 0
	for i := range l.Tokens {
		w := l.Word(i)
		if w == "" || from == len(l.Tokens) && (language.In("treat-fillers", w) || w == ",") || l.Any(i, "for", "today", ".", "!") {
			continue
		}
		from, to = min(from, i), i+1
	}
	if from >= to {
		return ""
	}
	return l.Span(from, to)
}

// takeDog marks the first dog that is named as understood and returns its id.
func (l *treatReader) takeDog(names span.Names) string {
	all := span.Mentions(l.Text, names.Dogs)
	if len(all) == 0 {
		return ""
	}
	for i := range l.Tokens {
		if t := &l.Tokens[i]; t.Start >= all[0].From && t.End <= all[0].To {
			t.Used = true
		}
	}
	return all[0].ID
}

// LadleOff is the measure that begins a text and weighs what its food weighs: "2
// scoops" of "2 scoops of turkey".
func LadleOff(s string) (of string, ok bool) {
	l := span.Lex(s)
	_, end := l.NumberAt(0)
	if end == 0 || end >= len(l.Tokens) || !language.In("ladles", l.Word(end)) {
		return "", false
	}
	return s[:l.Tokens[end].End], true
}

// WeighsTogether is the first weight of a text, as that of so many scoops where one
// alone was weighed: "300 g", "150 g each". It is 0 where the text has none.
func WeighsTogether(s, of string) nutrition.Grams {
	l := span.Lex(s)
	for i := range l.Tokens {
		grams, end := l.MassAt(i)
		if end == 0 {
			continue
		}
		if of != "" && language.Says("of-each", s) {
			grams *= nutrition.Grams(PiecesOf(of))
		}
		return grams
	}
	return 0
}
