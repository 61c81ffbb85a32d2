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
	t.setKcal(d, k, vet, false)
}

// setKcal sets the daily kcal of a dog by hand. Less than its resting energy,
// and less than before for a dog whose food is a vet's matter, is taken by a
// vet's word alone.
func (t *turn) setKcal(d *planner.Dog, k nutrition.Kcal, vet, sure bool) {
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
	if doubt := t.farFromNeed(d, k); doubt != "" && !vet && !sure {
		t.say(para(doubt)).
			offer(t.button(msg("button.amount-set", "kcal", kcal(k)), "kcal", "sure", d.ID, trim(float64(k), 0)), t.button(msg("button.amount-keep", "kcal", kcal(before.Kcal)), "kcal", "leave", d.ID))
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

// handIsFar is the share from which a figure set by hand is asked about (our own
// choice, within the 25 % that single dogs lie round an equation).
const handIsFar = 0.15

// farFromNeed says why a figure set by hand is asked about once: it is far from
// what the dog is thought to need, feeds up a dog that is over its goal weight,
// or takes food from a thin one. Empty where it is none of these.
func (t *turn) farFromNeed(d *planner.Dog, k nutrition.Kcal) string {
	_, decision, posts := t.judge(d)
	need := planner.NeedOf(*d, t.event.At)
	thought := need.Kcal
	if n := len(posts); n > 0 && posts[n-1].Enough() && decision.Target.Kcal > 0 {
		thought = decision.Target.Kcal
	}
	far := math.Abs(float64(k/thought) - 1)
	over := d.Condition > 5 || d.Ideal > 0 && d.Weight > d.Ideal*(1+wellOver)
	thin := d.Condition > 0 && d.Condition < 4
	args := []any{"dog", d.Name, "kcal", kcal(k), "need", kcal(thought), "percent", percent(far), "now", kcal(d.Kcal), "goal", bodyWeight(need.Ideal, t.home.Units)}
	switch more := d.Kcal > 0 && k > d.Kcal; {
	case more && over:
		return msg("amount.hand-over", args...)
	case thin && d.Kcal > 0 && k < d.Kcal:
		return msg("amount.hand-thin", args...)
	case far <= handIsFar || !(thought > 0):
		return ""
	case k > thought:
		return msg("amount.hand-more", args...)
	}
	return msg("amount.hand-less", args...)
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
		t.setKcal(d, nutrition.Kcal(k), true, true)
	case arg(args, 0) == "sure" && err == nil:
		t.setKcal(d, nutrition.Kcal(k), false, true)
	default:
		t.sayMsg("press.stale")
	}
}
