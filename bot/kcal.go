package bot

import (
	"math"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// saidKcal sets what a dog gets a day, as a sentence says.
func (t *turn) saidKcal(d *planner.Dog, s read.Sentence, vet bool) {
	k := s.Kcal
	if s.Factor > 0 {
		k = nutrition.Kcal(math.Round(float64(planner.AmountOf(*d, t.event.At).Kcal)*s.Factor/5) * 5)
	}
	t.setKcal(d, k, vet)
}

// setKcal sets the daily kcal of a dog by hand. Less than its resting energy,
// and less than before for a dog whose food is a vet's matter, is taken by a
// vet's word alone.
func (t *turn) setKcal(d *planner.Dog, k nutrition.Kcal, vet bool) {
	if k < leastKcal || k > mostKcal {
		t.sayMsg("wrong.kcal")
		return
	}
	before := planner.AmountOf(*d, t.event.At)
	after := *d
	after.Kcal = k
	if err := after.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	why := ""
	switch {
	case vet:
	case k < before.Resting:
		why = msg("kcal.below", "kcal", kcal(k), "resting", kcal(before.Resting), "dog", d.Name)
	case before.Gate != "" && k < before.Kcal:
		why = joinParas(msg("kcal.less", "kcal", kcal(k), "now", kcal(before.Kcal), "dog", d.Name), t.gateText(*d, before))
	}
	if why != "" {
		t.say(para(why)).
			offer(t.button(msg("button.vet-set"), "kcal", "vet", d.ID, trim(float64(k), 0)), t.button(msg("button.keep-as-is"), "kcal", "leave", d.ID))
		return
	}
	t.mutate("did.kcal-set", d.Name)
	ground := planner.OnCarer
	if vet {
		ground = planner.OnVet
	}
	t.setAmount(d, k, ground)
	now := planner.AmountOf(*d, t.event.At)
	was := msg("kcal.same")
	if kcal(before.Kcal) != kcal(now.Kcal) {
		was = msg("kcal.before", "kcal", kcal(before.Kcal))
	}
	t.inPlace(t.say(para(t.needText(*d, now)), para(was), para(t.gateText(*d, now)))).
		offer(t.undoButton(), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// pressKcal does what a button under an amount set by hand asks.
func (t *turn) pressKcal(args []string) {
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	switch k, err := read.Number(arg(args, 2)); {
	case arg(args, 0) == "leave":
		t.inPlace(t.say(para(t.needText(*d, planner.AmountOf(*d, t.event.At)))))
	case arg(args, 0) == "vet" && err == nil:
		t.setKcal(d, nutrition.Kcal(k), true)
	default:
		t.sayMsg("press.stale")
	}
}
