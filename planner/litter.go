package planner

import (
	"math"
	"time"

	"bowlwright/nutrition"
)

// Litter is what was told of a pregnancy, or of the pups that a bitch nurses.
// The zero value is that nothing was.
type Litter struct {
	Told    time.Time `json:"told,omitzero"`    // when it was said that she is pregnant or nurses
	Due     Date      `json:"due,omitzero"`     // when the pups are expected
	Whelped Date      `json:"whelped,omitzero"` // when they were born
	Pups    int       `json:"pups,omitempty"`
	// Agreed is when a carer said that the vet agrees to the steps, and AgreedTo
	// of which stage these were.
	Agreed   time.Time `json:"agreed,omitzero"`
	AgreedTo Stage     `json:"agreed_to,omitempty"`
	// AgreedEnd is the daily amount from weaning on that was agreed to with them.
	AgreedEnd nutrition.Kcal `json:"agreed_end_kcal,omitempty"`
	// Own is the daily amount when it was told, and Ended when she was neither
	// pregnant nor nursing any more.
	Own   nutrition.Kcal `json:"own_kcal,omitempty"`
	Ended time.Time      `json:"ended,omitzero"`
}

// How long a bitch carries, and how long she may nurse before somebody is asked
// (common practice, no source). latePregnancy is the time that FEDIAF's formula
// is for.
const (
	CarryingDays  = 63
	nursingDays   = 56
	latePregnancy = 28
	// MostPups is more than any litter on record has.
	MostPups = 25
)

// Breeding reports that a dog carries or nurses pups.
func (d Dog) Breeding() bool { return d.Stage == Pregnant || d.Stage == Nursing }

// TakeStage keeps what a dog's stage was and is: own is the amount that it was
// fed before, as far as one was in force.
func (d *Dog) TakeStage(was Stage, own nutrition.Kcal, now time.Time) {
	l := &d.Litter
	switch {
	case d.Stage == "":
		l.Ended, l.Agreed, l.AgreedTo, l.AgreedEnd = now, time.Time{}, "", 0
	case was == "" || was == Nursing && d.Stage == Pregnant:
		*l = Litter{Told: now, Own: own, Due: l.Due, Whelped: l.Whelped, Pups: l.Pups}
	}
}

// OwnAmount is what a bitch gets once she has weaned her pups: what she was fed
// before, else what the equation gives her.
func (d Dog) OwnAmount(now time.Time) nutrition.Kcal {
	if d.Litter.Own > 0 {
		return d.Litter.Own
	}
	d.Stage = ""
	if n := NeedOf(d, now); !n.Waits() {
		return n.Kcal
	}
	return 0
}

// EndSteps puts the amount in force that was agreed to for a bitch from weaning
// on, and reports whether there was one. is is the dog as it is now.
func (d Dog) EndSteps(is *Dog, by string, now time.Time) bool {
	l := d.Litter
	if d.Stage != Nursing || is.Stage != "" || l.AgreedTo != Nursing || !(l.AgreedEnd > 0) || is.InForce.Ground != OnSchedule {
		return false
	}
	is.PutInForce(l.AgreedEnd, OnFact, by, now)
	return true
}

// LitterStep is an amount from a day on.
type LitterStep struct {
	From Date
	Week int // of nursing, from 1
	Kcal nutrition.Kcal
}

// LitterSteps are the amounts that the equations give a bitch for her pregnancy
// or her litter, by her goal weight, which no weigh-in moves. There are none
// where the due date, the pups or their birthday were not told, for more pups than
// the equation knows, and for one that is ill or very thin.
func LitterSteps(d Dog) []LitterStep {
	if d.ill() || d.Condition > 0 && d.Condition <= starved {
		return nil
	}
	w, l := d.Weight, d.Litter
	if d.Ideal > 0 {
		w = d.Ideal
	}
	switch {
	case d.Stage == Pregnant && !l.Due.IsZero():
		return []LitterStep{{From: l.Due.AddDays(-latePregnancy), Kcal: max(nutrition.PregnancyEnergy(w), l.Own)}}
	case d.Stage == Nursing && !l.Whelped.IsZero() && l.Pups > 0:
		var steps []LitterStep
		for week := 1; week <= nutrition.LactationWeeks; week++ {
			k, ok := nutrition.LactationEnergy(w, l.Pups, week)
			if !ok {
				return nil
			}
			steps = append(steps, LitterStep{l.Whelped.AddDays(7 * (week - 1)), week, k})
		}
		return steps
	}
	return nil
}

