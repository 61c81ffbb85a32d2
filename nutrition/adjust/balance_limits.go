package adjust

import (
	"cmp"
	"errors"
	"maps"
	"math"
	"slices"

	"bowlwright/nutrition"
)

// An answer must not cost more than it brings. What is enough at the start
// stays so, what is not does not get less, and every food keeps to the bounds
// of its kind. Few of these limits are ever reached, and each costs the solver
// time, so all but the first are added once a solution has broken them.

const (
	plantsMost      = 0.2  // of the weight (common practice, no source)
	concentrateMost = 0.5  // of the lowest maximum that any table has, by concentrates
	worsePart       = 1e-6 // of a limit, that counts as worse
	worthPart       = 0.03 // of a limit, that is worth a change (common practice, no source)
	worthMore       = 0.1  // the same, that is worth another answer
	tightenings     = 40   // rounds of added limits, of which recipes take a few
	plantsWeight    = 10   // times the price of too many plants, where foods were excluded
)

var errTightened = errors.New("adjust: limits that are never kept")

// settled reports that a demand with this much missing at the start must be
// kept. A start from which foods were excluded is no recipe, and nothing of it
// need be kept.
func (md *model) settled(lacks float64) bool { return md.short == 0 && lacks <= 0 }

// headroom returns by how many grams the start may gain in weight.
func (md *model) headroom() float64 { return weightCap*md.grams - float64(md.start.Grams) }

// mostAlone returns how many grams of a concentrate bring a recipe of some kcal
// half of the lowest maximum of something, by what a gram of it holds.
func mostAlone(gram *nutrition.Composition, kcal float64) float64 {
	most := math.Inf(1)
	for s := range nutrition.SubjectCount {
		if limit, ok := limitOfConcentrates(s, kcal); ok {
			if gives := highOf(gram, s.MaxTerms()); gives > 0 {
				most = min(most, limit/gives)
			}
		}
	}
	return most
}

// limitOfConcentrates returns how much of a subject concentrates may bring to a
// recipe of some kcal; false where no table has a maximum of it.
func limitOfConcentrates(s nutrition.Subject, kcal float64) (float64, bool) {
	lowest, ok := lowestMaximum(s)
	return concentrateMost * lowest * kcal / nutrition.ProfileKcal, ok && s != nutrition.CalciumPhosphorus
}

// highOf returns the high end of a sum of terms.
func highOf(c *nutrition.Composition, terms []nutrition.Term) (x float64) {
	for _, term := range terms {
		x += c[term.Nutrient].High * term.Factor
	}
	return x
}

// addLimits writes down the limits of several foods together: plants, and for
// each subject with a maximum the concentrates, which may bring half of it or
// what they bring already.
func (md *model) addLimits() {
	md.limits = append(md.limits, md.mostPlants())
	for s := range nutrition.SubjectCount {
		most, ok := limitOfConcentrates(s, md.energy)
		if !ok {
			continue
		}
		r := md.newBound(-1)
		grows := false
		for j := range md.vars {
			if v := &md.vars[j]; v.bounds.concentrate {
				r.down[j] = highOf(&v.content, s.MaxTerms()) * v.unit / most
				r.up[j] = -r.down[j]
				grows = grows || r.down[j] > 0 && !v.noMore
			}
		}
		if grows {
			r.lacks = min(0, md.byConcentrates(s)/most-1)
			md.limits = append(md.limits, r)
		}
	}
}

// byConcentrates returns how much of a subject comes from concentrates, and what
// is given beside the food, at the start.
func (md *model) byConcentrates(s nutrition.Subject) float64 {
	only := md.mixture(nil)
	only.Days = md.start.Days
	for i := range md.items {
		if it := &md.items[i]; it.Food != nil && boundsOf(it.Food).concentrate {
			only.Items = append(only.Items, *it)
		}
	}
	t := nutrition.Sum(only)
	return highOf(&t.Values, s.MaxTerms())
}

