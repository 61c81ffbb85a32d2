package nutrition

import "slices"

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
