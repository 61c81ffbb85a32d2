package nutrition

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// MaxKind says what kind of maximum a profile gives.
type MaxKind string

// The kinds of maximum; empty where there is no maximum.
const (
	NutritionalMax MaxKind = "N" // what is thought safe
	LegalMax       MaxKind = "L" // what the law of the EU allows in a feed to which some is added
	VetMax         MaxKind = "V" // what a vet set for one dog
)

// Requirement is what a profile asks of one subject. Min and Max are per 1000
// kcal of metabolizable energy in the unit of the subject (the ratio: as it
// is), and NaN where the profile gives none.
type Requirement struct {
	Subject  Subject
	Min, Max float64
	Kind     MaxKind // of Max
	// Legal is a legal maximum below Max, NaN or 0 where there is none.
	Legal float64
}

// legal returns the legal maximum, NaN where there is none.
func (r Requirement) legal() float64 {
	switch {
	case r.Kind == LegalMax:
		return r.Max
	case r.Legal > 0:
		return r.Legal
	}
	return math.NaN()
}

// HasMin reports that there is a minimum.
func (r Requirement) HasMin() bool { return !math.IsNaN(r.Min) }

// HasMax reports that there is a maximum.
func (r Requirement) HasMax() bool { return !math.IsNaN(r.Max) }

// Naming returns the profile if it has a requirement for a subject, else a copy
// with one that has no limits, so that an analysis tells the amount all the
// same.
func (p *Profile) Naming(s Subject) *Profile {
	if slices.ContainsFunc(p.Requirements, func(q Requirement) bool { return q.Subject == s }) {
		return p
	}
	more := *p
	more.Requirements = append(slices.Clone(p.Requirements), Requirement{Subject: s, Min: math.NaN(), Max: math.NaN()})
	return &more
}

// Profile is a published table of nutrient requirements. It is shared: its
// slices are not to be changed.
type Profile struct {
	ID           string // "aafco-adult"
	Requirements []Requirement
	// Growth says that the profile is for growth and reproduction.
	Growth bool
	// Intake is the daily energy, in kcal per kg^0.75, on which the minimums
	// per 1000 kcal rest; 0 where none is published, and so there is no basis
	// for an amount per dog. See intakes.
	Intake    float64
	AnyWeight bool // no limit depends on the adult weight

	light    []Requirement // for the lightest dogs
	byWeight []weightRow   // what replaces them
}

// weightRow replaces the requirement of its subject for dogs of some adult
// weights.
type weightRow struct {
	above Kilograms
	at    bool // the weight itself too
	Requirement
}

// Requirement returns what the profile asks of a subject, if it does.
func (p *Profile) Requirement(s Subject) (Requirement, bool) {
	for _, r := range p.Requirements {
		if r.Subject == s {
			return r, true
		}
	}
	return Requirement{}, false
}

// Min returns the minimum of a subject, or NaN.
func (p *Profile) Min(s Subject) float64 {
	if r, ok := p.Requirement(s); ok {
		return r.Min
	}
	return math.NaN()
}

// ForAdultWeight returns the profile for a dog that is expected to weigh so
// much when grown. With 0, not known, the strictest limits hold: the highest
// minimum and the lowest maximum of those that depend on the weight.
func (p *Profile) ForAdultWeight(w Kilograms) *Profile {
	if p.AnyWeight {
		return p
	}
	q := *p
	q.Requirements = slices.Clone(p.light)
	for _, row := range p.byWeight {
		i := slices.IndexFunc(q.Requirements, func(r Requirement) bool { return r.Subject == row.Subject })
		r := &q.Requirements[i]
		switch {
		case w == 0:
			r.Min, r.Max = math.Max(r.Min, row.Min), math.Min(r.Max, row.Max)
		case w > row.above || row.at && w == row.above:
			*r = row.Requirement
		}
	}
	return &q
}

// WithoutMin returns the profile without the minimum of some subjects, where a vet sets
// how much a dog is to have of them.
func (p *Profile) WithoutMin(of ...Subject) *Profile {
	q := *p
	q.Requirements = slices.Clone(p.Requirements)
	for i := range q.Requirements {
		if r := &q.Requirements[i]; slices.Contains(of, r.Subject) {
			r.Min = math.NaN()
		}
	}
	return &q
}

// KeptTo returns the profile with a vet's limit of a subject, per 1000 kcal, before its
// own, where it is the stricter one. A minimum that the vet's maximum leaves no room for is none.
func (p *Profile) KeptTo(s Subject, bound float64, least bool) *Profile {
	q := *p.Naming(s)
	q.Requirements = slices.Clone(q.Requirements)
	for i := range q.Requirements {
		switch r := &q.Requirements[i]; {
		case r.Subject != s, r.Min > bound && least, r.Max < bound && !least:
		case least:
			r.Min = bound
		default:
			r.Max, r.Kind = bound, VetMax
			if r.Min >= bound {
				r.Min = math.NaN()
			}
		}
	}
	return &q
}

