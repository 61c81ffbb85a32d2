package read

import (
	"cmp"
	"slices"
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
// kind. Kcal stand for each piece unless the text says "in total", or what they make:
// "12 kcal each, so 24".
func Treat(text string, names span.Names) (TreatSaid, bool) {
	typed := strings.TrimSpace(language.Without("treat-sum", span.Clean(text)))
	s, dog := withoutName(typed, names)
	sum := language.Says("kcal-of-all", s)
	l := &treatReader{span.Lex(s)}
	if len(l.Tokens) == 0 || len(l.Tokens) > 24 || strings.ContainsAny(s, "?\n") || language.In("asks-of", l.Word(0)) {
		return TreatSaid{}, false
	}
	said := TreatSaid{Dog: dog}
	if _, _, dogs := DogsNamed(typed, names); len(dogs) > 1 && !strings.ContainsAny(s, "0123456789") {
		return said, false // "fed Mochi and Biscuit": a dog of that name is no treat
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
	if noun < 0 && !sum {
		return TreatSaid{}, false
	}
	kcal, at := l.takeKcal()
	if at >= 0 {
		if kcal < 0 {
			return TreatSaid{}, false
		}
		said.Each = kcal
	} else if w := l.Word(0); w != "treat" && w != "treats" && w != "snack" && !(verb && said.Dog != "") || noun < 0 {
		return TreatSaid{}, false
	}
	if said.Each == 0 {
		said.Rest = l.restOfTreat(noun)
		return said, true
	}
	said.Pieces = l.takePieces(noun)
	if said.Pieces > 0 && (sum || said.Pieces < 1 && at > noun) { // "half a chew, about 30 kcal"
		said.Each /= nutrition.Kcal(said.Pieces)
	}
	said.What = l.whatTreat()
	return said, true
}

// treatReader is what is said of a treat, on its way.
type treatReader struct{ *span.Lexed }

// takeKcal takes the first energy in the text, and tells where it stands; at -1
// there is none.
func (l *treatReader) takeKcal() (kcal nutrition.Kcal, at int) {
	for i := range l.Tokens {
		kcal, end := l.EnergyAt(i)
		if end == 0 {
			continue
		}
		if l.Any(i-1, "-") && l.Tokens[i-1].End == l.Tokens[i].Start {
			return -1, i
		}
		l.Use(i, end)
		return kcal, i
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

// Had is what a text tells of some dogs alone, among others.
type Had struct {
	Dogs []string // ids
	What string   // "190 g", "a carrot", "breakfast"
	When string   // "last night", of any of them
	bowl bool     // it is of its own bowl: "his 190 g"
}

// HadOfEach parts what several dogs had, each in its own words: "fed Saffi 190g and Odin
// had 330". The unit and the food that one of them is said with are those of a bare number;
// of none it is grams. It is empty where a text tells no such thing.
func HadOfEach(s string, n span.Names) (all []Had) {
	s = strings.TrimRight(span.Clean(s), " .!")
	if strings.Contains(s, "\n") || IsQuestion(s) || language.Says("bare-decimal", s) { // it weighs that
		return nil
	}
	names := span.Mentions(s, n.Dogs)
	for _, at := range span.AllNamed(s) {
		names = append(names, span.Mention{From: at[0], To: at[1]})
	}
	slices.SortFunc(names, func(a, b span.Mention) int { return a.From - b.From })
	from, to := 0, 0 // where what is told of the last dogs begins, and their names end
	end := func(i int) {
		if len(all) > 0 {
			all[len(all)-1].What += language.Without("joint-end", s[to:i])
		}
	}
	for _, m := range names {
		dogs := span.Choose(m.ID == "", allOf(n.Dogs), []string{m.ID})
		switch last := len(all) - 1; {
		case language.Says("counts-next", s[:m.From]): // a biscuit, and no dog
			continue
		case last >= 0 && span.JoinsNames(s[to:m.From]):
			all[last].Dogs = append(all[last].Dogs, dogs...)
		default:
			cut := m.From
			if apart := language.Pattern("clause-end").FindAllStringIndex(s[to:m.From], -1); len(apart) > 0 && last >= 0 {
				cut = to + apart[len(apart)-1][1]
			}
			if end(cut); last >= 0 {
				from = cut
			}
			all = append(all, Had{Dogs: dogs, What: s[from:m.From]})
		}
		to = m.To
	}
	end(len(s))
	return sameMeasure(all, language.Says("had-verb", s))
}

// sameMeasure says of each what it had by itself; verb reports that it is told as eaten.
func sameMeasure(all []Had, verb bool) []Had {
	unit, food, bare, when := "", "", false, ""
	for i, h := range all {
		all[i].When = cmp.Or(language.Pattern("day-that-was").FindString(h.What), language.Pattern("earlier-today").FindString(h.What))
		when = cmp.Or(when, all[i].When)
		h.What = WithoutWhen(h.What)
		what := strings.TrimSpace(language.Without("had-lead", language.Without("no-food", h.What)))
		if own := language.Find("own-amount", h.What); own != "" {
			what, all[i].bowl = own, true
		}
		if all[i].What = language.Without("amount-last", WithoutBit(what)); language.Says("had-same", what) {
			all[i].What = all[0].What
		}
		if m := language.Pattern("amount-of").FindStringSubmatch(all[i].What); m != nil {
			unit, food = cmp.Or(unit, m[2]), cmp.Or(food, m[3])
		}
	}
	for i, h := range all {
		all[i].When = strings.Trim(cmp.Or(h.When, when), " ,")
		m := language.Pattern("amount-of").FindStringSubmatch(h.What)
		if m == nil || m[3] != "" || h.bowl {
			continue
		}
		if m[2] == "" && food == "" && unit == "" {
			if len(m[1]) < 3 {
				return nil // of what, and how much, is not said
			}
			m[2], bare = " g", true
		}
		all[i].What = strings.TrimSpace(m[1] + cmp.Or(m[2], unit) + " " + food)
	}
	if len(all) > 1 && (verb || food != "" && unit != "") || bare && verb {
		return all
	}
	return nil
}

func allOf(all []span.Named) (ids []string) {
	for _, d := range all {
		ids = append(ids, d.ID)
	}
	return ids
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
	grams := MassIn(s)
	if of != "" && language.Says("of-each", s) {
		grams *= nutrition.Grams(PiecesOf(of))
	}
	return grams
}
