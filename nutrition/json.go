package nutrition

import (
	"encoding/json"
	"math"
)

// storedValue is a Value as it is kept: Open says that it is "at least Low".
type storedValue struct {
	Low  float64 `json:"low"`
	Mid  float64 `json:"mid"`
	High float64 `json:"high"`
	Open bool    `json:"open,omitempty"`
}

// MarshalJSON writes the values by the keys of their nutrients and leaves out
// those of which nothing is known: what is stored must not depend on how many
// nutrients there are or on their order.
func (c Composition) MarshalJSON() ([]byte, error) {
	m := map[string]storedValue{}
	for n, v := range c {
		if !v.IsUnknown() {
			m[Nutrient(n).String()] = storedValue{v.Low, v.Mid, v.High, !v.Complete}
		}
	}
	return json.Marshal(m)
}

// UnmarshalJSON reads what MarshalJSON writes; an unknown nutrient is an
// error.
func (c *Composition) UnmarshalJSON(b []byte) error {
	var m map[string]storedValue
	if err := json.Unmarshal(b, &m); err != nil {
		return err
	}
	*c = Composition{}
	for key, v := range m {
		var n Nutrient
		if err := n.UnmarshalText([]byte(key)); err != nil {
			return err
		}
		c[n] = Value{v.Low, v.Mid, v.High, !v.Open}
	}
	return nil
}

// limit is a number for JSON, which has no NaN: nil leaves it out.
func limit(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}

// MarshalJSON writes the requirement per 1000 kcal with its unit; a missing
// limit is left out.
func (r Requirement) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Subject Subject  `json:"subject"`
		Unit    string   `json:"unit"`
		Min     *float64 `json:"min,omitempty"`
		Max     *float64 `json:"max,omitempty"`
		Kind    MaxKind  `json:"max_kind,omitempty"`
	}{r.Subject, r.Subject.Unit(), limit(r.Min), limit(r.Max), r.Kind})
}

// MarshalJSON writes the row: amounts and limits on the analysis' basis, and
// the verdict's word. An incomplete amount has no "high" ("at least low"); a
// range that crosses a limit is told beside the verdict.
func (r Row) MarshalJSON() ([]byte, error) {
	out := struct {
		Subject      Subject  `json:"subject"`
		Unit         string   `json:"unit"`
		Low          float64  `json:"low"`
		Mid          float64  `json:"mid"`
		High         *float64 `json:"high,omitempty"`
		Complete     bool     `json:"complete"`
		Min          *float64 `json:"min,omitempty"`
		Max          *float64 `json:"max,omitempty"`
		Kind         MaxKind  `json:"max_kind,omitempty"`
		Raised       Raise    `json:"min_raised_by,omitempty"`
		Verdict      Verdict  `json:"verdict"`
		StraddlesMin bool     `json:"straddles_min,omitempty"`
		StraddlesMax bool     `json:"straddles_max,omitempty"`
		OpenMax      bool     `json:"open_max,omitempty"`
		Measured     bool     `json:"measured,omitempty"`
		UnknownFrom  []int    `json:"unknown_from,omitempty"`
	}{
		r.Requirement.Subject, r.Requirement.Subject.Unit(), r.Low, r.Mid, nil, r.Complete,
		limit(r.Min), limit(r.Max), r.Requirement.Kind, r.Raised,
		r.Verdict, r.StraddlesMin, r.StraddlesMax, r.OpenMax, r.Measured, r.UnknownFrom,
	}
	if r.Complete {
		out.High = &r.High
	}
	return json.Marshal(out)
}
