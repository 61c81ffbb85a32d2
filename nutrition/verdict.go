package nutrition

import "fmt"

// Verdict is what is said of an amount against its limits. The zero value is
// NotKnown.
type Verdict uint8

// The verdicts.
const (
	NotKnown Verdict = iota // missing figures, or a range that crosses a limit
	Low                     // below the minimum
	Enough                  // at or above the minimum; not above the maximum, as far as is known
	High                    // above the maximum
)

var verdicts = [...]string{"not known", "low", "enough", "high"}

// String returns the verdict's word.
func (v Verdict) String() string {
	if int(v) >= len(verdicts) {
		return fmt.Sprintf("verdict(%d)", uint8(v))
	}
	return verdicts[v]
}

// MarshalText returns the verdict's word.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads a verdict's word; another one is an error.
func (v *Verdict) UnmarshalText(b []byte) error {
	for i, w := range verdicts {
		if w == string(b) {
			*v = Verdict(i)
			return nil
		}
	}
	return fmt.Errorf("nutrition: no verdict %q", b)
}

// rounding is how far, relative to a limit, an amount may miss it and still
// count as at the limit: sums of decimal figures are not exact in binary.
const rounding = 1e-9

// judge sets the verdict of a row whose values and limits are set.
//
// An incomplete amount is "at least Low". It can show that the minimum is met
// or that the maximum is passed, never the contrary: then nothing is known.
// Where it meets the minimum of a row that has a maximum too, the verdict is
// Enough and OpenMax tells that nobody knows how much more there is.
func (r *Row) judge() {
	hasMin, hasMax := r.HasMin(), r.HasMax()
	floor, ceiling := r.Min*(1-rounding), r.Max*(1+rounding)
	r.StraddlesMin = hasMin && r.Complete && r.Low < floor && r.High >= floor
	r.StraddlesMax = hasMax && r.Capped.Complete && r.Capped.Low <= ceiling && r.Capped.High > ceiling
	// A limit that a dog which eats little cannot keep within both ends of:
	// too much is the graver of the two, so that it is looked at first.
	r.OpenMax = false
	switch {
	case hasMax && r.Capped.Low > ceiling:
		r.Verdict = High
	case hasMin && r.Complete && r.High < floor:
		r.Verdict = Low
	case hasMin && r.Low < floor:
		r.Verdict = NotKnown
	case r.StraddlesMax:
		r.Verdict = NotKnown
	case hasMax && !r.Capped.Complete:
		r.OpenMax = true
		r.Verdict = Enough
		if !hasMin {
			r.Verdict = NotKnown
		}
	default:
		r.Verdict = Enough
	}
}
