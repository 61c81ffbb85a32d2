package adjust

import (
	"maps"
	"slices"

	"bowlwright/nutrition"
)

// The amounts of a mixture are written as deviations: the grams of a variable
// are start + unit x (p - q) with p and q not negative. The unit is the inverse
// of what changing a gram costs, so that p and q cost 1 each and all columns
// are of a size.
//
// Of an owner's ingredient a gram costs 1 / max(start, 2 % of the whole), of a
// concentrate of hers 1 / max(start, 0.25 % of the whole), of an extra food
// 2 / (5 % of the whole), of a supplement 2 / (0.5 % of the whole).
const (
	ownLeast       = 0.02
	extraUnit      = 0.05 / 2
	supplementUnit = 0.005 / 2
	weightCap      = 1.25 // times the weight at the start
	graverPush     = 3    // maximums, calcium, phosphorus and shares, against minimums
	residual       = 1e-4 // of a limit, which the perturbation may cost
	excludedMost   = 0.5  // of the energy: without more than that it is another recipe
)

// variable is a food whose amount may change.
type variable struct {
	index   int            // in the mixture; -1 of an extra food
	item    nutrition.Item // the food, and its label
	content nutrition.Composition
	bounds  bounds
	start   float64 // grams
	floor   float64 // grams
	most    float64 // grams
	unit    float64 // grams
	noMore  bool    // nobody knows what more of it would do, or nothing asks for it
}

// model is a request as a linear program.
type model struct {
	req      *Request
	items    []nutrition.Item // of the mixture, at the start: without what is excluded
	excluded map[int]bool
	vars     []variable
	before   nutrition.Analysis // of the request's mixture
	start    nutrition.Totals   // of the items, and of the extras of as many days as before
	scale    nutrition.Scale
	grams    float64 // of the request's mixture
	energy   float64 // of the request's mixture, kcal, which stays
	short    float64 // kcal that the start lacks because foods were excluded
	fill     fill    // which makes that good
	rows     []demandRow
	demands  int         // how many of the rows are demands; limits that were broken follow
	limits   []demandRow // of several foods together, which take no row until they are broken
}

// newModel reads a request.
func newModel(req *Request) (*model, Problem) {
	if req.Profile == nil {
		return nil, NoProfile
	}
	md := &model{req: req, items: slices.Clone(req.Mixture.Items), excluded: map[int]bool{}}
	for i := range md.items {
		if !(md.items[i].Grams > 0) {
			md.items[i].Grams = 0
		}
	}
	md.before = nutrition.Analyse(md.mixture(md.items), req.Profile, req.Basis)
	md.grams, md.energy = float64(md.before.Grams), md.before.Energy.Mid
	if problem := md.takeOutExcluded(); problem != "" {
		return nil, problem
	}
	items := md.mixture(md.items)
	items.Days = md.before.Totals.Days
	md.start = nutrition.Sum(items)
	full := md.start
	full.Values[nutrition.Energy] = full.Values[nutrition.Energy].Plus(nutrition.Exactly(md.short))
	md.scale = nutrition.NewScale(&full, md.mixture(md.items), req.Profile, md.before.Basis)
	if md.scale.Open {
		return nil, NoEnergy
	}
	md.addItems()
	md.addAllowed()
	if len(md.vars) == 0 {
		return nil, NothingFree
	}
	for j := range md.vars {
		md.bindVariable(&md.vars[j])
	}
	var ok bool
	if md.fill, ok = md.fillUp(); !ok {
		return nil, TooMuchExcluded
	}
	md.addRows()
	return md, ""
}

// mixture returns the request's mixture with other items.
func (md *model) mixture(items []nutrition.Item) nutrition.Mixture {
	m := md.req.Mixture
	m.Items = items
	return m
}

// takeOutExcluded takes the excluded items out. What they leave short is for
// the program to make good, if enough is left that may change.
func (md *model) takeOutExcluded() Problem {
	if md.req.Exclude == nil {
		return ""
	}
	var free float64
	for i := range md.items {
		it := &md.items[i]
		if it.Food != nil && it.Grams > 0 && md.req.Exclude(it.Food) {
			md.excluded[i] = true
			md.short += it.Energy()
			it.Grams = 0
		} else if !md.req.Locked[i] && energyKnown(it) {
			free += it.Energy()
		}
	}
	switch {
	case len(md.excluded) > 0 && !(free > 0):
		return NoEnergy
	case md.short > excludedMost*md.energy:
		return TooMuchExcluded
	}
	return ""
}

