package nutrition

import (
	"maps"
	"math"
	"strings"
)

// Item is a food weighed into a mixture.
type Item struct {
	Food  *Food
	Grams Grams
	// Label holds contents from the package, in the nutrient's unit per gram;
	// they replace those of the table. May be nil.
	Label map[Nutrient]float64
	// Measured are those of Label that a laboratory measured instead.
	Measured Nutrients
}

// Take replaces a figure of the item by a laboratory's, per gram. What is added by
// a label stays known as added.
func (it *Item) Take(n Nutrient, perGram float64) {
	if !it.adds(n) {
		it.Measured = it.Measured.With(n)
	}
	label := maps.Clone(it.Label)
	if label == nil {
		label = map[Nutrient]float64{}
	}
	label[n] = perGram
	it.Label = label
}

// measured are the nutrients of which the item counts with a laboratory's figure.
func (it *Item) measured() Nutrients {
	if it.Food == nil || !(it.Grams > 0) {
		return 0
	}
	s := it.Food.Measured
	for n := range it.Label {
		s = s.Without(n)
	}
	return s | it.Measured
}

// Extra is a nutrient that is given beside the food: a capsule, a drop.
type Extra struct {
	Name     string // as the carer calls it
	Nutrient Nutrient
	PerDay   float64 // in the nutrient's unit; a dose every n days is dose / n
	NotKnown bool    // given, but nobody knows how much: PerDay is at least so much
	// Unlisted: it is a product with a label that does not list the nutrient.
	// Only with NotKnown.
	Unlisted bool
	// Natural: it comes with a food, of which neither label nor kind tells it.
	Natural bool
	// AtMost is what it brings a day at most beyond PerDay, where nobody says how
	// much but a tablet's weight bounds it. Most likely it is next to nothing.
	AtMost float64
	Usual  float64 // of NotKnown: what there usually is a day, for cautions alone
}

// Mixture is what is analysed together: a recipe, or several in the
// proportions in which they are fed.
type Mixture struct {
	Items  []Item
	Extras []Extra
	// Days is for how many days Items are food; 0 counts as 1. A Basis with
	// Kcal tells the same more exactly, and overrides it.
	Days float64
}

// Basis is what amounts are compared on. Its zero value is per 1000 kcal.
type Basis struct {
	// PerDog compares amounts of one dog and day: the minimum is what the
	// profile's daily intake would give on the dog's metabolic weight
	// (min * Profile.Intake / 1000 * Weight^0.75), so that a dog that eats
	// little needs the same amount from less food. Maximums stay those per
	// 1000 kcal eaten: they are published so, whatever the intake.
	PerDog bool
	Weight Kilograms // of the dog, for PerDog
	Kcal   Kcal      // that the dog eats in a day; 0: not said
}

// Analysis is a mixture against a profile.
type Analysis struct {
	ProfileID string
	// Basis is the one used: PerDog is false where it was asked for and the
	// profile has no intake, or weight or energy were not given.
	Basis  Basis
	Grams  Grams // weight of the items
	Energy Value // of the whole mixture, kcal
	Shares Shares
	CaP    Value // calcium to phosphorus by weight
	Rows   []Row // in the profile's order
	Totals Totals
}

// Days returns how many days the mixture lasts the dog of the basis, which
// eats Basis.Kcal a day; 0 where the basis is not a dog and day.
func (a Analysis) Days() float64 {
	if !a.Basis.PerDog {
		return 0
	}
	return a.Totals.Days
}

// Row returns the row of a subject, nil where the profile has none.
func (a *Analysis) Row(s Subject) *Row {
	for i := range a.Rows {
		if a.Rows[i].Requirement.Subject == s {
			return &a.Rows[i]
		}
	}
	return nil
}

// Row is one requirement and what the mixture gives.
type Row struct {
	Requirement Requirement // as published, per 1000 kcal
	// Value is the amount on the analysis' basis, in the subject's unit: per
	// 1000 kcal, or a dog and day; the ratio as it is.
	Value
	// Capped is the amount that counts toward the maximum: Value, but for
	// vitamin A, where only the preformed part does.
	Capped   Value
	Min, Max float64 // on the analysis' basis; NaN where there is none
	// Legal is the legal maximum on the analysis' basis, NaN where there is
	// none. It binds only where some of the nutrient is added to the food, and
	// is then Max too unless Max is less; Added is how much is added.
	Legal, Added float64
	Verdict      Verdict
	// StraddlesMin and StraddlesMax tell of a known range that crosses the
	// limit. The verdict is then NotKnown.
	StraddlesMin, StraddlesMax bool
	// OpenMax: the minimum is met, but with figures missing nobody knows
	// whether the maximum is kept. The verdict is then Enough.
	OpenMax bool
	// Measured: a laboratory's figure is in it, of all or of some of the food.
	Measured bool
	// UnknownFrom lists the parts without a full figure: indexes of items,
	// and from len(Items) on of extras.
	UnknownFrom []int
	// Unless is UnknownFrom where all of it is bone, products whose labels do not
	// list the nutrient, or a pinch of a food. What is known is then judged: it is Low unless
	// those bring the rest. Nil where other foods lack figures too.
	Unless []int
}

// HasMin reports that the row has a minimum.
func (r *Row) HasMin() bool { return !math.IsNaN(r.Min) }

// HasMax reports that the row has a maximum.
func (r *Row) HasMax() bool { return !math.IsNaN(r.Max) }

// HasLegal reports that the row has a legal maximum.
func (r *Row) HasLegal() bool { return !math.IsNaN(r.Legal) }

