package nutrition

import (
	"slices"
	"strings"
)

// Part is the body part (or the kind of non-animal food) that a share of a
// recipe is counted under.
type Part uint8

// The parts, in the order in which shares are shown.
const (
	Muscle Part = iota
	MuscularOrgan
	BonePart
	Liver
	SecretingOrgan
	Fish
	Plant
	Other
	PartCount // how many there are; not a part
)

var partKeys = [PartCount]string{
	"muscle", "muscular_organ", "bone", "liver", "secreting_organ", "fish", "plant", "other",
}

// String returns the part's key.
func (p Part) String() string { return partKeys[p] }

// BoneKind says which bone tissue a bone-in cut carries.
type BoneKind uint8

// The kinds of bone tissue of the bone model.
const (
	NoBone BoneKind = iota
	PoultryBone
	MammalBone
)

// Bone is how much of a cut is bone, as a fraction of its weight (0 to 1).
type Bone struct {
	Kind           BoneKind
	Low, Mid, High float64
}

// Tag is a property of a food that exclusions, gates and cautions look at.
type Tag uint32

// The tags. A food carries any number of them.
const (
	Raw         Tag = 1 << iota // not cooked
	Cooked                      // cooked, baked or boiled
	Canned                      // canned or jarred
	Poultry                     // chicken, turkey, duck, goose, quail, ...
	RedMeat                     // beef, lamb, venison, ...
	Pork                        // pig, domestic
	Game                        // wild game, mammal or bird
	BoneIn                      // carries bone that is eaten
	Ruminant                    // beef, veal, lamb, goat, deer, ...
	Anadromous                  // salmon, trout, smelt: flukes when raw
	Thiaminase                  // raw fish that destroys thiamin
	Oxalate                     // spinach, chard, beet greens
	Seaweed                     // iodine without limit
	LiverOil                    // cod-liver oil: vitamins A and D
	Shellfish                   // mussels, oysters, clams
	Egg                         // hen, duck, quail
	Dairy                       // milk and what is made of it
	Grain                       // rice, oats, barley, ...
	Supplement                  // a concentrate, mineral or vitamin, not food
	SomeOxalate                 // rich in oxalate beside those of Oxalate: beetroot, sweet potato, nuts (from memory)
	CookFirst                   // only cooked: dry beans and grain, raw potato and cassava
	Unoffered                   // for recipes that have it, never proposed: a seasoning, salty, fat, dry, or of doubtful figures
)

// Has reports that every tag of u is set.
func (t Tag) Has(u Tag) bool { return t&u == u }

// OwnKind is the Kind of a food that a household added from its label.
const OwnKind = "own"

// Measure is a household measure of a food and what it weighs.
type Measure struct {
	Unit   string // "cup", "tbsp", "tsp", "piece", ...: see MeasureUnits
	Note   string // what the source says of it: "large", "chopped"
	Grams  Grams  // weight of one
	Source string // where the weight is from
}

// Food is one row of a food table, or a food that a household added from a
// label.
type Food struct {
	Key     string // stable identifier: "turkey-thigh-skinless"
	Name    string // the project's own name for it
	Kind    string // "muscle", "muscular-organ", "meaty-bone", "liver", "fish", "vegetable", "oil", "supplement", ...
	Part    Part   // where its soft part is counted; bone is counted apart
	Species string // "beef", "chicken", "salmon"; empty for plants
	Tags    Tag
	Source  string      // published table and number: "USDA SR26 05717"
	Note    string      // what the source or the bone share leaves open
	Bone    Bone        // share of the cut that is bone; zero for boneless
	Soft    Composition // per 100 g of the edible part, as the source gives it
	Per100  Composition // per 100 g as fed: soft tissue and bone together
	Measure []Measure
	// Measured are the nutrients of which Per100 has a laboratory's figure in the
	// place of the table's, the bone model's or the label's: see WithLab.
	Measured Nutrients `json:"-"`
}

// WithLab is the food with what a laboratory measured of it, per gram as fed. Its
// part and share of bone stay.
func (f Food) WithLab(n Nutrient, perGram float64) Food {
	f.Per100[n], f.Measured = Exactly(perGram*100), f.Measured.With(n)
	return f
}

// Has reports that the food carries every tag of t.
func (f *Food) Has(t Tag) bool { return f.Tags.Has(t) }

