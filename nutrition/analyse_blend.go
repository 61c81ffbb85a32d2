package nutrition

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
		eaten = kcalOfProfile
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
