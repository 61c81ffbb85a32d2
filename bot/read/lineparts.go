package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// LinePart is what one part of a text does to a line of a recipe.
type LinePart struct {
	Text   string
	Kind   LineKind // empty: not understood
	Verb   bool     // it begins with the word for what is to be done
	Food   string   // of AddPart the whole line
	Amount string
	New    string // of SwapPart what comes in, and
	More   string // how much of it, where that is said
}

// LineKind is what is done to a line.
type LineKind string

// What may be done to a line. BareLine says a food or its amount and no more.
const (
	SetPart  LineKind = "set"
	MorePart LineKind = "more"
	LessPart LineKind = "less"
	TwoPart  LineKind = "twice"
	HalfPart LineKind = "half"
	DropPart LineKind = "drop"
	AddPart  LineKind = "add"
	SwapPart LineKind = "swap"
	BareLine LineKind = "bare"
)

// LineParts cuts a text where it goes on to another line of a recipe. What says only a food
// and an amount is done as the verb before it says: "add 50 g heart, 20 g liver".
func LineParts(s string) (all []LinePart) {
	lead := LineKind("")
	for _, text := range language.Pattern("line-ends").Split(language.Without("line-joined", strings.TrimSpace(s)), -1) {
		text = strings.Trim(language.Without("line-lead", text), " .!")
		if text == "" {
			continue
		}
		p := linePart(text)
		if p.Verb {
			lead = p.Kind
		}
		switch {
		case p.Kind != BareLine:
		case lead == AddPart && p.Amount != "":
			p.Kind, p.Food = AddPart, text
		case lead == DropPart && p.Amount == "", p.Amount != "" && (lead == MorePart || lead == LessPart) && p.More != "":
			p.Kind = lead
		case p.Amount != "" && p.More == "":
			p.Kind = SetPart
		}
		all = append(all, p)
	}
	return all
}

// OfRecipe is the recipe that a text names, empty where it names none, and what it says of
// it; it reports false where it names several.
func OfRecipe(s string, recipes []span.Named) (id, rest string, ok bool) {
	at := span.Mentions(s, recipes)
	for _, m := range slices.Backward(at) {
		if id != "" && m.ID != id {
			return "", s, false
		}
		id, s = m.ID, strings.TrimLeft(language.Without("line-of", s[:m.From])+s[m.To:], " :,")
	}
	return id, s, true
}

func linePart(text string) LinePart {
	kind, of := language.Match("line-change", text)
	said := func(group string) string { return strings.TrimSpace(of[group]) }
	return LinePart{
		Text: text, Kind: LineKind(kind), Verb: said("verb") != "",
		Food: said("food"), Amount: said("amount"), New: said("new"), More: said("more"),
	}
}