// What raises minimums with the rest of a mixture: vitamin E by 0.6 IU per g of
// polyunsaturated fat (AAFCO profiles, footnote, read in a copy of the 2014 proposed
// revision), arginine by 0.01 g for each g of protein above the protein minimum
// (FEDIAF, from memory).
const (
	vitaminEPerGramPUFA    = 0.6
	argininePerGramProtein = 0.01
	fatEnergy              = 9.02 // kcal per g of animal fat: no food has more (USDA SR documentation)
	extraEnergy            = 10   // kcal a day that an extra brings at most, where nobody says: an oil capsule of 1 g and its shell
)

// ProfileKcal is what requirements are published per.
const ProfileKcal = 1000

// polyunsaturated are the fatty acids that the tables give; others are
// traces.
var polyunsaturated = []Term{{Linoleic, 1}, {AlphaLinolenic, 1}, {Arachidonic, 1}, {EPA, 1}, {DPA, 1}, {DHA, 1}}

// Rise is how a minimum rises with the rest of a mixture: to From, in the
// published unit, and Per of each unit of Terms, where that is more than the
// minimum itself.
type Rise struct {
	Terms     []Term
	From, Per float64
}

// Rise returns what raises the minimum of a subject; false where nothing does.
func (p *Profile) Rise(s Subject) (Rise, bool) {
	switch {
	case s == Subject(VitaminE) && raisesVitaminE(p):
		return Rise{polyunsaturated, 0, vitaminEPerGramPUFA}, true
	case s == Subject(Arginine) && strings.HasPrefix(p.ID, "fediaf-"):
		if free := p.Min(Subject(Protein)); free >= 0 {
			return Rise{plain[Protein][:], p.Min(s) - argininePerGramProtein*free, argininePerGramProtein}, true
		}
	}
	return Rise{}, false
}

// raisesVitaminE reports that a table asks for more vitamin E with more
// polyunsaturated fat.
func raisesVitaminE(p *Profile) bool { return strings.HasPrefix(p.ID, "aafco-") }

// Analyse compares a mixture with a profile, requirement by requirement.
//
// Amounts per 1000 kcal are those per 1000 kcal of the middle estimate of its
// energy, because food is weighed out by that estimate; Energy tells how far
// the estimate spreads. Where the energy of an item is not known, it is taken
// to be somewhere between nothing and that of pure fat, and every amount
// spreads accordingly; for an extra, between nothing and that of an oil
// capsule.
func Analyse(m Mixture, p *Profile, basis Basis) (a Analysis) {
	t := &a.Totals
	sum(t, m, lasting(m, basis.Kcal))
	if p.Intake == 0 || basis.Weight <= 0 || basis.Kcal <= 0 {
		basis.PerDog = false
	}
	a.ProfileID, a.Basis = p.ID, basis
	a.Grams, a.Energy, a.CaP = t.Grams, t.Values[Energy], t.CalciumPhosphorus()
	s := NewScale(t, m, p, basis)
	a.Rows, a.Shares = s.rows(m), SharesOf(m.Items)
	return a
}

// rows compares the totals of a mixture with every requirement.
func (s *Scale) rows(m Mixture) []Row {
	t := s.t
	rows := make([]Row, len(s.p.Requirements))
	unknown := make([]int, 0, 8*t.parts)
	var measured Nutrients
	for i := range m.Items {
		measured |= m.Items[i].measured()
	}
	for i, q := range s.p.Requirements {
		r := &rows[i]
		r.Requirement = q
		s.fill(r)
		s.limitByLaw(r, m)
		from := len(unknown)
		unknown = t.unknown(unknown, s.openTerms(q.Subject))
		if len(unknown) > from {
			r.UnknownFrom = unknown[from:len(unknown):len(unknown)]
			r.Unless = s.unless(m, r)
		}
		r.Measured = measured != 0 && q.Subject.in(measured)
		r.judge()
	}
	return rows
}

// Turn is one recipe of a rotation and how many days it is fed in a round.
type Turn struct {
	Mixture Mixture
	Days    float64
}

// Blend returns what a dog eats in a whole round of a rotation as one
// mixture: each recipe scaled to what the dog eats in its days, and its extras
// on those days. Where eaten is 0, not said, every day counts for the same
// energy. The same food of several recipes becomes one item, unless a label
// tells them apart. Turns of no days count for nothing. A recipe without
// known energy is taken as written, for its own number of days.
func Blend(turns []Turn, eaten Kcal) Mixture {
	if eaten <= 0 {
		eaten = ProfileKcal
	}
	var out Mixture
	var count int
	for _, t := range turns {
		if t.Days > 0 {
			out.Days += t.Days
			count += len(t.Mixture.Items)
		}
	}
	out.Items = make([]Item, 0, count)
	at := make(map[*Food]int, count)
	for _, t := range turns {
		if !(t.Days > 0) {
			continue
		}
		factor := Grams(t.Days / lasting(t.Mixture, eaten))
		for _, it := range t.Mixture.Items {
			it.Grams *= factor
			i, seen := at[it.Food]
			if seen && len(it.Label) == 0 {
				out.Items[i].Grams += max(it.Grams, 0)
				continue
			}
			if len(it.Label) == 0 {
				at[it.Food] = len(out.Items)
			}
			out.Items = append(out.Items, it)
		}
		for _, x := range t.Mixture.Extras {
			x.PerDay *= t.Days / out.Days
			x.AtMost *= t.Days / out.Days
			out.Extras = append(out.Extras, x)
		}
	}
	return out
}
