package nutrition

// mostVitaminD is how many IU of vitamin D 100 g of a food hold at most whose
// figure is missing: the highest that USDA SR26 has for its kind among the foods
// of the table. ok is false where it may be a good source: fish, egg and whatever
// a household added itself.
func mostVitaminD(f *Food) (iu float64, ok bool) {
	switch {
	case f == nil || f.Kind == OwnKind:
		return 0, false
	case f.Oil():
		return 332, true // pressed sardine oil; the liver oil has a figure
	case f.Part == Plant:
		return 0, true // of these only mushrooms have any, and have figures
	case f.Part == Liver || f.Part == SecretingOrgan:
		return 50, true // turkey liver
	case f.Part != Muscle && f.Part != MuscularOrgan:
		return 0, false
	case f.Has(Pork):
		return 91, true // spare rib
	case f.Has(Ruminant):
		return 5, true // ground beef
	}
	return 26, true // duck
}

// lacksVitaminD reports that a mixture is far below the minimum of vitamin D,
// whatever the foods bring that have no figure of it.
func lacksVitaminD(m *Mixture, a *Analysis, r *Row) bool {
	total := a.Totals.Values[VitaminD]
	if r == nil || !r.HasMin() || !(a.Energy.Mid > 0) {
		return false
	}
	most := total.High
	for _, part := range r.UnknownFrom {
		if part >= len(m.Items) {
			if !m.Extras[part-len(m.Items)].Natural {
				return false
			}
			continue
		}
		it := m.Items[part]
		iu, ok := mostVitaminD(it.Food)
		if !ok {
			return false
		}
		most += iu * float64(it.Grams) / 100
	}
	unit := float64(kcalOfProfile)
	if a.Basis.PerDog {
		unit = float64(a.Basis.Kcal)
	}
	return most*unit/a.Energy.Mid < badly*r.Min
}

// lacksZinc reports that the food of a growing dog is below its minimum of zinc.
// A grown dog is told of it in the analysis.
func lacksZinc(m *Mixture, a *Analysis, r *Row) bool {
	p := ProfileByID(a.ProfileID)
	return p != nil && p.Growth && r != nil && r.Verdict == Low && (r.Complete || m.onlyBeside(r.UnknownFrom))
}
