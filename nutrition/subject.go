package nutrition

import (
	"fmt"
	"slices"
)

// Subject is what a requirement is about: a Nutrient (the first NutrientCount
// subjects are the nutrients, in their order), or a figure made of several.
type Subject uint8

// The subjects that are made of several nutrients.
const (
	MethionineCystine     = Subject(NutrientCount) + iota // g
	PhenylalanineTyrosine                                 // g
	EPADHA                                                // g
	CalciumPhosphorus                                     // ratio of the two, by weight
	VitaminA                                              // IU, preformed and from carotene
	OmegaRatio                                            // linoleic and arachidonic acid to alpha-linolenic acid, EPA and DHA
	SubjectCount                                          // how many there are; not a subject
)

// Term is one nutrient's part in a subject: amount times Factor.
type Term struct {
	Nutrient Nutrient
	Factor   float64
}

// derived describes the subjects from MethionineCystine on. most are the
// terms that count toward a maximum, where those are fewer.
var derived = [SubjectCount - Subject(NutrientCount)]struct {
	key, unit, name string
	terms, most     []Term
}{
	{"methionine+cystine", "g", "methionine and cystine", []Term{{Methionine, 1}, {Cystine, 1}}, nil},
	{"phenylalanine+tyrosine", "g", "phenylalanine and tyrosine", []Term{{Phenylalanine, 1}, {Tyrosine, 1}}, nil},
	{"epa+dha", "g", "EPA and DHA", []Term{{EPA, 1}, {DHA, 1}}, nil},
	{"calcium:phosphorus", "ratio", "calcium to phosphorus", nil, nil},
	// A dog makes vitamin A of carotene as it needs it, so carotene counts
	// toward the minimum only (FEDIAF annex on vitamins, from memory).
	{"vitamin-a", "IU", "vitamin A", []Term{{Retinoids, 1}, {Carotene, CaroteneIUPerMg / 1000}}, []Term{{Retinoids, 1}}},
	{"n-6:n-3", "ratio", "omega-6 to omega-3", nil, nil},
}

// ratioTerms are the terms of the subjects that are a ratio: of the one to the
// other.
var ratioTerms = map[Subject][2][]Term{
	CalciumPhosphorus: {plain[Calcium][:], plain[Phosphorus][:]},
	OmegaRatio:        {{{Linoleic, 1}, {Arachidonic, 1}}, {{AlphaLinolenic, 1}, {EPA, 1}, {DHA, 1}}},
}

// IsRatio reports that the subject is a ratio of two amounts.
func (s Subject) IsRatio() bool { return s == CalciumPhosphorus || s == OmegaRatio }

// Above returns terms that add up to more than nothing where a ratio is above
// a limit.
func (s Subject) Above(limit float64) []Term {
	terms := slices.Clone(ratioTerms[s][0])
	for _, t := range ratioTerms[s][1] {
		terms = append(terms, Term{t.Nutrient, -limit * t.Factor})
	}
	return terms
}

// plain holds the one term of each subject that is a nutrient.
var plain = func() (t [NutrientCount][1]Term) {
	for n := range t {
		t[n][0] = Term{Nutrient(n), 1}
	}
	return t
}()

// Nutrient returns the nutrient that the subject is, and whether it is one.
func (s Subject) Nutrient() (Nutrient, bool) {
	return Nutrient(s), s < Subject(NutrientCount)
}

// Terms returns what counts toward the subject's minimum, in the subject's
// unit; nil for a ratio. The slice is shared and is not to be changed.
func (s Subject) Terms() []Term {
	if s < Subject(NutrientCount) {
		return plain[s][:]
	}
	return derived[s-Subject(NutrientCount)].terms
}

// MaxTerms returns what counts toward the subject's maximum: Terms, but for
// vitamin A, of which only the preformed part counts.
func (s Subject) MaxTerms() []Term {
	if s >= Subject(NutrientCount) {
		if m := derived[s-Subject(NutrientCount)].most; m != nil {
			return m
		}
	}
	return s.Terms()
}

// allTerms are the terms of a subject, and of a ratio those of both its sides.
func (s Subject) allTerms() []Term {
	if s.IsRatio() {
		return slices.Concat(ratioTerms[s][0], ratioTerms[s][1])
	}
	return s.Terms()
}

// in reports that a nutrient of the subject is in a set.
func (s Subject) in(set Nutrients) bool {
	return slices.ContainsFunc(s.allTerms(), func(t Term) bool { return set.Has(t.Nutrient) })
}

// String returns the subject's key: that of the nutrient, or "epa+dha".
func (s Subject) String() string {
	switch {
	case s < Subject(NutrientCount):
		return Nutrient(s).String()
	case s < SubjectCount:
		return derived[s-Subject(NutrientCount)].key
	}
	return fmt.Sprintf("subject(%d)", uint8(s))
}

// Unit returns the unit of the subject's amounts; "ratio" for a ratio.
func (s Subject) Unit() string {
	if s < Subject(NutrientCount) {
		return Nutrient(s).Unit()
	}
	return derived[s-Subject(NutrientCount)].unit
}

// Name returns the subject's plain name.
func (s Subject) Name() string {
	if s < Subject(NutrientCount) {
		return Nutrient(s).Name()
	}
	return derived[s-Subject(NutrientCount)].name
}

// ParseSubject returns the subject of a key.
func ParseSubject(key string) (Subject, error) {
	for s := Subject(0); s < SubjectCount; s++ {
		if s.String() == key {
			return s, nil
		}
	}
	return 0, fmt.Errorf("nutrition: no subject %q", key)
}

// MarshalText returns the key.
func (s Subject) MarshalText() ([]byte, error) {
	if s >= SubjectCount {
		return nil, fmt.Errorf("nutrition: no subject %d", uint8(s))
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads a key; an unknown one is an error.
func (s *Subject) UnmarshalText(b []byte) error {
	got, err := ParseSubject(string(b))
	if err == nil {
		*s = got
	}
	return err
}
