package nutrition

import (
	"slices"
	"strings"
)

// Yield is what food weighs cooked over what it weighed raw, as a range.
type Yield struct{ Low, High float64 }

// Has reports that a yield lies within the range.
func (y Yield) Has(cooked float64) bool { return cooked >= y.Low && cooked <= y.High }

// The usual yields by kind of food: USDA Table of Cooking Yields for Meat and
// Poultry, 2012, and common practice; from memory. Of other grain and of pulses
// the upper ends are what USDA's own rows of them, dry and cooked, imply.
var (
	meatYield      = Yield{0.55, 0.95}
	vegetableYield = Yield{0.7, 1}
	riceYield      = Yield{2.2, 3.2} // dry
	grainYield     = Yield{2.2, 5.2} // dry: pasta to porridge
	pulseYield     = Yield{2, 3}     // dry
	asItIs         = Yield{1, 1}     // cooked or canned already, oils, supplements
)

// MeatYield is the range of meat, poultry and fish.
func MeatYield() Yield { return meatYield }

// Yield is the usual one of a food. Eggs and what has no kind of its own are taken
// as vegetables: our own choice.
func (f *Food) Yield() Yield {
	switch {
	case f.asItIs():
		return asItIs
	case f.Has(Grain) && strings.HasPrefix(f.Key, "rice"):
		return riceYield
	case f.Has(Grain):
		return grainYield
	case f.Kind == "legume" && f.Has(CookFirst):
		return pulseYield
	case f.flesh():
		return meatYield
	}
	return vegetableYield
}

// DryYield is what grain or pulses of a cooked row weigh over what they weighed
// dry, which is how a shop sells them; ok is false for all else.
func (f *Food) DryYield() (y Yield, ok bool) {
	switch {
	case !f.Has(Cooked):
		return Yield{}, false
	case f.Has(Grain) && strings.Contains(f.Key, "rice"):
		return riceYield, true
	case f.Has(Grain):
		return grainYield, true
	case f.Kind == "legume":
		return pulseYield, true
	}
	return Yield{}, false
}

// asItIs reports that a food is cooked already, or is not weighed raw and cooked.
func (f *Food) asItIs() bool {
	return f.Has(Cooked) || f.Has(Canned) || f.Has(Supplement) || f.Kind == "oil" || f.Has(Dairy)
}

// flesh reports that a food is of an animal, and no egg.
func (f *Food) flesh() bool { return f.Part <= Fish && f.Kind != "egg" }

// kept is what part of a vitamin is left in food that is cooked.
type kept struct {
	n         Nutrient
	low, high float64
}

// What heat leaves of B vitamins, whatever the way of cooking and the juice: USDA
// Table of Nutrient Retention Factors, release 6 (2007), from memory, rounded
// outward. Plants go up to 1, since they may be stirred in raw (our own choice).
// The table has no pantothenic acid.
var (
	keptOfFlesh = []kept{{Thiamin, 0.4, 0.85}, {Riboflavin, 0.75, 1}, {Niacin, 0.6, 1}, {VitaminB6, 0.5, 0.9}, {Folate, 0.6, 0.95}, {VitaminB12, 0.6, 1}}
	keptOfEgg   = []kept{{Thiamin, 0.75, 0.95}, {Riboflavin, 0.85, 1}, {Niacin, 0.85, 1}, {VitaminB6, 0.85, 1}, {Folate, 0.7, 0.95}, {VitaminB12, 0.75, 1}}
	keptOfPlant = []kept{{Thiamin, 0.6, 1}, {Riboflavin, 0.75, 1}, {Niacin, 0.75, 1}, {VitaminB6, 0.75, 1}, {Folate, 0.5, 1}}
)

// LostToHeat are the nutrients of which a food that is cooked shows a range.
func LostToHeat() (set Nutrients) {
	for _, k := range keptOfFlesh {
		set = set.With(k.n)
	}
	return set
}

// AsCooked is a food that is weighed raw and then cooked: of what heat spoils it
// has a range. What is cooked already, or is no food to cook, is itself: its
// figures have the loss in them.
func (f *Food) AsCooked() *Food {
	if f.asItIs() {
		return f
	}
	left := keptOfPlant
	switch {
	case f.Kind == "egg":
		left = keptOfEgg
	case f.flesh():
		left = keptOfFlesh
	}
	c := *f
	for _, k := range left {
		if v := &c.Per100[k.n]; !f.Measured.Has(k.n) {
			v.Low, v.Mid, v.High = v.Low*k.low, v.Mid*(k.low+k.high)/2, v.High*k.high
		}
	}
	return &c
}

// weighedCooked is what the key of a food ends in that was weighed cooked, but of
// which the table has the raw row alone.
const weighedCooked = "+cooked"

// waysOfCooking are how keys of cooked rows end, the moist ones first.
var waysOfCooking = []string{"-cooked", "-boiled", "-braised", "-roasted", "-browned", "-grilled", "-baked"}

// WeighedCooked is the key by which a food is looked up that was weighed cooked:
// the table's cooked row of it or, where it has none, the raw one as it comes out
// by its usual yield. It is the same key where the food is cooked already, or is
// nothing to cook; empty of a cut with bone in it, which is never cooked.
func (t *Table) WeighedCooked(key string) string {
	f := t.Food(key)
	switch {
	case f == nil || f.asItIs() || f.Kind == OwnKind: // whose label is of the food as sold
		return key
	case f.Bone.Kind != NoBone:
		return ""
	}
	for _, way := range waysOfCooking {
		if c := t.Food(strings.TrimSuffix(key, "-dry") + way); c != nil && c.Has(Cooked) && c.Bone.Kind == NoBone {
			return c.Key
		}
	}
	return key + weighedCooked
}

// WeighedRaw is the key of what a cooked row is raw: the opposite of WeighedCooked.
func (t *Table) WeighedRaw(key string) string {
	raw := strings.TrimSuffix(key, weighedCooked)
	for _, way := range waysOfCooking {
		for _, end := range []string{"", "-dry"} {
			if bare, ok := strings.CutSuffix(key, way); ok && t.WeighedCooked(bare+end) == key {
				raw = bare + end
			}
		}
	}
	return raw
}

// weighedCooked is a raw food as 100 g of it are that were weighed cooked: all
// that it has is a range, since nobody knows how much water it lost or took up.
func (f *Food) weighedCooked() *Food {
	c, y := *f.AsCooked(), f.Yield()
	c.Key += weighedCooked
	c.Name += ", weighed cooked"
	c.Tags = c.Tags&^(Raw|CookFirst|Thiaminase) | Cooked
	c.Measure = nil
	for n := range c.Per100 {
		v := &c.Per100[n]
		v.Low, v.Mid, v.High = v.Low/y.High, v.Mid*2/(y.Low+y.High), v.High/y.Low
	}
	water := func(yield float64) float64 { return max(100-(100-f.Per100[Water].Mid)/yield, 0) }
	c.Per100[Water] = Between(water(y.Low), water((y.Low+y.High)/2), water(y.High))
	return &c
}

// ByYield reports that a key is of a raw row that is reckoned cooked by its usual
// yield.
func ByYield(key string) bool { return strings.HasSuffix(key, weighedCooked) }

// AsCooked is a mixture that is cooked: see Food.AsCooked.
func (m Mixture) AsCooked() Mixture {
	m.Items = slices.Clone(m.Items)
	for i := range m.Items {
		if f := m.Items[i].Food; f != nil {
			m.Items[i].Food = f.AsCooked()
		}
	}
	return m
}