// energyKnown reports that there is a full figure for an item's energy.
func energyKnown(it *nutrition.Item) bool { return perGram(it)[nutrition.Energy].Complete }

// perGram returns what a gram of an item holds, by its label where that says.
func perGram(it *nutrition.Item) nutrition.Composition {
	one := *it
	one.Grams = 1
	return nutrition.Sum(nutrition.Mixture{Items: []nutrition.Item{one}}).Values
}

// addItems makes variables of the mixture's items. Of several items of the same
// food only the largest becomes one, because nothing tells which of them should
// change.
func (md *model) addItems() {
	for i := range md.items {
		it := &md.items[i]
		if it.Food == nil || !(it.Grams > 0) || md.req.Locked[i] || !energyKnown(it) {
			continue
		}
		v := variable{index: i, item: *it, content: perGram(it), start: float64(it.Grams)}
		v.unit = max(v.start, ownLeast*md.grams)
		if boundsOf(it.Food).concentrate {
			v.unit = max(v.start, supplementUnit*md.grams) // a pinch more of it is much
		}
		if other := md.sameFood(&v); other == nil {
			md.vars = append(md.vars, v)
		} else if other.start < v.start {
			*other = v
		}
	}
}

// sameFood returns the variable, if any, of the same food and label that may
// vanish just if the other may.
func (md *model) sameFood(like *variable) *variable {
	for i := range md.vars {
		v := &md.vars[i]
		if v.item.Food.Key == like.item.Food.Key && maps.Equal(v.item.Label, like.item.Label) && md.req.LetGo[v.index] == md.req.LetGo[like.index] {
			return v
		}
	}
	return nil
}

// addAllowed makes variables of the foods that may be added. A food that the
// mixture has is one of the items, which may change or is locked.
func (md *model) addAllowed() {
	have := map[string]bool{}
	for i := range md.items {
		if it := &md.items[i]; it.Food != nil && (it.Grams > 0 || md.excluded[i]) {
			have[it.Food.Key] = true
		}
	}
	for _, f := range md.req.Allowed {
		if f == nil || have[f.Key] || md.req.Exclude != nil && md.req.Exclude(f) {
			continue
		}
		have[f.Key] = true
		v := variable{index: -1, item: nutrition.Item{Food: f}, content: perGram(&nutrition.Item{Food: f}), unit: extraUnit * md.grams}
		if !v.content[nutrition.Energy].Complete || f.Bone.Kind == nutrition.MammalBone || unknownIodine(f, &v.content) {
			continue
		}
		if f.Has(nutrition.Supplement) {
			v.unit = supplementUnit * md.grams
		}
		md.vars = append(md.vars, v)
	}
}

// room returns how many units a variable may lose.
func (v *variable) room() float64 { return max(0, v.start-v.floor) / v.unit }

// columns tells which columns of a program are the variables' p and q; -1
// where there is none.
type columns struct {
	up, down []int
	short    []int // by demand row
	count    int
}

// layOut numbers the columns: p and q of the variables, then what each demand
// lacks and what it has to spare, then the slacks of the hard rows.
func (md *model) layOut() (c columns, spare, hard int) {
	c.up, c.down = make([]int, len(md.vars)), make([]int, len(md.vars))
	next := func(is bool) int {
		if !is {
			return -1
		}
		c.count++
		return c.count - 1
	}
	for j := range md.vars {
		c.up[j] = next(!md.vars[j].noMore)
	}
	for j := range md.vars {
		c.down[j] = next(md.vars[j].room() > 0)
	}
	for range md.rows {
		c.short = append(c.short, next(true))
	}
	spare = c.count
	c.count += len(md.rows)
	hard = c.count
	c.count++ // the weight
	for _, j := range c.down {
		if j >= 0 {
			c.count++
		}
	}
	return c, spare, hard
}

