package planner

import (
	"slices"
	"strings"

	"bowlwright/nutrition"
)

// MissingFoodError says that a recipe names a food that the pantry lacks.
type MissingFoodError struct{ Food string }

// Error names the food's key.
func (e *MissingFoodError) Error() string { return "planner: no food " + e.Food }

// MixtureOf returns what nutrition analyses of a recipe: its ingredients with
// what their labels say, or what a laboratory measured of the whole, and its supplements as so much a day. eaten is the
// energy that the dog eats in a day, by which doses per 1000 kcal are reckoned;
// where it is 0, not said, a day's food is the recipe's energy over its days.
// Of a topper it eats its share. Where neither is said, a batch is nobody's day, and what is given per day is
// not known. A supplement every n days counts as dose / n a day. A food that
// the pantry lacks is a *MissingFoodError.
func MixtureOf(r Recipe, p nutrition.Pantry, eaten nutrition.Kcal) (nutrition.Mixture, error) {
	m := nutrition.Mixture{Days: r.Days, Items: make([]nutrition.Item, 0, len(r.Ingredients))}
	for _, in := range r.Ingredients {
		f := p.Food(in.Food)
		if f == nil {
			return nutrition.Mixture{}, &MissingFoodError{in.Food}
		}
		m.Items = append(m.Items, nutrition.Item{Food: f, Grams: in.Grams, Label: contents(in, f)})
	}
	eaten = r.Share(eaten)
	set := r.Measured()
	if set != 0 {
		spread(m.Items, r.Lab.Facts)
	}
	byDay := eaten > 0 || r.Days > 0
	if len(r.Doses) == 0 {
		return m, nil
	}
	whole := nutrition.Kcal(nutrition.Sum(m).Values[nutrition.Energy].Mid)
	if eaten <= 0 {
		eaten = whole / nutrition.Kcal(max(r.Days, 1))
	}
	for _, d := range r.Doses {
		perDay := d.Cadence.PerDay()
		if d.Batch && whole > 0 {
			perDay = float64(eaten / whole)
		}
		extras, err := ExtrasOf(d, perDay, p, eaten)
		if err != nil {
			return nutrition.Mixture{}, err
		}
		if !byDay && !d.Per1000 && !d.Batch {
			for i := range extras { // nobody says how much food goes with it
				extras[i].PerDay, extras[i].NotKnown = 0, true
			}
		}
		if d.Batch { // it was in the sample
			extras = slices.DeleteFunc(extras, func(x nutrition.Extra) bool { return set.Has(x.Nutrient) })
		}
		m.Extras = append(m.Extras, extras...)
	}
	return m, nil
}

// contents replaces the table's figures by what the label says. Hard bone that
// nobody has ground may be left, so its calcium does not count.
func contents(in Ingredient, f *nutrition.Food) map[nutrition.Nutrient]float64 {
	label := labelOf(in.Label)
	if label != nil || !nutrition.HardBone(f) || ground(in.Typed) {
		return label
	}
	return f.LeftBone()
}

// ground reports that a line says that its food goes through the grinder.
func ground(typed string) bool {
	low := strings.ToLower(typed)
	return strings.Contains(low, "ground") || strings.Contains(low, "minced") || strings.Contains(low, "grind")
}

func labelOf(facts []Fact) map[nutrition.Nutrient]float64 {
	if len(facts) == 0 {
		return nil
	}
	label := make(map[nutrition.Nutrient]float64, len(facts))
	for _, f := range facts {
		label[f.Nutrient] = f.PerGram
	}
	return label
}

// pieceMost is how much calcium or phosphorus a tablet or capsule brings at most
// that is given for something else: one of a gram, all of it calcium carbonate
// (40 % calcium) or calcium hydrogen phosphate (23 % phosphorus), as its filler
// may be. The shares are by the formulas; the gram is our own choice. It is 0 of
// other forms and nutrients.
func pieceMost(d Dose, n nutrition.Nutrient) float64 {
	if d.Form != "tablet" && d.Form != "capsule" {
		return 0
	}
	switch n {
	case nutrition.Calcium:
		return 400
	case nutrition.Phosphorus:
		return 230
	}
	return 0
}

// ExtrasOf returns what a dose brings that is given so many times a day: the
// amounts that it names and, by its weight, what the table says of the rest. A
// nutrient that a named supplement is given for, but whose amount nobody says,
// is not known.
func ExtrasOf(d Dose, perDay float64, p nutrition.Pantry, eaten nutrition.Kcal) ([]nutrition.Extra, error) {
	f := p.Food(d.Food)
	if f == nil {
		return nil, &MissingFoodError{d.Food}
	}
	if d.Per1000 {
		perDay *= float64(eaten) / 1000
	}
	var extras []nutrition.Extra
	named := map[nutrition.Nutrient]bool{}
	for _, a := range d.Amounts {
		named[a.Nutrient] = true
		extras = append(extras, nutrition.Extra{Name: f.Name, Nutrient: a.Nutrient, PerDay: a.Amount * perDay})
	}
	grams, own := float64(d.Grams), f.Kind == nutrition.OwnKind
	for n := range nutrition.NutrientCount {
		v := f.Per100[n]
		switch {
		case named[n] || v.Complete && v.High == 0:
		case !v.Complete:
			x := nutrition.Extra{Name: f.Name, Nutrient: n, NotKnown: true, Unlisted: own, Natural: f.Oil()}
			if n == nutrition.Iodine {
				x.Usual = nutrition.UsualKelpIodine(f, d.Grams) * perDay
			}
			extras = append(extras, x)
		case grams > 0:
			extras = append(extras, nutrition.Extra{Name: f.Name, Nutrient: n, PerDay: v.Mid * grams / 100 * perDay, Natural: !own})
		default:
			// A tablet of seaweed, or one whose label names something else,
			// brings next to nothing of it, but nobody has said so.
			beside := len(d.Amounts) > 0 || f.Has(nutrition.Seaweed)
			if most := pieceMost(d, n); beside && most > 0 && v.High/100 < most/4 {
				extras = append(extras, nutrition.Extra{Name: f.Name, Nutrient: n, AtMost: most * max(1, d.Count) * perDay, Natural: true})
				continue
			}
			extras = append(extras, nutrition.Extra{Name: f.Name, Nutrient: n, NotKnown: true, Unlisted: beside, Natural: beside})
		}
	}
	return extras, nil
}
