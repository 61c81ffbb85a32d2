package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
)

// slots are what a statement may name, found once for all its readings.
type slots struct {
	*span.Lexed
	c          Context
	folded     []string // the words, to compare
	spans      []rank.Span
	taken      []bool // tokens of names
	dogs       []mention
	recipes    []mention
	carers     []mention
	quantities []quantity
	whens      []stretch
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
var readSlot = map[string]func(s *slots, intent string) string{
	"age": (*slots).age, "amount": (*slots).amount, "breed": (*slots).breed, "by": (*slots).by, "change": (*slots).moreOrLess, "count": (*slots).count, "days": (*slots).days, "dog": (*slots).dog,
	"dose": (*slots).dose, "every": (*slots).every, "factor": (*slots).factor, "food": (*slots).food, "kcal": (*slots).kcal, "meal": (*slots).meal,
	"meals": (*slots).meals, "name": (*slots).dogName, "nutrient": (*slots).nutrient, "part": (*slots).part, "place": (*slots).place,
	"recipe": (*slots).recipe, "recipe-name": (*slots).recipeName, "rename": (*slots).rename, "sex": (*slots).sex,
	"supp": (*slots).supp, "target": (*slots).target, "time": (*slots).time, "value": (*slots).whole, "weight": (*slots).weight,
	"when": (*slots).when, "who": (*slots).who,
}

// slotAs are the slots whose reader has a name of its own.
var slotAs = map[string]string{"recipe-name": "name", "rename": "name"}

// of are the slots of a statement that means an intent.
func (s *slots) of(intent string) map[string]string {
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

// newSlots finds the names, phrases, quantities and days of a statement.
func newSlots(text string, c Context) *slots {
	text = strings.Map(func(r rune) rune {
		if r == '"' || r == '[' || r == ']' {
			return ' ' // or what stands between is one token
		}
		return r
	}, text)
	s := &slots{Lexed: span.Lex(text), c: c}
	s.folded, s.taken = make([]string, len(s.Tokens)), make([]bool, len(s.Tokens))
	words := make([]rank.Token, len(s.Tokens))
	for i := range s.Tokens {
		s.folded[i] = span.Fold(s.Tokens[i].Text)
		words[i] = rank.Token{Text: s.folded[i]}
	}
	s.spans = Lexicon().Spans(words)
	s.recipes = s.find(c.Names.Recipes, true, nil)
	s.dogs = s.find(c.Names.Dogs, true, s.partOfDog)
	s.carers = s.find(c.Carers, true, nil)
	s.recipes = append(s.recipes, s.find(c.Names.Recipes, false, s.partOfRecipe)...)
	slices.SortFunc(s.recipes, func(a, b mention) int { return a.from - b.from })
	s.findQuantities()
	s.findWhens()
	return s
}

// is reports that the word at a place is one of a set.
func (s *slots) is(i int, words map[string]bool) bool {
	return i >= 0 && i < len(s.folded) && words[s.folded[i]]
}

// says is the place of the first word of a set, -1 where there is none.
func (s *slots) says(words map[string]bool) int {
	for i := range s.folded {
		if words[s.folded[i]] && !s.taken[i] {
			return i
		}
	}
	return -1
}

// saysAny is the same for a few words.
func (s *slots) saysAny(words ...string) int {
	for i, w := range s.folded {
		if !s.taken[i] && slices.Contains(words, w) {
			return i
		}
	}
	return -1
}

// at is the word at a place, empty beyond the ends.
func (s *slots) at(i int) string {
	if i < 0 || i >= len(s.folded) {
		return ""
	}
	return s.folded[i]
}

// phrases are the phrases of some kinds, as said, outside of names.
func (s *slots) phrases(kinds map[string]bool) (all []stretch) {
	for i := range s.spans {
		if p := &s.spans[i]; p.Is(kinds) && !s.taken[p.From] {
			all = append(all, stretch{p.From, p.To, strings.ToLower(s.Span(p.From, p.To))})
		}
	}
	return all
}

// whole is the text, tidied.
func (s *slots) whole(string) string {
	return span.JoinFields(strings.TrimRight(s.Text, " .!"))
}
