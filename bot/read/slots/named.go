package slots

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

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
