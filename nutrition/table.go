package nutrition

import (
	"strings"
	"sync"
)

// Table is a food table: the foods compiled in, and a household's own foods
// where With added some. It is safe for use by several goroutines; nobody may
// change the foods it hands out.
type Table struct {
	foods []*Food
	byKey map[string]*Food
	base  *Table        // what a household's own foods are laid over; nil for the table itself
	index func() *index // made at the first search
}

// Default returns the table compiled in: foods of USDA SR26 (public domain)
// and the supplements, each with its source. It panics with the row's number
// where an embedded file is bad, which a test rules out.
var Default = sync.OnceValue(loadTable)

// Food returns the food with a key, nil if there is none. A food that was weighed
// cooked, without a row of its own, is worked out each time: see WeighedCooked.
func (t *Table) Food(key string) *Food {
	if raw, ok := strings.CutSuffix(key, weighedCooked); ok {
		if f := t.Food(raw); f != nil && f.Bone.Kind == NoBone && !f.asItIs() {
			return f.weighedCooked()
		}
		return nil
	}
	if f := t.byKey[key]; f != nil || t.base == nil {
		return f
	}
	return t.base.Food(key)
}

// Foods returns all foods in the order of the table: foods, then
// supplements, then a household's own. The slice is the caller's own.
func (t *Table) Foods() []*Food {
	if t.base == nil {
		return append([]*Food(nil), t.foods...)
	}
	var all []*Food
	for _, f := range t.base.Foods() {
		if t.byKey[f.Key] == nil {
			all = append(all, f)
		}
	}
	return append(all, t.foods...)
}

// With returns the table with a household's own foods laid over it. A food of
// theirs whose key the table has takes that one's place. It copies nothing of
// the table, and keeps pointers into own.
func (t *Table) With(own []Food) *Table {
	if len(own) == 0 {
		return t
	}
	over := &Table{base: t, byKey: make(map[string]*Food, len(own))}
	for i := range own {
		over.foods = append(over.foods, &own[i])
		over.byKey[own[i].Key] = &own[i]
	}
	over.index = sync.OnceValue(func() *index { return t.index().with(over.foods) })
	return over
}

var _ Pantry = (*Table)(nil)
