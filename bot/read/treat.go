package read

import (
	"strings"

	"bowlwright/nutrition"
)

// Words of lists.txt.
var (
	treatNouns   = listed("treat-nouns")
	treatVerbs   = listed("treat-verbs")
	asksOf       = listed("asks-of")
	treatFillers = listed("treat-fillers")
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
func Treat(text string, names Names) (TreatSaid, bool) {
	s := strings.TrimSpace(Clean(text))
	l := &lexed{text: s, tokens: lex(s, nil)}
	if len(l.tokens) == 0 || len(l.tokens) > 24 || strings.ContainsAny(s, "?\n") || asksOf[l.word(0)] {
		return TreatSaid{}, false
	}
	said := TreatSaid{}
	said.Dog = l.takeDog(names)
	first := 0
	for first < len(l.tokens) && l.tokens[first].used {
		first++
	}
	noun, verb := -1, false
	for i := range l.tokens {
		if w := l.word(i); noun < 0 && treatNouns[w] {
			noun = i
		} else if treatVerbs[w] {
			verb = true
			l.use(i, i+1)
		}
	}
	if noun < 0 {
		return TreatSaid{}, false
	}
	total := l.takeWord("total")
	if kcal, ok := l.takeKcal(); ok {
		if kcal < 0 {
			return TreatSaid{}, false
		}
		said.Each = nutrition.Kcal(kcal)
	} else if w := l.word(first); w != "treat" && w != "treats" && w != "snack" && !(verb && said.Dog != "") {
		return TreatSaid{}, false
	}
	if said.Each == 0 {
		said.Rest = l.restOfTreat(noun)
		return said, true
	}
	said.Pieces = l.takePieces(noun)
	if total && said.Pieces > 0 {
		said.Each /= nutrition.Kcal(said.Pieces)
	}
	said.What = l.whatTreat()
	return said, true
}

func (l *lexed) takeWord(w string) bool {
	for i := range l.tokens {
		if l.word(i) == w {
			l.use(i, i+1)
			return true
		}
	}
	return false
}

// takeKcal takes the first energy in the text.
func (l *lexed) takeKcal() (kcal float64, ok bool) {
	for i := range l.tokens {
		n, at := l.numberAt(i)
		if at == 0 {
			continue
		}
		if u, end := l.unitAt(at); end > 0 && u.kind == byEnergy {
			if l.any(i-1, "-") && l.tokens[i-1].end == l.tokens[i].start {
				return -1, true
			}
			l.use(i, end)
			return u.in(n), true
		}
	}
	return 0, false
}

// takePieces takes the count before or behind what was given.
func (l *lexed) takePieces(noun int) float64 {
	for i := range l.tokens {
		if l.any(i, "a", "an") {
			continue
		}
		if n, end := l.numberAt(i); end > 0 && n.value > 0 {
			if _, unit := l.unitAt(end); unit > 0 && end != noun {
				continue // "20 g": its weight
			}
			l.use(i, end)
			return n.value
		}
	}
	return 1
}

// whatTreat is what is left of the text: the name of the treat.
func (l *lexed) whatTreat() string {
	var words []string
	for i := range l.tokens {
		w := l.word(i)
		if w == "" || treatFillers[w] || w == "treat" || w == "treats" || l.tokens[i].kind == signToken {
			continue
		}
		words = append(words, l.text[l.tokens[i].start:l.tokens[i].end])
	}
	return strings.Join(words, " ")
}

// restOfTreat is the text without the dog and the word "treat".
func (l *lexed) restOfTreat(noun int) string {
	if l.any(noun, "treat", "treats", "snack", "extra") {
		if l.any(noun-1, "a", "an", "her", "his") && l.any(noun-2, "as") {
			l.use(noun-2, noun) // "20 g apple as a treat"
		}
		l.use(noun, noun+1)
	}
	from, to := len(l.tokens), 0
	for i := range l.tokens {
		w := l.word(i)
		if w == "" || from == len(l.tokens) && (treatFillers[w] || w == ",") || l.any(i, "for", "today", ".", "!") {
			continue
		}
		from, to = min(from, i), i+1
	}
	if from >= to {
		return ""
	}
	return l.span(from, to)
}
