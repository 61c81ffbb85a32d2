package foodline

import (
	"slices"
	"strings"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// activeOf returns the one nutrient for whose sake a supplement is given,
// where it is of one: the only one whose content the label must tell.
func activeOf(f *nutrition.Food) (nutrition.Nutrient, bool) {
	if !f.Has(nutrition.Supplement) {
		return 0, false
	}
	var active nutrition.Nutrient
	found := 0
	for n := range nutrition.NutrientCount {
		switch v := &f.Per100[n]; {
		case !v.Complete:
			active, found = n, found+1
		case v.High > 0:
			return 0, false
		}
	}
	return active, found == 1
}

// isDose reports that a line is a dose rather than an ingredient. A
// supplement is a dose where a count, a strength or a cadence is named, and
// an ingredient where it is only weighed or measured. Food is a dose only
// where it is not for every day, which an ingredient cannot say, and no more than a dog
// may have at once.
func (l *lexed) isDose(f *nutrition.Food) bool {
	if masses := l.of(span.ByMass); !f.Has(nutrition.Supplement) {
		return l.per1000 || l.Often.PerDay() != 1 && (len(masses) == 0 || masses[0].N <= mostFoodDose)
	}
	if l.per1000 || l.Often.Named || l.form != "" || len(l.of(span.ByActive, span.ByForm)) > 0 {
		return true
	}
	if counts := l.of(span.ByCount); len(counts) > 0 {
		_, weighs := measureOf(f, "piece", "") // "12 egg shells"
		return !weighs
	}
	_, pure := activeOf(f)
	return pure && l.strengthByMass() || len(l.of(span.ByMass, span.ByMeasure, span.ByVolume)) == 0
}

// mostFoodDose is more of a food, in grams, than is given beside a bowl: that is cooked
// for many on that day (our own choice).
const mostFoodDose = 1000

// strengthByMass reports that a mass in the line is that of what is active:
// "zinc 15 mg". It is the product's where the line says so, or says how much
// of it is active.
func (l *lexed) strengthByMass() bool {
	masses := l.of(span.ByMass)
	if len(masses) == 0 || l.weighed {
		return false
	}
	return masses[0].Metric && !slices.ContainsFunc(l.facts, func(x fact) bool { return x.basis == perMass })
}

// dose makes a dose of a line about a supplement.
func (l *lexed) dose(f *nutrition.Food, line Line) (Line, *span.Problem) {
	d := &planner.Dose{Food: f.Key, Cadence: l.Often.Cadence, Per1000: l.per1000, Batch: l.batch, Typed: l.Text}
	times := max(l.Often.Times, 1)
	b := &doseLine{lexed: l, f: f, d: d, line: &line, count: 1, times: times}
	for _, step := range []func() *span.Problem{b.takePieces, b.doubtCount, b.takeStrength, b.takeLabel} {
		if p := step(); p != nil {
			return Line{}, p
		}
	}
	d.Count *= times
	if d.Grams == 0 && d.Count > 0 && d.Form != "" && f.Has(nutrition.Supplement) {
		if m, ok := f.MeasureOf(d.Form, ""); ok {
			d.Grams = m.Grams * nutrition.Grams(d.Count)
			line.Measure, line.Count = &m, d.Count
			if k := span.UnitWords[d.Form].Kind; k == span.ByMeasure || k == span.ByVolume {
				d.Count, d.Form = 0, "" // a cup is a way to weigh it, not a form in which it comes
			}
		}
	}
	if d.Grams > span.MostOfAFood {
		return Line{}, l.trouble(span.TooMuch, "")
	}
	active, pure := activeOf(f)
	for _, a := range d.Amounts {
		switch {
		case tooMuch(a):
			return Line{}, l.trouble(span.TooMuch, "")
		case pure && a.Nutrient == active && !(a.Amount > 0): // a slip, whichever way it was written
			return Line{}, l.trouble(span.Zero, "")
		}
	}
	if d.Grams == 0 && len(d.Amounts) == 0 && d.Count > 0 && pure && d.Form == "" && !b.Often.Named {
		return Line{}, l.trouble(span.NoUnit, "")
	}
	if d.Grams == 0 && len(d.Amounts) == 0 && d.Count == 0 {
		return Line{}, l.foodProblem(span.NoAmount, l.Food(), nutrition.Finding{})
	}
	line.Dose = d
	return line, nil
}

// tooMuch reports more of a nutrient than a line can name of anything; what
// is per capsule or cup comes to its amount only by multiplication.
func tooMuch(a planner.Amount) bool {
	most := map[string]float64{"IU": mostActive, "g": span.MostOfAFood, "mg": span.MostOfAFood * 1e3, "ug": span.MostOfAFood * 1e6}
	limit, ok := most[a.Nutrient.Unit()]
	return ok && !(a.Amount <= limit)
}

// doseLine is a dose on its way.
type doseLine struct {
	*lexed
	f     *nutrition.Food
	d     *planner.Dose
	line  *Line
	count float64 // pieces each time; 1 where none are counted
	times float64 // a day
}

// takePieces takes the count and the form of a dose, or weighs it by its
// spoon or cup.
func (b *doseLine) takePieces() *span.Problem {
	counts := b.of(span.ByForm, span.ByCount)
	spoons := b.of(span.ByMeasure, span.ByVolume)
	if len(counts) == 2 && counts[0].Kind != counts[1].Kind { // "2 x 1 capsule" has none of its own
		return b.trouble(span.TwoAmounts, b.Span(counts[1].From, counts[1].To))
	}
	if len(counts)+len(spoons) > 1 {
		return b.trouble(span.TwoAmounts, "")
	}
	if !b.f.Has(nutrition.Supplement) { // food that is not for every day
		g, p := b.weigh(b.f, b.line)
		b.d.Grams = g * nutrition.Grams(b.times)
		return p
	}
	switch {
	case len(counts) == 1:
		b.count = counts[0].N
		b.d.Count, b.d.Form = b.count, b.form
	case len(spoons) == 1:
		s := spoons[0]
		if m, ok := measureOf(b.f, s.Unit, b.noteOf()); ok {
			b.line.Measure, b.line.Count = &m, s.N
			b.d.Grams = m.Grams * nutrition.Grams(s.N*b.times)
			b.count = s.N
			return nil
		}
		if len(b.facts)+len(b.of(span.ByActive, span.ByMass)) == 0 {
			return b.trouble(span.NoMeasure, b.Span(s.From, s.To))
		}
		b.count = s.N
		b.d.Count, b.d.Form = s.N, s.Unit
	case b.form != "" && wholePiece(b.form):
		b.d.Count, b.d.Form = 1, b.form
	}
	return nil
}

// doubtCount asks what a strength is of where several drops or pumps of it are
// counted: three drops of 1000 IU may be 1000 or 3000.
func (b *doseLine) doubtCount() *span.Problem {
	if b.d.Form == "" || wholePiece(b.d.Form) || b.d.Count <= 1 || b.each || b.all {
		return nil
	}
	if _, pure := activeOf(b.f); pure && (len(b.of(span.ByActive)) > 0 || b.strengthByMass()) {
		return b.trouble(span.EachOrAll, b.d.Form)
	}
	return nil
}

// wholePiece reports that a strength is printed for each piece of a form: a
// capsule of 400 IU, but 10 drops of 1000 IU together.
func wholePiece(form string) bool {
	return slices.Contains([]string{"capsule", "tablet", "sachet", "piece", ""}, form)
}

// factor is by how much a strength is to be multiplied for a day's dose.
func (b *doseLine) factor() float64 {
	ofEach := b.each || !b.all && wholePiece(b.d.Form) && b.d.Count > 0
	return span.Choose(ofEach, b.count*b.times, b.times)
}

// takeStrength takes IU and masses that are named with no nutrient.
func (b *doseLine) takeStrength() *span.Problem {
	active, pure := activeOf(b.f)
	masses, ius := b.of(span.ByMass), b.of(span.ByActive)
	if !b.f.Has(nutrition.Supplement) {
		masses = nil
	}
	if len(masses) == 2 && masses[0].Metric != masses[1].Metric && within(masses[0].N, masses[1].N, bothWays) {
		masses = masses[:1]
	}
	if len(ius) > 1 || len(masses) > 1 {
		return b.trouble(span.TwoAmounts, "")
	}
	if len(ius) == 1 {
		if !pure || active.Unit() != "IU" {
			return b.trouble(span.NoMeasure, b.Span(ius[0].From, ius[0].To))
		}
		b.addAmount(active, ius[0].N*b.factor())
	}
	if len(masses) == 0 {
		return nil
	}
	switch {
	case pure && len(ius) == 0 && b.strengthByMass():
		u, x := b.strengthUnit(masses[0])
		x, p := b.saltMass(x, true)
		if p != nil {
			return p
		}
		if active == nutrition.VitaminE && !b.synthetic && !b.natural {
			return b.trouble(span.WhichE, "")
		}
		amount, ok := toUnit(active, x, u, b.synthetic)
		if !ok {
			return b.trouble(span.MixedUnits, "")
		}
		b.addAmount(active, amount*b.factor())
	case pure && len(ius) == 1 && b.strengthByMass(): // "400 IU (268 mg)" says it twice
	case b.f.Has(nutrition.Seaweed) && span.UnitWords[masses[0].Unit].Factor < 1e-4: // nobody weighs a tablet in micrograms
		u, x := b.strengthUnit(masses[0])
		amount, _ := toUnit(nutrition.Iodine, x, u, false)
		b.addAmount(nutrition.Iodine, amount*b.factor())
	default:
		x, p := masses[0].N, (*span.Problem)(nil)
		if !pure && !strings.HasSuffix(masses[0].Unit, "kg") && span.UnitWords[masses[0].Unit].Factor < 1 {
			if x, p = b.saltMass(x, false); p != nil {
				return p
			}
		}
		b.d.Grams = nutrition.Grams(x * b.factor())
	}
	return nil
}

// strengthUnit returns a mass in the unit in which it was typed, so that
// nothing is lost by conversion.
func (b *doseLine) strengthUnit(a span.Amount) (span.Unit, float64) {
	u := span.UnitWords[a.Unit]
	for i := a.From; i < a.To; i++ {
		if b.Tokens[i].Kind == span.NumberToken && !b.Tokens[i].Num.Fraction && a.N == b.Tokens[i].Num.Whole()*u.Factor {
			return u, b.Tokens[i].Num.Whole()
		}
	}
	return u, a.N / u.Factor
}

func (b *doseLine) addAmount(n nutrition.Nutrient, x float64) {
	b.d.Amounts = append(b.d.Amounts, planner.Amount{Nutrient: n, Amount: x})
}

// takeLabel takes the nutrients that are named with their amounts.
func (b *doseLine) takeLabel() *span.Problem {
	for _, x := range b.facts {
		n, amount, p := b.inNutrient(b.f, x)
		if p != nil {
			return p
		}
		if slices.ContainsFunc(b.d.Amounts, func(other planner.Amount) bool { return other.Nutrient == n }) {
			return b.trouble(span.TwoAmounts, "")
		}
		switch x.basis {
		case perLine:
			amount *= b.factor()
		case perMass:
			if b.d.Grams == 0 && b.d.Form != "" {
				m, _ := measureOf(b.f, b.d.Form, "")
				b.d.Grams = m.Grams * nutrition.Grams(b.count*b.times)
			}
			if b.d.Grams == 0 && len(b.Amounts) == 0 {
				return b.trouble(span.LabelOnly, "")
			}
			if b.d.Grams == 0 {
				return b.trouble(span.NoMeasure, "")
			}
			amount *= float64(b.d.Grams) / x.per
		case perForm:
			switch served := x.form == "serving" || x.form == "portion"; {
			case served:
				amount *= b.times / x.per
			case b.d.Count == 0 && b.d.Grams > 0:
				m, ok := measureOf(b.f, x.form, "")
				if !ok {
					return b.trouble(span.NoMeasure, "")
				}
				amount *= float64(b.d.Grams) / (x.per * float64(m.Grams))
			default:
				if b.d.Form == "" || b.d.Count == 0 {
					b.d.Form, b.d.Count = x.form, max(b.d.Count, 1)
				}
				if b.d.Form != x.form {
					return b.trouble(span.BadBasis, "")
				}
				amount *= b.count * b.times / x.per
			}
		}
		b.addAmount(n, amount)
	}
	return nil
}
