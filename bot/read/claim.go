package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Limit is what a vet has a dog's food keep to: "phosphorus under 1 g per 1000 kcal",
// "no more than 10 % fat", "low purine".
type Limit struct {
	Text  string // as typed
	Of    nutrition.Subject
	Known bool    // Of is a nutrient, of which a table may tell
	Bound float64 // 0 where no figure is said
	Unit  string  // "g", "mg" or "ug" per 1000 kcal, or "%" of the food; empty for another measure
	Least bool    // it is a minimum
	// Treats says that it is the kcal a day that treats may bring.
	Treats bool
}

// say1000 writes what a limit is per as it is told.
var say1000 = strings.NewReplacer("mcal", "1000 kcal", "0kcal", "0 kcal")

// KcalEach are the kcal a day of several dogs, where a text says no more than these: "vet says
// Juniper 350, Bracken 900".
func KcalEach(s string, names span.Names) (each []Sentence) {
	at, bound := span.Mentions(s, names.Dogs), s
	for _, m := range slices.Backward(at) {
		bound = bound[:m.From] + "#" + bound[m.To:]
	}
	of := span.Choose(language.Says("names-vet", bound), VetKcal, DogKcal)
	if !language.Says("kcal-each", bound) || of == DogKcal && !language.Says("kcal-said", bound) {
		return nil
	}
	for i, figure := range language.Pattern("kcal-figure").FindAllStringSubmatch(bound, -1) {
		k, _ := span.Number(figure[1])
		each = append(each, Sentence{Intent: of, Dog: at[i].ID, Kcal: nutrition.Kcal(k)})
	}
	return each
}

// LimitIn finds the first limit that a text tells of, and what is left of the text.
func LimitIn(s string) (l Limit, rest string, ok bool) {
	for p := range language.Likely("limit", s) {
		m := p.Is().FindStringSubmatchIndex(s)
		if m == nil {
			continue
		}
		part := func(name string) (string, int) {
			if i := p.Is().SubexpIndex(name); i >= 0 && m[2*i] >= 0 {
				return strings.ToLower(s[m[2*i]:m[2*i+1]]), m[2*i]
			}
			return "", -1
		}
		of, begin := part("of")
		from := m[0]
		for words := of; words != "" && !l.Known; _, words = span.CutFirst(words) {
			if l.Of, l.Known = NutrientNamed(language.Without("nutrient-called", words)); begin == m[0] {
				from = begin + strings.LastIndex(strings.ToLower(s[begin:m[1]]), words)
			}
		}
		if treats, _ := part("treats"); treats != "" {
			bound, _ := part("bound")
			l.Bound, _ = span.Number(bound)
			l.Treats, l.Text = true, p.As+" "+bound+" kcal a day"
			return l, s[:m[0]] + s[m[1]:], true
		}
		if other, _ := part("other"); !l.Known && other == "" {
			continue
		}
		if _, at := part("from"); at >= 0 {
			from = at
		}
		bound, _ := part("bound")
		per, _ := part("per")
		unit, _ := part("unit")
		sense, _ := part("sense")
		l.Bound, _ = span.Number(bound)
		l.Least, l.Text = language.Says("limit-least", sense), strings.TrimSpace(s[from:m[1]])
		if unit == "%" || strings.HasSuffix(per, "cal") {
			l.Unit = strings.NewReplacer("µ", "u", "mcg", "ug").Replace(unit)
		}
		switch {
		case p.As == "max":
			per = say1000.Replace(per)
			l.Text = strings.Join([]string{l.Of.Name(), p.As, strings.Replace(bound, ",", ".", 1), unit, "per", per}, " ")
		case p.As != "": // "not so much fat or salt"
			l.Text = p.As + " " + of
			if next, _ := part("next"); next != "" {
				return l, s[:from] + ", " + p.As + " " + next + s[m[1]:], true
			}
		}
		if strings.HasPrefix(per, "100 k") || strings.HasPrefix(per, "100k") {
			l.Bound *= 10
		}
		return l, s[:from] + s[m[1]:], true
	}
	return l, s, false
}

// TellsLimit reports that a text tells of a limit as one that is to be kept to.
func TellsLimit(s string, l Limit) bool {
	return language.Says("limit-told", s) && !(l.Treats && language.Says("had-verb", s)) && !asks(s) && !strings.Contains(s, l.Text+"?")
}

// Claim returns the words by which a text claims that food treats or cures;
// empty where it claims nothing.
func Claim(text string) string { return claimed(text, "claim") }

// claimed returns the words of some patterns that a text says and does not deny.
func claimed(text string, names ...string) string {
	for _, said := range language.Pattern("clause-ends").Split(text, -1) {
		for _, name := range names {
			for _, s := range language.Sayings[name] {
				at := s.Is().FindStringIndex(said)
				if at != nil && !(language.Says("claim-denied", said[:at[0]]) && !(name == "claim" && language.Says("not-only", said))) {
					return strings.TrimSpace(said[at[0]:at[1]])
				}
			}
		}
	}
	return ""
}

// NotMadeFor returns the words by which a text says that something is for dogs
// that are ill, expecting or nursing, and unless pups are meant for growing ones;
// empty where it says so of none.
func NotMadeFor(text string, pups bool) string {
	if pups {
		return claimed(text, "not-well")
	}
	return claimed(text, "not-well", "not-adult")
}