// tighten adds the limits that a solution has broken, and reports whether there
// were any.
func (md *model) tighten(s *solved, free map[Demand]bool) bool {
	had := len(md.rows)
	for i := range s.short {
		r := &md.rows[i]
		if md.short > 0 || r.hard || r.kept || free[r.demand] {
			continue
		}
		keep := md.kept(r)
		if slices.ContainsFunc(keep, func(k demandRow) bool { return md.lacks(s, &k) > worsePart }) {
			md.rows[i].kept = true
			md.rows = append(md.rows, keep...)
		}
	}
	for j := range md.vars {
		v := &md.vars[j]
		if v.start+s.deviation(j)*v.unit > v.most*(1+worsePart) {
			md.addMost(j)
		}
	}
	md.limits = slices.DeleteFunc(md.limits, func(r demandRow) bool {
		broken := md.lacks(s, &r) > worsePart
		if broken {
			md.rows = append(md.rows, r)
		}
		return broken
	})
	return len(md.rows) > had
}

// kept returns the hard rows that keep what there is of a demand.
func (md *model) kept(r *demandRow) []demandRow {
	keep := []demandRow{md.keep(*r)}
	if r.raised {
		// The amount stays, and the gap to the limit too.
		keep = append(keep, *r)
		keep[1].hard, keep[1].lacks = true, 0
	}
	return keep
}

// keep returns a row by which a demand that is missed at the start is not
// missed by more. For the ratio and for shares that means: no less than they
// are; for a minimum that is raised: no less than there is.
func (md *model) keep(r demandRow) demandRow {
	missing, d := r.lacks, r.demand
	r.hard, r.lacks = true, 0
	switch {
	case d.Band != "":
		b := d.Band.Limits()
		var within, whole float64
		for i := range md.items {
			if it := &md.items[i]; it.Grams > 0 {
				x, of := bandOf(b, it.Food)
				within += x * float64(it.Grams)
				whole += of * float64(it.Grams)
			}
		}
		if whole > 0 {
			sign := 1.0
			if d.Most {
				sign = -1
			}
			return md.bandRow(b, d, within/whole, sign)
		}
	case r.raised:
		f := form{}.with(d.Subject.Terms(), md.scale.Low/(md.req.Profile.Min(d.Subject)*md.scale.Min), lowEnd)
		return md.newRow(d, r.weight, f, f.value(&md.start.Values), true)
	case d.Subject == nutrition.CalciumPhosphorus:
		end := lowEnd
		if d.Most {
			end = highEnd
		}
		if p := end.of(md.start.Values[nutrition.Phosphorus]); p > 0 {
			f := md.ratioForm(end.of(md.start.Values[nutrition.Calcium])/p, d.Most)
			return md.newRow(d, r.weight, f, 0, true)
		}
	default:
		r.limit -= missing // what the start has is the limit now
	}
	return r
}

// lacks returns what a solution lacks of a row.
func (md *model) lacks(s *solved, r *demandRow) float64 {
	lacks := r.lacks
	for j := range md.vars {
		lacks -= s.at(s.up[j])*r.up[j] + s.at(s.down[j])*r.down[j]
	}
	return lacks
}

// at returns a column of a solution; 0 where there is none.
func (s *solved) at(column int) float64 {
	if column < 0 {
		return 0
	}
	return s.x[column]
}

// addMost writes down how much of a variable there may be at most.
func (md *model) addMost(j int) {
	v := &md.vars[j]
	r := md.newBound(j)
	r.lacks = (v.start - v.most) / v.unit
	r.up[j], r.down[j] = -1, 1
	md.rows = append(md.rows, r)
}

// newBound returns a limit toward which nothing counts yet.
func (md *model) newBound(of int) demandRow {
	return demandRow{hard: true, bound: true, of: of, up: make([]float64, len(md.vars)), down: make([]float64, len(md.vars))}
}

// mostPlants is the limit of plants: the usual share of the request's mixture
// where that is asked for, else more of it or, where it has more, what it has.
func (md *model) mostPlants() demandRow {
	most, start := plantsMost*md.grams, 0.0
	if md.req.Bands {
		most = nutrition.PlantBand.Limits().High * md.grams
	}
	for i := range md.items {
		if it := &md.items[i]; it.Food != nil && it.Grams > 0 {
			start += it.Food.Shares()[nutrition.Plant] * float64(it.Grams)
		}
	}
	r := md.newBound(-1)
	r.lacks = min(0, (start-most)/md.grams)
	for j := range md.vars {
		r.down[j] = md.plant(j) / md.grams
		r.up[j] = -r.down[j]
	}
	return r
}

