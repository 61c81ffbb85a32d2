package slots

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// Naming is something that a text names, and that an answer to it must be about.
type Naming struct {
	Text            string // as typed; of a dog its name
	Dog, Day        bool
	Food            bool    // or a supplement
	N               float64 // of an amount
	Counted, Volume bool    // what kind of amount it is, if not a mass or an energy
}

// Named are the dogs, days, foods and amounts that a text names. A bare whole number, a
// span of time, a share and a rate are none: what they become is said in other
// words.
func (s *Found) Named() (all []Naming) {
	for _, d := range s.dogs {
		if !d.not {
			all = append(all, Naming{Text: d.value, Dog: true})
		}
	}
	purpose := -1
	for _, w := range s.whens {
		if s.at(w.from-1) == "for" || purpose == w.from-1 { // thawed "for Monday and Tuesday"
			purpose = w.to
			continue
		}
		all = append(all, Naming{Text: s.Span(w.from, w.to), Day: true})
	}
	for _, p := range s.phrases("eaten-kinds") {
		if last := s.folded[p.to-1]; !language.In("vague-words", p.value) && !language.In("vague-words", last) {
			all = append(all, Naming{Text: p.value, Food: true})
		}
	}
	for _, q := range s.quantities {
		rate := s.Any(q.from-1, "/", "per") || s.Any(q.to, "/", "per")
		of := &s.Tokens[q.from]
		inDate := slices.ContainsFunc(s.whens, func(w stretch) bool { return w.from <= q.from && q.from < w.to })
		broken := q.n != math.Trunc(q.n) && !of.Num.Fraction && q.to == q.from+1 && !inDate && !strings.HasPrefix(s.Text[of.End:], ".") // "15.3." is a day
		measured := q.unit != "" || broken || q.n >= 100 && s.staysAt(q.from)
		if !rate && measured && q.kind != 0 && q.kind < byShare && of.Kind == span.NumberToken {
			counted := q.kind != span.ByMass && q.kind != span.ByEnergy && q.kind != span.ByVolume
			all = append(all, Naming{Text: s.Span(q.from, q.to), N: q.n, Counted: counted, Volume: q.kind == span.ByVolume})
		}
	}
	return all
}

// staysAt reports that a number at a place is one that is to stay as it is, and no time:
// "leave her at 605 for now".
func (s *Found) staysAt(i int) bool {
	return s.at(i-1) == "at" && s.saysAny("leave", "keep", "hold", "stay") >= 0
}

// Numbers are the numbers of a text that count or measure.
func (s *Found) Numbers() (all []float64) {
	for _, q := range s.quantities {
		all = append(all, q.n)
	}
	return all
}
