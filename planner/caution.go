package planner

import (
	"time"
)

// Caution records when a household was last told a caution, and when a carer
// waved it off.
type Caution struct {
	Said  time.Time `json:"said,omitzero"`
	Waved time.Time `json:"waved,omitzero"`
}

// How often cautions are said: weekly where the food fails the dog, after three
// months where it was read or waved off.
const (
	Weekly      = 7 * 24 * time.Hour
	ThreeMonths = 90 * 24 * time.Hour
)

// CautionDue reports that a caution is to be said: it was not said for so long,
// and not waved off in the last three months. Where a household was told it
// before times were recorded, it counts as told now.
func (h *Household) CautionDue(key string, every time.Duration, now time.Time) bool {
	c, ok := h.Cautions[key]
	if !ok && h.Told[key] {
		h.SayCaution(key, now)
		return false
	}
	return (c.Said.IsZero() || now.Sub(c.Said) >= every) && (c.Waved.IsZero() || now.Sub(c.Waved) >= ThreeMonths)
}

// SayCaution records that a caution was said.
func (h *Household) SayCaution(key string, now time.Time) {
	h.caution(key, func(c *Caution) { c.Said = now.UTC() })
}

// WaveOff records that a carer waved a caution off.
func (h *Household) WaveOff(key string, now time.Time) {
	h.caution(key, func(c *Caution) { c.Waved = now.UTC() })
}

func (h *Household) caution(key string, change func(*Caution)) {
	if h.Cautions == nil {
		h.Cautions = map[string]Caution{}
	}
	c := h.Cautions[key]
	change(&c)
	h.Cautions[key] = c
}
