package judge

import (
	"math"
	"slices"
)

// Slope is how fast a weight changes, in % of it a week.
type Slope struct {
	Mid, Low, High float64 // the range holds it in four cases of five
	WeighIns       int     // that it rests on, of different days
	Days           float64 // from the first of them to the last
}

// slopeDays is how far back the slope of a history looks.
const slopeDays = 84

// SlopeOf returns the slope of the last twelve weeks, zero where there are
// fewer than two weigh-ins of different days.
func SlopeOf(h History) Slope { return slopeOver(groups(h.Weighings), slopeDays) }

// slopeOver is the Theil-Sen slope of the logarithm of the weights of the last
// days: the median of the slopes between all pairs, with Sen's range from the
// variance of Kendall's statistic, n (n-1) (2n+5) / 18 (Sen 1968, Journal of
// the American Statistical Association 63: 1379).
func slopeOver(g []group, days float64) Slope {
	for len(g) > 0 && g[len(g)-1].day-g[0].day > days+0.5 {
		g = g[1:]
	}
	n := len(g)
	if n < 2 {
		return Slope{WeighIns: n}
	}
	logs := make([]float64, n)
	for i := range g {
		logs[i] = math.Log(g[i].weight)
	}
	pairs := make([]float64, 0, n*(n-1)/2)
	for i := range g {
		for j := i + 1; j < n; j++ {
			pairs = append(pairs, (logs[j]-logs[i])/(g[j].day-g[i].day)*7*100)
		}
	}
	slices.Sort(pairs)
	const z = 1.2816 // the normal quantile of 0.9
	f := float64(n)
	half := z * math.Sqrt(f*(f-1)*(2*f+5)/18)
	last := float64(len(pairs) - 1)
	return Slope{
		Mid:      between(pairs, last/2),
		Low:      between(pairs, max((last-half)/2, 0)),
		High:     between(pairs, min((last+half)/2, last)),
		WeighIns: n,
		Days:     g[n-1].day - g[0].day,
	}
}

// between returns the value of a sorted list at a place between two of its
// members.
func between(sorted []float64, at float64) float64 {
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// group is the weigh-ins of a day or two, which count as one: gut and water
// carry over from one day to the next, so a second look says little new.
type group struct {
	day    float64 // as momentOf has it
	weight float64 // kg, the median
	last   int     // index of its last weigh-in
}

// together is how many days the weigh-ins of a group lie apart at most.
const together = 1.5

// groups gathers weigh-ins, which must rise in time.
func groups(w []Weighing) []group {
	g := make([]group, 0, len(w))
	for i := 0; i < len(w); {
		from := momentOf(w[i].At)
		j, sum := i+1, from
		for ; j < len(w); j++ {
			at := momentOf(w[j].At)
			if at-from > together {
				break
			}
			sum += at
		}
		g = append(g, group{sum / float64(j-i), medianWeight(w[i:j]), j - 1})
		i = j
	}
	return g
}

func medianWeight(w []Weighing) float64 {
	kg := make([]float64, len(w))
	for i := range w {
		kg[i] = float64(w[i].Weight)
	}
	return median(kg)
}

// median sorts the numbers.
func median(kg []float64) float64 {
	slices.Sort(kg)
	return between(kg, float64(len(kg)-1)/2)
}