// plant returns how many grams of plants a unit of a variable is.
func (md *model) plant(j int) float64 {
	return md.vars[j].item.Food.Shares()[nutrition.Plant] * md.vars[j].unit
}

// better reports that an answer may be offered: it leaves no more rows open
// than the start, and meets more limits or misses them by noticeably less;
// where foods were excluded, it keeps plants to their usual share.
func (md *model) better(a, start *Answer) bool {
	if md.short > 0 {
		return md.plantsKept(a)
	}
	return open(&a.Analysis) <= open(&start.Analysis) && md.buys(a, start, worthPart)
}

// buys reports that an answer meets more limits than another, or misses them by
// less, by at least some part.
func (md *model) buys(a, than *Answer, part float64) bool {
	less := md.lacking(than) - md.lacking(a)
	return less > part || less > 0 && len(a.Gaps) < len(than.Gaps)
}

// plantsKept reports that the share of plants is not above the usual, or what it
// was in the request's mixture.
func (md *model) plantsKept(a *Answer) bool {
	for _, o := range a.Analysis.Shares.Off() {
		if md.req.Bands && o.Band == nutrition.PlantBand && o.Verdict == nutrition.High {
			return o.Share.Mid <= md.before.Shares[nutrition.Plant].Mid+residual
		}
	}
	return true
}

// open counts the rows of an analysis that are not enough.
func open(a *nutrition.Analysis) (n int) {
	for i := range a.Rows {
		if a.Rows[i].Verdict != nutrition.Enough {
			n++
		}
	}
	return n
}

// lacking returns what an answer's gaps come to, at their prices.
func (md *model) lacking(a *Answer) (x float64) {
	for i := range a.Gaps {
		weight := 1.0
		if a.Gaps[i].Most {
			weight = graverPush // of omega-6 to omega-3 too, which has no row
		}
		for j := range md.rows {
			if r := &md.rows[j]; !r.bound && r.demand == a.Gaps[i].Demand {
				weight = r.weight
			}
		}
		x += weight * a.Gaps[i].Part
	}
	return x
}

// fill is how foods make good the energy of what is excluded: the least weight
// that does, as a first point for the solver.
type fill struct {
	full []int           // variables that are at their most
	part int             // the variable that brings the rest
	cap  map[int]float64 // grams
}

// fillUp finds the fill; false where what is left cannot make it good. Plants
// and concentrates are no substitute.
func (md *model) fillUp() (fill, bool) {
	f := fill{part: -1, cap: map[int]float64{}}
	if md.short == 0 {
		return f, true
	}
	perGram := func(j int) float64 { return md.vars[j].content[nutrition.Energy].Mid }
	for j := range md.vars {
		if v := &md.vars[j]; !v.noMore && v.index >= 0 && perGram(j) > 0 && md.plant(j) == 0 && !v.bounds.concentrate {
			f.cap[j] = v.most
		}
	}
	order := slices.SortedFunc(maps.Keys(f.cap), func(a, b int) int {
		return cmp.Or(cmp.Compare(perGram(b), perGram(a)), cmp.Compare(a, b))
	})
	short, room := md.short, md.headroom()
	for _, j := range order {
		gains := f.cap[j] - md.vars[j].start
		if needs := short / perGram(j); needs < gains {
			f.part = j
			return f, needs < room
		}
		f.full = append(f.full, j)
		short -= gains * perGram(j)
		room -= gains
	}
	return f, false
}

// bound writes down the limits that the first point reaches, or could break.
func (md *model) bound() {
	if md.short == 0 {
		return
	}
	for j := range md.vars {
		if !md.vars[j].noMore {
			md.addMost(j)
		}
	}
	for i := range md.rows {
		if r := &md.rows[i]; r.demand == (Demand{Band: nutrition.PlantBand, Most: true}) && !r.bound {
			r.weight *= plantsWeight
		}
	}
	md.rows = append(md.rows, md.limits...)
	md.limits = nil
}
