package foodline

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"sync"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// Salt is a compound that a supplement is sold as. A mass beside its name may
// be that of what is active in it or of all of it.
type Salt struct {
	Name  string  // as typed
	Share float64 // of its mass that is active, by molar masses
	food  string
	words [][]string
}

//go:embed salts.csv
var saltsText string

var salts = sync.OnceValue(func() []Salt {
	r := csv.NewReader(strings.NewReader(saltsText))
	r.Comment = '#'
	var all []Salt
	for _, row := range language.Must(r.ReadAll())[1:] {
		element := language.Must(strconv.ParseFloat(row[2], 64))
		whole := language.Must(strconv.ParseFloat(row[3], 64))
		for _, name := range strings.Split(row[0], "|") {
			all = append(all, Salt{Share: element / whole, food: row[1], words: [][]string{strings.Fields(name)}})
		}
	}
	return all
})

// takeSalt notes which compound a line names, and whether it says of what its
// mass is: "50 mg zinc gluconate, elemental".
func (l *lexed) takeSalt() {
	for i := range l.Tokens {
		for k := range salts() {
			s := &salts()[k]
			if end := l.LongestOf(i, s.words); end > 0 && l.salt == nil {
				l.salt = &Salt{Name: l.Span(i, end), Share: s.Share, food: s.food}
				if l.Tokens[i].Inside || l.Any(i-1, "as", "from") { // "iodine (as potassium iodide) 225 µg"
					l.massOf = span.OfElement
				}
			}
		}
	}
	if l.salt == nil {
		return
	}
	for i := range l.Tokens {
		if l.Any(i, span.OfElement) {
			l.massOf = span.OfElement
			l.Use(i, i+1)
		}
		if end := l.LongestOf(i, [][]string{strings.Fields(span.OfSalt)}); end > 0 {
			l.massOf = span.OfSalt
			l.Use(i, end)
		}
	}
}

// saltMass returns a mass beside a compound's name as the dose takes it: of
// what is active where the supplement is counted by that, else of the powder.
func (b *doseLine) saltMass(x float64, pure bool) (float64, *span.Problem) {
	switch {
	case b.salt == nil || len(b.facts) > 0:
		return x, nil
	case b.massOf == "":
		p := b.trouble(span.SaltOrElement, b.salt.Name)
		p.Finding.Food = b.f
		return 0, p
	case pure && b.massOf == span.OfSalt:
		return x * b.salt.Share, nil
	case !pure: // into what holds as much of the element
		return span.Choose(b.massOf == span.OfSalt, x*b.salt.Share, x) / saltShareOf(b.salt.food), nil
	}
	return x, nil
}

// saltShareOf is the share of what is active in a food that is itself a
// compound: the first of its rows.
func saltShareOf(food string) float64 {
	for _, s := range salts() {
		if s.food == food {
			return s.Share
		}
	}
	return 1
}

// SaltOf returns the compound that the line of a SaltOrElement names.
func SaltOf(p span.Problem) (s Salt) {
	if l := ReadLine(p.Text); l.salt != nil {
		s = *l.salt
	}
	return s
}
