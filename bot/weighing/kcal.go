package weighing

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// saidKcal sets what a dog gets a day, as a sentence says.
func saidKcal(t *talk.Turn, d *planner.Dog, s read.Sentence, vet bool) {
	k := s.Kcal
	if s.Factor > 0 {
		k = nutrition.Kcal(math.Round(float64(planner.AmountOf(*d, t.Event.At).Kcal)*s.Factor/5) * 5)
	}
	switch now := planner.AmountOf(*d, t.Event.At); {
	case vet || s.Factor > 0:
	case planKcal(t, d) == say.Kcal(k):
		startPlan(t, d)
		return
	case now.ByHand && say.Kcal(now.Kcal) == say.Kcal(k):
		t.SayMsg("kcal.already", "dog", d.Name, "kcal", say.Kcal(k))
		return
	}
	setKcal(t, d, k, vet, false)
	if !d.InForce.Since.Equal(t.Event.At) { // it was not set
		return
	}
	next := msg("kcal.next", "dog", d.Name)
	t.Home.Reminders = slices.DeleteFunc(t.Home.Reminders, func(r planner.Reminder) bool { // of a figure before
		return r.Kind == planner.NoteReminder && strings.HasPrefix(strings.ToLower(r.Text), strings.ToLower(next))
	})
	if until, ok := read.EndsOn(t.AsTyped(), t.Event.At); ok { // nobody is to go on by it unasked
		t.GoTo(read.Sentence{Intent: read.Remind, Words: msg("kcal.over", "next", next, "kcal", say.Kcal(k), "day", until.AddDays(1).String())})
	}
}

// KcalWords takes what several dogs get a day, each with its figure.
func KcalWords(t *talk.Turn, s string) bool {
	each := read.KcalEach(s, t.Names())
	for _, said := range each {
		t.GoTo(said)
	}
	return len(each) > 0
}

