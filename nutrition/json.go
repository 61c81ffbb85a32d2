package nutrition

import "encoding/json"

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
