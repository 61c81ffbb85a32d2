package planner

import (
	"testing"
	"time"
)

func TestLitter(t *testing.T) {
	loc := time.UTC
	mated := time.Date(2026, 2, 20, 12, 0, 0, 0, loc)
	d := Dog{Weight: 16, Ideal: 16, IdealFrom: GoalScored, Sex: Female, Born: mated.AddDate(-4, 0, 0)}
	d.PutInForce(880, OnEquation, "", mated)
	d.Stage = Pregnant
	d.Litter.Due = DateOf(mated).AddDays(CarryingDays)
	d.TakeStage("", 880, mated)
	at := func(days int) time.Time { return mated.AddDate(0, 0, days) }

	early, late := NeedOf(d, at(34)), NeedOf(d, at(35))
	if !near(float64(early.Kcal), 110*8, 1e-9) || !near(float64(late.Kcal), 132*8+26*16, 1e-9) {
		t.Errorf("an adult's need until the last four weeks, then FEDIAF's formula: %v, %v", early.Kcal, late.Kcal)
	}
	if n := AmountOf(d, at(1)); !n.Waits() {
		t.Error("a pregnant bitch waits for her vet")
	}
	vet := d
	vet.PutInForce(900, OnVet, "", at(-30))
	if !AmountOf(vet, at(1)).Waits() {
		t.Error("a vet's figure from before the pregnancy is none for it")
	}
	if vet.PutInForce(900, OnVet, "", at(1)); AmountOf(vet, at(1)).Waits() {
		t.Error("her vet has spoken")
	}
	if _, ok := LitterKcal(d, DateOf(at(40))); ok {
		t.Error("no step before the vet agrees")
	}
	if next, _ := NextLitterDay(d, at(1)); next != d.Litter.Due {
		t.Errorf("next %v: with no step agreed to, the end", next)
	}
	d.Litter.Agreed, d.Litter.AgreedTo = at(1), Pregnant
	if next, _ := NextLitterDay(d, at(1)); next != DateOf(at(35)) {
		t.Errorf("next %v: the last four weeks begin", next)
	}
	if k, ok := LitterKcal(d, DateOf(at(35))); !ok || !near(float64(k), 1472, 1e-9) {
		t.Errorf("the step of the last four weeks: %v %v", k, ok)
	}
	d.PutInForce(1472, OnSchedule, "", at(35))
	if next, _ := NextLitterDay(d, at(70)); next != DateOf(at(77)) {
		t.Errorf("next %v: overdue, it asks each week", next)
	}
	untold := d
	untold.Litter = Litter{Told: mated}
	if end := LitterEnd(untold); end != DateOf(at(63)) {
		t.Errorf("a pregnancy of unknown date ends %v: nine weeks after it was told", end)
	}

	d.Stage, d.Litter.Whelped, d.Litter.Pups = Nursing, DateOf(at(63)), 7
	d.TakeStage(Pregnant, 1472, at(63))
	if AmountOf(d, at(64)).Waits() || d.LitterAgreed() {
		t.Error("her food goes on, but the steps of nursing were not agreed to")
	}
	d.Litter.AgreedTo = Nursing
	for days, want := range map[int]float64{63: 145*8 + 16*132*0.75, 69: 145*8 + 16*132*0.75, 70: 145*8 + 16*132*0.95, 84: 145*8 + 16*132*1.2, 110: 145*8 + 16*132*1.2} {
		d.Weight = 14 // no weigh-in moves her steps
		if k, ok := LitterKcal(d, DateOf(at(days))); !ok || !near(float64(k), want, 1e-9) {
			t.Errorf("day %d: %v, want %v", days, k, want)
		}
	}
	if next, _ := NextLitterDay(d, at(90)); next != DateOf(at(63+56)) {
		t.Errorf("next %v: eight weeks after the birth", next)
	}
	for name, change := range map[string]func(*Dog){
		"ill": func(d *Dog) { d.Health = "kidney disease" }, "very thin": func(d *Dog) { d.Condition = 2 },
		"more pups than the equation knows": func(d *Dog) { d.Litter.Pups = 9 }, "pups not told": func(d *Dog) { d.Litter.Pups = 0 },
	} {
		o := d
		change(&o)
		if s := LitterSteps(o); s != nil {
			t.Errorf("%s: %v", name, s)
		}
	}

	d.PutInForce(3400, OnSchedule, "", at(84))
	nursing := d
	d.Stage = ""
	d.TakeStage(Nursing, 3400, at(119))
	if p, ok := ProposeFor(nursing, d, at(119)); !ok || p.Kcal != 880 || p.From != 3400 {
		t.Errorf("weaned: %+v %v, want what she got before", p, ok)
	}
	if _, ok := NextLitterDay(d, at(119)); !ok {
		t.Error("it is asked again until it is answered")
	}
	d.InForce.Declined = 880.4 // as a button has it
	if _, ok := AfterLitter(d, at(120)); ok {
		t.Error("a carer kept the amount")
	}
}
