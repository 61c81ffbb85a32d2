package adjust

import (
	"slices"

	"bowlwright/nutrition"
)

// demandRow is a demand as a row that may be missed at a price. Values are
// parts of the limit, and written so that more is better: a maximum is a
// minimum of the negative.
type demandRow struct {
	demand   Demand
	weight   float64   // of missing it whole, in pushes
	limit    float64   // for the energy at the start, with which it rises
	lacks    float64   // to the limit, at the start; negative where there is some to spare
	up, down []float64 // what p and q of each variable bring
	hard     bool      // it must not be missed at all
	kept     bool      // a hard row beside it keeps what there is at the start
	raised   bool      // its limit rises with the rest of the mixture
	bound    bool      // not a demand but a limit to how far foods may grow
	of       int       // the variable that it bounds; -1: several, or none
}

// stricter returns by how much a row's right-hand side is perturbed. A hard one
// holds at the start, and still must.
func (r *demandRow) stricter() float64 {
	size := perturbation * max(1, abs(r.lacks))
	switch {
	case !r.hard || r.lacks+2*size <= 0:
		return size
	case r.lacks < 0:
		return -r.lacks / 4 // factor is at most 2
	}
	return -size
}

// rangeEnd is an end of a range, or its middle.
type rangeEnd uint8

const (
	lowEnd rangeEnd = iota
	midEnd
	highEnd
)

func (e rangeEnd) of(v nutrition.Value) float64 {
	switch e {
	case lowEnd:
		return v.Low
	case midEnd:
		return v.Mid
	}
	return v.High
}

// formTerm is a nutrient in a linear form. More of an adverse one makes the
// demand harder to meet, so what is not known of it must not count as nothing.
type formTerm struct {
	nutrition.Term
	end     rangeEnd
	adverse bool
}

// form sums terms over a composition.
type form []formTerm

// with appends terms, each times factor.
func (f form) with(terms []nutrition.Term, factor float64, end rangeEnd) form {
	for _, t := range terms {
		f = append(f, formTerm{nutrition.Term{Nutrient: t.Nutrient, Factor: t.Factor * factor}, end, factor < 0})
	}
	return f
}

func (f form) value(c *nutrition.Composition) float64 {
	var x float64
	for _, t := range f {
		x += t.Factor * t.end.of(c[t.Nutrient])
	}
	return x
}

// addRows writes down all demands.
func (md *model) addRows() {
	for i := range md.before.Rows {
		md.addRequirement(md.before.Rows[i].Requirement)
	}
	if md.req.Bands {
		md.addBands()
	}
	md.demands = len(md.rows)
	md.addLimits()
	md.bound()
}

// addRequirement writes down the limits of one subject. Limits become limits
// of the total, because the energy, and so the scale, stays.
func (md *model) addRequirement(q nutrition.Requirement) {
	s, subject := &md.scale, q.Subject
	least, most := Demand{Subject: subject}, Demand{Subject: subject, Most: true}
	if subject == nutrition.CalciumPhosphorus {
		md.addRatio(q)
		return
	}
	lower, upper := q.Min*s.Min, q.Max*s.Max
	weight := 1.0
	if subject == nutrition.Subject(nutrition.Calcium) || subject == nutrition.Subject(nutrition.Phosphorus) {
		weight = graverPush
	}
	if q.HasMin() && lower > 0 {
		f := form{}.with(subject.Terms(), s.Low/lower, lowEnd)
		md.addRow(least, weight, f, 1)
		md.addRaised(least, f, lower)
	}
	if q.HasMax() && upper > 0 {
		md.addRow(most, graverPush, form{}.with(subject.MaxTerms(), -s.High/upper, highEnd), -1)
	}
}