// forgetVet takes back that a dog's daily amount is a vet's figure: it gets what
// is worked out, or nothing where only a vet may say.
func forgetVet(t *talk.Turn, d *planner.Dog) {
	before := planner.AmountOf(*d, t.Event.At)
	if !d.ByVet {
		t.Say(say.Para(msg("kcal.no-vet", "dog", d.Name)), say.Para(dogs.NeedText(t, *d, before)))
		return
	}
	t.Mutate("did.kcal-set", d.Name)
	d.Withdraw()
	Shown(t, d)
	now := planner.AmountOf(*d, t.Event.At)
	t.Say(say.Para(msg("kcal.vet-forgotten", "dog", d.Name, "kcal", say.Kcal(before.Kcal))), say.Para(dogs.NeedText(t, *d, now)), say.Whole(dogs.GateText(*d, now))).
		Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// setKcal sets the daily kcal of a dog by hand. It takes less than the resting
// energy, and less than before for a dog whose food is a vet's matter, only by
// a vet's word; for a dog whose bowl waits for a vet it takes nothing else.
func setKcal(t *talk.Turn, d *planner.Dog, k nutrition.Kcal, vet, sure bool) {
	if k < dogs.LeastKcal || k > dogs.MostKcal {
		t.SayMsg("wrong.kcal")
		return
	}
	before := planner.AmountOf(*d, t.Event.At)
	after := *d
	after.Kcal = k
	if talk.Unfit(t, after) {
		return
	}
	why := ""
	switch {
	case vet:
	case before.Waits():
		why = say.JoinParas(msg("kcal.only-vet", "kcal", say.Kcal(k), "dog", d.Name), dogs.GateText(*d, before))
	case k < before.Resting && say.Kcal(k) != say.Kcal(before.Resting): // what was offered is rounded
		why = msg("kcal.below", "kcal", say.Kcal(k), "resting", say.Kcal(before.Resting), "dog", d.Name)
	case before.Gate != "" && k < before.Kcal:
		why = say.JoinParas(msg("kcal.less", "kcal", say.Kcal(k), "now", say.Kcal(before.Kcal), "dog", d.Name), dogs.GateText(*d, before))
	case before.Gate != "" && before.Gate != planner.GrowthGate && k > before.Kcal && d.InForce.Ground == planner.OnVet:
		why = msg("kcal.not-vet", "kcal", say.Kcal(k), "now", say.Kcal(before.Kcal), "dog", d.Name)
	}
	if why != "" {
		t.Say(say.Para(why)).
			Offer(t.Button(msg("button.vet-set"), "kcal", "vet", d.ID, say.Trim(float64(k), 0)), t.Button(msg("button.keep-as-is"), "kcal", "leave", d.ID))
		return
	}
	if doubt := farFromNeed(t, d, k); doubt != "" && !vet && !sure {
		t.Say(say.Para(doubt)).
			Offer(t.Button(msg("button.amount-set", "kcal", say.Kcal(k)), "kcal", "sure", d.ID, say.Trim(float64(k), 0)), t.Button(msg("button.amount-keep", "kcal", say.Kcal(before.Kcal)), "kcal", "leave", d.ID))
		return
	}
	t.Mutate("did.kcal-set", d.Name)
	ground := say.Choose(vet, planner.OnVet, planner.OnCarer)
	setAmount(t, d, k, ground)
	now := planner.AmountOf(*d, t.Event.At)
	was := say.Choose(say.Kcal(before.Kcal) != say.Kcal(now.Kcal), msg("kcal.before", "kcal", say.Kcal(before.Kcal)), msg("kcal.same"))
	if before.Waits() && !before.ByHand { // nothing was in force
		was = ""
	}
	t.InPlace(t.Say(say.Para(dogs.NeedText(t, *d, now)), say.Para(was), say.Whole(dogs.GateText(*d, now)))).
		Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// handIsFar is the share from which a figure set by hand is asked about (our own
// choice, within the 25 % that single dogs lie round an equation).
const handIsFar = 0.15

// farFromNeed says why a figure set by hand is asked about once: it is far from
// what the dog is thought to need, feeds up a dog that is over its goal weight,
// or takes food from a thin one. Empty where it is none of these.
func farFromNeed(t *talk.Turn, d *planner.Dog, k nutrition.Kcal) string {
	_, decision, posts := Judge(t, d)
	need := planner.NeedOf(*d, t.Event.At)
	thought := need.Kcal
	if n := len(posts); n > 0 && posts[n-1].Enough() && decision.Target.Kcal > 0 {
		thought = decision.Target.Kcal
	}
	far := math.Abs(float64(k/thought) - 1)
	over := d.Condition > 5 || d.Ideal > 0 && d.Weight > d.Ideal*(1+wellOver)
	thin := d.Condition > 0 && d.Condition < 4
	now := planner.AmountOf(*d, t.Event.At).Kcal // also before a first bowl
	args := []any{"dog", d.Name, "kcal", say.Kcal(k), "need", say.Kcal(thought), "percent", say.Percent(far), "now", say.Kcal(now), "goal", say.BodyWeight(need.Ideal, t.Home.Units)}
	switch {
	case over && now > 0 && k > now:
		return msg("amount.hand-over", args...)
	case thin && k < now:
		return msg("amount.hand-thin", args...)
	case far <= handIsFar || !(thought > 0):
		return ""
	case k > thought:
		return msg("amount.hand-more", args...)
	}
	return msg("amount.hand-less", args...)
}

// kcalVerbs are what buttons under an amount set by hand do.
func kcalVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	set := func(vet, sure bool) func(*talk.Turn, *planner.Dog, []string) {
		return talk.TappedFigure(func(t *talk.Turn, d *planner.Dog, k float64) { setKcal(t, d, nutrition.Kcal(k), vet, sure) })
	}
	leave := func(t *talk.Turn, d *planner.Dog) {
		n := planner.AmountOf(*d, t.Event.At)
		t.InPlace(t.Say(say.Para(say.Choose(n.Waits(), dogs.GateText(*d, n), dogs.NeedText(t, *d, n)))))
	}
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){"leave": talk.Tapped(leave), "vet": set(true, true), "sure": set(false, true), "set": set(false, false)}
}
