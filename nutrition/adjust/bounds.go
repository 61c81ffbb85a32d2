package adjust

import (
	"embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"bowlwright/nutrition"
)

// bounds is how far a food may grow or shrink when a recipe is balanced or
// mended: see data/bounds.csv.
type bounds struct {
	floor       float64           // of an ingredient, the part of itself that it keeps
	times       float64           // itself, at most; infinite where there is no such limit
	whole       float64           // of the recipe's weight, at most
	spoon       bool              // it is measured by spoon
	least       float64           // grams that are added at least
	concentrate bool              // little of it brings much
	alone       nutrition.Subject // the only one for which it grows; SubjectCount: any
}

//go:embed data/bounds.csv
var boundsFile embed.FS

// boundsTable are the bounds by kind and, where a row names foods, by food.
type boundsTable struct {
	kinds, foods map[string]bounds
}

var allBounds = sync.OnceValue(func() boundsTable {
	table := boundsTable{map[string]bounds{}, map[string]bounds{}}
	nutrition.Records(boundsFile, "bounds.csv", func(cell func(string) string) error {
		var failed error
		number := func(column string) float64 {
			x, err := strconv.ParseFloat(cell(column), 64)
			if err != nil || !(x > 0) {
				failed = fmt.Errorf("%s %q", column, cell(column))
			}
			return x
		}
		b := bounds{floor: number("floor"), times: math.Inf(1), whole: number("whole"), least: number("least"),
			spoon: cell("spoon") == "yes", concentrate: cell("concentrate") == "yes", alone: nutrition.SubjectCount}
		if cell("times") != "" {
			b.times = number("times")
		}
		if s := cell("for"); s != "" {
			failed = b.alone.UnmarshalText([]byte(s))
		}
		table.kinds[cell("kind")] = b
		for _, key := range strings.Fields(cell("foods")) {
			table.foods[key] = b
		}
		return failed
	})
	return table
})

// boundsOf returns how far a food may grow or shrink. A food of a kind that has
// no row of its own has those of a household's own foods.
func boundsOf(f *nutrition.Food) bounds {
	kind := f.Kind
	if f.Has(nutrition.Seaweed) {
		kind = "seaweed"
	}
	if b, ok := allBounds().foods[f.Key]; ok {
		return b
	}
	if b, ok := allBounds().kinds[kind]; ok {
		return b
	}
	return allBounds().kinds["own"]
}

// most returns how many grams of a food a recipe of some weight may have, given
// how many it had at the start.
func (b bounds) most(start, whole float64) float64 {
	most := b.whole * whole
	if start > 0 {
		most = min(most, b.times*start)
	}
	return max(start, most)
}

// The grid of a kitchen: 1 g below 50 g, 5 g above; what is measured by spoon
// 0.1 g below 5 g.
const (
	spoonStep, spoonBelow = 0.1, 5
	fineStep, fineBelow   = 1, 50
	coarseStep            = 5
)

// A change is worth telling when it is at least this part of the amount and,
// for amounts above 20 g, at least this many grams (common practice, no
// source).
const (
	changeLeast   = 0.03
	changeGrams   = 2
	changeGramsOf = 20
)

// amounts lists, in their order, the grams that a food may have: what it has at
// the start and, from floor to most, those of the grid that are a change worth
// telling. Where the grid is that of one day of several, each is that many
// times as much.
func (b bounds) amounts(start, floor, most, days float64) []float64 {
	const slight = 1e-9
	least := changeLeast * start
	if start > changeGramsOf*days {
		least = max(least, changeGrams*days)
	}
	if start == 0 {
		least = b.least * days
	}
	var out []float64
	if floor == 0 && start > 0 {
		out = append(out, 0)
	}
	placed := false
	for i := 1; ; i++ {
		g := b.gridPoint(i) * days
		if !placed && start <= g+slight {
			out, placed = append(out, start), true
		}
		if g > most+slight {
			break
		}
		if g >= floor-slight && abs(g-start) >= least-slight && g != start {
			out = append(out, g)
		}
	}
	return out
}

// gridPoint returns the i-th amount of the grid, in grams.
func (b bounds) gridPoint(i int) float64 {
	if b.spoon {
		if i <= spoonBelow*10 {
			return float64(i) / 10
		}
		i -= spoonBelow * 9
	}
	if i <= fineBelow {
		return float64(i)
	}
	return fineBelow + float64(i-fineBelow)*coarseStep
}

// lowestMaximum returns the lowest maximum of a subject that any table has, per
// 1000 kcal; false where none has one.
func lowestMaximum(s nutrition.Subject) (float64, bool) {
	lowest := math.Inf(1)
	for _, p := range nutrition.Profiles() {
		for _, q := range p.Requirements {
			if q.Subject == s && q.HasMax() {
				lowest = min(lowest, q.Max)
			}
		}
	}
	return lowest, !math.IsInf(lowest, 1)
}

// bindVariable sets how far a variable may go.
func (md *model) bindVariable(v *variable) {
	v.bounds = boundsOf(v.item.Food)
	v.most = min(v.bounds.most(v.start, md.grams), weightCap*md.grams)
	if v.bounds.concentrate {
		v.most = max(v.start, min(v.most, mostAlone(&v.content, md.energy)))
	}
	if v.index >= 0 && !md.req.LetGo[v.index] {
		v.floor = v.start * v.bounds.floor
	}
	only := v.bounds.alone
	v.noMore = unknownIodine(v.item.Food, &v.content) || only != nutrition.SubjectCount && !md.needs(only)
}

// unknownIodine reports that a food is seaweed whose iodine nobody knows, so
// more of it is never an answer.
func unknownIodine(f *nutrition.Food, content *nutrition.Composition) bool {
	return f.Has(nutrition.Seaweed) && !content[nutrition.Iodine].Complete
}

// needs reports that the start has less than the minimum of a subject.
func (md *model) needs(s nutrition.Subject) bool {
	return md.start.Of(s.Terms()).Low*md.scale.Low < md.req.Profile.Min(s)*md.scale.Min*(1-nutrition.Rounding)
}