// program returns the linear program of the model: missing a demand whole
// costs push times its weight, those of free nothing.
func (md *model) program(push float64, free map[Demand]bool, attempt int) (*program, columns) {
	c, spare, slack := md.layOut()
	p := &program{cols: c.count, cost: make([]float64, c.count), energy: -1}
	p.a = make([]float64, 0, (len(md.rows)+len(md.vars)+2)*c.count) // lines point into it
	line := func(b, size float64) []float64 {
		p.a = append(p.a, make([]float64, p.cols)...)
		p.exact = append(p.exact, b)
		p.b = append(p.b, b+size*factor(p.rows, attempt))
		p.rows++
		return p.a[(p.rows-1)*p.cols:]
	}
	for i := range md.rows {
		r := &md.rows[i]
		row := line(r.lacks, r.stricter())
		for j := range md.vars {
			set(row, c.up[j], r.up[j])
			set(row, c.down[j], r.down[j])
		}
		row[c.short[i]], row[spare+i] = 1, -1
		switch {
		case r.hard && (r.bound || !free[r.demand]):
			// A second column of what is to spare, which is never of use, so
			// that the columns are the same whatever is free.
			row[c.short[i]], p.cost[c.short[i]] = -1, 1
		case !free[r.demand]:
			p.cost[c.short[i]] = push * r.weight
		}
	}
	weight := line(md.headroom()/md.grams, -perturbation)
	weight[slack] = 1
	p.basis = []int{slack}
	for j := range md.vars {
		set(weight, c.up[j], md.vars[j].unit/md.grams)
		set(weight, c.down[j], -md.vars[j].unit/md.grams)
		if c.up[j] >= 0 {
			p.cost[c.up[j]] = 1
		}
		if c.down[j] >= 0 {
			slack++
			p.cost[c.down[j]] = 1
			room := line(md.vars[j].room(), -perturbation*md.vars[j].room())
			room[c.down[j]], room[slack] = 1, 1
			p.basis = append(p.basis, slack)
		}
	}
	md.energyRow(p, &c, line)
	md.firstBasis(p, &c, spare, attempt)
	return p, c
}

// firstBasis completes the basis with what each demand lacks or has to spare at
// the first point, whichever it is, and with the variables that are filled up.
func (md *model) firstBasis(p *program, c *columns, spare, attempt int) {
	x := map[int]float64{} // the columns that are not at zero in the first point
	for _, j := range md.fill.full {
		x[c.up[j]] = (md.fill.cap[j] - md.vars[j].start) / md.vars[j].unit
	}
	for i := range md.rows {
		if r := &md.rows[i]; r.bound && slices.Contains(md.fill.full, r.of) {
			x[c.up[r.of]] = p.b[i] / p.a[i*p.cols+c.up[r.of]]
		}
	}
	if p.energy >= 0 {
		row := p.a[p.energy*p.cols:][:p.cols]
		pivot := md.pivot(c, row)
		rest := p.b[p.energy]
		for j, v := range x {
			rest -= row[j] * v
		}
		x[pivot] = rest / row[pivot]
		p.basis = append(p.basis, pivot)
	}
	for i := range md.rows {
		r, rest := &md.rows[i], p.b[i]
		for j, v := range x {
			rest -= p.a[i*p.cols+j] * v
		}
		switch {
		case r.bound && slices.Contains(md.fill.full, r.of):
			p.basis = append(p.basis, c.up[r.of])
		case rest > 0 && p.a[i*p.cols+c.short[i]] > 0:
			p.basis = append(p.basis, c.short[i])
		default:
			if rest > 0 {
				// It holds at the start, if only just: what keeps the energy
				// must not break it.
				p.b[i] -= rest + perturbation*factor(i, attempt)
			}
			p.basis = append(p.basis, spare+i)
		}
	}
}

// pivot returns the column of the energy row that is in the first basis for it:
// that of the variable filled up in part, or of the one that brings or takes
// most.
func (md *model) pivot(c *columns, row []float64) int {
	if md.short > 0 {
		return c.up[md.fill.part]
	}
	most := 0
	for j := range row {
		if abs(row[j]) > abs(row[most]) {
			most = j
		}
	}
	return most
}

// energyRow adds the row that keeps the energy, if anything changes it. It is
// perturbed so that the column of the first basis is not below zero.
func (md *model) energyRow(p *program, c *columns, line func(b, size float64) []float64) {
	row := make([]float64, p.cols)
	changes := false
	for j := range md.vars {
		v := &md.vars[j]
		e := v.content[nutrition.Energy].Mid * v.unit / md.energy
		set(row, c.up[j], e)
		set(row, c.down[j], -e)
		changes = changes || e > 0 && (c.up[j] >= 0 || c.down[j] >= 0)
	}
	if !changes {
		return
	}
	size := perturbEnergy
	if row[md.pivot(c, row)] < 0 {
		size = -size
	}
	p.energy = p.rows
	copy(line(md.short/md.energy, size), row)
}

// set sets a column of a row, if there is one.
func set(row []float64, column int, x float64) {
	if column >= 0 {
		row[column] = x
	}
}

func abs(x float64) float64 { return max(x, -x) }