// Oil reports that a food is all fat: an oil, a capsule of one, or rendered fat.
func (f *Food) Oil() bool { return f.Per100[Fat].Low >= 99 }

// CookedMeat reports that a food is meat or fish and cooked.
func (f *Food) CookedMeat() bool { return f.Has(Cooked) && f.Part <= Fish && !f.Has(Shellfish) }

// Lacks reports that a food has no full figure of a subject.
func (f *Food) Lacks(s Subject) bool {
	return slices.ContainsFunc(s.allTerms(), func(t Term) bool { return !f.Per100[t.Nutrient].Complete })
}

// Pantry finds foods by key: the compiled-in table, or that and a
// household's own foods. It returns nil where there is none.
type Pantry interface {
	Food(key string) *Food
}

// MeasureUnits are the units that measures are given in.
var MeasureUnits = []string{
	"cup", "tbsp", "tsp", "fl oz", "piece", "slice", "can", "fillet", "leaf", "head", "stalk", "spear", "sprig",
	"sheet", "strip", "wedge", "floret", "packet", "capsule", "drop",
}

// perCup is how many of a unit make one US cup. Exact by definition: 1 cup =
// 8 fl oz = 16 tbsp = 48 tsp.
var perCup = map[string]float64{"cup": 1, "fl oz": 8, "tbsp": 16, "tsp": 48}

// MillilitresPerCup is the US customary cup, exact by definition (1 US gallon
// = 231 cubic inches, 16 cups).
const MillilitresPerCup = 236.5882365

// sameNote maps other words for a note to the one in the table.
var sameNote = map[string]string{
	"slices": "sliced", "minced": "chopped", "cubed": "cubes", "cut": "chopped",
	"puréed": "pureed", "purée": "pureed", "puree": "pureed", "big": "large", "xl": "extra large",
	"extra-large": "extra large", "milled": "ground", "little": "small", "halved": "halves", "mash": "mashed",
}

// MeasureOf returns what one unit of the food weighs, and false where no
// source gives it. Unit is one of MeasureUnits; note chooses among several
// ("large", "chopped") and may be empty.
//
// Without a note it is the measure without one, else the usual one: large for
// hen eggs, medium for other pieces, chopped for a cup. A note that the food
// has no measure for gives the same, except for a size of a piece, which would
// change the weight. Cups, fluid ounces and spoons are worked out from one
// another by volume where only one of them has a weight.
func (f *Food) MeasureOf(unit, note string) (Measure, bool) {
	note = strings.ToLower(strings.TrimSpace(note))
	if s, ok := sameNote[note]; ok {
		note = s
	}
	if m, ok := f.measure(unit, note); ok {
		return m, true
	}
	per, ok := perCup[unit]
	if !ok {
		return Measure{}, false
	}
	for _, from := range []string{"cup", "tbsp", "tsp", "fl oz"} {
		if m, ok := f.measure(from, note); ok {
			m.Grams *= Grams(perCup[from] / per)
			m.Source += ", from the " + from + " by volume"
			m.Unit = unit
			return m, true
		}
	}
	return Measure{}, false
}

// noteOrder is which measure of a unit is meant where none is named.
var noteOrder = []string{"", "medium", "chopped", "sliced", "diced", "whole", "mashed", "half"}

// sizes are the notes that are sizes.
var sizes = []string{"extra small", "small", "medium", "large", "extra large", "jumbo"}

func (f *Food) measure(unit, note string) (Measure, bool) {
	var found []*Measure
	for i := range f.Measure {
		if f.Measure[i].Unit == unit {
			found = append(found, &f.Measure[i])
		}
	}
	with := func(note string) *Measure {
		for _, m := range found {
			if m.Note == note {
				return m
			}
		}
		return nil
	}
	if len(found) == 0 {
		return Measure{}, false
	}
	if note != "" {
		if m := with(note); m != nil {
			return *m, true
		}
		if slices.Contains(sizes, note) && len(found) > 1 {
			return Measure{}, false
		}
	}
	if f.Has(Egg) {
		if m := with("large"); m != nil {
			return *m, true
		}
	}
	for _, n := range noteOrder {
		if m := with(n); m != nil {
			return *m, true
		}
	}
	return *found[0], true
}
