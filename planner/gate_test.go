package planner

import (
	"testing"
	"time"
)

func TestGates(t *testing.T) {
	now := time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC)
	adult := Dog{Name: "Juniper", Weight: 19.6, Born: now.AddDate(-4, 0, 0)}
	for name, c := range map[string]struct {
		change func(*Dog)
		gate   Gate
		waits  bool
	}{
		"healthy":             {func(*Dog) {}, "", false},
		"ill":                 {func(d *Dog) { d.Health = "kidney disease" }, IllnessGate, true},
		"on medicine":         {func(d *Dog) { d.Health = "thyroxine" }, IllnessGate, true},
		"said to be ill":      {func(d *Dog) { d.Ill = true }, IllnessGate, true},
		"ill, a carer's kcal": {func(d *Dog) { d.Health, d.Kcal = "kidney disease", 800 }, IllnessGate, true},
		"ill, a vet's kcal":   {func(d *Dog) { d.Health, d.Kcal, d.ByVet = "kidney disease", 800, true }, IllnessGate, false},
		"pregnant":            {func(d *Dog) { d.Stage = Pregnant }, PregnantGate, true},
		"nursing":             {func(d *Dog) { d.Stage = Nursing }, NursingGate, true},
		"condition 2":         {func(d *Dog) { d.Condition = 2 }, VeryThinGate, true},
		"a thin puppy":        {func(d *Dog) { d.Condition, d.Born = 1, now.AddDate(0, -4, 0) }, VeryThinGate, true},
		"condition 3":         {func(d *Dog) { d.Condition = 3 }, UnderweightGate, false},
		"puppy":               {func(d *Dog) { d.Born = now.AddDate(0, -4, 0) }, GrowthGate, false},
		"puppy of no age":     {func(d *Dog) { d.Born, d.Puppy = time.Time{}, true }, GrowthGate, false},
	} {
		d := adult
		c.change(&d)
		if n := AmountOf(d, now); n.Gate != c.gate || n.Waits() != c.waits {
			t.Errorf("%s: gate %q, waits %v; want %q, %v", name, n.Gate, n.Waits(), c.gate, c.waits)
		}
	}
	for name, c := range map[string]struct {
		change func(*Dog)
		known  bool
	}{
		"an age alone":               {func(*Dog) {}, false},
		"a puppy's age":              {func(d *Dog) { d.Born = now.AddDate(0, -4, 0) }, false},
		"a carer's kcal":             {func(d *Dog) { d.PutInForce(900, OnCarer, "", now) }, false},
		"healthy":                    {func(d *Dog) { d.Healthy = true }, true},
		"ill":                        {func(d *Dog) { d.Health = "kidney disease" }, true},
		"nursing":                    {func(d *Dog) { d.Stage = Nursing }, true},
		"a vet's kcal":               {func(d *Dog) { d.PutInForce(900, OnVet, "", now) }, true},
		"a bowl before it was asked": {func(d *Dog) { d.PutInForce(900, OnEquation, "", now) }, true},
	} {
		d := adult
		if c.change(&d); d.Classed() != c.known {
			t.Errorf("%s: it is known whether the dog is healthy: %v, want %v", name, d.Classed(), c.known)
		}
	}
}
