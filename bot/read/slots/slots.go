// Package slots finds what a statement names: dogs, recipes, amounts, days, foods,
// doses. What of it is a slot depends on the intent, by language/slots.txt.
package slots

import (
	"math"
	"slices"
	"strings"
	"sync"

	"bowlwright/bot/read/foodline"
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

var slotsOfIntent = func() map[string][]string {
	m := map[string][]string{}
	for _, line := range language.Lines("slots.txt") {
		intent, names, _ := strings.Cut(line, ": ")
		m[intent] = strings.Fields(names)
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

// Of are the slots of a statement that means an intent.
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

// Naming is something that a text names, and that an answer to it must be about.
type Naming struct {
	Kind            Kind
	Text            string  // as typed; of a dog its name
	N               float64 // of an amount; minutes of a time of day, days of a span
	Counted, Volume bool    // what kind of amount it is, if not a mass or an energy
}

// Kind is what a text names.
type Kind int

const (
	Amount Kind = iota
	Dog         // or "both"
	Day
	Time
	Lasts // "two weeks"
	Food  // or a supplement
	Said  // a word that the answer says too: a nutrient, "per week"
	Except
)

// Named are the dogs, days, foods and amounts that a text names, and what limits it. A
// bare whole number, a share and a rate are none: what they become is said in other
// words.
func (s *Found) Named() (all []Naming) {
	name := func(k Kind, from, to int, n float64) {
		all = append(all, Naming{Kind: k, Text: s.Span(from, to), N: n})
	}
	for _, d := range s.dogs {
		if !d.not {
			all = append(all, Naming{Kind: Dog, Text: d.value})
		}
	}
	for _, r := range s.recipes {
		if !r.part && !r.not {
			all = append(all, Naming{Kind: Said, Text: r.value})
		}
	}
	purpose := -1
	for _, w := range s.whens {
		if s.Word(w.from-1) == "for" || purpose == w.from-1 { // thawed "for Monday and Tuesday"
			purpose = w.to
			continue
		}
		name(Day, w.from, w.to, 0)
	}
	foods := s.phrases("eaten-kinds")
	for i, p := range foods {
		if i+1 < len(foods) && foods[i+1].from == p.to { // "pork sausage"
			foods[i+1].from, foods[i+1].value = p.from, p.value+" "+foods[i+1].value
		} else if _, end := foodline.SubjectAt(s.Lexed, p.from); end == p.to || s.is(p.to, "holder:tablet") || s.is(p.to-1, "holder:tablet") {
			continue // a nutrient, "heart tablet"
		} else if last := s.Word(p.to - 1); !language.In("vague-words", p.value) && !language.In("vague-words", last) {
			all = append(all, Naming{Kind: Food, Text: p.value})
		}
	}
	dated := func(i int) bool {
		return slices.ContainsFunc(s.whens, func(w stretch) bool { return w.from <= i && i < w.to })
	}
	for _, q := range s.quantities {
		rate := s.Any(q.from-1, "/", "per") || s.Any(q.to, "/", "per")
		of := &s.Tokens[q.from]
		broken := q.n != math.Trunc(q.n) && !of.Num.Fraction && q.to == q.from+1 && !dated(q.from) && !strings.HasPrefix(s.Text[of.End:], ".") // "15.3." is a day
		measured := q.unit != "" || broken || q.n >= 100 && s.staysAt(q.from)
		per := map[string]float64{"day": 1, "week": 7, "fortnight": 14}[q.unit]
		switch {
		case rate || dated(q.from) && q.unit != "":
		case per > 0 && s.Word(q.to-1) != "week" && (q.n > 1 || s.Any(q.from-1, "for")):
			name(Lasts, q.from, q.to, q.n*per)
		case measured && q.kind != 0 && q.kind < byShare && of.Kind == span.NumberToken, q.kind == byTimes && q.n > 2:
			counted := q.kind != span.ByMass && q.kind != span.ByEnergy && q.kind != span.ByVolume
			all = append(all, Naming{Text: s.Span(q.from, q.to), N: q.n, Counted: counted, Volume: q.kind == span.ByVolume})
		}
	}
	for _, c := range s.clocks(false) {
		if s.is(c.from-1, "bare-clocks") {
			c.from--
		}
		if c.to > c.from+1 && !dated(c.to+1) { // "from 3 to 10 April"
			name(Time, c.from, c.to, float64(c.at))
		}
	}
	for i := range s.Tokens {
		w := s.Word(i)
		switch of, end := foodline.SubjectAt(s.Lexed, i); {
		case s.taken[i]:
		case end > 0 && w != "fat" && !s.Any(i-1, "for") && !s.Any(i-2, "for"): // "is he too fat", "eggshell for calcium"
			all = append(all, Naming{Kind: Said, Text: of.Name()})
		case w == "both" && !s.is(i+1, "both-of") && span.MealsByName[s.Word(i+1)].Name == "":
			name(Dog, i, i+1, 0)
		case w == "per" && (span.TimeUnits[s.Word(i+1)].Name != "" || s.IsUnit(i+1)):
			name(Said, i, i+2, 0)
		case s.is(i, "leaves-out") || w == "not" && s.is(i-1, "before-not"):
			to := i + 1
			for to < len(s.Tokens) && len(s.Word(to)) > 1 && !s.is(to, "ends-exception") && s.Tokens[to].Kind != span.NumberToken {
				to++
			}
			name(Except, i, to, 0)
		}
	}
	return all
}

// staysAt reports that a number at a place is one that is to stay as it is, and no time:
// "leave her at 605 for now".
func (s *Found) staysAt(i int) bool {
	return s.Word(i-1) == "at" && s.saysAny("leave", "keep", "hold", "stay") >= 0
}

// Numbers are the numbers of a text that count or measure.
func (s *Found) Numbers() (all []float64) {
	for _, q := range s.quantities {
		all = append(all, q.n)
	}
	return all
}
