package larder

import (
	"math"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// Packing is food shared out: so many packs of so many grams, and what is left
// over, which is less than a pack wherever a pack was made. Packs*Each + Rest is
// what went in, to the gram.
type Packing struct{ Packs, Each, Rest int }

// MostPack is the weight of a pack that thaws overnight in a fridge, g; heavier
// ones need two evenings (common practice, no source).
const MostPack = 1000

// packSpread is by how much a pack may differ from a day's food: our own choice,
// far less than what any equation leaves open of a dog's need.
const packSpread = 0.02

// PackUp shares out some grams in packs of about the grams wanted, or of an even
// part of them where that is more than MostPack. All packs weigh the same, by
// the steps of a kitchen scale; of the sizes within packSpread (or one step) it is
// the one that leaves least over, and of those the nearest to what is wanted.
func PackUp(total int, wanted nutrition.Grams) Packing {
	if !(wanted >= 1) || total <= 0 {
		return Packing{Rest: max(total, 0)}
	}
	want := float64(wanted) / PacksADay(wanted)
	s := float64(portions.ScaleStep(want, planner.Units{}))
	spread := max(s, want*packSpread)
	best := Packing{Rest: total}
	for each := math.Ceil((want-spread)/s) * s; each <= min(want+spread, MostPack); each += s {
		if each < 1 {
			continue
		}
		p := Packing{total / int(each), int(each), total % int(each)}
		if p.Packs > 0 && (best.Packs == 0 || p.better(best, want)) {
			best = p
		}
	}
	return best
}

func (p Packing) better(than Packing, want float64) bool {
	if p.Rest != than.Rest {
		return p.Rest < than.Rest
	}
	return math.Abs(float64(p.Each)-want) < math.Abs(float64(than.Each)-want)
}

// PacksADay is how many packs a day's food of so many grams is in.
func PacksADay(aDay nutrition.Grams) float64 { return max(1, math.Ceil(float64(aDay)/MostPack)) }