// addRaised writes down what raises a minimum with the rest of the mixture: f
// is the minimum's own form.
func (md *model) addRaised(d Demand, f form, lower float64) {
	rise, ok := md.req.Profile.Rise(d.Subject)
	if !ok {
		return
	}
	had := len(md.rows)
	f = f[:len(f):len(f)].with(rise.Terms, -rise.Per*md.scale.Mid/lower, midEnd)
	md.addRow(d, 1, f, rise.From*md.scale.Min/lower)
	for i := had; i < len(md.rows); i++ {
		md.rows[i].raised = true
	}
}

// addRatio writes down the limits of calcium to phosphorus as Ca - min P >= 0
// and max P - Ca >= 0, per 1000 mg in 1000 kcal. Bone, which makes the range,
// raises the ratio, so its least is at the low ends and its most at the high
// ones.
func (md *model) addRatio(q nutrition.Requirement) {
	if q.HasMin() {
		md.addRow(Demand{Subject: q.Subject}, graverPush, md.ratioForm(q.Min, false), 0)
	}
	if q.HasMax() {
		md.addRow(Demand{Subject: q.Subject, Most: true}, graverPush, md.ratioForm(q.Max, true), 0)
	}
}

// ratioForm returns the form that is not below 0 where calcium to phosphorus
// keeps a limit.
func (md *model) ratioForm(limit float64, most bool) form {
	size := md.energy / nutrition.ProfileKcal * 1000
	calcium, phosphorus := nutrition.Subject(nutrition.Calcium).Terms(), nutrition.Subject(nutrition.Phosphorus).Terms()
	if most {
		return form{}.with(phosphorus, limit/size, highEnd).with(calcium, -1/size, highEnd)
	}
	return form{}.with(calcium, 1/size, lowEnd).with(phosphorus, -limit/size, lowEnd)
}

// addRow writes down that a form is to be at least a limit.
func (md *model) addRow(d Demand, weight float64, f form, limit float64) {
	r := md.newRow(d, weight, f, limit, false)
	if md.missable(&r) {
		r.hard = md.settled(r.lacks)
		md.rows = append(md.rows, r)
	}
}

// newRow returns a row of a form.
func (md *model) newRow(d Demand, weight float64, f form, limit float64, hard bool) demandRow {
	r := demandRow{
		demand: d, weight: weight, of: -1, hard: hard, limit: limit, lacks: limit - f.value(&md.start.Values),
		up: make([]float64, len(md.vars)), down: make([]float64, len(md.vars)),
	}
	for j := range md.vars {
		v := &md.vars[j]
		known := f.value(&v.content) * v.unit
		r.down[j] = -known
		r.up[j] = known + md.worst(f, v)*v.unit
		if only := v.bounds.alone; only != nutrition.SubjectCount && d != (Demand{Subject: only}) {
			r.up[j] = min(0, r.up[j])
		}
	}
	return r
}

// missable reports that some amounts within the floors and the weight could
// miss a demand. Those that none can miss, about a third, would only cost time.
func (md *model) missable(r *demandRow) bool {
	worst, grams := r.lacks+abs(r.limit)*md.energySlack(), md.headroom()
	for j := range md.vars {
		v := &md.vars[j]
		grams += v.room() * v.unit
		worst += max(0, -r.down[j]) * v.room()
	}
	// All that may come in, of the food that takes most.
	most := 0.0
	for j := range md.vars {
		if v := &md.vars[j]; !v.noMore {
			most = max(most, -r.up[j]/v.unit)
		}
	}
	return worst+most*grams > -residual
}

// energySlack returns by what part of it the energy may change.
func (md *model) energySlack() float64 {
	if md.req.adding {
		return addEnergy
	}
	return gridEnergy
}

// worst returns by how much a gram more of a food may lower a form through what
// is not known of it: by as much as the richest food of its kind, or else of
// its part, whose figure the request has. A supplement stands for no other.
func (md *model) worst(f form, v *variable) float64 {
	var x float64
	for _, t := range f {
		if known := v.content[t.Nutrient]; t.adverse && !known.Complete {
			if rich := md.richest(t.Nutrient, v.item.Food); rich > known.High {
				x += t.Factor * (rich - t.end.of(known))
			}
		}
	}
	return x
}