// LitterAgreed reports that a vet agreed to the steps of the present stage.
func (d Dog) LitterAgreed() bool { return d.Breeding() && d.Litter.AgreedTo == d.Stage }

// sameVisit is for how many days a vet's figure counts for a litter that is
// told later (our own choice).
const sameVisit = 7

// vetForLitter reports that a vet set the amount in force for a bitch and her
// litter, or agreed to the steps to which it belongs.
func (d Dog) vetForLitter() bool {
	if d.InForce.Ground == OnSchedule {
		return d.Breeding() && !d.Litter.Agreed.IsZero()
	}
	return d.ByVet && !d.InForce.Since.Before(d.Litter.Told.AddDate(0, 0, -sameVisit))
}

// LitterKcal is the step that has come by a day, of those that a vet agreed to.
func LitterKcal(d Dog, today Date) (k nutrition.Kcal, ok bool) {
	if !d.LitterAgreed() {
		return 0, false
	}
	for _, s := range LitterSteps(d) {
		if !today.Before(s.From) {
			k, ok = s.Kcal, true
		}
	}
	return k, ok
}

// LitterEnd is the day by which a pregnancy should be over, or the pups be
// weaned; zero where nobody knows when it began.
func LitterEnd(d Dog) Date {
	l, days := d.Litter, CarryingDays
	begun := l.Whelped
	switch {
	case d.Stage == Pregnant && !l.Due.IsZero():
		return l.Due
	case d.Stage == Nursing:
		days = nursingDays
	default:
		begun = Date{}
	}
	if begun.IsZero() && !l.Told.IsZero() {
		begun = DateOf(l.Told)
	}
	if begun.IsZero() {
		return Date{}
	}
	return begun.AddDays(days)
}

// NextLitterDay is the next day on which there is something to do or to ask
// about a litter: a step that was agreed to, the end, and from then on each week.
func NextLitterDay(d Dog, now time.Time) (Date, bool) {
	today := DateOf(now)
	if _, ok := AfterLitter(d, now); ok {
		return today.AddDays(7), true
	}
	end := LitterEnd(d)
	if !d.Breeding() || end.IsZero() {
		return Date{}, false
	}
	if d.LitterAgreed() {
		for _, s := range LitterSteps(d) {
			if today.Before(s.From) && s.From.Before(end) {
				return s.From, true
			}
		}
	}
	if today.Before(end) {
		return end, true
	}
	return today.AddDays(7), true
}

// AfterLitter proposes her own amount for a bitch whose pregnancy or nursing is
// over and that is still fed as it was set during it.
func AfterLitter(d Dog, now time.Time) (Proposal, bool) {
	l := d.Litter
	if d.Stage != "" || l.Ended.IsZero() || !(d.Kcal > 0) || d.InForce.Since.Before(l.Told) || d.InForce.Since.After(l.Ended) {
		return Proposal{}, false
	}
	n := NeedOf(d, now)
	p := Proposal{Kcal: n.Kcal, From: d.Kcal, Why: n.Equation}
	if l.Own > 0 {
		p.Kcal, p.Why = l.Own, ""
	}
	if off := float64(p.Kcal/p.From) - 1; n.Waits() || !(p.Kcal > 0) || math.Abs(float64(p.Kcal-d.InForce.Declined)) < 1 || math.Abs(off) < worthAsking {
		return Proposal{}, false
	}
	return p, true
}

// LitterOver is the day from which a bitch's weigh-ins tell of herself: when
// her pups are weaned or, while she nurses, the day after they were born. It is
// zero where neither is so; a pregnancy of a few days was none.
func (d Dog) LitterOver(loc *time.Location) time.Time {
	l := d.Litter
	switch {
	case d.Stage == "" && l.Ended.Sub(l.Told).Hours() >= 24*sameVisit:
		return l.Ended
	case d.Stage == Nursing && !l.Whelped.IsZero():
		return Instant(l.Whelped.AddDays(1), 0, loc)
	}
	return time.Time{}
}
