package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
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
	Was    string // how much there was before, where that is said
	behind bool   // the word for what is to be done stands behind the food
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
		p := linePart(language.Without("line-was", text))
		p.Was = language.Find("line-was", text)
		if p.Verb || p.Kind == DropPart && !p.behind {
			lead = p.Kind
		}
		switch {
		case p.Kind != BareLine && p.Kind != "":
		case lead == AddPart && strings.ContainsAny(text, "0123456789"):
			p.Kind, p.Food = AddPart, text
		case lead == DropPart && p.Amount == "", p.Amount != "" && (lead == MorePart || lead == LessPart) && p.More != "":
			p.Kind = lead
		case p.Amount != "" && p.More == "":
			p.Kind = SetPart
		}
		for i := len(all) - 1; i >= 0 && p.behind && all[i].Kind == BareLine && all[i].Amount == ""; i-- {
			all[i].Kind = DropPart // "the pasta and the rice are out"
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
		Text: text, Kind: LineKind(kind), Verb: said("verb") != "", behind: said("behind") != "",
		Food: said("food"), Amount: said("amount"), New: said("new"), More: said("more"),
	}
}

// SaysOneOf reports that a text has a word of a list.
func SaysOneOf(s, list string) bool {
	return slices.ContainsFunc(span.SplitWords(s), func(w span.Token) bool { return language.In(list, w.Text) })
}

// SaysCooking reports that a text is about food that is cooked, dried, smoked or
// thawed in a microwave; not where it is said to be raw or off the bone.
func SaysCooking(s string) bool { return SaysOneOf(s, "cooking") && !SaysOneOf(s, "not-cooking") }

// CutWeights takes out of pasted lines what says of all of them that they are
// cooked weights, and reports whether any does: "all weighed cooked" on a line of
// its own, or in brackets after the name.
func CutWeights(text string) (rest string, cooked bool) {
	says := func(s string) bool {
		s = strings.Trim(s, "()*-•: .")
		if strings.ContainsAny(s, "0123456789") || !SaysOneOf(s, "raw-or-cooked") {
			return false
		}
		got, ok := Understand(s, span.Names{}, planner.Units{})
		cooked = cooked || ok && got.Intent == CookedLines
		return ok && (got.Intent == CookedLines || got.Intent == RawLines)
	}
	var kept []string
	for _, line := range strings.Split(text, "\n") {
		if before, after, ok := strings.Cut(line, "("); ok && says(after) {
			line = strings.TrimSpace(before)
			if line == "" {
				continue
			}
		} else if says(line) {
			continue
		}
		kept = append(kept, line)
	}
	return strings.Join(kept, "\n"), cooked
}

// LessCooking is a text without its words of cooking.
func LessCooking(s string) string {
	kept := slices.DeleteFunc(strings.Fields(s), func(w string) bool {
		bare := span.SplitWords(w)
		return len(bare) == 1 && language.In("cooking", bare[0].Text)
	})
	return strings.TrimRight(strings.Join(kept, " "), " ,;:-(")
}

// CutCalled cuts off the name that a recipe is given at the end of its text:
// "... 2 eggs. call it Sunday pot". It is empty where none is.
func CutCalled(text string) (rest, name string) {
	m := language.Pattern("call-it").FindStringSubmatchIndex(text)
	if m == nil {
		return text, ""
	}
	return text[:m[0]], text[m[2]:m[3]]
}

// NamesNothing reports that a line stands above a recipe and is no name of it: "my
// recipe:", "what I cook for her".
func NamesNothing(line string) bool {
	line = strings.Trim(line, "#:*-. \t")
	return language.In("above-recipe", strings.ToLower(line)) || language.Says("no-name", line) || foodline.OnlyLeads(line)
}
