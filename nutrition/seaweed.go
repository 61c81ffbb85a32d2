package nutrition

// usualKelpIodine is what the label of a usual kelp powder says, µg per g, and
// rawKelp what is left of it in raw kelp by its water (common practice, no
// source). Single samples of kelp lie from a tenth to ten times of it (Teas
// and others, Thyroid 14, 2004; from memory).
const (
	usualKelpIodine = 600
	rawKelp         = 0.2
)

// Iodine of the whole food per 1000 kcal, µg, from which kelp is cautioned
// against, and from which it is far too much: the NRC's safe upper limit and
// the maximum of AAFCO (2.75 mg).
const (
	IodineCaution = 1000
	IodineHigh    = 2750
)

// usualIodine is the iodine that an amount of kelp usually has, µg; 0 of
// another food, or where its label says it.
func usualIodine(it *Item) float64 {
	if it.Food == nil || it.Label[Iodine] > 0 || it.Food.Per100[Iodine].Complete {
		return 0
	}
	switch it.Food.Key {
	case "kelp-powder":
		return usualKelpIodine * float64(it.Grams)
	case "kelp":
		return usualKelpIodine * rawKelp * float64(it.Grams)
	}
	return 0
}

// UsualKelpIodine is the same of a food without a label.
func UsualKelpIodine(f *Food, g Grams) float64 { return usualIodine(&Item{Food: f, Grams: g}) }

// UsualIodine is the iodine of a mixture per 1000 kcal of a dog that eats so
// many a day, µg, where some comes from kelp without its label, which counts as
// it usually is; 0 where none does.
func UsualIodine(m Mixture, eaten Kcal) float64 {
	days, kelp := lasting(m, eaten), 0.0
	for i := range m.Items {
		kelp += usualIodine(&m.Items[i])
	}
	for _, x := range m.Extras {
		if x.Nutrient == Iodine && x.NotKnown {
			kelp += x.Usual * days
		}
	}
	if kelp == 0 {
		return 0
	}
	p := perThousand(m, eaten)
	return (p.values[Iodine].Low + kelp) * p.factor
}
