package nutrition

import "math"

// Difference is a requirement on which two mixtures differ.
type Difference struct{ A, B *Row }

// byMuch is how far two amounts must be apart, as a part of the smaller (our own
// choice).
const byMuch = 0.2

// Differences are the requirements of which two mixtures, analysed against one
// profile on one basis, give different verdicts, or amounts of which one is 20 %
// above the other. Of an amount that is only known to be at least so much the
// verdict alone counts.
func Differences(a, b *Analysis) (all []Difference) {
	for i := range a.Rows {
		x := &a.Rows[i]
		y := b.Row(x.Requirement.Subject)
		if y != nil && (x.Verdict.kind() != y.Verdict.kind() || farApart(x.Value, y.Value)) {
			all = append(all, Difference{x, y})
		}
	}
	return all
}

func farApart(x, y Value) bool {
	low, high := math.Min(x.Mid, y.Mid), math.Max(x.Mid, y.Mid)
	return x.Complete && y.Complete && high-low >= byMuch*low*(1-Rounding) && high > low
}

// kind takes together what verdicts say for sure and as likely.
func (v Verdict) kind() Verdict {
	switch {
	case v.TooLittle():
		return Low
	case v.TooMuch():
		return High
	case v.Meets():
		return Enough
	}
	return NotKnown
}
