// Package slots finds what a statement names: dogs, recipes, amounts, days, foods,
// doses. What of it is a slot depends on the intent, by language/slots.txt.
package slots

import (
	"slices"
	"strings"
	"sync"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
)

// Found is what a statement may name, found once for all its readings.
type Found struct {
	*span.Lexed // with its words folded, to compare
	c           span.Context
	spans       []rank.Span
	taken       []bool // tokens of names
	dogs        []mention
	recipes     []mention
	carers      []mention
	quantities  []quantity
	whens       []stretch
}

// stretch is a value that some tokens say.
type stretch struct {
	from, to int
	value    string
}

// slotsOfIntent are the slots that an intent can have.
var slotsOfIntent = func() map[string][]string {
	m := map[string][]string{}
	for line := range strings.Lines(language.Text("slots.txt")) {
		if intent, names, ok := strings.Cut(line, ": "); ok && line[0] != '#' {
			m[intent] = strings.Fields(names)
		}
	}
	return m
}()

// readSlot finds the value of a slot; it is empty where the text does not name
// one clearly.
var readSlot = map[string]func(s *Found, intent string) string{
	"age": (*Found).age, "amount": (*Found).amount, "breed": (*Found).breed, "by": (*Found).by, "change": (*Found).moreOrLess, "count": (*Found).count, "days": (*Found).days, "dog": (*Found).dog,
	"dose": (*Found).dose, "every": (*Found).every, "factor": (*Found).factor, "food": (*Found).food, "kcal": (*Found).kcal, "meal": (*Found).meal,
	"meals": (*Found).meals, "name": (*Found).dogName, "nutrient": (*Found).nutrient, "part": (*Found).part, "place": (*Found).place,
	"recipe": (*Found).recipe, "recipe-name": (*Found).recipeName, "rename": (*Found).rename, "sex": (*Found).sex,
	"supp": (*Found).supp, "target": (*Found).target, "time": (*Found).time, "value": (*Found).whole, "weight": (*Found).weight,
	"when": (*Found).when, "who": (*Found).who,
}

// slotAs are the slots whose reader has a name of its own.
var slotAs = map[string]string{"recipe-name": "name", "rename": "name"}

// of are the slots of a statement that means an intent.
func (s *Found) Of(intent string) map[string]string {
	var all map[string]string
	for _, name := range slotsOfIntent[intent] {
		value := readSlot[name](s, intent)
		if value == "" {
			continue
		}
		if as := slotAs[name]; as != "" {
			name = as
		}
		if all == nil {
			all = map[string]string{}
		}
		all[name] = value
	}
	return all
}

// In finds the names, phrases, quantities and days of a statement.
func In(text string, c span.Context) *Found {
	text = strings.NewReplacer(`"`, " ", "[", " ", "]", " ").Replace(text) // or what stands between is one token
	s := &Found{Lexed: span.Lex(text), c: c}
	s.taken = make([]bool, len(s.Tokens))
	for i := range s.Tokens {
		s.Tokens[i].Text = span.Fold(s.Tokens[i].Text)
	}
	s.spans = Lexicon().Spans(s.Tokens, s.taken)
	s.recipes = s.find(c.Names.Recipes, true, nil)
	s.dogs = s.find(c.Names.Dogs, true, s.partOfDog)
	s.carers = s.find(c.Carers, true, nil)
	s.recipes = append(s.recipes, s.find(c.Names.Recipes, false, s.partOfRecipe)...)
	slices.SortFunc(s.recipes, func(a, b mention) int { return a.from - b.from })
	s.findQuantities()
	s.findWhens()
	return s
}

// Lexicon is the words that play the same part.
var Lexicon = sync.OnceValue(func() *rank.Lexicon { return language.Must(rank.ReadLexicon(language.LexiconFiles())) })

// is reports that the word at a place is one of a list.
func (s *Found) is(i int, list string) bool {
	return language.In(list, s.Word(i))
}

// says is the place of the first word of a list, -1 where there is none.
func (s *Found) says(list string) int { return s.saysAny(language.List(list)...) }

// saysAny is the same for a few words.
func (s *Found) saysAny(words ...string) int {
	for i := range s.Tokens {
		if !s.taken[i] && slices.Contains(words, s.Word(i)) {
			return i
		}
	}
	return -1
}

// Weighs reports that an amount is named that may be a weight, and one alone, or
// with and without who carried the dog.
func (s *Found) Weighs() bool { return s.one(span.ByMass, span.ByCount) != nil || s.carried() != nil }

// phrases are the phrases of some kinds, as said, outside of names.
func (s *Found) phrases(kinds string) (all []stretch) {
	for i := range s.spans {
		if p := &s.spans[i]; p.Is(language.Set(kinds)) && !s.taken[p.From] {
			all = append(all, stretch{p.From, p.To, strings.ToLower(s.Span(p.From, p.To))})
		}
	}
	return all
}

// whole is the text, tidied.
func (s *Found) whole(string) string {
	return span.JoinFields(strings.TrimRight(s.Text, " .!"))
}