// intakes are the daily intakes in kcal per kg^0.75 on which the profiles'
// figures per 1000 kcal rest. FEDIAF states its own in the column; NRC 2006
// gives its allowances per kg^0.75 at 130 (from memory). AAFCO states none; 110
// is inferred, because its adult protein, calcium, phosphorus and fat are those
// of FEDIAF's column for 110. Growth has no fixed intake.
var intakes = map[string]float64{
	"aafco-adult":      110,
	"fediaf-adult-95":  95,
	"fediaf-adult-110": 110,
	"nrc-adult":        130,
}

// IntakeInferred reports that the table itself states no intake, so its amounts
// a day rest on an inferred one.
func (p *Profile) IntakeInferred() bool { return p.ID == "aafco-adult" }

// Elsewhere returns another profile of the same stage of life that has a
// maximum of a subject, the first in the order of the table; nil where none has.
func (p *Profile) Elsewhere(s Subject) (*Profile, Requirement) {
	for _, q := range Profiles() {
		if r, ok := q.Requirement(s); ok && r.HasMax() && q.Growth == p.Growth && q.ID != p.ID {
			return q, r
		}
	}
	return nil, Requirement{}
}

//go:embed data/requirements.csv
var requirementsCSV string

var profiles = sync.OnceValue(func() []*Profile {
	ps, err := parseProfiles(requirementsCSV)
	if err != nil {
		panic(err) // compiled in; a test loads it
	}
	return ps
})

// Profiles returns every profile, in the order of the table. The slice is shared
// and is not to be changed.
func Profiles() []*Profile { return profiles() }

// ProfileByID returns the profile of an identifier, nil if there is none.
// Limits that depend on the adult weight are the strictest: see
// ForAdultWeight.
func ProfileByID(id string) *Profile {
	for _, p := range Profiles() {
		if p.ID == id {
			return p
		}
	}
	return nil
}

// profileColumn is the first column of the table that is a profile.
const profileColumn = 3

// parseProfiles reads the table of data/requirements.csv. Errors name the row
// by its subject.
func parseProfiles(text string) ([]*Profile, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("nutrition: requirements: %w", err)
	}
	ps := make([]*Profile, len(rows[0])-profileColumn)
	for i := range ps {
		id := rows[0][profileColumn+i]
		ps[i] = &Profile{ID: id, Intake: intakes[id], Growth: strings.Contains(id, "growth"), AnyWeight: true}
	}
	for _, row := range rows[1:] {
		for i := range ps {
			if err := ps[i].read(row, row[profileColumn+i]); err != nil {
				return nil, fmt.Errorf("nutrition: requirements: %s, %s: %w", row[0], ps[i].ID, err)
			}
		}
	}
	for _, p := range ps {
		p.Requirements = p.ForAdultWeight(0).Requirements
	}
	return ps, nil
}

// read takes one cell of the table into the profile.
func (p *Profile) read(row []string, cell string) error {
	if cell == "" {
		return nil
	}
	s, err := ParseSubject(row[0])
	if err != nil {
		return err
	}
	factor, err := unitFactor(row[1], s.Unit())
	if err != nil {
		return err
	}
	q, err := parseLimits(cell, factor)
	if err != nil {
		return err
	}
	q.Subject = s
	if row[2] == "" {
		p.Requirements = append(p.Requirements, q)
		p.light = append(p.light, q)
		return nil
	}
	limit := strings.TrimLeft(row[2], ">=")
	w, err := strconv.ParseFloat(limit, 64)
	if err != nil {
		return err
	}
	p.AnyWeight = false
	p.byWeight = append(p.byWeight, weightRow{Kilograms(w), strings.HasPrefix(row[2], ">="), q})
	return nil
}

// parseLimits reads "min", "min..maxN", "..maxL" or "min..maxN..maxL".
func parseLimits(cell string, factor float64) (r Requirement, err error) {
	low, high, both := strings.Cut(cell, "..")
	high, law, _ := strings.Cut(high, "..")
	kind := strings.TrimLeft(high, ".0123456789")
	if both && kind != string(NutritionalMax) && kind != string(LegalMax) {
		return r, fmt.Errorf("%q: kind of maximum is N or L", cell)
	}
	number := func(text string, none float64) float64 {
		x, wrong := strconv.ParseFloat(text, 64)
		if text == "" {
			return none
		}
		err = cmp.Or(err, wrong)
		return x * factor
	}
	r.Min, r.Max, r.Kind = number(low, math.NaN()), number(strings.TrimSuffix(high, kind), math.NaN()), MaxKind(kind)
	r.Legal = number(strings.TrimSuffix(law, string(LegalMax)), 0)
	return r, err
}

// unitFactor converts between the units of mass that tables use.
func unitFactor(from, to string) (float64, error) {
	if from == to {
		return 1, nil
	}
	micro := map[string]float64{"g": 1e6, "mg": 1e3, "ug": 1}
	if micro[from] == 0 || micro[to] == 0 {
		return 0, fmt.Errorf("no conversion from %q to %q", from, to)
	}
	return micro[from] / micro[to], nil
}