// richest returns the most of a nutrient that a gram of a known food of the
// same kind or part in the request holds; 0 where none is known.
func (md *model) richest(n nutrition.Nutrient, like *nutrition.Food) float64 {
	var kind, part float64
	see := func(f *nutrition.Food, v nutrition.Value) {
		if f == nil || !v.Complete || f.Has(nutrition.Supplement) != like.Has(nutrition.Supplement) || f.Has(nutrition.Supplement) {
			return
		}
		if f.Kind == like.Kind {
			kind = max(kind, v.High)
		}
		if f.Part == like.Part {
			part = max(part, v.High)
		}
	}
	for j := range md.vars {
		see(md.vars[j].item.Food, md.vars[j].content[n])
	}
	for i := range md.items {
		if it := &md.items[i]; it.Grams > 0 && it.Food != nil {
			v := it.Food.Per100[n]
			see(it.Food, v.Times(1.0/100))
		}
	}
	if kind > 0 {
		return kind
	}
	return part
}

// addBands writes down the usual shares, as parts of the weight. Of a mixture
// without bone, meat may be more than the usual share: what would be bone is
// meat there.
func (md *model) addBands() {
	start := nutrition.SharesOf(md.items)
	boneless := !(start[nutrition.BonePart].High > 0)
	for _, b := range nutrition.Bands() {
		present := start.Share(b, 1).High > 0
		if b.Low > 0 && (present || b.Band != nutrition.BoneBand && b.Band != nutrition.FishBand && md.reaches(b)) {
			md.addBand(b, Demand{Band: b.Band}, b.Low, 1)
		}
		if b.High < 1 && (present || md.reaches(b)) && !(b.Band == nutrition.MeatBand && boneless) {
			md.addBand(b, Demand{Band: b.Band, Most: true}, b.High, -1)
		}
	}
}

// reaches reports that a food that may be added belongs to a band.
func (md *model) reaches(b nutrition.BandLimits) bool {
	return slices.ContainsFunc(md.vars, func(v variable) bool {
		within, _ := bandOf(b, v.item.Food)
		return within > 0
	})
}

// addBand writes down sign x (parts of the band - limit x the whole) >= 0.
func (md *model) addBand(b nutrition.BandLimits, d Demand, limit, sign float64) {
	r := md.bandRow(b, d, limit, sign)
	r.hard = md.settled(r.lacks)
	md.rows = append(md.rows, r)
}

// bandRow returns the row of a limit of a band; a hard one.
func (md *model) bandRow(b nutrition.BandLimits, d Demand, limit, sign float64) demandRow {
	r := demandRow{demand: d, weight: graverPush, of: -1, hard: true, up: make([]float64, len(md.vars)), down: make([]float64, len(md.vars))}
	value := func(f *nutrition.Food) float64 {
		within, whole := bandOf(b, f)
		return sign * (within - limit*whole) / md.grams
	}
	for i := range md.items {
		if it := &md.items[i]; it.Grams > 0 {
			r.lacks -= value(it.Food) * float64(it.Grams)
		}
	}
	for j := range md.vars {
		v := &md.vars[j]
		r.up[j] = value(v.item.Food) * v.unit
		r.down[j] = -r.up[j]
	}
	return r
}

// bandOf returns what part of a food belongs to a band, and what part to the
// whole that the band is a share of.
func bandOf(b nutrition.BandLimits, f *nutrition.Food) (within, whole float64) {
	var shares [nutrition.PartCount]float64
	if f == nil {
		shares[nutrition.Other] = 1
	} else {
		shares = f.Shares()
	}
	for _, p := range b.Parts {
		within += shares[p]
	}
	whole = 1
	if b.Band != nutrition.PlantBand {
		whole = 1 - shares[nutrition.Plant] - shares[nutrition.Other]
	}
	return within, whole
}
