package nutrition

import "fmt"

// Verdict is what is said of an amount against its limits. The zero value is
// NotKnown.
type Verdict uint8

// The verdicts.
const (
	NotKnown     Verdict = iota // missing figures, or a range that crosses a limit
	Low                         // below the minimum
	Enough                      // at or above the minimum; not above the maximum, as far as is known
	High                        // above the maximum
	LikelyLow                   // a range of which all but little is below the minimum
	LikelyEnough                // a range of which all but little is within the limits
	LikelyHigh                  // a range of which all but little is above the maximum
	AboveLegal                  // above what the law allows where it is added, and nothing is added
	NoLimit                     // the profile has neither minimum nor maximum
)

var verdicts = [...]string{"not known", "low", "enough", "high", "likely low", "likely enough", "likely high",
	"above the legal limit", "no limit in this table"}

// TooLittle reports that the minimum is missed, surely or likely.
func (v Verdict) TooLittle() bool { return v == Low || v == LikelyLow }

// TooMuch reports that the maximum is passed, surely or likely.
func (v Verdict) TooMuch() bool { return v == High || v == LikelyHigh }

// Meets reports that the limits are kept, surely or likely. A limit of the law
// on what is added is kept where nothing is added.
func (v Verdict) Meets() bool {
	return v == Enough || v == LikelyEnough || v == AboveLegal || v == NoLimit
}

// String returns the verdict's word.
func (v Verdict) String() string {
	if int(v) >= len(verdicts) {
		return fmt.Sprintf("verdict(%d)", uint8(v))
	}
	return verdicts[v]
}

// Rounding is how far, relative to a limit, an amount may miss it and still
// count as at the limit: sums of decimal figures are not exact in binary.
const Rounding = 1e-9

// judge sets the verdict of a row whose values and limits are set.
//
// An incomplete amount is "at least Low". It can show that the minimum is met
// or that the maximum is passed, never the contrary: then nothing is known.
// Where it meets the minimum of a row that has a maximum too, the verdict is
// Enough and OpenMax tells that nobody knows how much more there is. Where it
// misses the minimum for want of nothing but figures that are beside the
// point, the verdict is Low: see Row.Unless.
func (r *Row) judge() {
	hasMin, hasMax := r.HasMin(), r.HasMax()
	floor, ceiling := r.Min*(1-Rounding), r.Max*(1+Rounding)
	r.StraddlesMin = hasMin && r.Complete && r.Low < floor && r.High >= floor
	r.StraddlesMax = hasMax && r.Capped.Complete && r.Capped.Low <= ceiling && r.Capped.High > ceiling
	// For a dog that eats little the minimum may lie above the maximum. Too
	// much is the graver of the two, so it is looked at first.
	r.OpenMax = false
	switch {
	case hasMax && r.Capped.Low > ceiling:
		r.Verdict = High
	case hasMin && (r.Complete || len(r.Unless) > 0) && r.High < floor:
		r.Verdict = Low
	case hasMin && r.Low < floor, r.StraddlesMax:
		r.Verdict = r.likely(floor, ceiling)
	case hasMax && !r.Capped.Complete:
		r.Verdict = Enough
		if !hasMin {
			r.Verdict = NotKnown
		}
	case r.HasLegal() && r.Capped.Low > r.Legal*(1+Rounding):
		r.Verdict = AboveLegal
	case !hasMin && !hasMax && !r.HasLegal():
		r.Verdict = NoLimit
	default:
		r.Verdict = Enough
	}
	r.OpenMax = hasMax && !r.Capped.Complete && r.Verdict.Meets()
}

// likelyPart is how much of a range must lie on one side of a limit before the
// verdict says "likely" (our own choice).
const likelyPart = 0.85

// likely is the verdict on a range that crosses a limit. What is missing from
// an incomplete amount can only add to it, so it may be likely enough, never
// likely low.
func (r *Row) likely(floor, ceiling float64) Verdict {
	below, above := 0.0, 0.0
	if r.HasMin() {
		below = r.Value.below(floor)
	}
	if r.HasMax() && r.Capped.Complete {
		above = 1 - r.Capped.below(ceiling)
	}
	switch {
	case above >= likelyPart:
		return LikelyHigh
	case below >= likelyPart && r.Complete:
		return LikelyLow
	case r.IsUnknown():
		return NotKnown
	case below+above <= 1-likelyPart+Rounding:
		return LikelyEnough
	}
	return NotKnown
}
